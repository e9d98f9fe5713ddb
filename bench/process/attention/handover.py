"""The hand-over at the end of a shift: what whoever comes next, or nobody, has to know."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay, nobody_in
from bench.process.ahead.cold_nights import Cold
from bench.process.ahead.unattended import missed_between
from bench.process.attention.todo_list import cold_tasks
from bench.process.clocks.pots import Gun, Pot, pot_word
from bench.process.clocks.stand_state import Clocks, StandState
from bench.process.clocks.temperature import Hours
from bench.process.parts.notes import Note, note_words
from bench.process.parts.part import Part, StepRecord
from bench.process.stock.equipment import Equipment, now_words
from bench.process.wording.display_units import METRIC, ShopUnits
from bench.process.wording.time_text import format_clock

IF_ALWAYS_IN = timedelta(hours=12)
"""How far a hand-over looks where somebody always is: a shift, and the next one's beginning."""


@dataclass(frozen=True)
class Standing:
    """A part with its clocks, what its stand shows now and when its coat is too cold."""

    part: Part
    clocks: Clocks
    state: StandState
    cold: tuple[Cold, ...] = ()


@dataclass(frozen=True)
class Section:
    """Holds a heading and its lines: none of them when there is nothing to say."""

    title: str
    lines: tuple[str, ...]


def until_morning(hours: Hours, now: datetime) -> Stay:
    """Return from now to when somebody is in again after the next closing."""
    away = nobody_in(hours, now)
    return now, away[1] if away is not None else now + IF_ALWAYS_IN


def sections(
    parts: Sequence[Standing],
    pots: Iterable[Pot],
    guns: Iterable[Gun],
    equipment: Iterable[Equipment],
    notes: Iterable[Note],
    alarms: Iterable[str],
    stay: Stay,
    now: datetime,
    units: ShopUnits = METRIC,
) -> tuple[Section, ...]:
    """Return the sections of the hand-over, most harm first; one without lines has nothing to say.

    stay: until when it looks; now: in the shop's zone.
    """
    pots = tuple(pots)
    clocks = ((standing.part, standing.clocks) for standing in parts)
    closes = [
        f"{_place(event.stand, event.tag)}{event.text}"
        for event in missed_between(clocks, (), stay, now)
    ]
    cold = cold_tasks(((standing.part, standing.cold) for standing in parts), now)
    in_use = [t for t in equipment if t.holder or t.queue]
    return (
        Section("ALARMS", tuple(alarms)),
        Section("UNFINISHED", tuple(_unfinished(parts, now))),
        Section("CLOSES BEFORE MORNING", tuple(closes)),
        Section("TOO COLD", tuple(f"{_place(want.stand, want.tag)}{want.text}" for want in cold)),
        Section("OPEN TONIGHT", tuple(_open(parts, stay, now))),
        Section("POTS TO BIN", tuple(_pot(pot, now) for pot in pots)),
        Section("GUNS TO FLUSH", tuple(_gun(gun, now) for gun in guns)),
        Section(
            "EQUIPMENT",
            tuple(f"{t.name}: {now_words(t, now, units=units)}" for t in in_use),
        ),
        Section("PARTS BOOKED OUT", tuple(_booked_out(parts))),
        Section("NOTES", tuple(_note(note, now) for note in notes)),
    )


def who_is_in(names: Sequence[str], left_at: Mapping[str, datetime], now: datetime) -> str:
    """Return who is in, and who left when.

    >>> who_is_in(["Kit", "Mo"], {}, datetime(2026, 3, 2))
    'Kit and Mo are in'
    """
    there = [name for name in names if name not in left_at]
    phrases = [f"{' and '.join(there)} {'is' if len(there) == 1 else 'are'} in"] if there else []
    phrases += [
        f"{name} left {format_clock(left_at[name], now)}" for name in names if name in left_at
    ]
    return ", ".join(phrases)


