"""The mixing cup in text: what is poured to which line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.process.stock.mixing import cup_figures
from bench.process.wording.display_units import METRIC, ShopUnits, shop_unit
from bench.widgets.digits import big
from bench.widgets.lines import Piece, fit

FIGURES_WIDE = 20
"""Room for a fill line of four figures."""

WALLS_WIDE, NARROW_WALLS = 12, 8
BESIDE_WIDE = 16
"""Room for a fill line and its role beside the cup; where there is less, the figure alone."""


@dataclass(frozen=True)
class Level:
    """One pour: its role, how much, and the line the cup then stands at.

    is_in: it is in the cup already; more: some of its part is; doubt: the mark of its figures.
    """

    role: str
    ml: float
    fill_to_ml: float
    is_in: bool = False
    more: bool = False
    doubt: str = ""

    def fill_to(self, units: ShopUnits) -> str:
        """The line in the shop's unit, with its mark."""
        return f"{cup_figures(self.fill_to_ml, units)}{self.doubt}"

    def pour_words(self, units: ShopUnits) -> str:
        """How much is in, or must be poured."""
        much = f"{cup_figures(self.ml, units)}{self.doubt} {shop_unit('ml', units)}"
        return f"is in: {much}" if self.is_in else f"pour {much}{' more' * self.more}"


def lines_to_pour(
    levels: Sequence[Level],
    chosen: int | None,
    width: int,
    *,
    ascii_only: bool,
    units: ShopUnits = METRIC,
) -> list[Piece]:
    """Each pour in three rows, its fill line in big figures: read from an arm's length."""
    rows: list[Piece] = []
    words = width - FIGURES_WIDE
    for number, level in enumerate(levels, start=1):
        drawn = big(level.fill_to(units), 3, FIGURES_WIDE, ascii_only=ascii_only)
        mark = ">" if chosen == number - 1 else " "
        beside = (
            f"{mark}{number} {level.role}",
            f"   {level.pour_words(units)}",
            "   the cup stands at" if level.is_in else "   fill the cup to",
        )
        style = "chosen" if chosen == number - 1 else "bold"
        rows += [
            Piece(fit(text, words) + figure, style)
            for text, figure in zip(beside, drawn, strict=True)
        ]
    return rows


def drawn_cup(
    levels: Sequence[Level], width: int, height: int, units: ShopUnits = METRIC
) -> list[Piece]:
    """The cup with a line at every level, highest on top; the brim is a little above the last."""
    roomy = width >= WALLS_WIDE + 3 + BESIDE_WIDE
    walls = WALLS_WIDE if roomy else NARROW_WALLS
    rows = [f" |{' ' * walls}|" for _ in range(height - 1)]
    rows.append(f" +{'-' * walls}+")
    full = levels[-1].fill_to_ml if levels else 0.0
    inside = height - 2
    taken: set[int] = set()
    for level in reversed(levels):
        share = level.fill_to_ml / full if full > 0 else 0.0
        row = height - 2 - round(share * (inside - 1))
        while row in taken and row < height - 2:
            row += 1
        taken.add(row)
        fill_to = level.fill_to(units)
        beside = f"{fill_to} {level.role}" if roomy else fill_to
        rows[row] = f" |{'-' * walls}| {beside}"
    return [Piece(fit(row, width), "bold") for row in rows]
