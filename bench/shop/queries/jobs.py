"""The jobs: how far each is, what is promised, and what is late."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from bench.process.clocks.promise import Ready, Slack, ready_of, slack_of
from bench.process.parts.job import Job, Progress, progress_of
from bench.process.plan.promises import JobDays
from bench.shop.clock import timekeeping
from bench.shop.core.bench_view import read_bench
from bench.shop.core.mappers import job_of, part_of, settings_of
from bench.shop.core.transaction import Shop
from bench.shop.records.gathering import gather, in_zone
from bench.store.databases.database import Session
from bench.store.queries import bench_rows, job_rows
from bench.store.schema.tables import PartRow


@dataclass(frozen=True)
class JobLine:
    """One job in the list.

    here: how many of its parts are on the bench; slack: None without a promise; by_plan: None where
    no plan is agreed, or nothing of it is on the bench.
    """

    job: Job
    progress: Progress
    here: int
    slack: Slack | None
    by_plan: JobDays | None = None

    @property
    def words(self) -> str:
        """Say how it stands: to its promise, then by the plan; empty for neither."""
        by_plan = self.by_plan.words if self.by_plan is not None else ""
        return "; ".join(filter(None, (self.slack.words if self.slack else "", by_plan)))

    @property
    def urgency(self) -> tuple[int, date, str]:
        """Sort by it: the priority, then the promise, then the name."""
        return self.job.priority, self.job.promised or date.max, self.job.name


@dataclass(frozen=True)
class JobList:
    """The jobs, the most urgent first. now: in the shop's zone."""

    lines: tuple[JobLine, ...]
    now: datetime


def jobs(shop: Shop, *, everything: bool = False) -> JobList:
    """List the jobs that have parts on the bench, or none yet. everything: those that left too."""
    view = read_bench(shop)
    with shop.store.reading() as session:
        doubtful = timekeeping.read_state(session, shop.clock).doubtful
        zone, now = settings_of(session).hours.zone, shop.clock.now()
        local = now.astimezone(zone)
        found: list[JobLine] = []
        for job in _named(session, everything=everything):
            rows = job_rows.parts_of_job(session, job.name)
            here = sum(not row.away for row in rows)
            if rows and not here and not everything:
                continue
            steps = bench_rows.steps_of(session, rows)
            parts = [part_of(row, steps[row.id or 0]) for row in rows]
            readies: Iterable[Ready | None] = ()
            if job.promised is not None:
                readies = readies_of(session, rows, job, now, doubtful=doubtful)
            slack = slack_of(job, readies, local.date())
            by_plan = view.job_days(job, local)
            found.append(JobLine(job, progress_of(parts), here, slack, by_plan))
    return JobList(tuple(sorted(found, key=lambda line: line.urgency)), local)


def readies_of(
    session: Session, rows: Iterable[PartRow], job: Job, now: datetime, *, doubtful: bool
) -> list[Ready | None]:
    """Say of each part of a job when it is as promised, in the shop's zone."""
    sheets = [gather(session, row, now, doubtful=doubtful) for row in rows]
    zone = settings_of(session).hours.zone
    return [in_zone(ready_of(sheet.part, sheet.cure, job.promise), zone) for sheet in sheets]


def _named(session: Session, *, everything: bool) -> list[Job]:
    """The jobs that were opened, and those that only parts name."""
    opened = [job_of(row) for row in job_rows.every_job(session)]
    known = {job.name.lower() for job in opened}
    for name in job_rows.names_on_parts(session, here=not everything):
        if name.lower() not in known:
            known.add(name.lower())
            opened.append(Job(name))
    return opened
