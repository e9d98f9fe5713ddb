"""What work does to the air of its place: isocyanate, and dust on what is wet."""

from __future__ import annotations

from dataclasses import dataclass, field

from bench.process.parts.part import Part, StepRecord
from bench.process.plan.chains import Work
from bench.process.plan.figures import PlanInputs
from bench.process.plan.grid import slots_of
from bench.process.plan.problem import Air
from bench.process.sheets.product import Product

FREE, UNMASKED = 0, 1
"""Sides of the air with isocyanate in it: those who put it there, and who has no air-fed mask."""

DUST, WET = 0, 1
"""Sides of the air with dust in it: who makes it, and the coats it would stick to."""


@dataclass
class Places:
    """The airs of the places of a plan by number."""

    inputs: PlanInputs
    numbers: dict[tuple[str, str], int] = field(default_factory=dict)

    def _air(self, what: str, place: str) -> int:
        return self.numbers.setdefault((what, place), len(self.numbers))

    def airs_of(self, part: Part, work: Work) -> tuple[Air, ...]:
        """Return what a task does to the air of its place, and what it cannot bear there."""
        figures = work.figures
        isocyanate = any(releases_isocyanate(part, record, self.inputs) for record in work.records)
        airs = [self._isocyanate(figures.place, released=isocyanate)]
        if figures.is_dusty:
            airs.append(Air(self._air("dust", figures.place), DUST))
        if any(record.step.kind == "coat" for record in work.records):
            dry = slots_of(figures.dust_dry_min)
            airs.append(Air(self._air("dust", figures.place), WET, after=dry))
        return tuple(airs)

    def airs_of_paint(self, product: Product, place: str) -> tuple[Air, ...]:
        """Return the same of mixing a paint, or of flushing its gun."""
        return (self._isocyanate(place, released=product.isocyanate),)

    def _isocyanate(self, place: str, *, released: bool) -> Air:
        """Return isocyanate in the air until its clearance time is over, or nobody masked."""
        air = self._air("isocyanate", place)
        if not released:
            return Air(air, UNMASKED)
        return Air(air, FREE, after=slots_of(self.inputs.shop.clearance_min))


def releases_isocyanate(part: Part, record: StepRecord, inputs: PlanInputs) -> bool:
    """Return whether a step puts isocyanate into the air: a coat of it, or work on one.

    Work on it counts however long ago it was: when it is done nobody knows yet whether it is cured.
    """
    products = inputs.around.products
    product = products.get(record.step.product)
    if record.step.kind == "coat":
        return product is not None and product.isocyanate
    below = (
        products.get(r.step.product)
        for r in part.steps
        if r.number < record.number and r.step.kind == "coat" and r.status != "skipped"
    )
    return any(product is not None and product.isocyanate for product in below)
