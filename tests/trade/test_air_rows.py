"""Dew point, frost point, humidity and wet bulb against published tables and psychrolib.

psychrolib 2.5.0 gives the frost point below freezing, and below 0 C takes humidity over ice; ours
is over water, as hygrometers show it, so below 0 C the two are given the same vapour pressure.
"""

from __future__ import annotations

import csv
from datetime import timedelta

import psychrolib
import pytest

from bench.process.clocks import temperature
from bench.trade import air
from tests.humidity import rh_from_dew_point
from tests.published.rows import PUBLISHED, Row, load, named, unchecked

psychrolib.SetUnitSystem(psychrolib.SI)

DEW = named("air", r"DP-.*")
FROST = named("air", r"FP-.*")
WHOLE_DEGREES = named("air", r"MP-.*")
SPREAD_TABLE = named("air", r"TR3-\d+")
OVER_WATER = named("air", r"AS-(pws|ws)\+\d+")
OVER_ICE = named("air", r"AS-(pws|ws)-\d+", r"ICE-\d+")
HANDBOOK = named("air", "AS-ex1")
MARGIN = named("air", "MH-5F")
READ_AGAIN = named("air", "MH-4h")
MOST_RH = named("air", r"RH3-.*")
SPREAD = named("air", r"SPR-.*")
GATE = named("air", r"GATE-.*")
FAHRENHEIT = named("air", "EX-4")
WET = named("air", r"WB-.*")
WATER = named("air", r"AH-.*")
STATED = {row.id.removeprefix("723170TYA.CSV-"): row for row in load("weather")}

GRID = [(float(air_c), rh) for air_c in range(-10, 46) for rh in range(5, 101, 5)]
PRESSURES_HPA = (800.0, 1013.25)
SEA_LEVEL_PA = 101325.0


def test_every_row_is_checked() -> None:
    points = (DEW, FROST, WHOLE_DEGREES, SPREAD_TABLE, FAHRENHEIT)
    vapour = (OVER_WATER, OVER_ICE, HANDBOOK, WET, WATER)
    fit = (MOST_RH, SPREAD, GATE, MARGIN, READ_AGAIN)
    assert unchecked("air", *points, *vapour, *fit) == set()


@pytest.mark.parametrize("row", DEW)
def test_dew_point_over_water(row: Row) -> None:
    found = air.dew_point_c(row.input("T_air_C"), row.input("RH_pct"))
    assert found == pytest.approx(row.figures[0], abs=row.within)


@pytest.mark.parametrize("row", FROST)
def test_frost_point_over_ice(row: Row) -> None:
    found = air.frost_point_c(row.input("T_air_C"), row.input("RH_pct"))
    assert found == pytest.approx(row.figures[0], abs=row.within)


@pytest.mark.parametrize("row", WHOLE_DEGREES)
def test_dew_point_in_whole_degrees(row: Row) -> None:
    """Over water, also below freezing; one row is in Fahrenheit."""
    found = air.dew_point_c(row.input("T_air_C"), row.input("RH_pct"))
    shown = found * 1.8 + 32 if row.quantity.endswith("F") else found
    assert round(shown) == row.figures[0]


@pytest.mark.parametrize("row", SPREAD_TABLE)
def test_humidity_at_a_surface_so_far_above_the_dew_point(row: Row) -> None:
    """The table names no temperature: at 20 C ours lies within it, at 35 F of spread 1.3 over."""
    least, most = row.figures
    found = rh_from_dew_point(20, 20 - row.input("spread_C"))
    assert least <= found <= most + (1.5 if row.id == "TR3-35" else 0)


@pytest.mark.parametrize("row", OVER_WATER)
def test_full_air_over_water(row: Row) -> None:
    """Vapour pressure, or humidity ratio, which knows that air is no ideal gas: 0.4 % more."""
    full_pa = _full_pa(row.input("T_C"))
    if "-ws" in row.id:
        found = air.VAPOUR_TO_DRY_AIR * full_pa / (SEA_LEVEL_PA - full_pa)
        assert found == pytest.approx(row.figures[0], rel=0.01)
    else:
        assert full_pa == pytest.approx(row.figures[0], rel=0.003)


@pytest.mark.parametrize("row", OVER_ICE)
def test_air_full_over_ice_is_at_its_frost_point(row: Row) -> None:
    """Humidity counts over water, so that air full over ice has less than 100 %.

    The handbook's water content over ice lies up to 0.8 % over an ideal gas: 0.13 C of frost point.
    """
    at_c, printed = row.input("T_C"), row.figures[0]
    full_pa = _full_pa(at_c)
    if "-ws" in row.id:
        share = printed * SEA_LEVEL_PA / (air.VAPOUR_TO_DRY_AIR + printed) / full_pa
    elif "-pws" in row.id:
        share = printed / full_pa
    else:
        share = printed / air.absolute_humidity_g_m3(at_c, 100)
    most = row.within if row.id.startswith("ICE") else 0.06
    assert air.frost_point_c(at_c, 100 * share) == pytest.approx(at_c, abs=most)


