"""How much paint coats really took against what was calculated: the shop's own transfer efficiency.

What is measured is what was mixed, less what was left when the pot was binned.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp

from bench.process.parts.durations import LEAST_KNOWN, learned
from bench.process.sheets.product import Product
from bench.process.wording.time_text import doubt_mark


@dataclass(frozen=True)
class PaintUse:
    """What one pot, or several that share a coat, really gave.

    calculated_ml: what their coats would have taken with the least that lands by the table;
    landed_ml: what of that stays on the parts.
    """

    product: str
    tool: str
    used_ml: float
    calculated_ml: float
    landed_ml: float


@dataclass(frozen=True)
class OwnUse:
    """What a shop's own pots say of a product and a tool.

    factor: used to calculated; spread: of its natural logarithm; pots: how many it rests on;
    transfer_pct: what landed, as the factor has it, on the shapes they were sprayed on.
    """

    product: str
    tool: str
    factor: float
    spread: float
    pots: int
    transfer_pct: float

    @property
    def counts(self) -> bool:
        """Say whether enough pots say so to calculate by it."""
        return self.pots >= LEAST_KNOWN

    @property
    def percents(self) -> tuple[float, float]:
        """Return between which transfer efficiencies two of three pots lie."""
        least, most = (self.transfer_pct * exp(side * self.spread) for side in (-1, 1))
        return least, min(most, 100.0)


Uses = Mapping[tuple[str, str], OwnUse]
"""By product and tool."""


def own_uses(uses: Iterable[PaintUse]) -> dict[tuple[str, str], OwnUse]:
    """Return what some pots say, the newest first, by product and tool.

    The table's figure weighs as much as three pots; what is over three times the median or under a
    third of it is left out, as for lengths.
    """
    by_key: dict[tuple[str, str], list[PaintUse]] = {}
    for use in uses:
        by_key.setdefault((use.product, use.tool), []).append(use)
    own: dict[tuple[str, str], OwnUse] = {}
    for (product, tool), each in by_key.items():
        by_pots = learned(use.used_ml / use.calculated_ml for use in each)
        calculated_ml = sum(use.calculated_ml for use in each)
        landed_pct = 100 * sum(use.landed_ml for use in each) / calculated_ml
        factor = exp(by_pots.shift)
        own[product, tool] = OwnUse(
            *(product, tool, factor, by_pots.spread, by_pots.count),
            transfer_pct=min(landed_pct / factor, 100.0),
        )
    return own


def transfer_by(own: OwnUse | None, table_pct: float) -> float:
    """Return what lands in percent: by the shop's own pots where enough say so, else the table."""
    return min(table_pct / own.factor, 100.0) if own is not None and own.counts else table_pct


def use_words(own: OwnUse, products: Mapping[str, Product]) -> str:
    """Say what a product's own transfer efficiency is, and whether it is calculated by.

    >>> gloss = Product("gloss", "Gloss", "top coat")
    >>> use_words(OwnUse("gloss", "hvlp", 1.25, 0.35, 7, 24.0), {"gloss": gloss})
    'Gloss, hvlp: transfer efficiency 24 % (17 to 34 %), from 7 past pots'
    >>> use_words(OwnUse("gloss", "hvlp", 1.25, 0.35, 1, 24.0), {})
    'gloss, hvlp: transfer efficiency 24 %? (17 to 34 %), from 1 past pot: not used under 5'
    """
    name = products[own.product].name if own.product in products else own.product
    least, most = own.percents
    pots = f"from {own.pots} past pot{'s' * (own.pots != 1)}"
    unused = "" if own.counts else f": not used under {LEAST_KNOWN}"
    mark = doubt_mark(not own.counts)
    return (
        f"{name}, {own.tool}: transfer efficiency {own.transfer_pct:.0f} %{mark} "
        f"({least:.0f} to {most:.0f} %), {pots}{unused}"
    )
