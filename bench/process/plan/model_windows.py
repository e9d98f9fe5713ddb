"""Earliest and latest starts, so that a model has few slots where something can be."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, TypeAlias

from bench.process.plan import slot_sets
from bench.process.plan.problem import ABRADED, PLAIN, WAYS, Problem, Wait

if TYPE_CHECKING:
    from bench.process.plan.model_ground import Ground

Starts: TypeAlias = tuple[dict[int, int], ...]
"""Start slots by task, for each of the ``WAYS``."""

MOST_ROUNDS = 8


class Windows:
    """The start slots of tasks, by the ways in which they are done, cut to what can follow."""

    def __init__(self, problem: Problem, starts: Starts) -> None:
        """Take the start slots of each task that moves, by way; they are changed in place."""
        self.problem, self.starts = problem, starts

    def has_some(self, number: int) -> bool:
        """Return whether a task can begin anywhere."""
        return any(slots[number] for slots in self.starts)

    def parts(self, number: int) -> Iterable[tuple[int, int, int, int]]:
        """Yield a way, its slots of a task, how long it lasts from them, what comes before it."""
        task = self.problem.tasks[number]
        for way in WAYS:
            slots, long, length = self.starts[way][number], task.longer_of(way), task.length_of(way)
            more = task.abrading_of(way)
            if slots & ~long:
                yield way, slots & ~long, length, more
            if slots & long:
                yield way, slots & long, length + task.longer, more

    def ends(self, number: int) -> tuple[int, int]:
        """Return the first and last slot in which a task can have ended; empty if it cannot be."""
        lows = [slot_sets.first(slots) + length for _, slots, length, _ in self.parts(number)]
        highs = [slot_sets.last(slots) + length for _, slots, length, _ in self.parts(number)]
        return min(lows, default=1), max(highs, default=0)

    def begins(self, number: int) -> tuple[int, int]:
        """Return the first and last slot in which a task itself can begin, after its abrading."""
        lows = [slot_sets.first(slots) + lead for _, slots, _, lead in self.parts(number)]
        highs = [slot_sets.last(slots) + lead for _, slots, _, lead in self.parts(number)]
        return min(lows, default=1), max(highs, default=0)

    def end_by(self, number: int, latest: int) -> bool:
        """Cut the starts from which a task ends later; return whether any was cut."""
        cut = False
        for way, slots, length, _ in list(self.parts(number)):
            late = slots & ~slot_sets.between(0, latest - length + 1)
            self.starts[way][number] &= ~late
            cut = cut or bool(late)
        return cut

    def _begin(self, way: int, number: int, low: int, high: int) -> bool:
        starts, lead = self.starts[way], self.problem.tasks[number].abrading_of(way)
        kept = starts[number] & slot_sets.between(low - lead, high - lead + 1)
        cut = kept != starts[number]
        starts[number] = kept
        return cut

    def follow(self, wait: Wait) -> bool:
        """Cut what a wait rules out at either end of its tasks; return whether any was cut."""
        ended, last_ended = self.ends(wait.before)
        began, last_began = self.begins(wait.first)
        if ended > last_ended or began > last_began:
            return False
        cut = False
        for way in WAYS:
            low, high = self.problem.horizon + 1, -1
            for stage in wait.stages:
                if stage.abraded == (way == ABRADED):
                    low = min(low, *stage.opens[ended : last_ended + 1], low)
                    closes = self.problem.horizon + 1
                    if stage.closes is not None:
                        closes = max(stage.closes[began : last_began + 1])
                    high = max(high, closes - 1)
            cut |= self._begin(way, wait.after, low, high)
        begin, last_begin = self.begins(wait.after)
        if begin > last_begin:
            return cut
        latest = last_ended
        while latest > ended and all(stage.opens[latest] > last_begin for stage in wait.stages):
            latest -= 1
        if latest < last_ended:
            cut |= self.end_by(wait.before, latest)
        earliest = began
        while earliest < last_began and all(
            stage.closes is not None and stage.closes[earliest] <= begin for stage in wait.stages
        ):
            earliest += 1
        if earliest > began:
            for way in WAYS:
                cut |= self._begin(way, wait.first, earliest, last_began)
        return cut


def windows(
    problem: Problem,
    pieces: Iterable[int],
    starts: Starts,
    most: int | None,
) -> None:
    """Cut start slots, in place, to those that can be part of a plan counting at most ``most``."""
    held = Windows(problem, starts)
    waits = [wait for wait in problem.waits if wait.after in starts[PLAIN]]
    _settle(held, waits)
    if most is None:
        return
    least: dict[int, int] = {}
    for piece in pieces:
        first, last = held.ends(problem.pieces[piece].tasks[-1])
        least[piece] = min(problem.pieces[piece].price[first : last + 1], default=0)
    for piece in pieces:
        task = problem.pieces[piece].tasks[-1]
        first, last = held.ends(task)
        price, spare = problem.pieces[piece].price, most - sum(least.values()) + least[piece]
        while last > first and price[last] > spare:
            last -= 1
        held.end_by(task, last)
    _settle(held, waits)


def start_windows(problem: Problem) -> Windows:
    """Return the start slots of every task by what it and its piece allow, with nothing else."""
    from bench.process.plan.model_ground import Ground

    ground = Ground(problem, {}, range(len(problem.pieces)))
    starts = starts_by_way(ground, range(len(problem.tasks)))
    windows(problem, range(len(problem.pieces)), starts, None)
    return Windows(problem, starts)


def starts_by_way(ground: Ground, tasks: Iterable[int]) -> Starts:
    """Return where some tasks can begin by what is left, by the ways in which they are done."""
    starts: Starts = tuple({} for _ in WAYS)
    for number in tasks:
        for way, slots in enumerate(ground.possible(ground.problem.tasks[number])):
            starts[way][number] = slots
    return starts


def _settle(held: Windows, waits: list[Wait]) -> None:
    for _ in range(MOST_ROUNDS):
        if not sum(held.follow(wait) for wait in waits):
            return
