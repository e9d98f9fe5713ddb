"""What will be missed: tonight's closings and pots, and any window that nobody will be in for."""

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

    word: what a stand will say then; stand: None for a pot, or a part on no stand; opens: of a
    window that opens and closes with the shop closed, be it tonight or later.
    """

    word: str
    closes: Edge
    tag: str
    stand: int | None
    text: str
    opens: Edge | None = None


def missed_while_closed(
    parts: Iterable[tuple[Part, Clocks]], pots: Iterable[Pot], hours: Hours, now: datetime
) -> tuple[MissedEvent, ...]:
    """Return what will be missed until somebody is in again, most harm first, then the soonest.

    With it any later window that nobody will be in for. now: in the shop's zone. Nothing where
    somebody always is.
    """
    away = nobody_in(hours, now)
    return () if away is None else missed_between(parts, pots, away, hours, now)


def missed_between(
    parts: Iterable[tuple[Part, Clocks]],
    pots: Iterable[Pot],
    away: Stay,
    hours: Hours,
    now: datetime,
) -> tuple[MissedEvent, ...]:
    """Return what goes by in a stretch of time, most harm first, then the soonest.

    With it any later window that opens and closes while the shop is closed: the day before is the
    last on which somebody can plan for it.
    """
    events = [event for part, clocks in parts for event in _of_part(part, clocks, away, hours, now)]
    events += _of_pots(pots, away, now)
    return tuple(sorted(events, key=lambda event: (HARM.index(event.word), event.closes.at)))


def _of_part(
    part: Part, clocks: Clocks, away: Stay, hours: Hours, now: datetime
) -> Iterator[MissedEvent]:
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
    turns = clocks.turns(now)
    for before, turn in zip((None, *turns), turns, strict=False):
        if turn.edge.side != "closing":
            continue
        opens = before.edge if before and _all_closed(before.edge, turn.edge, hours, now) else None
        if opens or away[0] < turn.edge.at < away[1]:
            word = _BECOMES.get(turn.after.word, turn.after.word.upper())
            next_opens = clocks.edge(turn.after, now)
            again = f", until {next_opens.words(now)}" if next_opens else ""
            window = f"opens {opens.words(now)} with the shop closed, " if opens else ""
            text = f"{called} {window}closes {turn.edge.words(now)}, then {word}{again}"
            yield MissedEvent(word, turn.edge, part.tag, part.stand, text, opens)


def _all_closed(opens: Edge, closes: Edge, hours: Hours, now: datetime) -> bool:
    """Return whether a window still to come has no shop hours in it."""
    away = nobody_in(hours, opens.at)
    return away is not None and now < opens.at == away[0] and closes.at <= away[1]


def _of_pots(pots: Iterable[Pot], away: Stay, now: datetime) -> Iterator[MissedEvent]:
    for pot in pots:
        ends = None if pot.off else pot.end
        if ends is not None and away[0] < ends.at < away[1]:
            text = f"pot {pot.letter} {pot.name}: bin it by {ends.words(now)}"
            yield MissedEvent("BIN", ends, pot.letter, None, text)
