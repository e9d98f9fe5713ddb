"""Who does what: the painters of each task of a schedule, by who is there, free and trained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.process.plan.built import BuiltPlan
from bench.process.plan.by_whom import Job, Rota
from bench.process.plan.figures import PainterFigures, PlanInputs
from bench.process.plan.means import HANDS, people_of
from bench.process.plan.problem import Crew, Schedule, carried, mixed_by_others, span


@dataclass(frozen=True)
class Turn:
    """A task as its painters have it, or what comes after it: the gun's flush, a part carried out.

    since: with the mixing before it, begins: without; hands: how many painters; masked: only
    trained ones; is_after: it comes after the task, by anybody.
    """

    task: int
    tag: str
    since: int
    begins: int
    until: int
    hands: int
    masked: bool
    is_after: bool = False


def crew(built: BuiltPlan, schedule: Schedule, inputs: PlanInputs) -> tuple[tuple[str, ...], ...]:
    """Name the painters of each task of a sound plan.

    A painter who is on the part, or had it before, goes on with it, and mist and build so have one
    hand. Those who are not trained for isocyanate take what needs no mask first; then who has done
    least. Where that leaves something to nobody, every way of giving it out is looked at: then
    somebody else may mix. Fewer than it wants only where the plan is not sound.
    """
    hands = _Hands(built, inputs)
    names: list[tuple[str, ...]] = [()] * len(schedule.placed)
    for turns in _stretches(turns_of(built, schedule)):
        for turn, chosen in zip(turns, hands.give_out(turns), strict=True):
            if not turn.is_after:
                names[turn.task] = chosen
    return tuple(names)


def _stretches(turns: Sequence[Turn]) -> list[list[Turn]]:
    """Return turns, which are in order, as stretches between which nobody does anything."""
    found: list[list[Turn]] = []
    end = 0
    for turn in turns:
        if not found or turn.since >= end:
            found.append([])
        found[-1].append(turn)
        end = max(end, turn.until)
    return found


class _Hands:
    """Who is free from when on, and who had which part last."""

    def __init__(self, built: BuiltPlan, inputs: PlanInputs) -> None:
        self.built, self.painters = built, inputs.painters
        self.in_hand = {part.tag: part.on_it() for part in inputs.parts}
        self.last_on = dict(self.in_hand)
        self.free_from = {painter.name: 0 for painter in inputs.painters}
        self.busy = dict.fromkeys(self.free_from, 0)

    def give_out(self, turns: Sequence[Turn]) -> list[tuple[str, ...]]:
        """Return who has each turn of a stretch."""
        before = dict(self.last_on), dict(self.free_from), dict(self.busy)
        given = [self._take(turn, self._wished(turn)) for turn in turns]
        if all(len(n) == t.hands or self._own(t) for t, n in zip(turns, given, strict=True)):
            return given
        self.last_on, self.free_from, self.busy = before
        exact = self._exact(turns)
        if exact is None:
            return [self._take(turn, self._wished(turn)) for turn in turns]
        return [self._take(turn, chosen) for turn, chosen in zip(turns, exact, strict=True)]

    def _wished(self, turn: Turn) -> tuple[str, ...]:
        """Return whom a turn is given to by who had its part, from its mixing on if that can be."""
        chosen = self._free(turn, turn.since)
        return chosen if len(chosen) == turn.hands else self._free(turn, turn.begins)

    def _own(self, turn: Turn) -> tuple[str, ...]:
        """Return who is on it now."""
        is_in_hand = self.built.problem.tasks[turn.task].fixed == 0 and not turn.is_after
        return self.in_hand.get(turn.tag, ()) if is_in_hand else ()

    def _free(self, turn: Turn, since: int) -> tuple[str, ...]:
        """Choose the painters of a turn out of those who are there and free for all of it."""
        own, before = self._own(turn), self.last_on.get(turn.tag, ())
        able = [
            painter
            for painter in self.painters
            if (painter.name in own if own else self.free_from[painter.name] <= since)
            and (painter.trained or not turn.masked)
            and self._is_there(painter, since, turn.until)
        ]
        able.sort(
            key=lambda each: (
                each.name not in before and not turn.is_after,
                each.trained and not turn.masked,
                self.busy[each.name],
            )
        )
        return tuple(painter.name for painter in able[: turn.hands])

    def _exact(self, turns: Sequence[Turn]) -> list[tuple[str, ...]] | None:
        """Return who has each turn, out of every way of giving them out; None where there is none.

        The mixing is then work by itself.
        """
        busy = {name: turn.until for turn in turns for name in self._own(turn)}
        people = people_of(self.painters, self.built.grid, busy)
        keys = [resource.key for resource in self.built.problem.resources]
        rota = Rota(Crew(people, keys.index(HANDS)))
        jobs = [
            (Job(turn.begins, turn.until, turn.hands, turn.masked), n)
            for n, turn in enumerate(turns)
            if not self._own(turn) and turn.begins < turn.until
        ]
        jobs += [
            (Job(turn.since, turn.begins, 1), -1) for turn in turns if turn.since < turn.begins
        ]
        jobs.sort()
        found = rota.names(tuple(job for job, _ in jobs))
        if isinstance(found, Job):
            return None
        given = [self._own(turn) for turn in turns]
        for (_, n), chosen in zip(jobs, found, strict=True):
            if n >= 0:
                given[n] = tuple(self.painters[place].name for place in chosen)
        return given

    def _take(self, turn: Turn, names: tuple[str, ...]) -> tuple[str, ...]:
        """Give a turn to some painters."""
        for name in names:
            if name in self.free_from:
                self.free_from[name] = max(self.free_from[name], turn.until)
                self.busy[name] += turn.until - turn.begins
        if not turn.is_after:
            self.last_on[turn.tag] = names
        return names

    def _is_there(self, painter: PainterFigures, since: int, until: int) -> bool:
        begins, ends = self.built.grid.at(since), self.built.grid.at(until)
        return all(ends <= gone or begins >= back for gone, back in painter.away)


def turns_of(built: BuiltPlan, schedule: Schedule) -> list[Turn]:
    """Return what each task takes of its painters, in the order in which they begin."""
    tasks, paints = built.problem.tasks, built.problem.paints
    keys = [resource.key for resource in built.problem.resources]
    hands = keys.index(HANDS)
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
        holds = tasks[task].holds_of(at.way)
        wanted = sum(hold.amount for hold in holds if hold.resource == hands)
        turns.append(Turn(task, of.tag, since, begins, until, wanted, of.is_masked))
        carrying, out = tasks[task].carrying, carried(tasks[task], at)
        if carrying is not None and out is not None and out[0] < built.grid.horizon:
            amount = carrying.hands.amount
            turns.append(Turn(task, of.tag, out[0], *out, amount, False, is_after=True))
    for until, task in last.values():
        paint = tasks[task].paint
        flush = paints[paint].flush if paint is not None else 0
        tag = built.tasks[task].tag
        turns.append(Turn(task, tag, until, until, until + flush, 1, False, is_after=True))
    return sorted(turns, key=lambda turn: (turn.since, turn.is_after, turn.until, turn.task))
