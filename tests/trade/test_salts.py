"""Salts by the Bresle method, against what is known of it."""

from __future__ import annotations

import pytest

from bench.trade.salts import PATCH_CM2, UNSURE_MG_M2, salts_mg_m2
from tests.published.rows import Row, named, unchecked

FACTORS = named("salts", r"BRESLE-.*")
SODIUM_CHLORIDE = named("salts", "NACL")
SURE = named("salts", "SP0508")
LIMIT = named("salts", "MSC-1378")


def test_every_row_is_checked() -> None:
    assert unchecked("salts", FACTORS, SODIUM_CHLORIDE, SURE, LIMIT) == set()


@pytest.mark.parametrize("row", FACTORS)
def test_mg_m2_of_each_microsiemens(row: Row) -> None:
    assert salts_mg_m2(3, 4, row.input("ml")) == pytest.approx(row.figures[0])


@pytest.mark.parametrize("row", SODIUM_CHLORIDE)
def test_mixed_salts_are_a_little_more_than_as_much_sodium_chloride(row: Row) -> None:
    """The method takes 0.5 mg/l for each uS/cm, on the safe side of pure sodium chloride."""
    mg_l = salts_mg_m2(0, 1, 10) * PATCH_CM2 / 1e4 / 0.010
    assert mg_l == pytest.approx(0.5)
    assert row.figures[0] < mg_l < 1.1 * row.figures[0]


@pytest.mark.parametrize("row", SURE)
def test_how_sure_one_test_is(row: Row) -> None:
    assert row.figures == [UNSURE_MG_M2]


@pytest.mark.parametrize("row", LIMIT)
def test_a_ship_s_limit_is_reached_by_a_rise_of_12_5_with_10_ml(row: Row) -> None:
    assert salts_mg_m2(1.5, 14, 10) == pytest.approx(row.figures[0])


def test_water_that_conducts_less_afterwards_is_refused() -> None:
    with pytest.raises(ValueError, match=r"read 2 uS/cm after and 12 before.*wanted the two the"):
        salts_mg_m2(12, 2, 10)
