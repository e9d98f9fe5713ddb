"""What a sum tells: figures with their units, a verdict in words, reasons, guesses, cautions."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import Literal

from bench.process.product import Product
from bench.process.shopunits import ShopUnits, rewritten, shop_unit
from bench.process.spoken import countdown
from bench.trade.ageing import Basis

SHEET_DECIDES = "placeholder figures: the tin's own sheet decides; type it in"

_DECIMALS = 6
"""What is past these is rounding of floats, and no painter's figure."""

BASIS_WORDS: dict[Basis, str] = {
    "sheet": "as the sheet says",
    "between": "between points of the sheet",
    "outside": "beyond the sheet's points, on the strict side",
    "guess": "a guess: twice as fast for each 10 C warmer",
}
"""Where an aged time comes from."""

UNSURE: tuple[Basis, ...] = ("outside", "guess")
"""What a question mark is set beside."""


@dataclass(frozen=True)
class Figure:
    """One line of an answer; big: one of the few that matter, read from the doorway.

    bound: rounded so that it is never too small (least) or too great (most), in any unit;
    difference: so many degrees more or less, not a temperature.
    """

    what: str
    value: str
    unit: str = ""
    big: bool = False
    bound: Literal["", "least", "most"] = ""
    difference: bool = False


@dataclass(frozen=True)
class Told:
    """An answer. word: the verdict, good or not; why: its reasons; guesses: what to doubt."""

    figures: tuple[Figure, ...] = ()
    word: str = ""
    good: bool = True
    why: tuple[str, ...] = ()
    guesses: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Refused:
    """Why a sum cannot be done with these numbers, in its own words."""

    why: str


_HEAD = re.compile(r"(C|um|ml|m2|cm)(?=$|,| on$)")
_INSIDE = re.compile(r"(-?\d+(?:\.\d+)?) ml\b")


def in_shop_units(each: Figure, units: ShopUnits) -> Figure:
    """A figure as the shop reads it; units that are worked out of two stay as they are."""
    head = _HEAD.match(each.unit)
    if head is None:
        return each
    inside = head[1]
    value = rewritten(each.value, inside, units, bound=each.bound, difference=each.difference)
    volume = shop_unit("ml", units)
    rest = _INSIDE.sub(
        lambda found: f"{rewritten(found[1], 'ml', units)} {volume}", each.unit[head.end() :]
    )
    return replace(each, value=value, unit=shop_unit(inside, units) + rest)


def degrees(temp_c: float) -> str:
    """A temperature to a tenth."""
    return f"{round(temp_c, 1) + 0.0:.1f}"  # no -0.0


def at_least(value: float, decimals: int = 0) -> str:
    """A number rounded up: what must be reached is never shown too small."""
    step = 10**decimals
    return f"{math.ceil(round(value * step, _DECIMALS)) / step:.{decimals}f}"


def at_most(value: float, decimals: int = 0) -> str:
    """A number rounded down: what may be used is never shown too great."""
    step = 10**decimals
    return f"{math.floor(round(value * step, _DECIMALS)) / step:.{decimals}f}"


def span(what: str, seconds: float, *, up: bool) -> Figure:
    """A time in big figures, to the minute: a wait rounded up, a life rounded down."""
    whole_s = (math.ceil if up else math.floor)(round(seconds / 60, _DECIMALS)) * 60
    told = countdown(whole_s) if whole_s >= 3600 else f"0h{whole_s // 60:02d}"
    return Figure(what, told, "days, hours" if "d" in told else "hours", big=True)


def basis_row(basis: Basis) -> tuple[Figure, ...]:
    """Where an aged time comes from; a doubtful one stands among the doubts instead."""
    return () if basis in UNSURE else (Figure("this time is", BASIS_WORDS[basis]),)


def doubts(product: Product | None, basis: Basis = "sheet") -> tuple[str, ...]:
    """What is doubtful about figures of a product's sheet, and about an aged time."""
    told = [SHEET_DECIDES] if product is not None and product.source == "placeholder" else []
    return (*told, BASIS_WORDS[basis]) if basis in UNSURE else tuple(told)