@pytest.mark.parametrize("row", HANDBOOK)
def test_wet_bulb_of_a_handbook_example(row: Row) -> None:
    dew_c, rh_pct = row.figures
    found = air.rh_from_wet_bulb(row.input("T_air_C"), row.input("T_wet_C"))
    assert found == pytest.approx(rh_pct, abs=1)
    assert air.dew_point_c(row.input("T_air_C"), found) == pytest.approx(dew_c, abs=0.5)


@pytest.mark.parametrize("row", MARGIN)
def test_our_margin_is_no_less_than_published(row: Row) -> None:
    """5 F are 2.8 C; ours is 3 C."""
    assert row.figures[1] <= air.DEW_MARGIN_C < row.figures[1] + 0.5


@pytest.mark.parametrize("row", READ_AGAIN)
def test_conditions_are_read_as_often_as_published(row: Row) -> None:
    assert timedelta(hours=row.figures[0]) == temperature.READ_AGAIN


@pytest.mark.parametrize("row", MOST_RH)
def test_metal_at_air_temperature_loses_its_3_c_margin_before_85_percent(row: Row) -> None:
    air_c = row.input("T_air_C")
    most = rh_from_dew_point(air_c, air_c - row.input("margin_C"))
    assert most == pytest.approx(row.figures[0], abs=row.within)
    assert most < air.MOST_RH_PCT
    assert air.verdict(air_c, most - 0.1, air_c).fit
    assert not air.verdict(air_c, most + 0.1, air_c).fit


@pytest.mark.parametrize("row", SPREAD)
def test_air_at_85_percent_stands_less_than_3_c_above_its_dew_point(row: Row) -> None:
    air_c = row.input("T_air_C")
    spread = air_c - air.dew_point_c(air_c, row.input("RH_pct"))
    assert spread == pytest.approx(row.figures[0], abs=row.within)


@pytest.mark.parametrize("row", GATE)
def test_margin_and_humidity_decide_together(row: Row) -> None:
    found = air.verdict(row.input("T_air_C"), row.input("RH_pct"), row.input("T_steel_C"))
    assert found.margin_c == pytest.approx(row.figures[0], abs=row.within)
    assert found.fit is row.expected.endswith("PASS")


@pytest.mark.parametrize("row", FAHRENHEIT)
def test_printed_chart_in_fahrenheit(row: Row) -> None:
    dew_f = air.dew_point_c((row.input("T_air_F") - 32) / 1.8, row.input("RH_pct")) * 1.8 + 32
    assert dew_f == pytest.approx(row.figures[0], abs=row.within)


@pytest.mark.parametrize("row", WET)
def test_whirling_hygrometer_at_sea_level(row: Row) -> None:
    air_c = row.input("T_dry_C")
    rh_pct = air.rh_from_wet_bulb(air_c, row.input("T_wet_C"))
    assert rh_pct == pytest.approx(row.figures[0], abs=0.6)
    assert air.dew_point_c(air_c, rh_pct) == pytest.approx(row.figures[1], abs=0.2)


@pytest.mark.parametrize("row", WATER)
def test_water_in_full_air(row: Row) -> None:
    """Ours, an ideal gas, lies up to 0.5 % under the handbook."""
    found = air.absolute_humidity_g_m3(row.input("T_C"), 100)
    assert found == pytest.approx(row.figures[0], abs=row.within)


def test_dew_and_frost_point_agree_with_psychrolib_to_a_tenth() -> None:
    """Worst seen 0.04 C for the dew point and 0.02 C for the frost point."""
    for air_c, rh_pct in GRID:
        vapour_pa = rh_pct / 100 * _full_pa(air_c)
        theirs = psychrolib.GetTDewPointFromVapPres(max(air_c, 10.0), vapour_pa)
        frost_c = air.frost_point_c(air_c, rh_pct)
        ours = air.dew_point_c(air_c, rh_pct) if frost_c is None else frost_c
        assert ours == pytest.approx(theirs, abs=0.1), (air_c, rh_pct)
        if air_c >= 0:
            same = psychrolib.GetTDewPointFromRelHum(air_c, rh_pct / 100)
            assert ours == pytest.approx(same, abs=0.1), (air_c, rh_pct)


