"""Wet parts in a spray space: how long each stays there, and when two carry it out.

A part stays until it may be carried; then two carry it out as soon as they are in, and the space is
taken until it is out. Where the shop types no minutes for that, it is sprayed on its stand and the
space is free at once. One that the next coat goes on before it could be out, such as a mist before
its build, stays where it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from bench.process.parts.part import Part
from bench.process.plan import slot_sets
from bench.process.plan.chains import Work
from bench.process.plan.figures import PlanInputs, StepFigures
from bench.process.plan.grid import slots_of
from bench.process.plan.means import HANDS, SPACES, Means
from bench.process.plan.problem import BY_TWO, PLAIN, Carrying, Hold, Stage, Task

CARRIERS = 2
"""So many carry a wet part (common practice, no source)."""


@dataclass
class WetParts:
    """Works out what wet parts do to the spray spaces of a plan, the same table once."""

    means: Means
    known: dict[tuple[int, int], Carrying] = field(default_factory=dict)
    out: dict[tuple[int, int], tuple[tuple[Stage, ...], object]] = field(default_factory=dict)

    @property
    def carriers(self) -> int:
        """Return how many carry: two, or one where the shop leaves somebody alone for a time."""
        there = [here for here in self.means.capacities[HANDS] if here]
        return min(CARRIERS, min(there, default=1))

    def carrying(self, figures: StepFigures) -> Carrying:
        """Return how a part is carried out after a coat with such figures."""
        key = slots_of(figures.stays_min), slots_of(figures.moving_min)
        if key not in self.known:
            stays, length = key
            never = self.means.grid.never
            begins = (*self._fits(length), *(never for _ in range(stays)))[stays:]
            hands = Hold(self.means.number(HANDS), self.carriers)
            self.known[key] = Carrying(begins, length, hands, self.means.number(SPACES))
        return self.known[key]

    def _fits(self, length: int) -> list[int]:
        """Return from each slot on the first in which enough are in to carry a part."""
        grid = self.means.grid
        nobody = slot_sets.short_of(self.means.capacities[HANDS], self.carriers)
        fits = grid.within(0, length) & ~slot_sets.starts_meeting(nobody, 0, length)
        first = [grid.never] * (grid.horizon + 1)
        for slot in range(grid.horizon - 1, -1, -1):
            first[slot] = slot if fits >> slot & 1 else first[slot + 1]
        return first

    def left(self, task: Task, work: Work, after: Work | None, stages: Sequence[Stage]) -> Task:
        """Return a task with what its part does to the space once it is sprayed.

        after, stages: the work that follows on the part, and where that can begin; None at its end.
        """
        if not is_carried(work.figures) or work.last.step.kind != "coat":
            return task
        carrying = self.carrying(work.figures)
        if after is None or not after.figures.takes_space:
            stays = None
        else:
            stays = _gap_before(task, after, stages, carrying)
        place = Hold(carrying.place, 1, after=stays or 0)
        by_two = task.by_two and replace(task.by_two, holds=_with_hold(task.by_two.holds, place))
        task = replace(task, holds=_with_hold(task.holds, place), by_two=by_two)
        return replace(task, carrying=carrying) if stays is None else task

    def stages_once_out(
        self, carrying: Carrying, after: Work, stages: tuple[Stage, ...]
    ) -> tuple[Stage, ...]:
        """Return where a part's next coat can begin that is sprayed in a space once it is out."""
        key = id(carrying), id(stages)
        if key not in self.out:
            never = self.means.grid.never
            later = {True: after.abrading_first, False: 0}
            once_out = (
                replace(
                    stage,
                    opens=[
                        min(never, max(opens, begins + carrying.length + later[stage.abraded]))
                        for opens, begins in zip(stage.opens, carrying.begins, strict=True)
                    ],
                )
                for stage in stages
            )
            self.out[key] = tuple(once_out), stages
        return self.out[key][0]

    def take_standing(self, parts: Iterable[Part], inputs: PlanInputs) -> None:
        """Take the spaces, and the hands to carry, of parts that were sprayed before now."""
        for part in parts:
            coat, following = part.clock_step(), part.current()
            if coat is None or coat.step.kind != "coat" or coat.last_at is None:
                continue
            figures = inputs.figures_of(part, coat)
            goes_on = following is not None and (
                following.step.continues or following.step.wet_on_wet
            )
            ended = self.means.grid.down(coat.last_at.timestamp())
            free = ended + slots_of(figures.stays_min)
            if goes_on or not (figures.takes_space and is_carried(figures)) or free <= 0:
                continue
            length = slots_of(figures.moving_min)
            begins = self._fits(length)[min(free, self.means.grid.horizon)]
            self.means.take(SPACES, 1, 0, begins + length)
            self.means.take(HANDS, self.carriers, begins, begins + length)


def is_carried(figures: StepFigures) -> bool:
    """Return whether a part is carried out of the space it is sprayed in."""
    return figures.takes_space and figures.moving_min > 0


def _starts_of(task: Task, way: int) -> int:
    """Return where a task can begin in one way, or where it is fixed."""
    if task.fixed is None:
        return task.starts_of(way)
    return 1 << task.fixed if way == PLAIN else 0


def _with_hold(holds: Sequence[Hold], other: Hold) -> tuple[Hold, ...]:
    """Return holds with another one of the same resource."""
    return (*(hold for hold in holds if hold.resource != other.resource), other)


def _gap_before(task: Task, after: Work, stages: Sequence[Stage], carrying: Carrying) -> int | None:
    """Return for how long a part waits in the space for its next coat; None where it is carried.

    It waits where that coat goes on with this one, or closes before it could be out: the space is
    then taken for the shortest time in which the next can follow.
    """
    both = [
        (slot, slot + task.length_of(way))
        for way in (PLAIN, BY_TWO)
        for slot in slot_sets.members(_starts_of(task, way))
    ]
    starts, ends = [slot for slot, _ in both], [end for _, end in both]
    plain = [stage for stage in stages if not stage.abraded]
    goes_on = after.first.step.continues or after.first.step.wet_on_wet
    out = [carrying.begins[end] + carrying.length for end in ends]
    may_be_out = not plain or any(
        stage.closes is None or any(n < stage.closes[s] for s, n in zip(starts, out, strict=True))
        for stage in plain
    )
    if not goes_on and may_be_out:
        return None
    gaps = (stage.opens[end] - end for stage in plain for end in ends)
    return max(0, min(gaps, default=0))
