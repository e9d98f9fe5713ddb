"""Queries about the plan that is agreed."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from sqlalchemy import bindparam
from sqlalchemy import select as sql_select
from sqlmodel import Session, col, select

from bench.store.queries.bench_rows import columns_of
from bench.store.queries.casefold import folded
from bench.store.schema.tables import PartRow, PlanStepRow, StepRow, WorkPlanRow

_AGREED = (
    select(WorkPlanRow)
    .where(col(WorkPlanRow.agreed).is_(True))
    .order_by(col(WorkPlanRow.id).desc())
    .limit(1)
)


def agreed(session: Session) -> WorkPlanRow | None:
    """Find the plan that is agreed, None where none is."""
    return session.exec(_AGREED).first()


STEP_READ = (
    *("begins", "ends", "painters", "share", "shares", "abrading_from", "closes", "pot"),
    *("mixes_at", "open_pot", "moved_at", "doubt"),
)
"""What is read of a planned step, behind its tag, number and name."""

_PLANNED = PlanStepRow.__table__.c  # type: ignore[attr-defined]
_STEPS_AHEAD = (
    sql_select(
        col(PartRow.tag),
        col(StepRow.number),
        col(StepRow.plan)["name"].as_string().label("name"),
        *(_PLANNED[name] for name in STEP_READ),
    )
    .join(StepRow, _PLANNED.step_id == col(StepRow.id))
    .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
    .where(_PLANNED.plan_id == bindparam("plan"))
    .where(col(StepRow.status).in_(("todo", "in hand")), col(PartRow.away).is_(False))
    .order_by(_PLANNED.begins, _PLANNED.id)
)


def steps_ahead(session: Session, plan: WorkPlanRow) -> list[Any]:
    """List the planned steps that are not done, the first first, as ``STEP_READ`` has them."""
    return list(columns_of(session, _STEPS_AHEAD, {"plan": plan.id}))


def steps_tagged(session: Session, tags: Collection[str]) -> dict[tuple[str, int], StepRow]:
    """Find the steps of the parts here with some tags, by tag in small letters and number."""
    query = (
        select(PartRow.tag, StepRow)
        .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
        .where(folded(PartRow.tag).in_([tag.lower() for tag in tags]))
        .where(col(PartRow.away).is_(False))
    )
    return {(tag.lower(), step.number): step for tag, step in session.exec(query).all()}
