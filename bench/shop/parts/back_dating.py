"""Say that the last action on a part happened earlier."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.parts.part import StepRecord, last_event_at
from bench.process.refusals.refusal import Refusal
from bench.shop.clock.clock_step import MARK_TIMES, shift_entries, shift_times
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.shop.parts.soak_flags import flag_soaks
from bench.store.queries import bench_rows
from bench.store.schema.tables import StepRow, TestRow

BACK_STEP_MIN = 5
"""Times are corrected in steps of five minutes."""

MOST_BACK_MIN = 7 * 24 * 60


def back_date(shop: Shop, target: Target, by: str, minutes: int) -> Outcome | Refusal:
    """Move the last action on the part ``minutes`` earlier; the log keeps both hours."""

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        if not BACK_STEP_MIN <= minutes <= MOST_BACK_MIN or minutes % BACK_STEP_MIN:
            return Refusal(f"{minutes} min earlier", "", "in steps of 5 minutes, up to a week")
        part, tests = job.part, bench_rows.tests_of(job.act.session, job.steps)
        last = max((at for at in (last_event_at(part), *_hours_of(tests)) if at), default=None)
        if last is None:
            return Refusal(f"{job.called()}: nothing has happened to it yet")
        earlier = last - timedelta(minutes=minutes)
        before = _event_before(part.steps, tests, last)
        if before is not None and earlier < before:
            return Refusal(
                "that is before the thing done before it",
                f"{job.act.hour(earlier)} is before {job.act.hour(before)}",
                "fewer minutes, or correct the earlier event first",
            )
        for row, record in zip(job.steps, part.steps, strict=True):
            _shift(row, last, earlier)
            job.act.notes += flag_soaks(row, record)
        for test in tests:
            _shift_test(job, test, last, earlier)
        return job.done(
            f": {painter} says it was {job.act.hour(earlier)}, not {job.act.hour(last)}"
        )

    return act_on_part(shop, "earlier", target, by, work)


def _event_before(
    steps: tuple[StepRecord, ...], tests: list[TestRow], last: datetime
) -> datetime | None:
    times = [at for record in steps for at in record.times()]
    return max((at for at in (*times, *_hours_of(tests)) if at < last), default=None)


def _hours_of(tests: list[TestRow]) -> list[datetime]:
    return [test.at for test in tests]


def _shift(row: StepRow, old: datetime, new: datetime) -> None:
    """Move every time of the step that is the event; one press may have set several."""

    def moved(at: datetime) -> datetime:
        return new if at == old else at

    shift_times(row, ("first_at", "last_at", "passed_at"), moved)
    marks = shift_entries(row.marks, MARK_TIMES, moved)
    if marks != row.marks:
        row.marks = marks


def _shift_test(job: PartAction, test: TestRow, old: datetime, new: datetime) -> None:
    """Move what a painter said of a test, and the end of the wait that a "not yet" asked for."""
    if test.at != old:
        return
    wait = timedelta(seconds=test.wait_s)
    for row in job.steps:
        if not test.passed and row.not_before == old + wait:
            row.not_before = new + wait
    test.at = new
