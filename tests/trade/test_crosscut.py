"""The cross-cut: spacing, class and refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade.crosscut import MEANINGS, cross_cut, flaked_pct, spacing_mm


@given(st.floats(0.1, 250), st.floats(0.1, 250), st.booleans())
def test_thicker_film_is_never_cut_closer(one: float, other: float, soft: bool) -> None:
    thin, thick = sorted((one, other))
    assert spacing_mm(thin, soft_substrate=soft) <= spacing_mm(thick, soft_substrate=soft)


@given(st.floats(0, 100), st.floats(0, 100))
def test_more_flaked_is_never_a_better_class(one: float, other: float) -> None:
    less, more = (cross_cut(60, pct) for pct in sorted((one, other)))
    assert less.iso_class <= more.iso_class
    assert less.astm_class >= more.astm_class


@given(st.floats(0, 100))
def test_iso_and_astm_scales_run_opposite(flaked: float) -> None:
    found = cross_cut(60, flaked)
    assert found.astm_class == f"{5 - found.iso_class}B"
    assert found.meaning == MEANINGS[found.iso_class]


def test_anything_flaked_at_all_is_no_longer_class_0() -> None:
    assert cross_cut(60, 0).iso_class == 0
    assert cross_cut(60, 0.01).iso_class == 1


@pytest.mark.parametrize(("most_pct", "iso_class"), [(5, 1), (15, 2), (35, 3), (65, 4)])
def test_a_class_ends_at_its_percent_and_the_next_begins_past_it(
    most_pct: float, iso_class: int
) -> None:
    classes = [cross_cut(60, pct).iso_class for pct in (most_pct, most_pct + 0.1)]
    assert classes == [iso_class, iso_class + 1]


def test_two_and_a_half_squares_are_ten_percent() -> None:
    assert flaked_pct(2.5) == pytest.approx(10)


@pytest.mark.parametrize("film_um", [0, -10, math.nan])
def test_a_film_that_is_none_is_refused(film_um: float) -> None:
    with pytest.raises(ValueError, match=r"film .* um: must be at least 0.1, up to 250 um"):
        cross_cut(film_um, 0)


@pytest.mark.parametrize("film_um", [250.5, 1000, math.inf])
def test_a_film_over_250_um_is_sent_to_another_test(film_um: float) -> None:
    with pytest.raises(ValueError, match="over the 250 um of ISO 2409; wanted an X-cut"):
        spacing_mm(film_um)


@pytest.mark.parametrize("flaked", [-1, 101, math.nan])
def test_a_flaked_area_that_cannot_be_is_refused(flaked: float) -> None:
    with pytest.raises(ValueError, match=r"flaked area .* %: must be at least 0, up to 100 %"):
        cross_cut(60, flaked)


def test_more_squares_than_there_are_is_refused() -> None:
    with pytest.raises(ValueError, match="squares off, of the 25 that six cuts make, 26: must be"):
        flaked_pct(26)
