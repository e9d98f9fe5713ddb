"""What of a data sheet is asked about before it is taken: it can be, but is hardly ever so."""

from __future__ import annotations

import re
from collections.abc import Iterator

from bench.process.sheets.product import SHEET_C, TOO_SOON, Product
from bench.process.wording.time_text import format_duration
from bench.trade import ageing

SOLIDS_UNDER_PCT = 10.0
FILM_UNDER_UM, FILM_OVER_UM = 3.0, 500.0
"""Outside these a figure of a paint is more often a slip than true (common practice, no source)."""

_NAMED_RATIO = re.compile(r"(\d+(?:[.,]\d+)?)\s?:\s?(\d+(?:[.,]\d+)?)(?![\d:.,])")


def questions(product: Product) -> tuple[str, ...]:
    """Ask about each figure of a sheet that is hardly ever so, with the figure as it was read.

    Nothing is asked of a sheet without one.
    """
    return tuple(f"{words}: is that so?" for words in _unlikely(product))


def _unlikely(product: Product) -> Iterator[str]:
    solids, film = product.volume_solids_pct, product.film
    if solids is not None and solids < SOLIDS_UNDER_PCT:
        yield f"volume solids {solids:g} %"
    if film is not None:
        for word, um in (("min", film.least_um), ("target", film.target_um), ("max", film.most_um)):
            if not FILM_UNDER_UM <= um <= FILM_OVER_UM:
                yield f"film {word} {um:g} um"
    yield from _cured_too_soon(product)
    if product.isocyanate and not product.pot_life:
        yield "an isocyanate without a pot life"
    yield from _ratio_swapped(product)


def _cured_too_soon(product: Product) -> Iterator[str]:
    """Give a full cure that comes before the next coat may go on, both at SHEET_C."""
    opens_s = max(
        (
            ageing.time_at(band.until.times, SHEET_C, "opening").seconds
            for band in product.bands
            if band.word in TOO_SOON and band.until is not None
        ),
        default=0.0,
    )
    if product.full_cure and opens_s:
        cured_s = ageing.time_at(product.full_cure, SHEET_C, "opening").seconds
        if cured_s < opens_s:
            yield (
                f"full cure after {format_duration(cured_s)}, before the next coat may go on "
                f"after {format_duration(opens_s)} (at {SHEET_C:g} C)"
            )


def _ratio_swapped(product: Product) -> Iterator[str]:
    """Give a ratio with more hardener than base, or another than the product's name says.

    Hardener is hardly ever the larger part (common practice, no source).
    """
    parts = {share.role: share.parts for share in product.ratio.shares} if product.ratio else {}
    base, hardener = parts.get("base", 0.0), parts.get("hardener", 0.0)
    if not base or not hardener:
        return
    reads = f"base {base:g}, hardener {hardener:g}"
    named = _NAMED_RATIO.search(product.name)
    if named and product.ratio and product.ratio.by == "volume":
        first, second = (float(figure.replace(",", ".")) for figure in named.groups())
        if first * hardener != second * base:
            yield f"{reads}, and the name says {named[0]}"
            return
    if hardener > base:
        yield f"more hardener than base ({reads})"
