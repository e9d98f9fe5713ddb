"""How a cleaner or wash is made ready: how much water, how warm, and acid into water."""

from __future__ import annotations

from bench.process.sheets.product import Product
from bench.process.wording.display_units import METRIC, ShopUnits, format_figures, shop_unit
from bench.process.wording.time_text import format_number
from bench.trade.mixing import diluted_l

ACIDS = ("acid", "acid wash")
"""Hazards of a product that is an acid."""

WATER_FIRST = "Acid into water, never water into acid: it boils and spits."
ACID_INTO_WATER = f"skin and eyes: {WATER_FIRST}"
"""Said of every acid that is diluted (common practice, no source)."""

BUCKET_L = 10.0


def wash_words(product: Product, units: ShopUnits = METRIC) -> str:
    """Say how a product is diluted and how warm it is; empty where its sheet says neither.

    >>> from bench.process.sheets.product import Bath, Dilution
    >>> wash = Product("w", "Cleaner", "cleaner", dilution=Dilution(9, 19), bath=Bath(20, 40))
    >>> wash_words(wash)
    '9-19? parts water to 1 part concentrate: 0.5-1? l in a bucket of 10 l; 20-40? C warm'
    """
    phrases = [_dilution_words(product), warm_words(product, units)]
    return "; ".join(words for words in phrases if words)


def is_diluted(product: Product) -> bool:
    """Return whether its sheet has water go to it."""
    return product.dilution is not None and product.dilution.most > 0


def ready_words(product: Product, ready_l: float) -> tuple[str, ...]:
    """Say how so many litres of a ready wash come about, at each end of its sheet's dilution.

    Raises ValueError for an amount that nobody makes ready.

    >>> from bench.process.sheets.product import Dilution
    >>> ready_words(Product("w", "Wash", "wash", dilution=Dilution(9, 9), source="sheet"), 5)
    ('9 of water to 1: first 4.5 l of water, then 0.5 l of Wash into it',)
    """
    if product.dilution is None:
        return ()
    doubt, ends = (
        product.doubt_of("dilution"),
        {"strong": product.dilution.least, "weak": product.dilution.most},
    )
    if product.dilution.least == product.dilution.most:
        ends = {"": product.dilution.most}
    lines = []
    for end, parts in ends.items():
        water, concentrate = (
            f"{format_number(litres)}{doubt} l" for litres in diluted_l(ready_l, parts)
        )
        how = f"{end}, {parts:g}{doubt} of water to 1".removeprefix(", ")
        lines.append(f"{how}: first {water} of water, then {concentrate} of {product.name} into it")
    return tuple(lines)


def acid_cautions(product: Product | None) -> tuple[str, ...]:
    """Give the caution of an acid that is diluted; nothing of any other product."""
    if product is None or not is_diluted(product):
        return ()
    return (ACID_INTO_WATER,) if set(ACIDS) & set(product.hazards) else ()


def _dilution_words(product: Product) -> str:
    dilution, doubt = product.dilution, product.doubt_of("dilution")
    if dilution is None:
        return ""
    if not dilution.most:
        return f"as supplied{doubt}"
    weak_l, strong_l = (diluted_l(BUCKET_L, parts)[1] for parts in (dilution.most, dilution.least))
    water = _span(f"{dilution.least:g}", f"{dilution.most:g}")
    part = _span(format_number(weak_l, 2), format_number(strong_l, 2))
    bucket = f"{part}{doubt} l in a bucket of {BUCKET_L:g} l"
    return f"{water}{doubt} parts water to 1 part concentrate: {bucket}"


def warm_words(product: Product, units: ShopUnits) -> str:
    """Say how warm it is used; empty where its sheet says nothing."""
    if product.bath is None:
        return ""
    ends = (format_figures(c, "C", units) for c in (product.bath.least_c, product.bath.most_c))
    return f"{_span(*ends)}{product.doubt_of('bath')} {shop_unit('C', units)} warm"


def _span(least: str, most: str) -> str:
    return least if least == most else f"{least}-{most}"
