"""The plan that is agreed: written down, read again, dropped. All of it can be undone."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.store.queries import bench_rows, plan_rows
from bench.store.schema.tables import JournalRow, PlanStepRow, StepRow, WorkPlanRow

AGAIN = "plan again"

LATE_FOR = timedelta(hours=1)
"""A step that should have begun longer ago than this, and did not: the plan is too old."""

CHANGES_A_PLAN = ("plan", "away")
"""Tables of which no row may have come since a plan was made. Of parts and steps: new rows."""


def agree(shop: Shop, by: str, plan: WorkPlan) -> Outcome | Refusal:
    """Make a plan the agreed one, in place of the one before.

    Refused where the bench is no longer as it was planned for.
    """
    with shop.act("plan", by) as act:
        if not plan.steps:
            return Refusal("the plan has no steps", "", "place a part first")
        if late := _changed_since(act, plan.line):
            words = f"{late.text} ({late.painter}, {act.hour(late.at)})"
            return Refusal("the plan is older than what happened", words, AGAIN)
        steps = plan_rows.steps_tagged(act.session, {step.tag for step in plan.steps})
        still: list[tuple[AgreedStep, StepRow]] = []
        for step in plan.steps:
            row = steps.get((step.tag.lower(), step.number))
            if refused := _against(act, step, row):
                return refused
            if row is not None and row.status in ("todo", "in hand"):
                still.append((step, row))
        _take_down(act)
        _write(act, plan, still)
        return act.done("", f"plan agreed: {plan.words(act.house.hours.zone)}")


def drop_plan(shop: Shop, by: str) -> Outcome | Refusal:
    """Go on without a plan."""
    with shop.act("plan", by) as act:
        row = plan_rows.agreed(act.session)
        if row is None:
            return Refusal("no plan is agreed", "", "nothing to drop")
        if conflict := act.unseen(row):
            return conflict
        row.agreed = False
        return act.done("", "the plan is dropped")


def _changed_since(act: Transaction, line: int) -> JournalRow | None:
    """Find the first entry that made a plan of then another question; None where none did."""
    for entry in bench_rows.lines_after(act.session, line):
        for change in entry.changes:
            is_new = change["before"] is None or change["after"] is None
            if change["table"] in CHANGES_A_PLAN or (
                change["table"] in ("part", "step") and (is_new or _is_other(change))
            ):
                return entry
    return None


def _is_other(change: dict[str, Any]) -> bool:
    """Whether a part left, was put on hold or is another count, or a step has another place."""
    names = ("away", "hold", "rework", "count", "area_m2", "number", "plan")
    before, after = change["before"], change["after"]
    return any(before.get(name) != after.get(name) for name in names)


def _against(act: Transaction, step: AgreedStep, row: StepRow | None) -> Refusal | None:
    """Say why a planned step is not as the bench has it; None where it is."""
    called = f"tag {step.tag} {step.name}"
    if row is None:
        return Refusal(f"{called} is not on the bench", "", AGAIN)
    if row.status in ("done", "skipped", "struck"):
        is_ahead = row.status != "done" or step.begins > act.now
        return Refusal(f"{called} is {row.status} already", "", AGAIN) if is_ahead else None
    if row.status == "todo" and step.begins < act.now - LATE_FOR:
        return Refusal(f"{called} was to begin {act.hour(step.begins)}", "it did not", AGAIN)
    return None


def _take_down(act: Transaction) -> None:
    row = plan_rows.agreed(act.session)
    if row is not None:
        row.agreed = False


def _write(act: Transaction, plan: WorkPlan, steps: Iterable[tuple[AgreedStep, StepRow]]) -> None:
    row = WorkPlanRow(
        made_at=plan.made_at,
        line=plan.line,
        until=plan.until,
        agreed=True,
        planner=plan.planner,
        seed=plan.seed,
        limits=dict(plan.limits),
        price=plan.price,
        bound=plan.bound,
        proven=plan.is_proven,
    )
    act.session.add(row)
    act.session.flush()
    assert row.id is not None
    for step, of in steps:
        assert of.id is not None
        act.session.add(
            PlanStepRow(
                plan_id=row.id,
                step_id=of.id,
                begins=step.begins,
                ends=step.ends,
                painters=list(step.painters),
                share=step.share[0],
                shares=step.share[1],
                abrading_from=step.abrading_from,
                closes=step.closes,
                pot=step.pot,
                mixes_at=step.mixes_at,
                open_pot=step.open_pot,
                moved_at=step.moved_at,
                doubt=step.doubt,
            )
        )
