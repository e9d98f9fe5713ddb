"""What stands around the stands: faults, alarms, room and hour, what to do, air and pots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from rich.cells import cell_len

from bench.process.attention.alarms import RUINING, Alarm, Alarms
from bench.process.attention.todo_list import Task
from bench.process.clocks.conditions import Conditions, is_old, usual_verdict
from bench.process.clocks.pots import FLUSH_SOON_S, Gun, Pot, gun_left_s, pot_word
from bench.process.clocks.stand_state import SHAPES
from bench.process.parts.notes import Note, note_words
from bench.process.safety.masks import Room, room_words
from bench.process.stock.equipment import AIR_FED, Equipment, air_of, waits_words
from bench.process.wording.display_units import (
    METRIC,
    ShopUnits,
    format_figures,
    quantity,
    shop_unit,
)
from bench.process.wording.time_text import format_duration
from bench.widgets.lines import Line, Piece, ends, fill, fit, line, plain, wrapped
from bench.widgets.theme import word_style

DOUBTFUL = " CLOCK WRONG >="
"""Before the hour, as long as it is only at least so late."""

LEAST_ROOM = len(" MASKS ON until 09:30? ")
"""Of the room's line so much is shown on the narrowest screen: its reason is what gives way."""


LEAST_ALARM = len(" RINSE NOW !!! stand 12 ")
"""Of an alarm so much is shown before what Enter does makes room."""


def header(
    now: datetime,
    room: Room,
    painter: str,
    demo: str,
    width: int,
    *,
    doubtful: bool = False,
    equipment: Sequence[Equipment] = (),
) -> Line:
    """Draw room, hour of the day (at least that, while the clock is wrong), and who is signed in.

    Between them, where there is space, who has the air-fed set: it belongs to the masks. demo: how
    the demo is marked, empty where it is none. While masks are on the whole row is a warning: its
    letters are small, and nothing else is as wide as the screen.
    """
    style = "ruined" if room.on else "head"
    words = f" {room_words(room, now)} "
    reserved = cell_len(words) + len(now.strftime(" %H:%M ")) + len(DOUBTFUL) * doubtful
    right = _who(painter, demo, width - reserved)
    left = width - cell_len(right) - len(DOUBTFUL) * doubtful
    clocks = [now.strftime(f" {form} ") for form in ("%a %d %b  %H:%M", "%a %H:%M", "%H:%M")]
    clock = next((c for c in clocks if len(c) <= left - cell_len(words)), clocks[-1])
    wide = min(max(left - len(clock), LEAST_ROOM), cell_len(words))
    # The plain colour where no mask is known to be needed: no green says that it may come off.
    room_piece = Piece(fit(words, wide), "ruined" if room.on else "")
    if doubtful:
        clock = f"{DOUBTFUL}{clock}"
        rest = fit(right, width - wide - len(clock))
        return (room_piece, Piece(clock, "ruined"), Piece(rest, style))
    between = width - wide - cell_len(clock) - cell_len(right)
    air_set = next((text for text in _air_set(equipment) if cell_len(text) <= between), "")
    return (room_piece, Piece(ends(f"{clock}{air_set}", right, width - wide), style))


def _who(painter: str, demo: str, room: int) -> str:
    """Who is signed in, shorter where the reason for masks needs the space."""
    mark = f"{demo}  " if demo else ""
    forms = (f"{mark}painter: {painter} ", f"{mark}{painter} ", f"{painter} ")
    return next((form for form in forms if cell_len(form) <= room), forms[-1])


def _air_set(equipment: Sequence[Equipment]) -> list[str]:
    """Who has the air-fed set and who is next, in full and short."""
    sets = [t for t in equipment if t.kind == AIR_FED and (t.holder or t.queue)]
    if not sets:
        return []
    first = sets[0]
    who = first.holder or "FREE"
    waits = f", {waits_words(first)}" if first.queue else ""
    more = f" +{len(first.queue)}" if first.queue else ""
    return [f" air set {who}{waits} ", f" air set {who}{more} "]


@dataclass(frozen=True)
class StandElsewhere:
    """A stand that is on another page, or a part on none: its number, word, count, and painter."""

    number: str
    word: str
    count: str
    who: str


