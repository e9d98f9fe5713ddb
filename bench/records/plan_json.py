"""A plan as JSON, under a form and a version, and the schema of that.

Every field is always there; what is not known, or not asked of an agreed plan, is null or empty.
Times are ISO 8601 with the shop's offset from UTC. The version rises when a field changes its
meaning or goes; a new field does not raise it.
"""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import Any, Literal

from pydantic import BaseModel, Field

from bench.process.plan.agreed import AgreedStep, Planner
from bench.records.plan_record import WrittenPlan

FORM: Literal["paintbench plan"] = "paintbench plan"
VERSION: Literal[1] = 1


class _Exact(BaseModel, extra="forbid"):
    """Holds these fields and no other."""


class PlanStepJson(_Exact):
    """A step, or a share of a long one: of how many, and which. closes: too late to begin it.

    moved_at: when two carry its part out of the spray space.
    """

    tag: str
    step: int
    name: str
    begins: datetime
    ends: datetime
    painters: list[str]
    share: int = Field(ge=1)
    shares: int = Field(ge=1)
    abrading_from: datetime | None
    mixes_at: datetime | None
    moved_at: datetime | None
    closes: datetime | None
    open_pot: str | None
    placeholder: bool


class PromisedJson(_Exact):
    """A promised part. shop_days_to_spare: below 0 too late."""

    tag: str
    job: str
    ready: date
    promised: date
    shop_days_to_spare: int


class LateJson(_Exact):
    """A part whose next step should have begun, and what that pushes, in words."""

    tag: str
    text: str


class MovedJson(_Exact):
    """A step that the agreed plan has at another hour. begins: null where it is in no plan now."""

    tag: str
    step: int
    was: datetime
    begins: datetime | None


class LeftOutJson(_Exact):
    """A part that is in no plan, and why."""

    tag: str
    reason: str


class WorkPlanJson(_Exact):
    """A plan, agreed or not. bound: what none can be under, null where that is not known."""

    written_at: datetime
    agreed: bool
    made_at: datetime
    until: datetime
    planner: Planner
    seed: int
    price: float
    bound: float | None
    proven: bool
    not_proven: str | None
    coats_abraded_for: int
    late_days: int | None
    mixes: int
    steps: list[PlanStepJson]
    promised: list[PromisedJson]
    late: list[LateJson]
    moved: list[MovedJson]
    left_out: list[LeftOutJson]
    no_room: list[str]
    placeholders: list[str]


class PlanFileJson(_Exact):
    """A plan as `paintbench plan show --form json` writes it."""

    form: Literal["paintbench plan"]
    version: Literal[1]
    plan: WorkPlanJson


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a plan, as Pydantic writes it (draft 2020-12)."""
    return PlanFileJson.model_json_schema(mode="serialization")


def plan_json(written: WrittenPlan) -> str:
    """Write a plan as JSON in ASCII; the same plan always gives the same text."""
    document = {"form": FORM, "version": VERSION, "plan": plan_data(written)}
    text = json.dumps(document, indent=2, ensure_ascii=True, allow_nan=False)
    return text.replace("\x7f", "\\u007f") + "\n"


def plan_data(written: WrittenPlan) -> dict[str, Any]:
    """Give a plan as JSON has it."""
    return _fields(written).model_dump(mode="json")


def _fields(written: WrittenPlan) -> WorkPlanJson:
    plan, draft, zone = written.plan, written.draft, written.now.tzinfo
    late = written.view.late(written.now) if draft is None else ()
    return WorkPlanJson(
        written_at=written.now,
        agreed=draft is None,
        made_at=plan.made_at.astimezone(zone),
        until=plan.until.astimezone(zone),
        planner=plan.planner,
        seed=plan.seed,
        price=plan.price,
        bound=plan.bound,
        proven=plan.is_proven,
        not_proven=written.note or None,
        coats_abraded_for=plan.abraded,
        late_days=draft.cost.late_days if draft is not None else None,
        mixes=sum(step.mixes_at is not None for step in plan.steps),
        steps=[_step(step, written.now) for step in plan.steps],
        promised=[
            PromisedJson(
                tag=each.tag,
                job=each.job,
                ready=each.ready,
                promised=each.promised,
                shop_days_to_spare=each.days,
            )
            for each in written.promised
        ],
        late=[LateJson(tag=task.tag, text=task.text) for task in late],
        moved=[
            MovedJson(
                tag=each.step.tag,
                step=each.step.number,
                was=each.step.begins.astimezone(zone),
                begins=each.begins.astimezone(zone) if each.begins else None,
            )
            for each in (written.moved if draft is not None else ())
        ],
        left_out=[
            LeftOutJson(tag=each.tag, reason=each.reason)
            for each in (draft.left_out if draft is not None else ())
        ],
        no_room=list(draft.no_room) if draft is not None else [],
        placeholders=list(draft.assumed) if draft is not None else [],
    )


def _step(step: AgreedStep, now: datetime) -> PlanStepJson:
    def local(at: datetime | None) -> datetime | None:
        return at.astimezone(now.tzinfo) if at is not None else None

    share, shares = step.share
    return PlanStepJson(
        tag=step.tag,
        step=step.number,
        name=step.name,
        begins=step.begins.astimezone(now.tzinfo),
        ends=step.ends.astimezone(now.tzinfo),
        painters=list(step.painters),
        share=share,
        shares=shares,
        abrading_from=local(step.abrading_from),
        mixes_at=local(step.mixes_at),
        moved_at=local(step.moved_at),
        closes=local(step.closes),
        open_pot=step.open_pot or None,
        placeholder=step.doubt,
    )
