"""Cross-cut spacing and class against ISO 2409 and ASTM D3359."""

from __future__ import annotations

import pytest

from bench.trade.crosscut import CUTS, SQUARES, cross_cut, flaked_pct, spacing_mm
from tests.published.rows import Row, named, unchecked

SPACINGS = named("crosscut", r"SP[123]")
LIMIT = named("crosscut", "SP4")
PATTERN = named("crosscut", "CUTS")
CLASSES = named("crosscut", r"CL(?!25)\d+")
SQUARE_COUNT = named("crosscut", "SQUARES")
ONE_SQUARE = named("crosscut", "CL25")


def test_every_row_is_checked() -> None:
    groups = (SPACINGS, LIMIT, PATTERN, SQUARE_COUNT, CLASSES, ONE_SQUARE)
    assert unchecked("crosscut", *groups) == set()


@pytest.mark.parametrize("row", SPACINGS)
def test_spacing_by_film_on_hard_and_soft_substrate(row: Row) -> None:
    least, most = (float(each) for each in row.given["DFT_um"].split(".."))
    # The standard counts whole um: a band begins past the end of the one before.
    for film_um in (max(least - 0.9, 0.1), (least + most) / 2, most):
        found = [spacing_mm(film_um), spacing_mm(film_um, soft_substrate=True)]
        assert found == row.figures


@pytest.mark.parametrize("row", LIMIT)
def test_over_250_um_the_test_does_not_apply(row: Row) -> None:
    with pytest.raises(ValueError, match=r"X-cut \(ISO 16276-2\) or a pull-off \(ISO 4624\)"):
        cross_cut(250.1, 0)
    assert spacing_mm(250) == 3


@pytest.mark.parametrize("row", PATTERN)
def test_six_cuts_each_way(row: Row) -> None:
    assert row.figures == [CUTS, CUTS]


@pytest.mark.parametrize("row", SQUARE_COUNT)
def test_the_cuts_make_25_squares(row: Row) -> None:
    assert (row.input("cuts"), row.figures) == (CUTS, [SQUARES])


@pytest.mark.parametrize("row", CLASSES)
def test_class_by_flaked_area(row: Row) -> None:
    assert cross_cut(60, row.input("flaked_pct")).astm_class == row.expected


@pytest.mark.parametrize("row", ONE_SQUARE)
def test_one_square_lost_is_class_1(row: Row) -> None:
    found = cross_cut(60, flaked_pct(1))
    assert f"{found.iso_class} / {found.astm_class}" == row.expected
