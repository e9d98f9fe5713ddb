"""How a cleaner or wash is made ready: how much water, how warm, and acid into water."""

from __future__ import annotations

from bench.process.product import Product
from bench.process.shopunits import METRIC, ShopUnits, figures, shop_unit
from bench.process.spoken import figure

ACIDS = ("acid", "acid wash")
"""Hazards of a product that is an acid."""

ACID_INTO_WATER = "skin and eyes: Acid into water, never water into acid: it boils and spits."
"""Said of every acid that is diluted (common practice, no source)."""

BUCKET_L = 10.0


def wash_words(product: Product, units: ShopUnits = METRIC) -> str:
    """Say how a product is diluted and how warm it is; empty where its sheet says neither.

    >>> from bench.process.product import Bath, Dilution
    >>> wash = Product("w", "Cleaner", "cleaner", dilution=Dilution(9, 19), bath=Bath(20, 40))
    >>> wash_words(wash)
    '9-19? of water to 1 of it: 0.5-1? l in a bucket of 10 l; 20-40? C warm'
    """
    told = [_diluted(product), _warm(product, units)]
    return "; ".join(words for words in told if words)


def acid_cautions(product: Product | None) -> tuple[str, ...]:
    """Give the caution of an acid that is diluted; nothing of any other product."""
    if product is None or product.dilution is None or not product.dilution.most:
        return ()
    return (ACID_INTO_WATER,) if set(ACIDS) & set(product.hazards) else ()


def _diluted(product: Product) -> str:
    dilution, doubt = product.dilution, product.doubt
    if dilution is None:
        return ""
    if not dilution.most:
        return f"as supplied{doubt}"
    weak_l, strong_l = (BUCKET_L / (1 + parts) for parts in (dilution.most, dilution.least))
    water = _span(f"{dilution.least:g}", f"{dilution.most:g}")
    part = _span(figure(weak_l, 2), figure(strong_l, 2))
    return f"{water}{doubt} of water to 1 of it: {part}{doubt} l in a bucket of {BUCKET_L:g} l"


def _warm(product: Product, units: ShopUnits) -> str:
    if product.bath is None:
        return ""
    ends = (figures(c, "C", units) for c in (product.bath.least_c, product.bath.most_c))
    return f"{_span(*ends)}{product.doubt} {shop_unit('C', units)} warm"


def _span(least: str, most: str) -> str:
    return least if least == most else f"{least}-{most}"
