"""What goes into a cup, from whichever figure the painter knows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.trade.mixing import Mix, Ratio, for_total, from_left, from_poured

MOST_ML = 20_000.0
"""More than any pot in a small shop: a slip of the fingers."""


@dataclass(frozen=True)
class Known:
    """One of the three things a painter may know, in millilitres."""

    need_ml: float | None = None
    left_ml: Mapping[str, float] | None = None
    poured: tuple[str, float] | None = None


def ratio_with_thinner(product: Product, thinner_pct: float | None = None) -> Ratio | Refusal:
    """The product's ratio with thinner at the sheet's low end, or at ``thinner_pct``."""
    if product.ratio is None:
        return Refusal(f"{product.name} is not mixed", "", "choose a product with a ratio")
    if product.thinner is None:
        if thinner_pct:
            return Refusal(f"{product.name} takes no thinner", f"{thinner_pct:g} %", "leave it out")
        return product.ratio
    allowed = product.thinner
    pct = allowed.least_pct if thinner_pct is None else thinner_pct
    if not allowed.least_pct <= pct <= allowed.most_pct:
        return Refusal(
            "thinner outside what the product allows",
            f"{pct:g} %",
            f"from {allowed.least_pct:g} to {allowed.most_pct:g} %",
        )
    return replace(product.ratio, thinner_pct=pct, thinner_of=allowed.of)


def mix_for(product: Product, known: Known, thinner_pct: float | None = None) -> Mix | Refusal:
    """Each part by role with its fill line, or why it cannot be worked out."""
    ratio = ratio_with_thinner(product, thinner_pct)
    if isinstance(ratio, Refusal):
        return ratio
    try:
        mix = _mix(ratio, known, product.densities)
    except ValueError as fault:
        return Refusal("the mix cannot be worked out", "", str(fault))
    if mix.total_ml > MOST_ML:
        return Refusal(
            "too much for one pot", f"{mix.total_ml:.0f} ml", f"at most {MOST_ML:.0f} ml"
        )
    return mix


def _mix(ratio: Ratio, known: Known, densities: Mapping[str, float]) -> Mix:
    if known.need_ml is not None:
        return for_total(ratio, known.need_ml, densities or None)
    if known.left_ml is not None:
        return from_left(ratio, known.left_ml, densities or None)
    if known.poured is not None:
        return from_poured(ratio, *known.poured, densities or None)
    raise ValueError("say how much is needed, what is left, or what is in the cup")
