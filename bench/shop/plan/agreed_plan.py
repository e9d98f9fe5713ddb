"""Reading the plan that is agreed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from bench.process.plan.agreed import AgreedStep, Planner, WorkPlan
from bench.store.databases.database import Session
from bench.store.queries import plan_rows

if TYPE_CHECKING:
    from bench.shop.core.transaction import Shop


def agreed_plan(shop: Shop) -> WorkPlan | None:
    """Read the plan that is agreed, with its steps that are not done; None where none is."""
    with shop.store.reading() as session:
        return agreed_plan_of(session)


def agreed_plan_of(session: Session) -> WorkPlan | None:
    """Give the plan that is agreed, with its steps that are not done; None where none is."""
    row = plan_rows.agreed(session)
    if row is None:
        return None
    return WorkPlan(
        made_at=row.made_at,
        line=row.line,
        until=row.until,
        steps=tuple(_step_of(each) for each in plan_rows.steps_ahead(session, row)),
        planner=cast("Planner", row.planner),
        seed=row.seed,
        limits=row.limits,
        price=row.price,
        bound=row.bound,
        is_proven=row.proven,
    )


def _step_of(row: Any) -> AgreedStep:
    values = row._asdict()
    values["painters"] = tuple(values["painters"])
    values["share"] = values["share"], values.pop("shares")
    return AgreedStep(**values)
