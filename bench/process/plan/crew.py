"""Who does what of a plan: names for the hands that its problem only counts."""

from __future__ import annotations

from dataclasses import dataclass

from bench.process.plan.built import BuiltPlan
from bench.process.plan.figures import PainterFigures, PlanInputs
from bench.process.plan.problem import Schedule, mixed_by_others, span


@dataclass(frozen=True)
class Turn:
    """A task as its painters have it, or the flush after the last coat of a pot.

    since: with the mixing before it, begins: without; hands: how many painters; masked: only
    trained ones; is_flush: of the gun, by anybody.
    """

    task: int
    tag: str
    since: int
    begins: int
    until: int
    hands: int
    masked: bool
    is_flush: bool = False


def crew(built: BuiltPlan, schedule: Schedule, inputs: PlanInputs) -> tuple[tuple[str, ...], ...]:
    """Name the painters of each task; fewer than it wants where nobody is free for all of it.

    A painter who is on the part, or had it before, goes on with it, and mist and build so have one
    hand. Those who are not trained for isocyanate take what needs no mask first; then who has done
    least. Where nobody is free from the mixing on, somebody else mixes.
    """
    hands = _Hands(built, inputs)
    names: list[tuple[str, ...]] = [()] * len(schedule.placed)
    for turn in turns_of(built, schedule):
        chosen = hands.free(turn, turn.since) or hands.free(turn, turn.begins)
        hands.take(turn, chosen)
        if not turn.is_flush:
            names[turn.task] = chosen
    return tuple(names)


class _Hands:
    """Who is free from when on, and who had which part last."""

    def __init__(self, built: BuiltPlan, inputs: PlanInputs) -> None:
        self.built, self.painters = built, inputs.painters
        self.in_hand = {part.tag: part.on_it() for part in inputs.parts}
        self.last_on = dict(self.in_hand)
        self.free_from = {painter.name: 0 for painter in inputs.painters}
        self.busy = dict.fromkeys(self.free_from, 0)

    def free(self, turn: Turn, since: int) -> tuple[str, ...]:
        """Choose the painters of a turn out of those who are there and free for all of it."""
        own = self.in_hand.get(turn.tag, ()) if turn.begins == 0 else ()
        before = self.last_on.get(turn.tag, ())
        able = [
            painter
            for painter in self.painters
            if (painter.name in own if own else self.free_from[painter.name] <= since)
            and (painter.trained or not turn.masked)
            and self._is_there(painter, since, turn.until)
        ]
        able.sort(
            key=lambda each: (
                each.name not in before and not turn.is_flush,
                each.trained and not turn.masked,
                self.busy[each.name],
            )
        )
        return tuple(painter.name for painter in able[: turn.hands])

    def take(self, turn: Turn, names: tuple[str, ...]) -> None:
        """Give a turn to some painters."""
        for name in names:
            self.free_from[name] = max(self.free_from[name], turn.until)
            self.busy[name] += turn.until - turn.begins
        if not turn.is_flush:
            self.last_on[turn.tag] = names

    def _is_there(self, painter: PainterFigures, since: int, until: int) -> bool:
        begins, ends = self.built.grid.at(since), self.built.grid.at(until)
        return all(ends <= gone or begins >= back for gone, back in painter.away)


def turns_of(built: BuiltPlan, schedule: Schedule) -> list[Turn]:
    """Return what each task takes of its painters, in the order in which they begin."""
    tasks, paints = built.problem.tasks, built.problem.paints
    last: dict[tuple[int | None, int | None], tuple[int, int]] = {}
    turns = []
    for task, at in enumerate(schedule.placed):
        if at is None:
            continue
        of, (begins, until), paint = built.tasks[task], span(tasks[task], at), tasks[task].paint
        since = begins
        if paint is not None and at.pot == task:
            others = mixed_by_others(tasks[task], paints[paint], abraded=at.is_abraded)
            since = max(begins - others, 0)
        if paint is not None:
            pot = at.pot, at.open_pot
            last[pot] = max(last.get(pot, (0, 0)), (until, task))
        turns.append(Turn(task, of.tag, since, begins, until, of.hands, of.is_masked))
    for until, task in last.values():
        paint = tasks[task].paint
        flush = paints[paint].flush if paint is not None else 0
        tag = built.tasks[task].tag
        turns.append(Turn(task, tag, until, until, until + flush, 1, False, is_flush=True))
    return sorted(turns, key=lambda turn: (turn.since, turn.is_flush, turn.until, turn.task))