def _place(stand: int | None, tag: str) -> str:
    return f"stand {stand}, tag {tag} " if stand is not None else f"no stand, tag {tag} "


def _label(standing: Standing, record: StepRecord) -> str:
    part = standing.part
    return f"{_place(part.stand, part.tag)}{part.name}: {record.step.name}"


def _unfinished(parts: Iterable[Standing], now: datetime) -> Iterator[str]:
    for standing in parts:
        record = standing.part.current()
        if record is None or record.status != "in hand":
            continue
        since = f", begun {format_clock(record.first_at, now)}" if record.first_at else ""
        who = " and ".join(standing.part.on_it())
        face_names = " ".join(mark.name for mark in record.open_marks())
        open_marks = f", remaining: {face_names}" if face_names else ""
        yield f"{_label(standing, record)}{since} by {who}{open_marks}"


def _open(parts: Iterable[Standing], stay: Stay, now: datetime) -> Iterator[str]:
    """Yield what may be done now, or from some hour of the night on."""
    for standing in parts:
        record, state = standing.part.current(), standing.state
        if record is None or record.status != "todo":
            continue
        if state.test:
            yield f"{_label(standing, record)}: TEST, {state.test}"
        elif state.word in ("OPEN", "CLOSING"):
            until = f" until {state.closes.words(now)}" if state.closes else ""
            yield f"{_label(standing, record)} open{until}"
        elif state.opens is not None and stay[0] < state.opens.at < stay[1]:
            yield f"{_label(standing, record)} opens {state.opens.words(now)}"


def _booked_out(parts: Iterable[Standing]) -> Iterator[str]:
    for standing in parts:
        record = standing.part.current()
        if standing.part.taken_by and record is not None and record.status == "todo":
            yield f"{_label(standing, record)}: {' and '.join(standing.part.taken_by)}"


def _pot(pot: Pot, now: datetime) -> str:
    ends = f" by {pot.end.words(now)}" if pot.end else ""
    when = "NOW" if pot_word(pot, now) == "BIN" else ends.strip() or "when it is done with"
    return f"pot {pot.letter} {pot.name}: bin it {when}{f', {pot.off}' if pot.off else ''}"


def _gun(gun: Gun, now: datetime) -> str:
    by = f" by {gun.end.words(now)}" if gun.end else ""
    return f"the gun of pot {gun.letter} {gun.name}{by}"


def _note(note: Note, now: datetime) -> str:
    return f"{f'tag {note.tag}' if note.tag else 'bench'}: {note_words(note, now)}"


# --- pages ---------------------------------------------------------------------------------------

HandoverBlock = tuple[str, Sequence[Sequence[str]]]
"""A heading and its items, each in lines as wide as they are shown."""


def pages(blocks: Iterable[HandoverBlock], room: int) -> list[list[str]]:
    """Split the lines into pages of ``room`` lines; a heading that goes on is repeated.

    An item stays on one page if one holds it, and a heading with the first of its items.
    room: at least 3.

    >>> pages([("GUN", [["a"], ["b", "b"], ["c"]]), ("NOTES", [])], 3)
    [['GUN', '  a'], ['GUN, continued', '  b', '  b'], ['GUN, continued', '  c', 'NOTES: nothing']]
    """
    pages_so_far: list[list[str]] = [[]]

    def turn(*heading: str) -> list[str]:
        pages_so_far.append(list(heading))
        return pages_so_far[-1]

    for title, items in blocks:
        page, whole = pages_so_far[-1], len(items[0]) + 1 if items else 1
        if len(page) + (whole if whole <= room else 2) > room:
            page = turn()
        page.append(title if items else f"{title}: nothing")
        for item in items:
            if len(page) + len(item) > room > len(item):
                page = turn(f"{title}, continued")
            for line in item:
                page = turn(f"{title}, continued") if len(page) >= room else page
                page.append(f"  {line}")
    return pages_so_far
