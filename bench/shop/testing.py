"""Testing a coat, a dried part or a cure: a painter, by name, says passed or not yet."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.refusal import Refusal
from bench.shop.acting import Done, Shop, Target
from bench.shop.steps import Job, on_part
from bench.store.tables import StepRow, TestRow


def pass_test(shop: Shop, target: Target, by: str, *, at: datetime | None = None) -> Done | Refusal:
    """A painter tested it and says it passed. Passing a cure makes the part CURED."""

    def work(job: Job, painter: str) -> Done | Refusal:
        record = _to_test(job, at)
        if isinstance(record, Refusal):
            return record
        when, row = record
        row.passed_at, row.passed_by = when, painter
        job.act.session.add(TestRow(step_id=row.id or 0, at=when, painter=painter, passed=True))
        current = job.part.current()
        if current is not None and current.step.kind == "cure":
            last = job.step_row(current)
            last.status, last.first_at, last.last_at = "done", row.last_at, when
            last.painters, last.passed_at, last.passed_by = [painter], when, painter
        job.row.revision += 1
        return job.act.done(
            job.row.tag,
            f"{job.called()}: {row.plan['name']} passed by {painter}, {job.act.hour(when)}",
        )

    return on_part(shop, "pass", target, by, work)


def not_yet(
    shop: Shop, target: Target, by: str, *, minutes: int = 15, at: datetime | None = None
) -> Done | Refusal:
    """A painter tested it and says not yet: the bench asks again after ``minutes``."""

    def work(job: Job, painter: str) -> Done | Refusal:
        if not 1 <= minutes <= 24 * 60:
            return Refusal(f"{minutes} minutes more", "", "from 1 minute to a day")
        tested = _to_test(job, at)
        if isinstance(tested, Refusal):
            return tested
        when, row = tested
        current = job.part.current()
        waiting = job.step_row(current) if current and current.step.kind == "cure" else row
        waiting.not_before = when + timedelta(minutes=minutes)
        job.act.session.add(
            TestRow(
                step_id=row.id or 0, at=when, painter=painter, passed=False, wait_s=minutes * 60.0
            )
        )
        job.row.revision += 1
        again = job.act.hour(waiting.not_before)
        return job.act.done(
            job.row.tag, f"{job.called()}: not yet, says {painter}; try again {again}"
        )

    return on_part(shop, "not yet", target, by, work)


def _to_test(job: Job, at: datetime | None) -> tuple[datetime, StepRow] | Refusal:
    """The instant and the step a test is about, or why nothing is to be tested."""
    when = job.act.when(at, job.part)
    if isinstance(when, Refusal):
        return when
    done = job.part.clock_step()
    state = job.state(when)
    if done is None or not state.test:
        opens = f"opens {job.act.hour(state.opens_at)}" if state.opens_at else state.word
        return Refusal(
            f"{job.called()}: there is nothing to test now", opens, "test when it says TRY IT"
        )
    return when, job.step_row(done)
