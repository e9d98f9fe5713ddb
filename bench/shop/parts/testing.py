"""Testing a coat, a dried part or a cure: a painter, by name, says passed or not yet.

Two painters may differ. Both opinions are kept and waiting wins: while somebody's "not yet" holds,
only that painter can pass it; and until the next step begins anybody can put a passed one back.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from bench.process.actions.test_opinions import Opinion, holding_opinions, tested_step
from bench.process.clocks.stand_state import stand_state
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import opinion_of
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.store.queries import bench_rows
from bench.store.schema.tables import StepRow, TestRow

MOST_WAIT_MIN = 7 * 24 * 60
"""Longest wait of a "not yet": a cold cure may take days more."""


def pass_test(
    shop: Shop, target: Target, by: str, *, at: datetime | None = None
) -> Outcome | Refusal:
    """Pass a part's test. Passing a cure makes the part CURED.

    While another painter's "not yet" holds it is only written down.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        step_row = _to_test(job, at)
        if isinstance(step_row, Refusal):
            return step_row
        when, row = step_row
        against = [o for o in holding_opinions(_opinions(job, row), when) if o.painter != painter]
        _write_down(job, row, Opinion(when, painter, passed=True))
        waiting = _waits(job, row)
        if against:
            waiting.not_before = max(o.until for o in against)
            names = " and ".join(o.painter for o in against)
            return job.act.done(
                job.row.tag,
                f"{job.called()}: {row.plan['name']} passed, says {painter}; written down, but "
                f"{names} said not yet: it waits until {job.act.hour(waiting.not_before)}",
            )
        row.passed_at, row.passed_by, waiting.not_before = when, painter, None
        tested = row.plan["name"]
        if _is_cure(waiting):
            tested = waiting.plan["name"]
            waiting.status, waiting.first_at, waiting.last_at = "done", row.last_at or when, when
            waiting.painters, waiting.passed_at, waiting.passed_by = [painter], when, painter
        return job.act.done(
            job.row.tag,
            f"{job.called()}: {tested} passed by {painter}, {job.act.hour(when)}",
        )

    return act_on_part(shop, "pass", target, by, work)


def put_test_off(
    shop: Shop, target: Target, by: str, *, minutes: int = 15, at: datetime | None = None
) -> Outcome | Refusal:
    """Put a test off: the painter says not yet, and the bench asks again after ``minutes``.

    A test that somebody passed is put back by it, as long as the next step is not begun.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        if not 1 <= minutes <= MOST_WAIT_MIN:
            return Refusal(f"{minutes} minutes more", "", "from 1 minute to a week")
        step_row = _to_test(job, at, again=True)
        if isinstance(step_row, Refusal):
            return step_row
        when, row = step_row
        was_passed = f", though {row.passed_by} passed it" if row.passed_by else ""
        opinion = Opinion(when, painter, passed=False, wait_s=minutes * 60.0)
        others = [o for o in holding_opinions(_opinions(job, row), when) if o.painter != painter]
        _write_down(job, row, opinion)
        waiting = _waits(job, row)
        _take_back(waiting)
        row.passed_at, row.passed_by = None, ""
        waiting.not_before = max(o.until for o in [opinion, *others])
        again = job.act.hour(waiting.not_before)
        return job.act.done(
            job.row.tag, f"{job.called()}: not yet, says {painter}{was_passed}; try again {again}"
        )

    return act_on_part(shop, "not yet", target, by, work)


def _to_test(
    job: PartAction, at: datetime | None, *, again: bool = False
) -> tuple[datetime, StepRow] | Refusal:
    """The instant and the step a test is about, or why nothing must be tested.

    Nobody's "not yet" stands in the way of a second opinion, nor, with ``again``, a passed test.
    """
    part = job.part
    when = job.act.when(at, part)
    if isinstance(when, Refusal):
        return when
    if job.row.away:
        return Refusal(f"{job.called()} has left the bench", "", "there is nothing to test")
    part_untested = _as_if_untested(part, again=again)
    done, state = tested_step(part), stand_state(part_untested, job.clocks(part_untested), when)
    if done is None or not state.test:
        opens = f"opens {state.opens.words(job.act.local_now)}" if state.opens else state.word
        return Refusal(
            f"{job.called()}: there is nothing to test now", opens, "test when it says TEST"
        )
    return when, job.step_row(done)


def _as_if_untested(part: Part, *, again: bool) -> Part:
    """The part as if nobody had put its test off, nor, with ``again``, passed the last one."""
    steps = [replace(record, not_before=None) for record in part.steps]
    if again:
        steps = [replace(record, passed_at=None) for record in steps]
    if again and part.current() is None and steps[-1].step.kind == "cure":
        steps[-1] = replace(steps[-1], status="todo", first_at=None, last_at=None)
    return replace(part, steps=tuple(steps))


def _waits(job: PartAction, step_row: StepRow) -> StepRow:
    """The step that a "not yet" holds back: the cure where it is the cure that is tested."""
    cure = [row for row in job.steps if row.plan["kind"] == "cure"][-1:]
    behind = all(row.status not in ("todo", "in hand") or row in cure for row in job.steps)
    return cure[0] if cure and behind else step_row


def _is_cure(row: StepRow) -> bool:
    return bool(row.plan["kind"] == "cure")


def _take_back(waiting: StepRow) -> None:
    """A cure that was passed is curing again."""
    if _is_cure(waiting):
        waiting.status, waiting.first_at, waiting.last_at = "todo", None, None
        waiting.painters, waiting.passed_at, waiting.passed_by = [], None, ""


def _opinions(job: PartAction, row: StepRow) -> list[Opinion]:
    return [opinion_of(test) for test in bench_rows.tests_of(job.act.session, [row])]


def _write_down(job: PartAction, row: StepRow, opinion: Opinion) -> None:
    job.act.session.add(
        TestRow(
            step_id=row.id or 0,
            at=opinion.at,
            painter=opinion.painter,
            passed=opinion.passed,
            wait_s=opinion.wait_s,
        )
    )