def elsewhere_words(pages: Sequence[tuple[int, Sequence[StandElsewhere]]], width: int) -> str:
    """Name what is on other pages, most urgent first; empty without any.

    pages: each by its number, 0 for on no stand. Names of painters come in as far as there is room,
    the most urgent first; where stands themselves have none, how many more there are.
    """
    every = [(page, stand) for page, stands in pages for stand in stands]
    forms = ((name, named) for name in ("page ", "p") for named in range(len(every), -1, -1))
    best, left = "", len(every) + 1
    for name, named in forms:
        text, left_out = _elsewhere(every, width, named, name)
        if left_out < left:
            best, left = text, left_out
        if not left:
            break
    return best


def _elsewhere(
    every: Sequence[tuple[int, StandElsewhere]], width: int, with_names: int, name: str = "page "
) -> tuple[str, int]:
    """As much as there is room for, and how many stands that leaves out."""
    text, before = "", -1
    for place, (page, stand) in enumerate(every):
        who = stand.who if place < with_names else ""
        words = " ".join(filter(None, (stand.number, stand.word, stand.count, who)))
        called = f"{name}{page}" if page else "no stand"
        joint = ", " if page == before else f"{'; ' if text else ''}{called}: "
        left = len(every) - place
        rest = f", +{left - 1} more" if left > 1 else ""
        if cell_len(f"{text}{joint}{words}{rest}") > width:
            return f"{text}, +{left} more", left
        text, before = f"{text}{joint}{words}", page
    return text, 0


def task_lines(
    wants: Sequence[Task],
    count: int,
    width: int,
    elsewhere: str = "",
    *,
    alarm_above: bool = False,
) -> list[Line]:
    """The first of the list, most harm first; the last line says how many more.

    elsewhere: what stands in that line instead. alarm_above: what an alarm asks for stands above
    the list and not in it.
    """
    if not wants and not elsewhere:
        nothing = " nothing else to do now" if alarm_above else " nothing to do now"
        return fill([line(nothing, width, "dim")], width, count)
    if elsewhere:
        lines = [_want_line(want, width) for want in wants[: count - 1]]
        return fill([*lines, line(f" {elsewhere}", width, "bold")], width, count)
    shown = wants if len(wants) <= count else wants[: count - 1]
    lines = [_want_line(want, width) for want in shown]
    if len(wants) > count:
        lines.append(line(_more(wants[count - 1 :], width), width, "dim"))
    return fill(lines, width, count)


def _more(rest: Sequence[Task], width: int) -> str:
    """How many more, and as many of them in short as there is room for."""
    text = f"   and {len(rest)} more to do: {_short(rest[0])}"
    for place, want in enumerate(rest[1:], start=1):
        longer, left = f"{text}, {_short(want)}", len(rest) - place - 1
        if len(longer) + (len(f", +{left}") if left else 0) > width:
            return f"{text}, +{left + 1}"
        text = longer
    return text


def _short(want: Task) -> str:
    return f"{want.stand or '-'} {want.word}"


def _want_line(want: Task, width: int) -> Line:
    word = f" {want.word:<10}{SHAPES[want.word]} "
    nowhere = "" if want.word in ("BIN", "GUN") else "no stand: "
    place = f"stand {want.stand}: " if want.stand else nowhere
    return (
        Piece(word, word_style(want.word)),
        Piece(fit(f" {place}{want.text}", width - len(word)), ""),
    )


def note_lines(notes: Sequence[Note], now: datetime, width: int) -> list[Line]:
    """The notes of the bench, a line each."""
    return [line(f" note: {note_words(note, now)}", width, "bold") for note in notes]


def air_line(
    known: Conditions | None,
    now: datetime,
    width: int,
    faults: Sequence[str] = (),
    units: ShopUnits = METRIC,
    now_c: float | None = None,
) -> Line:
    """Conditions with the margin over the dew point, and how old the reading is.

    faults: of the probes; they stand first. now_c: what the air's probe says now, in C, where that
    is not written down yet. What can be worked out from the rest makes room.
    """
    style = "urgent" if faults else ""
    says = () if now_c is None else (f"air now {quantity(now_c, 'C', units)}",)
    first = "; ".join((*faults, *says))
    if known is None:
        text = first or "air: no reading yet; press 0 / 2 +"
        return line(f" {text}", width, style or "dim")
    reading = known.newest
    pieces: list[tuple[int, str]] = [(0, first)] if first else []
    pieces.append((2, f"air {quantity(reading.air_c, 'C', units)}"))
    if reading.rh_pct is not None:
        pieces.append((3, f"{reading.rh_pct:g} %"))
    if reading.metal_c is not None:
        pieces.append((2, f"surface {quantity(reading.metal_c, 'C', units)}"))
    elif not known.surface_known:
        pieces.append((2, "surface not read"))
    air = usual_verdict(known)
    if air is not None:
        dew = quantity(air.dew_point_c, "C", units, ".1f")
        margin = format_figures(air.margin_c, "C", units, ".1f", difference=True)
        pieces += [(4, f"dew {dew}"), (3, f"margin {margin} {shop_unit('C', units)}")]
        if not air.fit:
            against = "; ".join(limit.split(":")[0] for limit in air.against)
            pieces.append((1, f"STOP: {against}"))
            style = "ruined"
    age = now - reading.at
    old = "OLD, " if is_old(reading.at, now) else ""
    pieces.append((1, f"read {old}{format_duration(age.total_seconds())} ago"))
    return line(f" {_that_fits(pieces, width - 1)}", width, style)


