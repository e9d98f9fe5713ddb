"""What goes into a cup, from whichever figure the painter knows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.trade.batch import recover, round_to_cup, smallest_mix_ml
from bench.trade.mixing import Mix, Pour, Ratio, as_poured, for_total, from_left, from_poured

MOST_ML = 20_000.0
"""More than any pot in a small shop: a slip of the fingers."""


@dataclass(frozen=True)
class Known:
    """One of the things a painter may know, in millilitres.

    as_poured: what is in the cup of every part, whatever the ratio says.
    """

    need_ml: float | None = None
    left_ml: Mapping[str, float] | None = None
    poured: tuple[str, float] | None = None
    as_poured: Mapping[str, float] | None = None


@dataclass(frozen=True)
class Pouring:
    """What goes into the cup in order. in_cup: roles that are in it already, as far as is known."""

    pours: tuple[Pour, ...]
    total_ml: float
    over_cup_ml: float
    in_cup: frozenset[str] = frozenset()

    def by_role(self) -> dict[str, float]:
        """How much of each part there is in the end, in ml."""
        found: dict[str, float] = {}
        for pour in self.pours:
            found[pour.role] = found.get(pour.role, 0.0) + pour.ml
        return found


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
    if known.as_poured is not None:
        return as_poured(known.as_poured, densities or None)
    raise ValueError("say how much is needed, what is left, or what is in the cup")


def pouring(
    product: Product,
    known: Known,
    thinner_pct: float | None,
    past: tuple[str, float] | None,
    cup_ml: float,
) -> Pouring | Refusal:
    """The pours in order; past a line by so many ml of a role, new lines that restore the ratio."""
    mix = mix_for(product, known, thinner_pct)
    if isinstance(mix, Refusal):
        return mix
    if past is None:
        return Pouring(mix.pours, mix.total_ml, max(mix.total_ml - cup_ml, 0.0))
    ratio = ratio_with_thinner(product, thinner_pct)
    if isinstance(ratio, Refusal):
        return ratio
    role, past_ml = past
    in_cup: dict[str, float] = {}
    for pour in mix.pours:
        in_cup[pour.role] = pour.ml + (past_ml if pour.role == role else 0.0)
        if pour.role == role:
            break
    try:
        again = recover(ratio, in_cup, max(cup_ml, sum(in_cup.values())), product.densities or None)
    except ValueError as fault:
        return Refusal("the mix cannot be put right", "", str(fault))
    pours = (*as_poured(in_cup).pours, *again.adds)
    return Pouring(pours, again.total_ml, max(again.total_ml - cup_ml, 0.0), frozenset(in_cup))


def on_the_lines(
    product: Product, known: Known, thinner_pct: float | None, step_ml: float
) -> Known | Refusal:
    """The next mix up whose every part stands on a graduation of the cup."""
    mix, ratio = mix_for(product, known, thinner_pct), ratio_with_thinner(product, thinner_pct)
    if isinstance(mix, Refusal):
        return mix
    if isinstance(ratio, Refusal):
        return ratio
    try:
        above = round_to_cup(ratio, mix.total_ml, step_ml, product.densities or None).above
    except ValueError as fault:
        return Refusal("it cannot be put on the cup's lines", "", str(fault))
    return Known(as_poured={pour.role: pour.ml for pour in above.mix.pours})


def too_small_to_measure(product: Product, total_ml: float, step_ml: float) -> str:
    """A warning where half a graduation is too much of the hardener; empty where it is not."""
    if product.ratio is None:
        return ""
    try:
        least_ml = smallest_mix_ml(product.ratio, step_ml, densities=product.densities or None)
    except ValueError:
        return ""
    if total_ml >= least_ml:
        return ""
    return (
        f"too little for a cup marked every {step_ml:g} ml: half a mark is too much hardener. "
        f"Take a scale or a syringe, or mix {least_ml:.0f} ml"
    )


def ratio_words(ratio: Ratio) -> str:
    """The ratio with its roles: a figure alone does not say which part is which.

    >>> from bench.trade.mixing import Share
    >>> ratio_words(Ratio((Share("base", 4), Share("hardener", 1))))
    '4 base : 1 hardener'
    """
    told = " : ".join(f"{share.parts:g} {share.role}" for share in ratio.shares)
    return f"{told} by weight" if ratio.by == "weight" else told
