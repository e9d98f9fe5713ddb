"""From one work of a part to the next: where that can begin, and when all of it is ready.

Parts on the same route share most of it, and each is worked out once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from bench.process.parts.part import Part
from bench.process.plan.chains import Work, first_face_of
from bench.process.plan.edge_tables import EdgeTables
from bench.process.plan.figures import PlanInputs
from bench.process.plan.no_window import last_starts, starts_in_time
from bench.process.plan.problem import Stage
from bench.process.plan.readiness import Readiness, readiness_of
from bench.process.plan.stages import Followed, bands_left, stages_of


@dataclass
class Following:
    """Works out the tables of what follows what."""

    inputs: PlanInputs
    tables: EdgeTables
    known: dict[object, tuple[Stage, ...]] = field(default_factory=dict)
    last: dict[object, tuple[Sequence[int] | None, tuple[Stage, ...]]] = field(default_factory=dict)
    sets: dict[int, int] = field(default_factory=dict)
    ready: dict[object, Readiness] = field(default_factory=dict)

    def stages(self, part: Part, works: Sequence[Work], place: int) -> tuple[Stage, ...]:
        """Return where a work can begin, by the one before it on its part."""
        before, work = works[place - 1], works[place]
        if work.share[0] > 1:
            same = range(self.tables.grid.horizon + 1)
            return (Stage(same),)
        begun, past_first = first_face_of(part, works, place - 1)
        followed = Followed(
            part,
            before.last,
            work.first,
            work.abrading_first,
            past_first,
            0 if past_first else _offset_of_first(part, works[begun]),
        )
        key = self._stages_key(followed)
        if key not in self.known:
            self.known[key] = stages_of(followed, self.tables, self.inputs.shop.slack_min)
        return self.known[key]

    def _stages_key(self, followed: Followed) -> object:
        """Return what two parts share whose stages are the same."""
        before, after = followed.before, followed.after
        if before.status != "todo" or followed.past_first is not None or before.step.continues:
            return followed.part.tag, before.number
        return (
            *(before.step.kind, before.step.product, bands_left(self.tables, before)),
            *(followed.is_coat, followed.wet_on_wet, after.step.kind),
            *(followed.abrading, followed.first_offset),
        )

    def latest(self, length: int, stages: tuple[Stage, ...]) -> Sequence[int] | None:
        """Return ``last_starts``, worked out once for the parts that share it."""
        key = id(stages), length
        if key not in self.last:
            self.last[key] = last_starts(length, stages, self.inputs.shop.slack_min), stages
        return self.last[key][0]

    def in_time(self, latest: Sequence[int]) -> int:
        """Return ``starts_in_time`` of what ``latest`` keeps, worked out once."""
        if id(latest) not in self.sets:
            self.sets[id(latest)] = starts_in_time(latest)
        return self.sets[id(latest)]

    def readiness(self, part: Part, works: Sequence[Work]) -> Readiness:
        """Return when a part is ready, and what that counts, by where its last work ends."""
        last, job = works[-1].last, self.inputs.jobs.get(part.tag)
        promise = (job.promised, job.promise, job.priority) if job else None
        thick = part.tag if last.step.continues else ""
        key = (last.step.kind, last.step.product, bands_left(self.tables, last), promise, thick)
        if key not in self.ready:
            shop = self.inputs.shop
            self.ready[key] = readiness_of(
                part, last, job, self.tables, shop.handling_h, self.inputs.prices
            )
        return self.ready[key]


def _offset_of_first(part: Part, work: Work) -> int:
    """Return how far into a work its last step, or the mist that one goes on with, begins."""
    offsets, offset = [], work.abrading
    for slots in work.slots:
        offsets.append(offset)
        offset += slots
    place = len(work.records) - 1
    while place and work.records[place].step.continues:
        place -= 1
    return offsets[place]
