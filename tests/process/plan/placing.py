"""A plain placer for the tests: each part in turn, each step as soon as everything lets it.

It goes back a step where the next finds no place, mixes a pot for every coat, and improves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from bench.process.plan import slot_sets
from bench.process.plan.problem import (
    Air,
    Placed,
    Problem,
    Schedule,
    Task,
    Wait,
    carried,
    mixed_by_others,
    span,
    spray_start,
    work_start,
)

MOST_TRIES = 400
"""So many places a part tries before it is left out."""


@dataclass
class Placer:
    """What is taken so far, slot by slot."""

    problem: Problem
    tries: int = 0
    placed: list[Placed | None] = field(default_factory=list)
    taken: dict[tuple[int, int], int] = field(default_factory=dict)
    airs: dict[tuple[int, int, int], int] = field(default_factory=dict)
    waits: dict[int, list[Wait]] = field(default_factory=dict)
    choices: dict[int, list[Placed]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Sort the waits by what waits."""
        for wait in self.problem.waits:
            self.waits.setdefault(wait.after, []).append(wait)

    def plan(self) -> Schedule:
        """Place what finds a place."""
        self.placed = [None] * len(self.problem.tasks)
        for piece in self.problem.pieces:
            self.tries = 0
            if not self._place(piece.tasks, 0):
                self._give_up(piece.tasks)
        return Schedule(tuple(self.placed))

    def _give_up(self, tasks: tuple[int, ...]) -> None:
        for number in tasks:
            placed = self.placed[number]
            if placed is not None:
                self._take(number, placed, -1)
                self.placed[number] = None

    def _place(self, tasks: tuple[int, ...], at: int) -> bool:
        if at == len(tasks):
            return True
        number = tasks[at]
        task = self.problem.tasks[number]
        since = 0
        if at:
            before = self.placed[tasks[at - 1]]
            assert before is not None
            since = span(self.problem.tasks[tasks[at - 1]], before)[1]
        for placed in self._choices(number):
            if placed.start < since or not self._waited(number, task, placed):
                continue
            self.tries += 1
            if self.tries > MOST_TRIES:
                return False
            if not self._there_is_enough(number, placed):
                continue
            self.placed[number] = placed
            self._take(number, placed, 1)
            if self._place(tasks, at + 1):
                return True
            self._take(number, placed, -1)
            self.placed[number] = None
        return False

    def _choices(self, number: int) -> list[Placed]:
        """Give where a task may be by itself, the same every time it is asked for."""
        if number not in self.choices:
            task = self.problem.tasks[number]
            starts = task.starts | task.abraded_starts if task.fixed is None else 1 << task.fixed
            pot = number if task.paint is not None else None
            ways = (
                Placed(start, abraded, pot)
                for start in slot_sets.members(starts)
                for abraded in (False, True)
            )
            self.choices[number] = [placed for placed in ways if self._may(task, placed)]
        return self.choices[number]

    def _may(self, task: Task, placed: Placed) -> bool:
        starts = task.abraded_starts if placed.is_abraded else task.starts
        if task.fixed is not None:
            if placed.start != task.fixed or placed.is_abraded:
                return False
        elif not starts >> placed.start & 1:
            return False
        if span(task, placed)[1] > self.problem.horizon:
            return False
        return self._has_pot(task, placed)

    def _waited(self, number: int, task: Task, placed: Placed) -> bool:
        begins = work_start(task, placed)
        for wait in self.waits.get(number, ()):
            before, first = self.placed[wait.before], self.placed[wait.first]
            assert before is not None
            assert first is not None
            ended = span(self.problem.tasks[wait.before], before)[1]
            began = work_start(self.problem.tasks[wait.first], first)
            if not any(
                stage.abraded == placed.is_abraded
                and stage.opens[ended] <= begins
                and (stage.closes is None or begins < stage.closes[began])
                for stage in wait.stages
            ):
                return False
        return True

    def _has_pot(self, task: Task, placed: Placed) -> bool:
        if task.paint is None or task.fixed is not None:
            return True
        paint = self.problem.paints[task.paint]
        sprayed = spray_start(task, placed)
        in_time = span(task, placed)[1] <= paint.empty_by[sprayed]
        return in_time and bool(task.opening_starts >> sprayed & 1)

    def _stretches(
        self, number: int, placed: Placed
    ) -> list[tuple[int, int, tuple[tuple[int, int], ...], tuple[Air, ...]]]:
        """Give each stretch that a task fills: its slots, what it holds, and its airs."""
        task = self.problem.tasks[number]
        since, until = span(task, placed)
        stretches = [(since, until, (), task.airs)]
        for hold in task.holds:
            held = ((hold.resource, hold.amount),)
            stretches.append((since - hold.before, until + hold.after, held, ()))
        if task.carrying is not None and (out := carried(task, placed)) is not None:
            place, hands = ((task.carrying.place, 1),), task.carrying.hands
            stretches.append((until, out[1], place, ()))
            stretches.append((*out, ((hands.resource, hands.amount),), ()))
        if task.paint is not None:
            paint = self.problem.paints[task.paint]
            by_hand, sprayed = ((paint.hands, 1),), spray_start(task, placed)
            others = mixed_by_others(task, paint, abraded=placed.is_abraded)
            stretches.append((since - others, since, by_hand, ()))
            stretches.append((sprayed - paint.mixing, sprayed, (), paint.mixing_airs))
            stretches.append((until, until + paint.flush, by_hand, paint.flush_airs))
        return stretches

    def _there_is_enough(self, number: int, placed: Placed) -> bool:
        wanted: dict[tuple[int, int], int] = {}
        for since, until, holds, airs in self._stretches(number, placed):
            for slot in range(max(0, since), min(until, self.problem.horizon)):
                for resource, amount in holds:
                    wanted[resource, slot] = wanted.get((resource, slot), 0) + amount
            for air in airs:
                around = range(
                    max(0, since - air.before), min(until + air.after, self.problem.horizon)
                )
                if any(self.airs.get((air.air, 1 - air.side, slot), 0) for slot in around):
                    return False
        return all(
            self.taken.get(key, 0) + amount <= self.problem.resources[key[0]].capacity[key[1]]
            for key, amount in wanted.items()
        )

    def _take(self, number: int, placed: Placed, sign: int) -> None:
        for since, until, holds, airs in self._stretches(number, placed):
            for slot in range(max(0, since), min(until, self.problem.horizon)):
                for resource, amount in holds:
                    key = resource, slot
                    self.taken[key] = self.taken.get(key, 0) + sign * amount
            for air in airs:
                for slot in range(
                    max(0, since - air.before), min(until + air.after, self.problem.horizon)
                ):
                    breath = air.air, air.side, slot
                    self.airs[breath] = self.airs.get(breath, 0) + sign