def _that_fits(pieces: list[tuple[int, str]], width: int) -> str:
    """The texts, without those that matter least (the highest number) where there is no room."""
    rest = list(pieces)
    while (words := "  ".join(text for _, text in rest)) and len(words) > width:
        least = max(rest, key=lambda piece: piece[0])
        if least[0] <= 1:
            break
        rest.remove(least)
    return words


def pots_line(
    pots: Sequence[Pot],
    now: datetime,
    width: int,
    guns: Sequence[Gun] = (),
    equipment: Sequence[Equipment] = (),
    units: ShopUnits = METRIC,
) -> Line:
    """Open pots, loaded guns and what painters hold, each with its word, most urgent first."""
    mixed = [_pot_text(pot, now) for pot in pots] + [_gun_text(gun, now) for gun in guns]
    texts = mixed + _shared_texts(equipment, units)
    if not texts:
        return line(" no pot is open", width, "dim")
    order = ("GUN", "BIN", "AIR", "FREE", "BIN BY", "USE", "HELD", "", "REST")
    ranked = sorted(texts, key=lambda text: order.index(text[0]))
    pieces = [Piece(" pots " if mixed else " ", "")]
    used = len(pieces[0].text)
    for place, (word, text) in enumerate(ranked):
        left = [word for word, _ in ranked[place:]]
        more = f"+{len(left)} more"
        if used + len(text) + (len(more) if place < len(ranked) - 1 else 0) > width:
            named = _left_out(left)
            more = named if used + len(named) <= width else more
            pieces.append(Piece(more, ""))
            used += len(more)
            break
        pieces += [Piece(text, word_style(word)), Piece(" ", "")]
        used += len(text) + 1
    pieces.append(Piece(" " * max(width - used, 0), ""))
    return tuple(pieces)


def _left_out(words: Sequence[str]) -> str:
    """What there is no room for: pots and guns, and equipment that is held or waited for."""
    shared = sum(word in ("AIR", "FREE", "HELD") for word in words)
    counts = ((len(words) - shared, "pots, guns"), (shared, "held"))
    return f"+{', '.join(f'{count} {name}' for count, name in counts if count)}"


def _shared_texts(equipment: Sequence[Equipment], units: ShopUnits) -> list[tuple[str, str]]:
    """Who holds what, who is next for what is free, and where the compressor cannot keep up."""
    words = []
    air = air_of(equipment)
    if air.short and air.gives_l_min is not None:
        needs, gives = (
            format_figures(l_min, "l/min", units) for l_min in (air.needs_l_min, air.gives_l_min)
        )
        words.append(("AIR", f" SHORT OF AIR {needs} of {gives} {shop_unit('l/min', units)} "))
    for item in equipment:
        waits = f", {waits_words(item)}" if item.queue else ""
        if item.holder:
            words.append(("HELD", f" {item.called} {item.holder}{waits} "))
        elif item.queue:
            words.append(("FREE", f" {item.called} FREE{waits} "))
    return words


def _pot_text(pot: Pot, now: datetime) -> tuple[str, str]:
    word = pot_word(pot, now)
    ends = f" {pot.end.words(now)}" if pot.end else ""
    by = {"USE": f" by{ends}" if ends else "", "BIN BY": ends}.get(word, "")
    old = " OLD TIN" if pot.against else ""
    off = f": {pot.off}" if pot.off else ""
    return word, f" {pot.letter} {pot.name} {word}{by}{off}{old} "


