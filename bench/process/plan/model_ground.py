"""What is left to place work in: hands and places less what stays, and starts cut to it.

A task that stays (``Ground.stays``) takes its part of the capacities and of the airs, so that only
what moves becomes a variable of the solver.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from bench.process.plan import slot_sets
from bench.process.plan.carrying import ends_meeting, holds_of_carrying
from bench.process.plan.problem import (
    WAYS,
    Air,
    Hold,
    Placed,
    Problem,
    Task,
    mixed_by_others,
    span,
)


class Ground:
    """What the tasks that stay leave of a problem's capacities and airs."""

    def __init__(
        self, problem: Problem, stays: Mapping[int, Placed], moving: Collection[int]
    ) -> None:
        """Take from the capacities what the tasks that stay hold; ``moving`` are pieces."""
        self.problem, self.stays = problem, stays
        self.left = [list(resource.capacity[: problem.horizon]) for resource in problem.resources]
        self._air: dict[tuple[int, int], int] = {}
        self._short: dict[tuple[int, int], int] = {}
        for number, placed in stays.items():
            task, at = problem.tasks[number], span(problem.tasks[number], placed)
            self.take(at, task.holds_of(placed.way), task.airs)
            if task.carrying is not None:
                for since, until, hold in holds_of_carrying(task.carrying, at[1]):
                    self.take((since, until), (hold,), ())
        self._take_stands(moving)

    def _take_stands(self, moving: Collection[int]) -> None:
        """Take the stands of the pieces that stay, or that are left out and stand there."""
        for number, piece in enumerate(self.problem.pieces):
            first, last = (self.stays.get(piece.tasks[n]) for n in (0, -1))
            if number in moving or piece.stand is None or not (first or piece.is_on_stand):
                continue
            since = 0 if piece.is_on_stand or first is None else first.start
            until = self.problem.horizon
            if last is not None:
                until = span(self.problem.tasks[piece.tasks[-1]], last)[1] + piece.stand_after
            self.take((since, until), (Hold(piece.stand, 1),), ())

    def filled(self, resource: int, since: int, until: int) -> int:
        """Return how many slots of a resource are taken between two slots by what stays."""
        until = min(until, self.problem.horizon)
        whole = self.problem.resources[resource].capacity[since:until]
        return sum(whole) - sum(self.left[resource][since:until])

    def take(self, at: tuple[int, int], holds: Iterable[Hold], airs: Iterable[Air]) -> None:
        """Take what some work from one slot to another holds, and what it does to the air."""
        since, until = at
        for hold in holds:
            left = self.left[hold.resource]
            for slot in range(max(0, since - hold.before), min(len(left), until + hold.after)):
                left[slot] -= hold.amount
        for air in airs:
            key = air.air, air.side
            slots = slot_sets.between(since - air.before, until + air.after)
            self._air[key] = self._air.get(key, 0) | slots

    def cut(
        self, slots: int, length: int, holds: Sequence[Hold], airs: Sequence[Air], lead: int = 0
    ) -> int:
        """Return the starts from which work of a length finds all it holds.

        With a ``lead`` the work is that many slots long and ends where the start lies.
        """
        for hold in holds:
            short = self.short_of(hold.resource, hold.amount)
            slots &= ~slot_sets.starts_meeting(short, hold.before + lead, length + hold.after)
        for air in airs:
            other = self._air.get((air.air, 1 - air.side), 0)
            slots &= ~slot_sets.starts_meeting(other, air.before + lead, length + air.after)
        return slots

    def short_of(self, resource: int, amount: int) -> int:
        """Return the slots in which less than an amount of a resource is left."""
        key = resource, amount
        if key not in self._short:
            self._short[key] = slot_sets.short_of(self.left[resource], amount)
        return self._short[key]

    def possible(self, task: Task) -> tuple[int, ...]:
        """Return where a task can begin by what is left, by the ways in which it is done."""
        starts = [task.starts_of(way) for way in WAYS]
        if task.fixed is not None:
            fixed = 1 << task.fixed
            is_abraded = not task.starts & fixed and bool(task.abraded_starts & fixed)
            starts = [0, fixed, 0] if is_abraded else [fixed, 0, 0]
        return tuple(self.starts(task, starts[way], way) if starts[way] else 0 for way in WAYS)

    def starts(self, task: Task, slots: int, way: int) -> int:
        """Return from which of some slots a task can be done so, by what is left."""
        kept, longer = 0, task.longer_of(way)
        for part, length in (
            (slots & ~longer, task.length_of(way)),
            (slots & longer, task.length_of(way) + task.longer),
        ):
            part &= slot_sets.between(0, self.problem.horizon - length + 1)
            part = self.cut(part, length, task.holds_of(way), task.airs) if part else 0
            if part and task.carrying is not None:
                part &= ~(ends_meeting(task.carrying, len(self.left[0]), self.short_of) >> length)
            kept |= part
        return kept

    def mixing_starts(self, task: Task, slots: int, *, abraded: bool) -> int:
        """Return from which of some starts a task's paint can be mixed before it is sprayed."""
        assert task.paint is not None
        paint = self.problem.paints[task.paint]
        others = mixed_by_others(task, paint, abraded=abraded)
        lead = task.lead + (task.abrading if abraded else 0)
        sprayed = slots << lead & ~slot_sets.between(0, paint.mixing)
        sprayed = self.cut(sprayed, 0, (), paint.mixing_airs, lead=paint.mixing) >> lead
        return self.cut(sprayed, 0, (Hold(paint.hands, 1),), (), lead=others) if others else sprayed

    def flush_starts(self, paint_number: int) -> int:
        """Return in which slots a gun can begin to be cleaned."""
        paint = self.problem.paints[paint_number]
        slots = slot_sets.between(0, self.problem.horizon + 1)
        return self.cut(slots, paint.flush, (Hold(paint.hands, 1),), paint.flush_airs)
