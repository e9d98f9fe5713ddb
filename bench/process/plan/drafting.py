"""From where a schedule puts tasks to a plan that painters read and agree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.plan.agreed import AgreedStep, Planner, WorkPlan
from bench.process.plan.built import BuiltPlan
from bench.process.plan.checking import Cost
from bench.process.plan.crew import crew
from bench.process.plan.figures import PainterFigures
from bench.process.plan.problem import SLOT_MIN, Schedule


@dataclass(frozen=True)
class Best:
    """The best schedule so far. bound: what none can be under; None where nobody worked it out."""

    schedule: Schedule
    cost: Cost
    bound: int | None = None
    is_proven: bool = False

    @property
    def planner(self) -> Planner:
        """Return who can say what it is worth."""
        return "bench" if self.bound is None else "referee"


def work_plan(
    built: BuiltPlan,
    best: Best,
    painters: Sequence[PainterFigures],
    made_at: datetime,
    line: int,
    seed: int,
    limits: Mapping[str, int | float],
) -> WorkPlan:
    """Write a schedule down as a plan, with who does what."""
    names = crew(built, best.schedule, painters)
    return WorkPlan(
        made_at=made_at,
        line=line,
        until=built.grid.at(built.problem.horizon),
        steps=tuple(_steps(built, best.schedule, names)),
        planner=best.planner,
        seed=seed,
        limits=limits,
        price=best.cost.price,
        bound=best.bound,
        is_proven=best.is_proven,
    )


def _steps(
    built: BuiltPlan, schedule: Schedule, names: Sequence[tuple[str, ...]]
) -> list[AgreedStep]:
    steps = []
    for step in built.steps(schedule):
        paint = built.problem.tasks[step.task].paint
        mixes_at = None
        if paint is not None and step.pot == step.task:
            mixing = SLOT_MIN * built.problem.paints[paint].mixing
            mixes_at = step.begins - timedelta(minutes=mixing)
        steps.append(
            AgreedStep(
                tag=step.tag,
                number=step.number,
                name=step.name,
                begins=step.begins,
                ends=step.ends,
                painters=names[step.task],
                share=step.share,
                abrading_from=step.abrading_from,
                closes=step.closes,
                pot=step.pot,
                mixes_at=mixes_at,
                open_pot=step.open_pot,
                doubt=bool(step.doubt),
            )
        )
    return steps
