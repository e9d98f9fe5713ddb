"""When the parts of a job are as promised, and how that stands to the promised day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from bench.process.clocks.cure import Cure
from bench.process.clocks.edges import Edge
from bench.process.parts.job import Job, Promise
from bench.process.parts.part import Part


@dataclass(frozen=True)
class Ready:
    """When a part is as promised. edge: the opening it rests on, None where it was seen."""

    at: datetime
    edge: Edge | None = None

    @property
    def words(self) -> str:
        """Say the day: "Thu 10 Dec", with the marks of an estimate."""
        day = f"{self.at:%a %d %b}"
        return self.edge.marked(day) if self.edge else day


def ready_of(part: Part, cure: Cure | None, promise: Promise) -> Ready | None:
    """Say when a part is as promised; None while work is to come or nobody can know it."""
    if cure is not None:
        if cure.passed_at is not None:
            return Ready(cure.passed_at)
        edge = cure.full_cure if promise == "cured" else cure.contact
        return None if edge is None else Ready(edge.shown, edge)
    hours = [at for record in part.steps for at in record.times()]
    return Ready(max(hours)) if part.current() is None and hours else None


@dataclass(frozen=True)
class Slack:
    """How a job stands to its promise. days: to spare, below 0 too late.

    ready: when the last part is as promised, None while that is not known; then days are those
    from today to the promise.
    """

    days: int
    ready: Ready | None

    @property
    def is_late(self) -> bool:
        """Say whether it is late already, or will be."""
        return self.days < 0

    @property
    def words(self) -> str:
        """Say it: "LATE by 2 days", "5 days left", "ready Thu 10 Dec, 2 days to spare"."""
        count = "1 day" if abs(self.days) == 1 else f"{abs(self.days)} days"
        ready = f"ready {self.ready.words}, " if self.ready else ""
        if self.is_late:
            return f"{ready}LATE by {count}"
        return f"{ready}{count} to spare" if ready else f"{count} left"


def slack_of(job: Job, readies: Iterable[Ready | None], today: date) -> Slack | None:
    """Hold a job against its promise; None where nothing is promised.

    readies: of every part, in the shop's zone; today: in the same.
    """
    if job.promised is None:
        return None
    every = list(readies)
    known = [ready for ready in every if ready is not None]
    ready = max(known, key=lambda each: each.at) if known and len(known) == len(every) else None
    return Slack((job.promised - (ready.at.date() if ready else today)).days, ready)
