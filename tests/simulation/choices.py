"""What the random painters choose from: mostly what there is, now and then what there is not."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TypeVar

from hypothesis import strategies as st

from bench.process.stock.mixing import MixStart
from bench.process.stock.tins import roles_of
from bench.shop.seeds.seed_files import folder, load

T = TypeVar("T")

SEEDS = load(folder())


def mostly(right: Sequence[T], *wrong: T) -> st.SearchStrategy[T]:
    """One of the right ones, or once in thirty times a wrong one."""
    often = max(1, round(29 * len(wrong) / len(right)))
    return st.sampled_from([*(list(right) * often), *wrong])


PAINTERS = mostly(["Kit", "Mo", " mo ", "KIT"], "nobody", "")
HELPERS = mostly(["", "", "", "", "Mo", "Kit"], "nobody")
STANDS = mostly([1, 2, 3, 4, 5, 6], 0, 7, -1)

ODD_PARTS: tuple[int | str, ...] = (0, 7, -1, "99", "", " 1 ", "1B", "\u00e4 1", "9" * 9)
PARTS = st.tuples(st.integers(0, 299), st.booleans())
"""Which of the parts there are, or an odd one; and whether it is named by its tag."""

TAGS = mostly(
    ["", "A", "\u00c4 1", "9" * 8], "1", "1b", "a", "\u00e4 1", "9" * 9, "x\x07", "\u0663"
)
NAMES = mostly(["", "Roller bracket"], "x" * 300)
COUNTS = mostly([1, 1, 2, 14, 999], 0, -1, 1000)
PIECES = mostly([None, None, 1, 2], 13, 14, 0, -1, 1000)
BACK_TO = mostly([None, None, None, 1, 2, 3, 5, 8], 0, 99)
FREE_STANDS = mostly([None, None, 3, 4, 5, 6], 99)

AGO = mostly([None, None, 0, 1, 5, 15], 60, 8 * 60, 3 * 1440, -1, -600)
"""How many minutes ago it happened; below nought it is still to come."""
LONG_AGO = mostly([None, 0, 15, 240, 3 * 1440, 90 * 1440], -600)
EARLIER = mostly([5, 5, 10, 60], 3 * 1440, 0, 7, -5)
NOT_YET = mostly([15, 30, 1440], 0, -5)
WAITS = st.sampled_from(
    [1, 5, 9, 11, 16, 60, 120, 8 * 60, 24 * 60, 25 * 60, 49 * 60, 8 * 1440, 70 * 1440]
)

REASONS = mostly(["weather", "other", "fish-eye", "[b]run"], "", "x" * 300, "\x1b[2J")
OVERRIDES = mostly(["", "", "", "other"], "x" * 300)
WEIGHTS = mostly([None, "heavy", "thin", "as meant"], "gold")
FILM_UM = mostly([None, None, 20.0, 90.0, 300.0], 0.0, -5.0, float("nan"), 1e9)
ROUTES = mostly(list(SEEDS.routes), "gold")
SHAPES = mostly(list(SEEDS.shapes), "sphere")
PRODUCTS = mostly(list(SEEDS.products), "glue")
MARKS = st.integers(-2, 9)
"""Which face or zone; below nought none is named."""

POTS = st.sampled_from(["A", "B", "C", "A", "B", "C", "a ", "Z", "", "\u00df"])
KNOWN = mostly(
    [
        None,
        MixStart(need_ml=300),
        MixStart(left_ml={"base": 340.0, "hardener": 70.0}),
        MixStart(left_ml={"base": 200.0, "activator": 500.0}),
        MixStart(poured={"base": 420.0}),
    ],
    MixStart(need_ml=0),
    MixStart(need_ml=float("nan")),
    MixStart(need_ml=1e9),
    MixStart(poured={"water": -1.0}),
)

AIR_C = mostly([-12.0, 3.0, 8.5, 11.0, 18.0, 20.0, 24.5, 37.0], float("nan"), float("inf"), -273.0)
METAL_C = mostly([None, 4.0, 12.0, 19.5, 33.0], float("nan"), 60.0)
RH_PCT = mostly([None, 55.0, 78.0, 100.0], 0.0, 120.0, float("nan"))

TINS = mostly([1, 2, 3, 4], 0, 99, -1)
TIN_PARTS = mostly(
    [
        (key, role)
        for key, product in SEEDS.products.items()
        if product.kind in ("primer", "top coat")
        for role in roles_of(product)
    ],
    ("glue", ""),
    ("gloss", "paint"),
    ("enamel-brush", "base"),
)
BATCHES = mostly(["", "2-B", "\u00c4 7"], "x" * 31, "\x1b[2J")
TIN_ML = mostly([400.0, 1000.0], 0.0, -5.0, float("nan"), 1e9)
LEFT_ML = mostly([0.0, 30.0, 400.0], -1.0, 1e6, float("inf"))
USE_BY = mostly([None, date(2026, 3, 30), date(2027, 1, 31)], date(2025, 1, 31))
NAMED = mostly([(), (), (), (1,), (2, 3)], (99,))
EQUIPMENT = mostly(list(SEEDS.equipment), "gun", "ladder", "", "\x1b[2J")
NOTED = st.one_of(st.none(), PARTS)
NOTES = mostly([1, 2, 3, 4, 5], 0, -1, 99)
