"""When parts are ready by a plan, and how that stands to what is promised of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from bench.process.clocks.cure import cure_of_last_coat
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.promise import ready_of
from bench.process.parts.job import Job
from bench.process.parts.part import Part
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.chains import steps_to_do
from bench.process.plan.edge_tables import EdgeTables
from bench.process.plan.grid import Grid
from bench.process.plan.readiness import ready_at


@dataclass(frozen=True)
class Promised:
    """A part that is promised, by a plan. days: shop days to spare, below 0 too late."""

    tag: str
    job: str
    ready: date
    promised: date
    days: int

    @property
    def words(self) -> str:
        """Say it: "tag 4 (Trolley): ready Fri 12 Dec, promised Tue 16 Dec: 2 days to spare"."""
        ready, promised = f"{self.ready:%a %d %b}", f"{self.promised:%a %d %b}"
        spare = spare_words(self.days)
        return f"tag {self.tag} ({self.job}): ready {ready}, promised {promised}: {spare}"


def spare_words(days: int) -> str:
    """Say how many shop days are to spare.

    >>> spare_words(2), spare_words(1), spare_words(0), spare_words(-1)
    ('2 shop days to spare', '1 shop day to spare', '0 shop days to spare', 'LATE by 1 shop day')
    """
    count = f"{abs(days)} shop day{'s' * (abs(days) != 1)}"
    return f"LATE by {count}" if days < 0 else f"{count} to spare"


@dataclass(frozen=True)
class JobDays:
    """When all parts of a job are ready by a plan.

    ready: None where one of them has no day: ``unknown`` are their tags. days: shop days to spare,
    below 0 too late; None without a promise.
    """

    ready: date | None
    days: int | None
    unknown: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """Say it: "by the plan: ready Fri 12 Dec, 2 shop days to spare"."""
        if self.ready is None:
            return f"by the plan: no day for tag {', '.join(self.unknown)}"
        spare = "" if self.days is None else f", {spare_words(self.days)}"
        return f"by the plan: ready {self.ready:%a %d %b}{spare}"


@dataclass(frozen=True)
class Promises:
    """What parts are held against their promises by.

    parts, jobs: by tag, jobs where there is one. handling_h: after the last coat, until a part may
    be taken off its stand. grid: its hours say what a shop day is.
    """

    parts: Mapping[str, Part]
    jobs: Mapping[str, Job]
    around: Environment
    handling_h: float
    grid: Grid

    def of(self, plan: WorkPlan) -> tuple[Promised, ...]:
        """Say how the promised parts of a plan stand, the one with the least to spare first."""
        return self.of_steps(plan.steps)

    def of_steps(self, steps: Iterable[AgreedStep]) -> tuple[Promised, ...]:
        """Say the same of the steps of a plan."""
        found = []
        for tag, last in self._lasts(steps).items():
            job = self.jobs.get(tag)
            if job is None or job.promised is None:
                continue
            ready = self._ready(self.parts[tag], job, last)
            if ready is not None:
                day = self.grid.shop_day_at(ready.timestamp())
                days = self.grid.last_shop_day(job.promised) - day
                found.append(Promised(tag, job.name, self.grid.shop_date(day), job.promised, days))
        return tuple(sorted(found, key=lambda each: (each.days, each.tag)))

    def of_job(self, plan: WorkPlan, job: Job) -> JobDays | None:
        """Say how a job stands whose parts are here; None where it has none."""
        lasts = self._lasts(plan.steps)
        parts = [p for p in self.parts.values() if p.job.casefold() == job.name.casefold()]
        if not parts:
            return None
        readies = {part.tag: self._ready(part, job, lasts.get(part.tag)) for part in parts}
        known = [ready for ready in readies.values() if ready is not None]
        if len(known) < len(parts):
            return JobDays(None, None, tuple(tag for tag, at in readies.items() if at is None))
        day = self.grid.shop_day_at(max(known).timestamp())
        promised = job.promised
        days = None if promised is None else self.grid.last_shop_day(promised) - day
        return JobDays(self.grid.shop_date(day), days)

    def _lasts(self, steps: Iterable[AgreedStep]) -> dict[str, AgreedStep]:
        """Return the last step of each part that is here."""
        lasts: dict[str, AgreedStep] = {}
        for step in steps:
            if step.tag in self.parts and (
                step.tag not in lasts or step.ends > lasts[step.tag].ends
            ):
                lasts[step.tag] = step
        return lasts

    def _ready(self, part: Part, job: Job, last: AgreedStep | None) -> datetime | None:
        """Return when a part is as promised; None where its last step is in no plan."""
        to_do = steps_to_do(part)
        if not to_do:
            cure = cure_of_last_coat(part, self.around, self.grid.start)
            ready = ready_of(part, cure, job.promise)
            return ready.at if ready is not None else None
        if last is None or last.number != to_do[-1].number:
            return None
        tables = EdgeTables(self.grid, self.around)
        return ready_at(part, to_do[-1], last.ends, tables, self.handling_h, job)
