"""The air round the part: dew point, margin, wet bulb, and whether it is fit to coat in."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade import air
from tests.humidity import rh_from_dew_point

airs = st.floats(-40, 60)
humidities = st.floats(1, 100)
metals = st.floats(-40, 120)


def test_below_freezing_the_frost_point_is_named_beside_the_dew_point() -> None:
    assert air.frost_point_c(20, 70) is None
    frost_c = air.frost_point_c(5, 40)
    assert frost_c is not None
    assert frost_c - air.dew_point_c(5, 40) == pytest.approx(0.9, abs=0.05)


def test_at_freezing_there_is_no_frost_point_beside_the_dew_point() -> None:
    assert air.dew_point_c(0, 100) == pytest.approx(0, abs=1e-9)
    assert air.frost_point_c(0, 100) is None
    assert air.frost_point_c(0, 99) is not None


def test_metal_2_3_c_above_the_dew_point_is_stopped_and_told_how_far_to_warm() -> None:
    """3 C and 85 %: application-conditions pages (source seen)."""
    found = air.verdict(16, 71, 13)
    assert not found.fit
    assert found.margin_c == pytest.approx(2.3, abs=0.05)
    assert found.warm_by_c == pytest.approx(0.7, abs=0.05)
    assert found.against == (
        "surface 13 C is 2.3 C above the dew point 10.7 C: warm it to 13.8 C or more",
    )


def test_every_broken_limit_is_told() -> None:
    found = air.verdict(20, 95, 4, metal_least_c=5)
    assert found.against == (
        "surface 4 C is 15.2 C below the dew point 19.2 C: warm it to 22.2 C or more",
        "humidity 95 % is over 85 %: dry or warm the air",
        "surface 4 C is below its minimum of 5 C: warm it",
    )
    hot = air.verdict(30, 40, 50, metal_most_c=40)
    assert hot.against == ("surface 50 C is above its maximum of 40 C: let it cool",)


def test_in_frost_the_margin_is_taken_from_the_frost_point_the_stricter() -> None:
    found = air.verdict(5, 40, -5)
    assert found.frost_point_c is not None
    assert found.margin_c == pytest.approx(-5 - found.frost_point_c)
    assert found.against[0].startswith("surface -5 C is 1.6 C above the frost point -6.6 C")


def test_exactly_3_c_of_margin_and_exactly_85_percent_are_fit() -> None:
    dew_c = air.dew_point_c(20, 85)
    assert air.verdict(20, 85, dew_c + 3).fit
    assert not air.verdict(20, 85.1, 30).fit


def test_a_product_may_ask_for_more() -> None:
    assert air.verdict(20, 60, 16).fit
    assert not air.verdict(20, 60, 16, margin_least_c=5).fit
    assert not air.verdict(20, 60, 16, rh_most_pct=50).fit


def test_a_dry_wick_or_swapped_bulbs_are_refused() -> None:
    with pytest.raises(ValueError, match="wet the wick, whirl again, and see which bulb is which"):
        air.rh_from_wet_bulb(30, 8)
    with pytest.raises(ValueError, match="wet bulb 25 C: must be at least -40, up to 20 C"):
        air.rh_from_wet_bulb(20, 25)
    with pytest.raises(ValueError, match=r"pressure 1.013 hPa: must be at least 600, up to 1100"):
        air.rh_from_wet_bulb(25, 20, 1.013)


def test_equal_bulbs_are_full_air() -> None:
    assert air.rh_from_wet_bulb(20, 20) == pytest.approx(100)


def test_thin_air_reads_damper_for_the_same_bulbs() -> None:
    assert air.rh_from_wet_bulb(25, 20, 800) > air.rh_from_wet_bulb(25, 20) + 2


@pytest.mark.parametrize("rh_pct", [0.0, -1.0, 100.1, 120.0, math.nan])
def test_humidity_out_of_range_is_refused(rh_pct: float) -> None:
    with pytest.raises(ValueError, match=r"humidity .* %: must be at least 1, up to 100 %"):
        air.dew_point_c(20, rh_pct)
    with pytest.raises(ValueError, match=r"humidity .* %: must be at least 1, up to 100 %"):
        air.verdict(20, rh_pct, 20)


@pytest.mark.parametrize("air_c", [-40.1, 60.1, 293.0, math.inf])
def test_air_out_of_range_is_refused(air_c: float) -> None:
    with pytest.raises(ValueError, match=r"air .* C: must be at least -40, up to 60 C"):
        air.dew_point_c(air_c, 50)
    with pytest.raises(ValueError, match=r"air .* C"):
        air.absolute_humidity_g_m3(air_c, 50)


def test_metal_and_limits_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match="surface 288 C: must be at least -40, up to 120 C"):
        air.verdict(20, 50, 288)
    with pytest.raises(ValueError, match="minimum margin above dew point 31 C"):
        air.verdict(20, 50, 20, margin_least_c=31)
    with pytest.raises(ValueError, match="maximum humidity 101 %"):
        air.verdict(20, 50, 20, rh_most_pct=101)


@given(airs, humidities)
def test_dew_point_is_never_above_the_air(air_c: float, rh_pct: float) -> None:
    assert air.dew_point_c(air_c, rh_pct) <= air_c + 1e-9


@given(airs, humidities)
def test_humidity_comes_back_from_the_dew_point(air_c: float, rh_pct: float) -> None:
    dew_c = min(air.dew_point_c(air_c, rh_pct), air_c)
    assert rh_from_dew_point(air_c, dew_c) == pytest.approx(rh_pct)


@given(airs, humidities, humidities)
def test_damper_air_has_a_higher_dew_point(air_c: float, one: float, two: float) -> None:
    dry, damp = sorted((one, two))
    assert air.dew_point_c(air_c, dry) <= air.dew_point_c(air_c, damp)


@given(airs, humidities)
def test_frost_forms_before_dew(air_c: float, rh_pct: float) -> None:
    frost_c = air.frost_point_c(air_c, rh_pct)
    if frost_c is not None:
        assert air.dew_point_c(air_c, rh_pct) - 0.01 <= frost_c <= 0.01


@given(airs, humidities, metals)
def test_warming_the_metal_as_told_gives_the_margin(
    air_c: float, rh_pct: float, metal_c: float
) -> None:
    before = air.verdict(air_c, rh_pct, metal_c)
    assert before.warm_by_c >= 0
    warmed_c = metal_c + before.warm_by_c
    after = air.verdict(air_c, rh_pct, warmed_c)
    assert after.fit == (rh_pct <= air.MOST_RH_PCT)


@given(st.floats(0, 60), st.floats(0, 30), st.floats(600, 1100))
def test_a_bigger_fall_of_the_wet_bulb_is_drier_air(
    air_c: float, fall_c: float, pressure_hpa: float
) -> None:
    wet_c = air_c - fall_c
    if wet_c < 0:
        return
    try:
        rh_pct = air.rh_from_wet_bulb(air_c, wet_c, pressure_hpa)
        drier = air.rh_from_wet_bulb(air_c, max(0.0, wet_c - 0.5), pressure_hpa)
    except ValueError:
        return
    assert 1 <= drier <= rh_pct <= 100
