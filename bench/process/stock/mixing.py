"""What goes into a cup, from whichever figure the painter knows."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.washes import is_diluted, wash_words
from bench.process.stock.tins import TinPlan
from bench.process.wording.display_units import METRIC, ShopUnits, format_figures
from bench.trade.batch import ratio_errors, recover
from bench.trade.mixing import MOST_MIX_ML, Mix, Ratio, as_poured, for_total, from_left
from bench.trade.ratio import read_ratio

MOST_ML = 20_000.0
"""More than any pot in a small shop: a slip of the fingers."""

ROUNDING_ML = 1e-6
"""A total that is this little over a limit is the rounding of floats."""

TENTHS_UNDER_ML = 100.0
"""Half a millilitre of less than this is over half a percent of a part."""


@dataclass(frozen=True)
class MixStart:
    """Holds what a painter starts from, in millilitres.

    poured: what is in the cup, by part; as_poured: all of the mix, whatever the ratio says.
    """

    need_ml: float | None = None
    left_ml: Mapping[str, float] | None = None
    poured: Mapping[str, float] | None = None
    as_poured: Mapping[str, float] | None = None


def ratio_with_thinner(product: Product, thinner_pct: float | None = None) -> Ratio | Refusal:
    """Return the product's ratio with thinner at the sheet's low end, or at ``thinner_pct``."""
    if product.ratio is None:
        right = wash_words(product) if is_diluted(product) else "choose a product with a ratio"
        return Refusal(f"{product.name} is not mixed", "", right)
    if product.thinner is None:
        if thinner_pct:
            return Refusal(f"{product.name} takes no thinner", f"{thinner_pct:g} %", "leave it out")
        return product.ratio
    allowed, mark = product.thinner, product.doubt_of("thinner")
    pct = allowed.least_pct if thinner_pct is None else thinner_pct
    if not allowed.least_pct <= pct <= allowed.most_pct:
        return Refusal(
            "thinner outside what the product allows",
            f"{pct:g} %",
            f"from {allowed.least_pct:g}{mark} to {allowed.most_pct:g}{mark} %",
        )
    return replace(product.ratio, thinner_pct=pct, thinner_of=allowed.of)


def mix_for(product: Product, start: MixStart, thinner_pct: float | None = None) -> Mix | Refusal:
    """Return each part by role with its fill line, or why it cannot be worked out.

    >>> from bench.trade.mixing import Share
    >>> two_to_one = Ratio((Share("base", 2), Share("hardener", 1)))
    >>> gloss = Product("g", "Gloss", "topcoat", ratio=two_to_one)
    >>> [(pour.role, pour.fill_to_ml) for pour in mix_for(gloss, MixStart(need_ml=600)).pours]
    [('base', 400.0), ('hardener', 600.0)]
    """
    ratio = ratio_with_thinner(product, thinner_pct)
    if isinstance(ratio, Refusal):
        return ratio
    try:
        mix = _mix(ratio, start, product.densities)
    except ValueError as fault:
        return Refusal("the mix cannot be worked out", "", str(fault))
    return too_much(mix.total_ml) if mix.total_ml > MOST_ML + ROUNDING_ML else mix


def too_much(ml: float) -> Refusal:
    """Refuse what no pot of a small shop holds."""
    return Refusal("too much for one pot", f"{ml:.0f} ml", f"at most {MOST_ML:.0f} ml")


def _mix(ratio: Ratio, start: MixStart, densities: Mapping[str, float]) -> Mix:
    if start.need_ml is not None:
        return for_total(ratio, start.need_ml, densities or None)
    if start.left_ml is not None:
        return from_left(ratio, start.left_ml, densities or None)
    if start.poured is not None:
        whole = recover(ratio, start.poured, MOST_MIX_ML, densities or None)
        return for_total(ratio, whole.total_ml, densities or None)
    if start.as_poured is not None:
        return as_poured(start.as_poured, densities or None)
    raise ValueError("say how much is needed, what is left, or what is in the cup")


def off_ratio(product: Product, poured_ml: Mapping[str, float]) -> str:
    """Say how a pot as it was poured differs from its ratio; empty where it does not matter.

    poured_ml: of each part. Said is what is past the error at which to stop (TOLERANCES); how much
    thinner is too much stands on the sheet.
    """
    if product.ratio is None or not any(poured_ml.values()):
        return ""
    ratio, parts = product.ratio, [share.role for share in product.ratio.shares]
    poured = {role: poured_ml.get(role, 0.0) for role in parts}
    if not poured.get("base"):
        return "no base in it"
    try:
        errors = ratio_errors(ratio, poured, product.densities or None)
    except ValueError:
        return ""  # by weight, and nobody typed the densities
    stopped = [error for error in errors if error.judged == "stop"]
    sides = ["much" if error.error_pct > 0 else "little" for error in stopped]
    return " and ".join(
        f"{abs(error.error_pct):.0f} % too {side} {error.role}"
        for side, error in zip(sides, stopped, strict=True)
    )


def cup_figures(ml: float, units: ShopUnits = METRIC) -> str:
    """Return an amount for a cup: whole ml, and tenths where a whole one would spoil the ratio.

    >>> cup_figures(8.333), cup_figures(50), cup_figures(416.6)
    ('8.3', '50', '417')
    """
    return format_figures(ml, "ml", units, ".1f" if ml < TENTHS_UNDER_ML else ".0f").removesuffix(
        ".0"
    )


# --- the ratio of a placeholder ------------------------------------------------------------------


@dataclass(frozen=True)
class TinRatio:
    """The ratio that a painter read off the tins of a product whose data sheet nobody typed.

    ratio: in words; batches: of the tins it was read off, as ``batches_of`` gives them.
    """

    ratio: str
    batches: tuple[str, ...] = ()


def ratio_doubt(product: Product, tin_ratio: TinRatio | None, batches: Collection[str] = ()) -> str:
    """Mark its ratio: ``?`` until its data sheet is typed or it was read off these batches."""
    if product.ratio is None or (
        tin_ratio is not None
        and tin_ratio.ratio == ratio_words(product.ratio)
        and set(batches) <= set(tin_ratio.batches)
    ):
        return ""
    return product.doubt_of("ratio")


def batches_of(plan: TinPlan) -> tuple[str, ...]:
    """Return the batches of the tins a mix is poured from, thinner aside.

    A tin without a batch number counts as a batch of its own.
    """
    poured = {
        f"{role} {pour.tin.batch or f'tin {pour.tin.number}'}"
        for role, pour in plan.taken
        if role != "thinner"
    }
    return tuple(sorted(poured))


def differs_from(product: Product, says: str) -> Refusal | None:
    """Refuse a ratio off a tin that is not the product's; None where both are the same.

    says: as the tin prints it, the parts in the product's order.
    """
    if product.ratio is None:
        return Refusal(f"{product.name} is not mixed", says[:40], "leave the ratio out")
    try:
        reading = read_ratio(says)
    except ValueError as fault:
        return Refusal("the ratio on the tin cannot be read", "", str(fault))
    roles = tuple(share.role for share in product.ratio.shares)
    parts = [share.parts for share in product.ratio.shares]
    same_parts = len(reading.parts) == len(parts) and all(
        abs(part * parts[0] - other * reading.parts[0]) < SAME_PARTS
        for part, other in zip(reading.parts, parts, strict=True)
    )
    same_by = reading.by in (None, product.ratio.by)
    if same_parts and same_by and reading.roles in ((), roles) and reading.thinner_pct is None:
        return None
    return Refusal(
        f"the tin does not say the ratio of {product.name}",
        f"the tin says {says[:40]}, the bench {ratio_with_roles(product.ratio)}",
        "type the tin's own figures first, then mix",
    )


SAME_PARTS = 1e-6
"""Two ratios differ by more than the rounding of floats."""


def ratio_figures(ratio: Ratio) -> str:
    """Return the parts as a tin prints them.

    >>> from bench.trade.mixing import Share
    >>> ratio_figures(Ratio((Share("base", 2), Share("hardener", 1))))
    '2:1'
    >>> ratio_figures(Ratio((Share("base", 100), Share("hardener", 25)), by="weight"))
    '100:25 by weight'
    """
    parts = ":".join(f"{share.parts:g}" for share in ratio.shares)
    return f"{parts} by weight" if ratio.by == "weight" else parts


def ratio_with_roles(ratio: Ratio) -> str:
    """Return the parts as a tin prints them, with their roles.

    >>> from bench.trade.mixing import Share
    >>> ratio_with_roles(Ratio((Share("base", 100), Share("hardener", 25)), by="weight"))
    '100:25 base:hardener by weight'
    """
    parts, *by_weight = ratio_figures(ratio).split(maxsplit=1)
    return " ".join([parts, ":".join(share.role for share in ratio.shares), *by_weight])


def mix_name(product: Product, doubt: str) -> str:
    """Return a product's name with its ratio, which many a name ends with, and the ratio's mark.

    >>> from bench.trade.mixing import Share
    >>> two = Ratio((Share("base", 2), Share("hardener", 1)))
    >>> mix_name(Product("gloss", "Gloss 2:1", "top coat", ratio=two), "?")
    'Gloss 2:1?'
    >>> mix_name(Product("gloss", "Gloss", "top coat", ratio=two), "?")
    'Gloss 2:1?'
    """
    if product.ratio is None:
        return product.name
    parts = ratio_figures(product.ratio).split()[0]
    name = product.name if product.name.split()[-1] == parts else f"{product.name} {parts}"
    return f"{name}{doubt}"


def ratio_words(ratio: Ratio) -> str:
    """Return the ratio with its roles: a figure alone does not say which part is which.

    >>> from bench.trade.mixing import Share
    >>> ratio_words(Ratio((Share("base", 4), Share("hardener", 1))))
    '4 base : 1 hardener'
    """
    text = " : ".join(f"{share.parts:g} {share.role}" for share in ratio.shares)
    return f"{text} by weight" if ratio.by == "weight" else text
