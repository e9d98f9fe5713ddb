"""What will be missed tonight: windows that close and pots that go off with the shop closed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay, nobody_in
from bench.process.clocks.edges import Edge
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import HARM, Clocks
from bench.process.clocks.temperature import Hours
from bench.process.parts.part import Part

_BECOMES = {"shut": "KEEP OFF", "key": "ABRADE"}


@dataclass(frozen=True)
class MissedEvent:
    """Holds what goes by while closed.

    word: what a stand will say then; stand: None for a pot, or a part on no stand.
    """

    word: str
    closes: Edge
    tag: str
    stand: int | None
    text: str


def missed_while_closed(
    parts: Iterable[tuple[Part, Clocks]], pots: Iterable[Pot], hours: Hours, now: datetime
) -> tuple[MissedEvent, ...]:
    """Return what will be missed until somebody is in again, most harm first, then the soonest.

    now: in the shop's zone. Nothing where somebody always is.
    """
    away = nobody_in(hours, now)
    return () if away is None else missed_between(parts, pots, away, now)


def missed_between(
    parts: Iterable[tuple[Part, Clocks]], pots: Iterable[Pot], away: Stay, now: datetime
) -> tuple[MissedEvent, ...]:
    """Return what goes by in a stretch of time, most harm first, then the soonest."""
    events = [event for part, clocks in parts for event in _of_part(part, clocks, away, now)]
    events += _of_pots(pots, away, now)
    return tuple(sorted(events, key=lambda event: (HARM.index(event.word), event.closes.at)))


def _of_part(part: Part, clocks: Clocks, away: Stay, now: datetime) -> Iterator[MissedEvent]:
    record = part.current()
    if record is None:
        return
    called = f"{part.name}: {record.step.name}"
    if record.step.kind == "dwell" and record.status == "in hand":
        for mark in record.marks:
            if mark.begun_at is None or mark.done_at is not None:
                continue
            soaks = timedelta(seconds=record.step.most_s)
            most = clocks.fixed(mark.begun_at + soaks, "closing")
            if away[0] < most.at < away[1]:
                text = f"{called}: rinse {mark.name} by {most.words(now)}"
                yield MissedEvent("RINSE NOW", most, part.tag, part.stand, text)
    if record.step.kind != "coat" or record.status != "todo":
        return
    for turn in clocks.turns(now):
        if turn.edge.side == "closing" and away[0] < turn.edge.at < away[1]:
            word = _BECOMES.get(turn.after.word, turn.after.word.upper())
            opens = clocks.edge(turn.after, now)
            again = f", until {opens.words(now)}" if opens else ""
            text = f"{called} closes {turn.edge.words(now)}, then {word}{again}"
            yield MissedEvent(word, turn.edge, part.tag, part.stand, text)


def _of_pots(pots: Iterable[Pot], away: Stay, now: datetime) -> Iterator[MissedEvent]:
    for pot in pots:
        ends = None if pot.off else pot.end
        if ends is not None and away[0] < ends.at < away[1]:
            text = f"pot {pot.letter} {pot.name}: bin it by {ends.words(now)}"
            yield MissedEvent("BIN", ends, pot.letter, None, text)
