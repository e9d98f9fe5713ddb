"""What a data sheet may say, and which of its figures nobody took from a tin."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.clocks.pots import pot_if_mixed
from bench.process.sheets.product import BadSheet, Limits
from bench.process.sheets.product_rules import check_product

from ..making import MON, around, band, product


@pytest.mark.parametrize(
    ("limit", "fits", "odd"),
    [
        ("dew_margin_c", (0, 30), (-0.1, 30.1)),
        ("rh_most_pct", (0.1, 100), (0, 100.1)),
        ("rh_least_pct", (0, 84), (-0.1, 85)),
    ],
)
def test_a_limit_that_no_sheet_would_print_is_a_slip_of_the_finger(
    limit: str, fits: tuple[float, float], odd: tuple[float, float]
) -> None:
    """House rules; humidity from 0 to 85 % where nothing else is said."""
    paint = product(band("open"), tool="hvlp")
    for value in fits:
        check_product(replace(paint, limits=Limits(**{limit: value})))
    for value in odd:
        with pytest.raises(BadSheet):
            check_product(replace(paint, limits=Limits(**{limit: value})))


def test_a_line_of_a_sheet_is_200_characters_at_the_most() -> None:
    paint = product(band("open"), tool="hvlp", notes="n" * 200)
    check_product(paint)
    with pytest.raises(BadSheet, match="too long"):
        check_product(replace(paint, notes="n" * 201))


def test_a_pot_is_marked_by_its_own_figures_alone() -> None:
    paint = product(band("open"), pot_life=((20.0, 14400.0),), source="sheet")
    marked = {
        figure: pot_if_mixed(open_yet, 300, around(open_yet), MON).unconfirmed
        for figure in ("film", "pot_life")
        for open_yet in [replace(paint, placeholder=(figure,))]
    }
    assert marked == {"film": False, "pot_life": True}


@pytest.mark.parametrize(
    ("solids_pct", "fits"), [(0, False), (0.5, True), (100, True), (101, False)]
)
def test_a_paint_without_solvent_is_all_solids(solids_pct: float, fits: bool) -> None:
    paint = product(band("open"), volume_solids_pct=solids_pct, tool="brush")
    if fits:
        check_product(paint)
        return
    with pytest.raises(BadSheet, match="volume solids; it must be over 0, up to 100"):
        check_product(paint)
