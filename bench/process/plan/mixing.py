"""What is mixed for a coat, and how long before it its two parts meet."""

from __future__ import annotations

from bench.process.actions.begin_rules import HARDENS
from bench.process.clocks.pots import rest_of
from bench.process.plan.figures import PlanInputs
from bench.process.plan.grid import slots_of
from bench.process.sheets.product import Product


def is_mixed(product: Product | None) -> bool:
    """Return whether a coat of it wants a pot: the same as the rule of a begin."""
    if product is None:
        return False
    roles = [share.role for share in product.ratio.shares] if product.ratio else []
    return product.keeps_a_pot_clock or bool(set(roles) & set(HARDENS))


def mixing_slots(product: Product, inputs: PlanInputs) -> int:
    """Return the slots before a coat in which its pot is mixed, the rest after stirring among them.

    Hands are wanted for all of it: who waits for a pot to rest begins nothing new.
    """
    if product.ratio is None:
        return slots_of(inputs.shop.activating_min)
    return slots_of(
        inputs.shop.mixing_min
        + max(0.0, met_before_min(product, inputs) - inputs.shop.mixed_before_min)
    )


def met_before_min(product: Product, inputs: PlanInputs) -> float:
    """Return how long before the first trigger a pot's clock begins: as long as it has to rest."""
    around = inputs.around
    read_c = around.paint_c(inputs.now)
    coldest_c = around.hours.day_c if read_c is None else min(read_c, around.hours.day_c)
    rest_min = rest_of(product, coldest_c).total_seconds() / 60
    return max(rest_min, inputs.shop.mixed_before_min)
