"""Who does what of a plan: names for the hands that its problem only counts."""

from __future__ import annotations

from dataclasses import dataclass

from bench.process.plan.built import BuiltPlan
from bench.process.plan.figures import PainterFigures, PlanInputs
from bench.process.plan.problem import Schedule, span, work_start


@dataclass(frozen=True)
class Turn:
    """A task as its painters have it: with the mixing before it and the flush after it.

    hands: how many painters; masked: only trained ones.
    """

    task: int
    tag: str
    since: int
    until: int
    hands: int
    masked: bool


def crew(built: BuiltPlan, schedule: Schedule, inputs: PlanInputs) -> tuple[tuple[str, ...], ...]:
    """Name the painters of each task; fewer than it wants where nobody is free for all of it.

    A painter who is on the part, or had it before, goes on with it, and mist and build so have one
    hand. Those who are not trained for isocyanate take what needs no mask first; then who has done
    least.
    """
    painters = inputs.painters
    on_it = {part.tag: part.on_it() for part in inputs.parts}
    names: list[tuple[str, ...]] = [()] * len(schedule.placed)
    free_from = {painter.name: 0 for painter in painters}
    busy = dict.fromkeys(free_from, 0)
    last_on: dict[str, tuple[str, ...]] = dict(on_it)
    for turn in turns_of(built, schedule):
        is_in_hand = turn.since == 0 and bool(on_it.get(turn.tag))
        able = [
            painter
            for painter in painters
            if (not is_in_hand or painter.name in on_it[turn.tag])
            and (is_in_hand or free_from[painter.name] <= turn.since)
            and (painter.trained or not turn.masked)
            and _is_there(built, painter, turn)
        ]
        before = last_on.get(turn.tag, ())
        able.sort(key=lambda p: (p.name not in before, p.trained and not turn.masked, busy[p.name]))
        chosen = tuple(painter.name for painter in able[: turn.hands])
        for name in chosen:
            free_from[name] = max(free_from[name], turn.until)
            busy[name] += turn.until - turn.since
        names[turn.task] = last_on[turn.tag] = chosen
    return tuple(names)


def turns_of(built: BuiltPlan, schedule: Schedule) -> list[Turn]:
    """Return what each task takes of its painters, in the order in which they begin."""
    tasks, paints, placed = built.problem.tasks, built.problem.paints, schedule.placed
    ends: dict[tuple[int | None, int | None], tuple[int, int]] = {}
    for task, at in enumerate(placed):
        if at is not None and (at.pot, at.open_pot) != (None, None):
            pot = at.pot, at.open_pot
            ends[pot] = max(ends.get(pot, (0, 0)), (span(tasks[task], at)[1], task))
    turns = []
    for task, at in enumerate(placed):
        if at is None:
            continue
        of, (since, until), paint = built.tasks[task], span(tasks[task], at), tasks[task].paint
        if paint is not None and at.pot == task:
            since = min(since, work_start(tasks[task], at) - paints[paint].mixing)
        if paint is not None and ends.get((at.pot, at.open_pot), (0, -1))[1] == task:
            until += paints[paint].flush
        turns.append(Turn(task, of.tag, max(since, 0), until, of.hands, of.is_masked))
    return sorted(turns, key=lambda turn: (turn.since, turn.until, turn.task))


def _is_there(built: BuiltPlan, painter: PainterFigures, turn: Turn) -> bool:
    since, until = built.grid.at(turn.since), built.grid.at(turn.until)
    return all(until <= gone or since >= back for gone, back in painter.away)
