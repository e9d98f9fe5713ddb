"""What lies ahead of the bench by the hour: when a window opens or closes, a pot is binned."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from bench.process.clocks.edges import Edge
from bench.process.clocks.pots import BIN_SOON_S, FLUSH_SOON_S, Gun, Pot
from bench.process.clocks.stand_state import Clocks, needs_test
from bench.process.parts.part import Part

EventKind = Literal["opens", "closes", "cured", "bin by", "flush by", "begin"]

WARNED: dict[EventKind, tuple[timedelta, ...]] = {
    "opens": (timedelta(0),),
    "closes": (timedelta(hours=1), timedelta(minutes=15)),
    "cured": (timedelta(0),),
    "bin by": (timedelta(seconds=BIN_SOON_S), timedelta(0)),
    "flush by": (timedelta(seconds=FLUSH_SOON_S),),
    "begin": (timedelta(minutes=15),),
}
"""How long before it somebody hears of it (house rule)."""


@dataclass(frozen=True)
class UpcomingEvent:
    """Holds one event to come. key: stays the same for an event whose hour moves."""

    key: str
    kind: EventKind
    edge: Edge
    title: str
    details: str


def upcoming_events(
    parts: Iterable[tuple[Part, Clocks]],
    pots: Iterable[Pot],
    guns: Iterable[Gun],
    now: datetime,
) -> tuple[UpcomingEvent, ...]:
    """Return all that is ahead of ``now``, soonest first. Washes, too short, are left out."""
    events = [event for part, clocks in parts for event in _of_part(part, clocks, now)]
    events += [_of_pot(pot, pot.end) for pot in pots if pot.end is not None and not pot.off]
    events += [_of_gun(gun, gun.end) for gun in guns if gun.end is not None]
    ahead = (event for event in events if event.edge.shown > now)
    return tuple(sorted(ahead, key=lambda event: (event.edge.shown, event.key)))


def _of_part(part: Part, clocks: Clocks, now: datetime) -> Iterator[UpcomingEvent]:
    finished, current = part.clock_step(), part.current()
    if finished is None or current is None:
        return
    where = f"stand {part.stand}" if part.stand is not None else "on no stand"
    label = f"tag {part.tag} {part.name}"
    if current.step.kind == "cure":
        if clocks.cure is not None and (edge := clocks.edge(clocks.cure, now)):
            details = f"{where}; test it, that decides: {clocks.test}{_rests_on(edge)}"
            yield UpcomingEvent(
                f"{part.tag}/cure", "cured", edge, f"{label}: full cure, TEST", details
            )
        return
    for turn in clocks.turns(now):
        key, edge = f"{part.tag}/{finished.number}/{turn.place}", turn.edge
        if turn.after.word == "open" and current.status == "todo":
            soon = needs_test(part, clocks.spans, turn.place + 1)
            test_name = clocks.test_at(turn.place + 1)
            test = f"; test it, that decides: {test_name}" if soon else ""
            details = f"{where}; opens for {current.step.name}{test}{_rests_on(edge)}"
            title = f"{label}: opens, TEST" if soon else f"{label}: opens again"
            yield UpcomingEvent(key, "opens", edge, title, details)
        elif edge.side == "closing" and current.step.kind == "coat":
            then = "abrade first" if turn.after.word == "key" else "keep off"
            details = f"{where}; last face of {current.step.name} before it; then {then}"
            title = f"{label}: CLOSING for {current.step.name}"
            yield UpcomingEvent(key, "closes", edge, title, f"{details}{_rests_on(edge)}")


def _rests_on(edge: Edge) -> str:
    return f" ({edge.figure_words})" if edge.basis != "sheet" or edge.by_rule else ""


def _of_pot(pot: Pot, ends: Edge) -> UpcomingEvent:
    title = f"pot {pot.letter} {pot.name}: BIN BY"
    details = f"bin what is left in it{_rests_on(ends)}"
    return UpcomingEvent(
        f"pot {pot.letter} {pot.mixed_at.isoformat()}", "bin by", ends, title, details
    )


def _of_gun(gun: Gun, ends: Edge) -> UpcomingEvent:
    title = f"gun of pot {gun.letter} {gun.name}: FLUSH"
    details = "paint goes hard in it: flush it before"
    return UpcomingEvent(f"gun {gun.letter} {gun.name}", "flush by", ends, title, details)
