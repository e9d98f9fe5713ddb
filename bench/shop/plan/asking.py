"""What else the planner is asked: when a part could be ready, why not, how risky it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from random import Random
from typing import TypeVar

from bench.process.ahead.quote import QuoteItem, part_of_item
from bench.process.parts.job import Job
from bench.process.plan import embedded
from bench.process.plan.agreed import WorkPlan
from bench.process.plan.agreed_schedule import agreed_schedule
from bench.process.plan.answers import WhenAnswer, risk_of, when_of, why_of
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.figures import PlanInputs
from bench.process.plan.problem import Schedule
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.plan.inputs import plan_inputs
from bench.shop.plan.planner_process import Ended, PlannerProcess, Question
from bench.shop.plan.planning import SEED
from bench.shop.stock.quote import AskedItem, items_of

NEW = "new"
"""The beginning of the tag of a part that is only asked about."""

ROUNDS = 20
"""Of the bench's own planner, where no plan is agreed."""

Answer = TypeVar("Answer")


@dataclass(frozen=True)
class WhenQuestion:
    """When new parts could all be ready beside what is planned."""

    inputs: PlanInputs
    items: tuple[QuoteItem, ...]

    def answer(self, tell: Callable[[object], bool]) -> None:
        """Tell a WhenAnswer."""
        builts = [*self._builts()]
        tell(when_of(builts, self._planned(builts[0][1]), Random(SEED)))

    def _planned(self, built: BuiltPlan) -> Schedule:
        """Return where all the others are, by the plan that is agreed or by one made for this."""
        if self.inputs.plan is not None:
            return agreed_schedule(built, self.inputs.plan)
        alone = build(self.inputs).problem
        return embedded.plan(alone, Random(SEED), ROUNDS) if alone.pieces else Schedule(())

    def _builts(self) -> Iterator[tuple[str, BuiltPlan]]:
        parts = self.inputs.parts
        for number, item in enumerate(self.items, start=1):
            new = part_of_item(item, f"{NEW} {number}")
            parts = (*parts, new)
            yield new.tag, build(replace(self.inputs, parts=parts))


@dataclass(frozen=True)
class WhyQuestion:
    """Why a part cannot be ready by a day."""

    inputs: PlanInputs
    tag: str
    by: date

    def answer(self, tell: Callable[[object], bool]) -> None:
        """Tell a WhyAnswer."""
        job = replace(self.inputs.jobs.get(self.tag) or Job(self.tag), promised=self.by)
        jobs = {**self.inputs.jobs, self.tag: job}
        tell(why_of(build(replace(self.inputs, jobs=jobs)), self.tag))


@dataclass(frozen=True)
class RiskQuestion:
    """How likely windows are missed by the plan that the inputs have."""

    inputs: PlanInputs

    def answer(self, tell: Callable[[object], bool]) -> None:
        """Tell a RiskAnswer."""
        assert self.inputs.plan is not None
        built = build(self.inputs)
        tell(risk_of(built, self.inputs, agreed_schedule(built, self.inputs.plan), Random(SEED)))


def when_question(shop: Shop, asked: Sequence[AskedItem]) -> WhenQuestion | Refusal:
    """Ask when some lots could all be ready; refused where one cannot be so. Raises StoreFault."""
    items = items_of(shop, asked)
    if isinstance(items, Refusal):
        return items
    return WhenQuestion(plan_inputs(shop), items)


def when_ready(shop: Shop, lots: Sequence[AskedItem]) -> WhenAnswer | Refusal:
    """Say when some lots could all be ready; it takes seconds. Raises StoreFault."""
    return asked(when_question(shop, lots), WhenAnswer)


def why_question(shop: Shop, tag: str, by: date) -> WhyQuestion | Refusal:
    """Ask why a part cannot be ready by a day. Raises StoreFault."""
    inputs = plan_inputs(shop)
    part = next((p for p in inputs.parts if p.tag.casefold() == tag.strip().casefold()), None)
    if part is None:
        return Refusal(f"no tag {tag.strip()[:40]} on the bench", "", "see: paintbench status")
    return WhyQuestion(inputs, part.tag, by)


def risk_question(shop: Shop, plan: WorkPlan | None = None) -> RiskQuestion | Refusal:
    """Ask how likely windows are missed by a plan, else by the agreed one. Raises StoreFault."""
    inputs = plan_inputs(shop)
    if plan is not None:
        inputs = replace(inputs, plan=plan)
    return RiskQuestion(inputs) if inputs.plan is not None else NOTHING_AGREED


NOTHING_AGREED = Refusal("no plan is agreed", "", "paintbench plan agree")


def asked(question: Question | Refusal, kind: type[Answer]) -> Answer | Refusal:
    """Put a question to the planner's process and wait for the answer of a kind.

    What was refused when it was to be put stays refused.
    """
    if isinstance(question, Refusal):
        return question
    fault = ""
    for answer in PlannerProcess(question).wait():
        if isinstance(answer, kind):
            return answer
        if isinstance(answer, Ended):
            fault = answer.fault
    return Refusal("the planner gave no answer", fault, "try again")