@pytest.mark.parametrize("pressure_hpa", PRESSURES_HPA)
def test_wet_bulb_agrees_with_psychrolib_to_a_tenth(pressure_hpa: float) -> None:
    """The wet bulb that we would read as this humidity is psychrolib's, worst seen 0.03 C."""
    for air_c, rh_pct in GRID:
        theirs = _their_wet_bulb_c(air_c, rh_pct, pressure_hpa)
        if theirs is None:
            continue
        ours = _our_wet_bulb_c(air_c, rh_pct, pressure_hpa, frozen=theirs < 0)
        assert ours == pytest.approx(theirs, abs=0.1), (air_c, rh_pct)


@pytest.mark.parametrize("pressure_hpa", PRESSURES_HPA)
def test_dew_point_by_way_of_the_wet_bulb_to_a_tenth(pressure_hpa: float) -> None:
    """At 5 % humidity 0.15 C: there 0.01 C on the wet bulb is already 0.07 C of dew point."""
    for air_c, rh_pct in GRID:
        theirs = _their_wet_bulb_c(air_c, rh_pct, pressure_hpa)
        if theirs is None or theirs > air_c:
            continue
        read = air.rh_from_wet_bulb(air_c, theirs, pressure_hpa)
        assert read == pytest.approx(rh_pct, abs=0.1)
        most = 0.1 if rh_pct >= 10 else 0.15
        straight = air.dew_point_c(air_c, rh_pct)
        assert air.dew_point_c(air_c, read) == pytest.approx(straight, abs=most), (air_c, rh_pct)


def test_a_year_of_weather() -> None:
    """Dew point over a typical year of 8,760 hours (pvlib 0.16.1, 723170TYA.CSV, TMY3).

    Hours with the dew point under 0 C are left out, since the file changes branch there, and six
    hours either side of each month: the months are spliced from different years, and 20 of the 20
    differences over 1 C lie there. What is left is the rounding of whole percents of humidity.
    """
    with (PUBLISHED / "weather_year.csv").open(newline="", encoding="utf-8") as file:
        hours = list(csv.DictReader(file))
    assert len(hours) == STATED["shape"].figures[0] == 8760
    seams = [0, len(hours)] + [
        n for n in range(1, len(hours)) if hours[n]["month"] != hours[n - 1]["month"]
    ]
    near_a_seam = {n for seam in seams for n in range(seam - 6, seam + 6)}
    differences = [
        abs(air.dew_point_c(float(hour["air_c"]), float(hour["rh_pct"])) - float(hour["dew_c"]))
        for n, hour in enumerate(hours)
        if float(hour["dew_c"]) >= 0 and n not in near_a_seam
    ]
    count, mean, most = STATED["seam-Td>=0"].figures
    assert len(differences) == count
    assert sum(differences) / len(differences) == pytest.approx(mean, abs=0.01)
    assert max(differences) == pytest.approx(most, abs=0.01)


@pytest.mark.parametrize("row", named("weather", r".*-r\d+"))
def test_single_hours_of_that_year(row: Row) -> None:
    air_c, dew_c, rh_pct, _ = row.figures
    assert air.dew_point_c(air_c, rh_pct) == pytest.approx(dew_c, abs=0.1)


def _full_pa(air_c: float) -> float:
    """Pressure of full air over water, from the sums' own water content (ideal gas)."""
    grams = air.absolute_humidity_g_m3(air_c, 100)
    return grams / 1000 * air.VAPOUR_G_K_J * (air_c + air.ZERO_C_IN_K)


def _their_wet_bulb_c(air_c: float, rh_pct: float, pressure_hpa: float) -> float | None:
    """None where the air is more than full over ice: psychrolib has no wet bulb there."""
    if air_c >= 0:
        return float(psychrolib.GetTWetBulbFromRelHum(air_c, rh_pct / 100, pressure_hpa * 100))
    vapour_pa = rh_pct / 100 * _full_pa(air_c)
    if vapour_pa >= psychrolib.GetSatVapPres(air_c):
        return None
    water = psychrolib.GetHumRatioFromVapPres(vapour_pa, pressure_hpa * 100)
    return float(psychrolib.GetTWetBulbFromHumRatio(air_c, water, pressure_hpa * 100))


def _our_wet_bulb_c(air_c: float, rh_pct: float, pressure_hpa: float, frozen: bool) -> float:
    dry, wet = (-40.0, min(air_c, -1e-9)) if frozen else (0.0, air_c)
    for _ in range(60):
        middle = (dry + wet) / 2
        try:
            read = air.rh_from_wet_bulb(air_c, middle, pressure_hpa)
        except ValueError:
            read = 0.0
        dry, wet = (middle, wet) if read < rh_pct else (dry, middle)
    return wet
