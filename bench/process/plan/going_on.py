"""What a plan cannot move: what goes on now, and what was agreed for the next hour."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from bench.process.plan.carrying import holds_of_carrying
from bench.process.plan.column import Wish
from bench.process.plan.means import Means
from bench.process.plan.placing import Placer
from bench.process.plan.problem import Air, OpenPot, Paint, Problem, Task, Wait


def let_go(problem: Problem, free: Sequence[Task]) -> tuple[Problem, tuple[int, ...]]:
    """Let go the agreed steps of parts that would find no room with them; return which.

    A part that finds none either way keeps them. free: the tasks before any was fixed.
    """
    gone: list[int] = []
    for number, piece in enumerate(problem.pieces):
        agreed = [n for n in piece.tasks if _is_agreed(problem.tasks[n])]
        if not agreed or _finds_room(problem, number):
            continue
        tasks = list(problem.tasks)
        for n in agreed:
            tasks[n] = free[n]
        without = replace(problem, tasks=tuple(tasks))
        if _finds_room(without, number):
            problem = without
            gone += agreed
    return problem, tuple(gone)


def _is_agreed(task: Task) -> bool:
    return task.fixed is not None and task.fixed == task.was


def _finds_room(problem: Problem, piece: int) -> bool:
    """Return whether a part finds room beside what is fixed of the others."""
    placer = Placer(problem)
    return placer.place(placer.room(), piece, Wish())


@dataclass(frozen=True)
class _Held:
    """What a fixed task holds, or does to an air, from one slot to another."""

    what: int
    amount: int
    since: int
    until: int


def allow_what_goes_on(tasks: list[Task], means: Means) -> None:
    """Let what goes on now go on: there is as much of everything as it holds.

    Where two things that go on cannot bear each other, neither asks anything of that air.
    """
    going = [task for task in tasks if task.fixed == 0]
    demand: dict[tuple[int, int], int] = {}
    for task in going:
        for held in _held(task, 0):
            for slot in range(held.since, min(held.until, means.grid.horizon)):
                demand[held.what, slot] = demand.get((held.what, slot), 0) + held.amount
    capacities = list(means.capacities.values())
    for (resource, slot), amount in demand.items():
        capacities[resource][slot] = max(capacities[resource][slot], amount)
    sides = {(air.air, air.side) for task in going for air in task.airs}
    both = {air for air, side in sides if (air, 1 - side) in sides}
    for n, task in enumerate(tasks):
        if task.fixed == 0 and both:
            airs = tuple(air for air in task.airs if air.air not in both)
            tasks[n] = replace(task, airs=airs)


def fix_agreed(
    tasks: list[Task],
    waits: Sequence[Wait],
    paints: Sequence[Paint],
    pots: Sequence[OpenPot],
    means: Means,
    soon: int,
    together: Collection[int] = (),
) -> None:
    """Fix what is agreed for the next ``soon`` slots, where it can still be begun then.

    together: what two share in the plan that is agreed; what they could is for one then, or for
    two.
    """
    before: dict[int, list[Wait]] = {}
    for wait in waits:
        before.setdefault(wait.after, []).append(wait)
    fixed = [task for task in tasks if task.fixed == 0]
    for n, task in enumerate(tasks):
        if task.was is None or task.was >= soon or task.fixed is not None:
            continue
        was, task = task.was, _without_choice(task, is_by_two=n in together)
        if (
            task.starts >> was & 1
            and _has_pot(task, paints, pots)
            and all(_is_over(tasks, wait, was) for wait in before.get(n, ()))
            and _there_is_enough(task, fixed, means)
        ):
            tasks[n] = replace(task, fixed=was)
            fixed.append(tasks[n])


def _without_choice(task: Task, *, is_by_two: bool) -> Task:
    """Return a task that two could share as it is agreed: for two, or for one."""
    two = task.by_two
    if two is None or not is_by_two:
        return replace(task, by_two=None)
    alone = replace(task, length=two.length, starts=two.starts, holds=two.holds, by_two=None)
    return replace(alone, abraded_starts=0, abrading=0, longer=0, longer_starts=0)


def _has_pot(task: Task, paints: Sequence[Paint], pots: Sequence[OpenPot]) -> bool:
    """Return whether its pot stands there already, or can still be mixed in time."""
    if task.paint is None or task.was is None:
        return True
    end, sprayed = task.was + task.length, task.was + task.lead
    stands = any(
        pot.paint == task.paint and pot.left_ml >= task.ml and pot.empty_by >= end for pot in pots
    )
    mixed = bool(task.opening_starts >> sprayed & 1)
    return stands or (mixed and paints[task.paint].empty_by[sprayed] >= end)


def _is_over(tasks: Sequence[Task], wait: Wait, slot: int) -> bool:
    """Return whether a task can begin in a slot, by the fixed ones before it."""
    before, first = tasks[wait.before], tasks[wait.first]
    if before.fixed is None or first.fixed is None:
        return False
    ended = before.fixed + before.length
    return any(
        not stage.abraded
        and stage.opens[ended] <= slot
        and (stage.closes is None or slot < stage.closes[first.fixed])
        for stage in wait.stages
    )


def _held(task: Task, start: int) -> list[_Held]:
    end = start + task.length
    held = [
        _Held(hold.resource, hold.amount, max(0, start - hold.before), end + hold.after)
        for hold in task.holds
    ]
    if task.carrying is not None:
        for since, until, hold in holds_of_carrying(task.carrying, end):
            held.append(_Held(hold.resource, hold.amount, since, until))
    return held


def _breathed(task: Task, start: int, airs: Sequence[Air]) -> list[_Held]:
    end = start + task.length
    return [
        _Held(2 * air.air + air.side, 1, max(0, start - air.before), end + air.after)
        for air in airs
    ]


def _there_is_enough(task: Task, fixed: Sequence[Task], means: Means) -> bool:
    """Return whether a task fits, where it was agreed, beside what is fixed already."""
    assert task.was is not None
    capacities = list(means.capacities.values())
    others = [held for each in fixed for held in _held(each, each.fixed or 0)]
    for mine in _held(task, task.was):
        for slot in range(mine.since, min(mine.until, means.grid.horizon)):
            taken = sum(
                each.amount
                for each in others
                if each.what == mine.what and each.since <= slot < each.until
            )
            if taken + mine.amount > capacities[mine.what][slot]:
                return False
    airs = [breath for each in fixed for breath in _breathed(each, each.fixed or 0, each.airs)]
    return not any(
        mine.what == other.what ^ 1 and mine.since < other.until and other.since < mine.until
        for mine in _breathed(task, task.was, task.airs)
        for other in airs
    )