def _gun_text(gun: Gun, now: datetime) -> tuple[str, str]:
    """Its word is GUN when it is near or past its hour; before that it has none."""
    left = gun_left_s(gun, now)
    if left is None or gun.end is None:
        return "", f" gun {gun.letter} loaded "
    if left <= 0:
        return "GUN", f" gun {gun.letter} FLUSH IT "
    word = "GUN" if left <= FLUSH_SOON_S else ""
    return word, f" gun {gun.letter} flush by {gun.end.words(now)} "


def data_line(words: str, width: int, *, tried: bool) -> Line:
    """Nothing is written down, and why. tried: it is tried again by itself."""
    left, right = f" NOTHING IS BEING SAVED: {words}", "  retrying "
    fits = tried and cell_len(plain(left)) + len(right) <= width
    return line(ends(left, right, width) if fits else left, width, "ruined")


def backup_line(faults: Sequence[str], width: int) -> Line:
    """What is wrong with the first place for backups that has something wrong."""
    left, more = f" BACKUP {faults[0]}", len(faults) - 1
    return line(ends(left, f"  +{more} ", width) if more else left, width, "urgent")


def alarm_lines(alarms: Alarms, answers: Sequence[Alarm], width: int) -> list[Line]:
    """One line across the screen with the alarm that does most harm; none when none is up.

    answers: what Enter answers just now. That it does is said wherever LEAST_ALARM cells are left
    for the alarm itself.
    """
    if not alarms.up:
        return []
    left, right = _band(alarms, answers, width)
    return [line(ends(left, right, width), width, "alarm")]


def is_shown_in_full(alarms: Alarms, answers: Sequence[Alarm], width: int) -> bool:
    """Whether all of the topmost alarm stands in that line."""
    return cell_len(plain("".join(_band(alarms, answers, width)))) <= width


def _band(alarms: Alarms, answers: Sequence[Alarm], width: int) -> tuple[str, str]:
    """The topmost alarm, and beside it how many more and what Enter answers."""
    top, more = alarms.up[0], len(alarms.up) - 1
    left = f" {top.want.word} {SHAPES[top.want.word]} {_place(top)}{top.want.text}"
    hint = f" {_enter_words(top, answers)} " if answers else ""
    fewest = f" +{more} " if more else ""
    rights = [f" +{more} alarm{'s' * (more > 1)}{hint or ' '}"] if more else []
    rights += [f"{fewest}{hint}", hint or fewest]
    fits = (right for right in rights if cell_len(plain(left) + right) <= width)
    tight = rights[-1] if width - len(rights[-1]) >= LEAST_ALARM else fewest
    return left, next(fits, tight)


def _enter_words(top: Alarm, answers: Sequence[Alarm]) -> str:
    """What Enter answers, by name where that is not the topmost."""
    if len(answers) > 1:
        return f"Enter answers {len(answers)}"
    other = answers[0]
    named = f" {other.want.word} {other.where}" if other != top else ""
    return f"Enter answers{named}"


def _place(alarm: Alarm) -> str:
    if alarm.want.stand is not None:
        return f"stand {alarm.want.stand} "
    return "" if alarm.want.word in ("BIN", "GUN", "PROBE") else "no stand "


def in_danger(row: Line, alarms: Alarms) -> Line:
    """The header as it is while something is being ruined: turned over, besides what it says."""
    if not alarms.up or alarms.up[0].want.word not in RUINING:
        return row
    return tuple(Piece(p.text, "ruined" if p.style == "head" else p.style) for p in row)


def away_lines(away: Sequence[Alarm], now: datetime, room: int, width: int) -> list[Line]:
    """How many came up while nobody was there, and each with how long ago: in ``room`` lines.

    Each on a line of its own, if that leaves one for what to do besides.
    """
    if not away or room < 1:
        return []
    if room > len(away) + 1:
        heading = f"{len(away)} {'alarm' if len(away) == 1 else 'alarms'} while you were away"
        notes = [f"   {_ago(alarm, now)}, {alarm.want.text}" for alarm in away]
        return [line(f" {text}", width, "bold") for text in (heading, *notes)]
    short = ", ".join(_ago(alarm, now) for alarm in away)
    rows = wrapped([f"while you were away: {short}"], width - 2)
    if len(rows) > room:
        rows = [*rows[: room - 1], " ".join(rows[room - 1 :])]
    return [line(f" {row}", width, "bold") for row in rows]


def _ago(alarm: Alarm, now: datetime) -> str:
    late = format_duration((now - alarm.since).total_seconds())
    return f"{alarm.where} {alarm.want.word} {late} ago"
