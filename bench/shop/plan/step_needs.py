"""What a planned step wants, as the screen shows it: the spray space, a mask."""

from __future__ import annotations

from bench.process.ahead.attendance import Stay
from bench.process.parts.part import Part, StepRecord
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.day_page import Lane, lanes
from bench.shop.core.bench_view import BenchView
from bench.shop.plan.inputs import step_figures


def day_lanes(view: BenchView, plan: WorkPlan, shown: Stay) -> tuple[Lane, ...]:
    """Give the lanes of a day of a plan. shown: from when to when, in the shop's zone."""
    needs, clearance = StepNeeds(view), view.house.clearance.on(shown[0].date()).typed
    return lanes(plan, shown, view.painters, needs.takes_space, needs.wears_mask, clearance)


class StepNeeds:
    """Answers of one view of the bench."""

    def __init__(self, view: BenchView) -> None:
        """Find the parts by their tags."""
        self._view = view
        self._parts = {placed.part.tag: placed.part for placed in view.everything()}

    def takes_space(self, step: AgreedStep) -> bool:
        """Say whether a step takes a spray space."""
        part, record = self._of(step)
        if part is None or record is None:
            return False
        view = self._view
        return step_figures(part, record, view.products, view.tools, view.shapes).takes_space

    def wears_mask(self, step: AgreedStep) -> bool:
        """Say whether a step puts isocyanate into the air."""
        _, record = self._of(step)
        product = self._view.products.get(record.step.product) if record is not None else None
        return product is not None and product.isocyanate

    def _of(self, step: AgreedStep) -> tuple[Part | None, StepRecord | None]:
        part = self._parts.get(step.tag)
        records = part.steps if part is not None else ()
        return part, next((r for r in records if r.number == step.number), None)
