"""Dry-film readings: accepted or not, why, and when to take more."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade.readings import judge, least_readings

sets = st.lists(st.floats(40, 300), min_size=5, max_size=30)


def test_an_accepted_set_says_what_was_read() -> None:
    found = judge([62, 65, 70, 61, 64], 60)
    assert (found.accept, found.take_more) == (True, False)
    assert found.why == "mean 64.4 um against 60, least 61, most 70"


def test_every_broken_rule_is_named() -> None:
    """ISO 19840 rules, from memory."""
    why = judge([40, 45, 50, 52, 200], 100, most_um=150).why
    assert "mean 77.4 um below 100 um" in why
    assert "40 um below 80 um, 80 % of nominal" in why
    assert "4 of 5 below 100 um, 20 % or more" in why
    assert "200 um above the maximum, 150 um" in why


@pytest.mark.parametrize(
    ("films", "accept"),
    [([58] + [65] * 4, False), ([58] + [65] * 5, True), ([58, 59] + [65] * 8, False)],
    ids=["one of five", "one of six", "two of ten"],
)
def test_fewer_than_one_in_five_may_be_thin(films: list[float], accept: bool) -> None:
    """ISO 19840 rule, from memory: 20 % of the readings below nominal are too many."""
    found = judge(films, 60)
    assert found.accept == accept
    assert ("below 60 um, 20 % or more" in found.why) != accept


def test_three_readings_are_too_few_to_lean_on() -> None:
    found = judge([65, 62, 70], 60)
    assert found.accept
    assert found.take_more
    assert found.why.endswith("take more: 3 readings of 5")


def test_a_spread_over_30_percent_asks_for_more() -> None:
    """Common practice, no source."""
    found = judge([62, 64, 66, 90, 61], 60)
    assert found.accept
    assert found.take_more
    assert "they differ by 42 % of the mean, over 30 %" in found.why
    assert not judge([62, 64, 66, 80, 61], 60).take_more


def test_a_larger_face_asks_for_more_readings() -> None:
    """ISO 19840 table, from memory: 15 on 7.5 m2."""
    assert not judge([62] * 15, 60, area_m2=7.5).take_more
    assert judge([62] * 14, 60, area_m2=7.5).why.endswith("take more: 14 readings of 15")


def test_the_sheets_own_most_goes_before_three_times_nominal() -> None:
    assert judge([70] * 4 + [90], 60).accept
    assert not judge([70] * 4 + [90], 60, most_um=80).accept


def test_a_correction_that_leaves_exactly_nominal_is_accepted() -> None:
    """72.3 less 12.3 is a hair under 60 in binary numbers."""
    assert judge([72.3] * 5, 60, correction_um=12.3).accept


@given(sets, st.floats(40, 120))
def test_the_mean_lies_between_least_and_most(readings: list[float], nominal_um: float) -> None:
    found = judge(readings, nominal_um)
    assert found.least_um <= found.mean_um + 1e-9
    assert found.mean_um <= found.most_um + 1e-9


@given(sets, st.floats(60, 120), st.floats(0, 20))
def test_a_lower_nominal_never_rejects_for_thin_film(
    readings: list[float], nominal_um: float, lower_um: float
) -> None:
    if judge(readings, nominal_um, most_um=9000).accept:
        assert judge(readings, nominal_um - lower_um, most_um=9000).accept


@given(sets, st.floats(40, 120), st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(
    readings: list[float], nominal_um: float, random: object
) -> None:
    mixed = list(readings)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    one, other = judge(readings, nominal_um), judge(mixed, nominal_um)
    assert (one.accept, one.take_more) == (other.accept, other.take_more)


@given(st.floats(0.001, 5000), st.floats(0.001, 5000))
def test_a_larger_area_never_asks_for_fewer(one: float, other: float) -> None:
    small, large = sorted((one, other))
    assert least_readings(small) <= least_readings(large)


@pytest.mark.parametrize(
    ("readings", "nominal_um", "more", "said"),
    [
        ([], 60, {}, "readings: read nothing"),
        ([60, math.nan, 61], 60, {}, "reading 2 nan um"),
        ([60, 61, 1e9], 60, {}, "reading 3 1e"),
        ([60] * 5, -60, {}, "nominal film -60 um: must be at least 40"),
        ([60] * 5, math.nan, {}, "nominal film nan um"),
        ([60] * 5, 60, {"correction_um": -1}, "correction -1 um: must be at least 0, up to 60"),
        ([20] * 5, 60, {"correction_um": 25}, "mean of -5 um, which is no film"),
        (
            [60] * 5,
            60,
            {"most_um": 50},
            "maximum film, not below nominal, 50 um: must be at least 60",
        ),
        ([60] * 5, 60, {"area_m2": 0}, "area 0 m2"),
    ],
)
def test_figures_that_cannot_be_are_refused(
    readings: list[float], nominal_um: float, more: dict[str, float], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        judge(readings, nominal_um, **more)
