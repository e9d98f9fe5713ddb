"""The mixing cup in text: what is poured to which line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from bench.process.stock.cup import PartOfMix, Pouring, volume
from bench.process.stock.mixing import cup_figures
from bench.process.wording.display_units import METRIC, ShopUnits
from bench.widgets.digits import big
from bench.widgets.lines import Piece, fit

WALLS_WIDE, NARROW_WALLS = 12, 8
BESIDE_WIDE = 16
"""Room for a fill line and its role beside the cup; where there is less, the figure alone."""


@dataclass(frozen=True)
class CupSize:
    """How large the figures are: cells for the words, cells for a fill line of four figures, rows.

    A blank row stands between the parts where the figures have five.
    """

    words: int
    figures: int
    rows: int

    @property
    def width(self) -> int:
        """Return the cells of words and figures."""
        return self.words + self.figures


SMALL, LARGE = CupSize(24, 20, 3), CupSize(26, 34, 5)


def lines_to_pour(
    parts: Sequence[PartOfMix],
    chosen: str,
    size: CupSize,
    *,
    ascii_only: bool,
    units: ShopUnits = METRIC,
) -> list[Piece]:
    """Each part in rows of its own, its fill line in big figures: read from an arm's length."""
    rows: list[Piece] = []
    for number, part in enumerate(parts, start=1):
        line = f"{cup_figures(part.fill_to_ml, units)}{part.doubt}" if part.pour_ml else ""
        drawn = big(line, size.rows, size.figures, ascii_only=ascii_only)
        mark, style = (">", "chosen") if part.role == chosen else (" ", "bold")
        words = [f"{mark}{number} {part.role}", *_pour_words(part, size, units)]
        words += [""] * (size.rows - len(words))
        if rows and size is LARGE:
            rows.append(Piece(" " * size.width))
        rows += [
            Piece(fit(text, size.words) + figure, style)
            for text, figure in zip(words, drawn, strict=True)
        ]
    return rows


def _pour_words(part: PartOfMix, size: CupSize, units: ShopUnits) -> list[str]:
    """What is in, and what must be poured up to the line beside it."""
    much = volume(part.pour_ml, units, part.doubt)
    if not part.in_ml:
        return [f"   pour {much}", "   fill the cup to"]
    is_in = f"   is in: {volume(part.in_ml, units)}"
    if not part.pour_ml:
        return [is_in, "   nothing to pour"]
    if size.rows > SMALL.rows:
        return [is_in, f"   pour {much} more", "   fill the cup to"]
    long = f"   pour {much} more to"
    return [is_in, long if cell_len(long) < size.words else f"   pour {much}"]


def drawn_cup(
    pouring: Pouring,
    doubts: Sequence[str],
    width: int,
    height: int,
    units: ShopUnits = METRIC,
) -> list[Piece]:
    """The cup with a line at every pour, highest on top; the brim is a little above the last.

    doubts: the mark of each pour's line.
    """
    roomy = width >= WALLS_WIDE + 3 + BESIDE_WIDE
    walls = WALLS_WIDE if roomy else NARROW_WALLS
    rows = [f" |{' ' * walls}|" for _ in range(height - 1)]
    rows.append(f" +{'-' * walls}+")
    inside = height - 2
    taken: set[int] = set()
    for pour, doubt in reversed(list(zip(pouring.pours, doubts, strict=True))):
        share = pour.fill_to_ml / pouring.total_ml if pouring.total_ml > 0 else 0.0
        row = height - 2 - round(share * (inside - 1))
        while row in taken and row < height - 2:
            row += 1
        taken.add(row)
        fill_to = f"{cup_figures(pour.fill_to_ml, units)}{doubt}"
        beside = f"{fill_to} {pour.role}" if roomy else fill_to
        rows[row] = f" |{'-' * walls}| {beside}"
    return [Piece(fit(row, width), "bold") for row in rows]
