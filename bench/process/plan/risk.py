"""How likely it is that a window is missed: the plan lived through many times with other luck.

In each scenario steps take longer or shorter, nights are warmer or colder, and the order of the
plan is kept: who comes after whom at the same hands, place or equipment does so still, and what is
late pushes what comes after it to the right.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp
from random import Random

from bench.process.plan.problem import Placed, Problem, Schedule, Stage, Wait, span, work_start
from bench.process.plan.slot_sets import next_in


@dataclass(frozen=True)
class Chance:
    """How likely it is, 0 to 1, that a task is begun after its window closed."""

    task: int
    missed: float


@dataclass(frozen=True)
class Risk:
    """How likely it is, 0 to 1, that any window is missed; and by task, the worst first."""

    missed: float
    by_task: tuple[Chance, ...]


def chances(
    problem: Problem,
    schedule: Schedule,
    random: Random,
    spreads: Sequence[float],
    night_spread: float,
    closings: Sequence[int] = (),
    samples: int = 500,
    slack: int = 0,
) -> Risk:
    """Return how likely windows are missed.

    spreads: for each task the standard deviation of the logarithm of its length. night_spread: that
    of the time until windows open and close, the same for all of one scenario; of what ages alone,
    and only of its part after the first of ``closings``, the slots in which the shop closes. slack:
    so many slots before a window closes the problem calls it closed.
    """
    lives = _Lives(problem, schedule, closings, slack)
    counts = dict.fromkeys(lives.order, 0)
    any_missed = 0
    for _ in range(samples):
        warmth = exp(night_spread * random.gauss(0.0, 1.0))
        lengths = {n: exp(spreads[n] * random.gauss(0.0, 1.0)) for n in lives.order}
        missed = lives.missed(lengths, warmth)
        any_missed += bool(missed)
        for number in missed:
            counts[number] += 1
    found = [Chance(n, count / samples) for n, count in counts.items() if count]
    found.sort(key=lambda chance: (-chance.missed, chance.task))
    return Risk(any_missed / samples, tuple(found))


class _Lives:
    """A plan as what pushes what."""

    def __init__(
        self, problem: Problem, schedule: Schedule, closings: Sequence[int], slack: int
    ) -> None:
        self.problem, self.closings, self.slack = problem, closings, slack
        self.placed: dict[int, Placed] = {
            n: placed for n, placed in enumerate(schedule.placed) if placed is not None
        }
        self.order = sorted(self.placed, key=lambda n: (self.placed[n].start, n))
        self.after = self._queues()
        self.waits: dict[int, list[tuple[Wait, Stage]]] = {n: [] for n in self.order}
        for wait in problem.waits:
            if wait.after in self.placed and wait.before in self.placed:
                self.waits[wait.after].append((wait, self._stage(wait)))

    def _stage(self, wait: Wait) -> Stage:
        """Return the stage in which the plan has a task begin."""
        tasks, placed = self.problem.tasks, self.placed
        ended = span(tasks[wait.before], placed[wait.before])[1]
        began = work_start(tasks[wait.first], placed[wait.first])
        begins = work_start(tasks[wait.after], placed[wait.after])
        for stage in wait.stages:
            is_before = stage.closes is None or begins < stage.closes[began]
            if (
                stage.abraded == placed[wait.after].is_abraded
                and stage.opens[ended] <= begins
                and is_before
            ):
                return stage
        return wait.stages[-1]

    def _queues(self) -> dict[int, dict[int, int]]:
        """Return for each task those that hand it what it holds, and how long after their end."""
        after: dict[int, dict[int, int]] = {n: {} for n in self.order}
        for resource in range(len(self.problem.resources)):
            given: list[tuple[int, int, int, int]] = []  # free from, task, its hold's after, amount
            for number in self.order:
                task = self.problem.tasks[number]
                start, end = span(task, self.placed[number])
                for hold in (
                    h for h in task.holds_of(self.placed[number].way) if h.resource == resource
                ):
                    need = hold.amount
                    given.sort()
                    for place in range(len(given) - 1, -1, -1):
                        free, who, later, amount = given[place]
                        if need and free <= start - hold.before:
                            taken = min(need, amount)
                            need -= taken
                            gap = later + hold.before
                            after[number][who] = max(after[number].get(who, gap), gap)
                            given[place] = free, who, later, amount - taken
                    given = [each for each in given if each[3]]
                    given.append((end + hold.after, number, hold.after, hold.amount))
        return after

    def _stretched(self, since: float, until: float, factor: float) -> float:
        """Return when a wait ends of which what lies after the day's closing takes longer."""
        place = bisect_left(self.closings, since)
        night = self.closings[place] if place < len(self.closings) else since
        return night + factor * (until - night) if until > night else until

    def missed(self, lengths: dict[int, float], warmth: float) -> list[int]:
        """Return the tasks begun too late with some luck."""
        tasks, missed = self.problem.tasks, []
        starts: dict[int, float] = {}
        ends: dict[int, float] = {}
        for number in self.order:
            task, placed = tasks[number], self.placed[number]
            lead = work_start(task, placed) - placed.start
            start = float(placed.start)
            for other, gap in self.after[number].items():
                start = max(start, ends[other] + gap)
            for wait, stage in self.waits[number]:
                ended = ends.get(wait.before, 0.0)
                opens = self._at(stage.opens, ended)
                factor = warmth if stage.opens_aged else 1.0
                start = max(start, self._stretched(ended, opens, factor) - lead)
            allowed = task.starts_of(placed.way)
            if start > placed.start:
                start = max(start, next_in(allowed, int(start)) or start)
            for wait, stage in self.waits[number]:
                if stage.closes is None or stage.abraded:
                    continue
                first = self.placed[wait.first]
                began = starts[wait.first] + work_start(tasks[wait.first], first) - first.start
                closes = self._at(stage.closes, began) + self.slack
                factor = warmth if stage.closes_aged else 1.0
                if start >= self._stretched(began, closes, factor):
                    missed.append(number)
                    start = max(start, next_in(task.abraded_starts, int(start)) or start)
                    ends[number] = task.abrading
                    break
            length = span(task, placed)[1] - placed.start
            starts[number] = start
            ends[number] = ends.get(number, 0.0) + start + lengths[number] * length
        return missed

    def _at(self, edges: Sequence[int], slot: float) -> float:
        """Return an edge as a table of whole slots has it, for a time between two of them."""
        whole = min(int(slot), self.problem.horizon)
        return edges[whole] + slot - whole
