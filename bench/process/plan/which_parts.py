"""Which parts a plan has, and why it has not the others."""

from __future__ import annotations

from collections.abc import Iterator

from bench.process.actions.begin_rules import surface_of
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import cold_reason
from bench.process.parts.part import Part
from bench.process.plan.chains import steps_to_do
from bench.process.plan.figures import PlanInputs
from bench.process.plan.means import gives_l_min, needs_l_min
from bench.process.stock.equipment import AIR_FED, kinds_needed


def against_planning(part: Part, inputs: PlanInputs) -> str:
    """Say why a part is in no plan; empty where it can be."""
    records = steps_to_do(part)
    if part.hold:
        return f"on hold: {part.hold}"
    if not records:
        return "no step left: it cures" if part.current() else "no step left"
    if any(record.step.kind == "coat" for record in records) and not surface_of(part):
        return "its substrate is not named: name it before the first coat"
    return (
        _never_opens(part, inputs)
        or _nobody_trained(part, inputs)
        or next(_nothing_to_breathe(part, inputs), "")
    )


def _never_opens(part: Part, inputs: PlanInputs) -> str:
    """Say that what is on a part does not dry."""
    spans, record = clocks_of(part, inputs.around).spans, part.current()
    if spans and spans[-1].never and record is not None and record.status == "todo":
        return f"{cold_reason(spans[-1], 'drying')}: warm the shop"
    return ""


def _nobody_trained(part: Part, inputs: PlanInputs) -> str:
    """Say that a coat of isocyanate has nobody who is recorded as trained for it."""
    if any(painter.trained for painter in inputs.painters):
        return ""
    products = (
        (record, inputs.around.products.get(record.step.product)) for record in steps_to_do(part)
    )
    names = (r.step.name for r, product in products if product is not None and product.isocyanate)
    name = next(names, "")
    return f"{name}: nobody is recorded as trained for isocyanate (painters)" if name else ""


def _nothing_to_breathe(part: Part, inputs: PlanInputs) -> Iterator[str]:
    """Yield why nobody can breathe at a coat of isocyanate."""
    gives = gives_l_min(inputs.equipment)
    for record in steps_to_do(part):
        kinds = kinds_needed(record.step, inputs.around.products.get(record.step.product))
        if AIR_FED not in kinds:
            continue
        if not any(item.kind == AIR_FED for item in inputs.equipment):
            yield f"{record.step.name}: no air-fed mask is recorded: write it down first"
        drawn = needs_l_min(kinds, inputs.equipment)
        if gives is not None and drawn > gives:
            yield (
                f"{record.step.name}: the air-fed mask would be short of air "
                f"({drawn:g} of {gives:g} l/min)"
            )
