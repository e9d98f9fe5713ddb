"""What the next shop day starts with: every part that asks for hands, in order of time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay
from bench.process.attention.standing import Standing
from bench.process.clocks.edges import Edge, next_edge
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import HARM, StandState
from bench.process.parts.part import StepRecord
from bench.process.wording.time_text import format_clock

STARTS_WITH = ("CLOSING", "ABRADE", "TEST", "OPEN", "CURED")
"""The words that ask for hands as a day begins. A wash or a step in hand is the evening's."""

SOON = timedelta(days=1)
"""A window that closes later than this after the opening is named by a later hand-over."""

Ranked = tuple[datetime, int, str]
"""A line with what it is sorted by: its hour, then harm."""


def day_lines(
    parts: Sequence[Standing], pots: Iterable[Pot], day: Stay, now: datetime
) -> tuple[str, ...]:
    """Return what a shop day starts with, the first hour first, at the same hour most harm first.

    A part in hand, or whose window closes before the day, is left out: it is the evening's. So is
    one on hold whose window never closes. Parts nobody began share the last line. day: from when to
    when somebody is in, in the shop's zone; now: the same.
    """
    lines = [line for standing in parts if (line := _first_call(standing, day, now)) is not None]
    lines += _pots(pots, day)
    return (*(text for _, _, text in sorted(lines)), *_not_begun(parts))


def _first_call(standing: Standing, day: Stay, now: datetime) -> Ranked | None:
    """Return the first hour of a day at which a part asks for hands, None where it never does."""
    record = standing.part.current()
    if standing.is_untouched or (record is not None and record.status == "in hand"):
        return None
    turns = [turn.edge for turn in standing.coat_turns(now)]
    cure = standing.clocks.cure
    full = standing.clocks.edge(cure, now) if cure is not None else None
    edges = [edge for edge in (*turns, full) if edge is not None]
    if any(edge.side == "closing" and now < edge.at < day[0] for edge in turns):
        return None
    later = sorted((edge for edge in edges if day[0] < edge.at < day[1]), key=lambda edge: edge.at)
    for at, hour in [(day[0], format_clock(day[0], day[0])), *_hours(later, day[0])]:
        state = standing.state_at(at)
        if state.word in STARTS_WITH:
            closes = next_edge(standing.coat_turns(now), "closing", at)
            if standing.part.hold and closes is None:
                return None
            opens = state.word == "OPEN" and at > day[0]
            word = "OPENS" if opens else state.word
            text = f"{hour} {word} {standing.place}: {_what(record, state)}"
            text += f"{_closes(closes, state, day)}{standing.aside}{standing.had_by}"
            return at, HARM.index(state.word), text
    return None


def _hours(edges: Iterable[Edge], opening: datetime) -> Iterator[tuple[datetime, str]]:
    return ((edge.at, edge.words(opening)) for edge in edges)


def _what(record: StepRecord | None, state: StandState) -> str:
    if record is None:
        return "take it off the stand"
    if state.word == "ABRADE":
        return f"abrade, then {record.step.name}"
    if state.word == "TEST":
        return f"{_short(state.test)}, {record.step.name}"
    return record.step.name


def _short(test: str) -> str:
    """Return a test without where and how: the stand's page has those.

    >>> _short("gloved thumb on the coupon: no print, no drag")
    'gloved thumb'
    """
    return test.split(":")[0].split(" on the ")[0]


def _closes(edge: Edge | None, state: StandState, day: Stay) -> str:
    """Return the hour at which a window closes, within a day of the opening."""
    if edge is None or edge.at >= day[0] + SOON:
        return ""
    if state.word == "CLOSING":
        return f" by {edge.words(day[0])}"
    return f"; closes {edge.words(day[0])}{': be there' if edge.at < day[1] else ''}"


def _pots(pots: Iterable[Pot], day: Stay) -> Iterator[Ranked]:
    for pot in pots:
        if pot.end is not None and day[0] <= pot.end.at < day[1]:
            text = f"{pot.end.words(day[0])} BIN pot {pot.letter} {pot.name} by then"
            yield pot.end.at, HARM.index("BIN"), text


def _not_begun(parts: Iterable[Standing]) -> Iterator[str]:
    """Yield one line for all parts nobody began: they wait, and lose nothing by it."""
    untouched = [standing.part for standing in parts if standing.is_untouched]
    if untouched:
        stands = ", ".join(str(part.stand) for part in untouched if part.stand is not None)
        where = f": stand{'s' * (',' in stands)} {stands}" if stands else ""
        yield f"any time: {len(untouched)} not begun{where}"
