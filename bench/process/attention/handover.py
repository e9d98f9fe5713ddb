"""The hand-over at the end of a shift: what whoever comes next, or nobody, has to know."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay, nobody_in, open_hours
from bench.process.attention.alarms import Alarm
from bench.process.attention.next_day import day_lines
from bench.process.attention.plan_tasks import planned_lines
from bench.process.attention.standing import Standing
from bench.process.attention.tonight import night_lines
from bench.process.clocks.pots import Gun, Pot
from bench.process.clocks.temperature import Hours
from bench.process.parts.log_entry import LogEntry
from bench.process.parts.notes import Note, note_words
from bench.process.plan.agreed import WorkPlan
from bench.process.stock.equipment import Equipment, now_words
from bench.process.wording.display_units import METRIC, ShopUnits
from bench.process.wording.time_text import format_clock

IF_ALWAYS_IN = timedelta(hours=12)
"""How far a hand-over looks where somebody always is: one shift."""


@dataclass(frozen=True)
class Section:
    """Holds a heading and its lines: none of them when there is nothing to say.

    key: names it for a program, whatever day its title tells.
    """

    key: str
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Shift:
    """What a hand-over looks at: from now to when somebody is in again, and the shop day then.

    Both in the shop's zone. Where somebody always is, both are the shift that starts now. hours:
    the shop's own.
    """

    night: Stay
    day: Stay
    hours: Hours


def next_shift(hours: Hours, now: datetime) -> Shift:
    """Return the night ahead and the shop day after it. now: in the shop's zone."""
    away = nobody_in(hours, now)
    if away is None:
        shift = now, now + IF_ALWAYS_IN
        return Shift(shift, shift, hours)
    opens = away[1].astimezone(now.tzinfo)
    closes = next(
        (b for a, b in open_hours(hours, opens, 2) if a <= opens < b), opens + IF_ALWAYS_IN
    )
    return Shift((now, opens), (opens, closes.astimezone(now.tzinfo)), hours)


def day_began(hours: Hours, now: datetime) -> datetime:
    """Return since when is today: midnight, or a shift ago where somebody always is."""
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0, fold=0)
    return now - IF_ALWAYS_IN if hours.always_in else midnight


def sections(
    parts: Sequence[Standing],
    pots: Iterable[Pot],
    guns: Iterable[Gun],
    equipment: Iterable[Equipment],
    notes: Iterable[Note],
    alarms: Sequence[Alarm],
    done_today: Iterable[LogEntry],
    shift: Shift,
    now: datetime,
    units: ShopUnits = METRIC,
    plan: WorkPlan | None = None,
) -> tuple[Section, ...]:
    """Return the sections of the hand-over in the order in which whoever comes next needs them.

    What the next shop day starts with; what may be missed before it; the alarms nobody answered;
    what the agreed plan begins it with; what is taken, booked or noted; what was done today.
    alarms: those, most harm first; now: in the shop's zone.
    """
    pots = tuple(pots)
    starts, in_use = shift.day[0], [item for item in equipment if item.holder or item.queue]
    first = "NEXT SHIFT" if starts == now else f"{starts:%a %d %b} FROM {starts:%H:%M}".upper()
    until = format_clock(shift.night[1], now)
    asked = "; ".join(f"{alarm.want.word} {alarm.where}" for alarm in alarms)
    wanted = (
        Section("next day", f"{first}, IN THIS ORDER", day_lines(parts, pots, shift.day, now)),
        Section(
            "do not miss",
            f"DO NOT MISS BEFORE {until}",
            night_lines(parts, pots, guns, shift.night, shift.hours, now),
        ),
        Section("alarms", "ALARMS NOT ANSWERED", (asked,) if asked else ()),
    )
    kept = (
        Section(
            "plan", f"THE PLAN FOR {starts:%a %d %b}".upper(), (*planned_lines(plan, shift.day),)
        ),
        Section("equipment", "EQUIPMENT", tuple(_in_use(t, now, units) for t in in_use)),
        Section("booked out", "PARTS BOOKED OUT", tuple(_booked_out(parts))),
        Section("notes", "NOTES", tuple(_note(note, now) for note in notes)),
    )
    done = Section("done today", "DONE TODAY", tuple(_done(entry, now) for entry in done_today))
    return (*wanted, *(section for section in kept if section.lines), done)


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


def _in_use(item: Equipment, now: datetime, units: ShopUnits) -> str:
    return f"{item.name}: {now_words(item, now, units=units)}"


def _booked_out(parts: Iterable[Standing]) -> Iterator[str]:
    for standing in parts:
        record = standing.part.current()
        if standing.part.taken_by and record is not None and record.status == "todo":
            yield f"{standing.place}: {record.step.name}: {' and '.join(standing.part.taken_by)}"


def _note(note: Note, now: datetime) -> str:
    return f"{f'tag {note.tag}' if note.tag else 'bench'}: {note_words(note, now)}"


def _done(entry: LogEntry, now: datetime) -> str:
    return f"{format_clock(entry.at, now)} {entry.painter}: {entry.text}"


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
