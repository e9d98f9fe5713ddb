"""Ageing: time at temperature, progress over a log, temperature only ever stricter."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bench.trade import ageing
from bench.trade.ageing import Passing, Side, Stretch, TimeAt, TimeTable

HOUR = 3600.0
EPOXY: TimeTable = ((10.0, 24 * HOUR), (20.0, 16 * HOUR))
"""Full-build epoxy, first recoat: two generic data sheets (source seen) print 24 h and 16 h."""
THREE: TimeTable = ((10.0, 24 * HOUR), (20.0, 16 * HOUR), (30.0, 10 * HOUR))
ONE: TimeTable = ((20.0, 2 * HOUR),)
EDGES: list[Side] = ["opening", "closing"]


# --- time at one temperature --------------------------------------------------------------------


@pytest.mark.parametrize("edge", EDGES)
def test_a_listed_temperature_gives_the_sheets_own_time(edge: Side) -> None:
    for temp_c, seconds in THREE:
        assert ageing.time_at(THREE, temp_c, edge) == TimeAt(seconds, "sheet")


@pytest.mark.parametrize("edge", EDGES)
def test_between_two_points_ln_t_is_linear_in_1_over_kelvin(edge: Side) -> None:
    inverse = [1 / (temp_c + 273.15) for temp_c in (10.0, 15.0, 20.0)]
    share = (inverse[1] - inverse[0]) / (inverse[2] - inverse[0])
    expected = math.exp(math.log(24) * (1 - share) + math.log(16) * share)
    found = ageing.time_at(EPOXY, 15, edge)
    assert found.seconds / HOUR == pytest.approx(expected)
    assert found.basis == "between"


def test_warmth_beyond_the_sheet_never_shortens_a_wait() -> None:
    assert ageing.time_at(EPOXY, 35, "opening") == TimeAt(16 * HOUR, "sheet")
    assert ageing.time_at(ONE, 35, "opening") == TimeAt(2 * HOUR, "sheet")


def test_cold_beyond_the_sheet_never_lengthens_a_pot_life_or_a_window() -> None:
    assert ageing.time_at(EPOXY, 0, "closing") == TimeAt(24 * HOUR, "sheet")
    assert ageing.time_at(ONE, 0, "closing") == TimeAt(2 * HOUR, "sheet")


def test_one_listed_point_doubles_a_wait_over_the_first_10_c_colder_and_triples_it_beyond() -> None:
    """Epoxies take three to four times as long at 5 C as at 20 C (common practice, no source)."""
    assert ageing.time_at(ONE, 10, "opening") == TimeAt(4 * HOUR, "guess")
    at_5_c = ageing.time_at(ONE, 5, "opening")
    assert at_5_c.basis == "guess"
    assert at_5_c.seconds == pytest.approx(4 * HOUR * math.sqrt(3))
    assert 3 <= at_5_c.seconds / (2 * HOUR) <= 4


@pytest.mark.parametrize("table", [ONE, EPOXY])
def test_more_than_15_c_below_its_figures_no_opening_is_worked_out(table: TimeTable) -> None:
    coldest_c = table[0][0]
    ageing.time_at(table, coldest_c - 15, "opening")
    with pytest.raises(ValueError, match=r"coldest figure of the sheet.*type a figure"):
        ageing.time_at(table, coldest_c - 15.1, "opening")
    assert ageing.time_at(table, coldest_c - 15.1, "closing").basis == "sheet"


def test_colder_than_any_estimate_a_wait_stands_still_and_says_so() -> None:
    log = [Stretch(0, 20), Stretch(HOUR, 4), Stretch(5 * HOUR, 20)]
    assert ageing.passes_at(ONE, log, 0, "opening") == Passing(6 * HOUR, "none", 4 * HOUR)
    assert ageing.passes_at(ONE, log[:2], 0, "opening") == Passing(None, "none", 0.0)


def test_one_listed_point_falls_to_two_fifths_per_10_c_warmer_for_what_closes() -> None:
    """Stricter than a sheet of 7 d at 20 C and 3 d at 30 C (source seen), and than a pot-life page
    of 2 h at 20 C, 1 h at 30 C, half an hour at 40 C (source seen)."""
    week = 7 * 24 * HOUR
    at_30_c = ageing.time_at(((20.0, week),), 30, "closing")
    assert at_30_c == TimeAt(week / 2.5, "guess")
    assert at_30_c.seconds <= 3 * 24 * HOUR
    assert ageing.time_at(ONE, 30, "closing").seconds <= HOUR
    assert ageing.time_at(ONE, 40, "closing").seconds == pytest.approx(2 * HOUR / 2.5**2)


def test_outside_two_points_the_steeper_of_slope_and_rule_of_thumb_counts() -> None:
    flat: TimeTable = ((10.0, 24 * HOUR), (20.0, 20 * HOUR))
    steep: TimeTable = ((10.0, 24 * HOUR), (20.0, 6 * HOUR))
    assert ageing.time_at(flat, 0, "opening") == TimeAt(48 * HOUR, "outside")
    assert ageing.time_at(flat, 30, "closing") == TimeAt(8 * HOUR, "outside")
    colder, warmer = ageing.time_at(steep, 0, "opening"), ageing.time_at(steep, 30, "closing")
    assert colder.basis == warmer.basis == "outside"
    assert colder.seconds > 4 * 24 * HOUR
    assert 6 * HOUR / 4 < warmer.seconds < 6 * HOUR / 2.5


def test_a_mistyped_steep_table_gives_a_silly_time_not_a_fault() -> None:
    silly: TimeTable = ((20.0, 1e9), (20.1, 1e-3))
    assert ageing.time_at(silly, 5, "opening").seconds == pytest.approx(ageing.LONGEST_S)
    assert 0 < ageing.time_at(silly, 120, "closing").seconds <= ageing.SHORTEST_S


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ((), "empty table: give at least one temperature"),
        (((20.0, 0.0),), "time at 20 C, 0 s: must be over 0"),
        (((20.0, -5.0),), "time at 20 C, -5 s: must be over 0"),
        (((20.0, math.nan),), "time at 20 C, nan s"),
        (((20.0, 1e12),), "time at 20 C, 1e\\+12 s"),
        (((-41.0, 60.0),), "table temperature -41 C: must be at least -40, up to 120 C"),
        (((121.0, 60.0),), "table temperature 121 C"),
        (((20.0, 60.0), (10.0, 90.0)), "10 C comes after 20 C: list temperatures from cold"),
        (((20.0, 60.0), (20.0, 60.0)), "20 C and 20 C are the same temperature: keep one"),
        (((10.0, 60.0), (20.0, 90.0)), "warmer cannot be slower; are the two swapped"),
    ],
)
def test_a_table_that_cannot_be_right_is_refused(table: TimeTable, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        ageing.check_table(table)
    with pytest.raises(ValueError, match=told):
        ageing.time_at(table, 20, "opening")


@pytest.mark.parametrize("temp_c", [-40.5, 121.0, math.nan, math.inf])
def test_a_temperature_that_is_a_fault_is_refused(temp_c: float) -> None:
    with pytest.raises(ValueError, match=r"temperature .* C: must be at least -40, up to 120 C"):
        ageing.time_at(ONE, temp_c, "opening")
    with pytest.raises(ValueError, match=r"temperature .* C: must be"):
        ageing.passes_at(ONE, [Stretch(0.0, temp_c)], 0.0, "opening")


# --- over a log ---------------------------------------------------------------------------------


def test_a_cold_night_puts_the_recoat_off_to_07_05_next_morning() -> None:
    """16 h at 20 C, 24 h at 10 C; last face 10:25, 18 C until 17:30, then 11 C.

    ln t linear in 1/T: passes 13.60 h after the night begins, 20.68 h after the last face. A sum
    with ln t linear in degrees C would say 20.72 h, a naive 16 h would open at 02:25.
    """
    night_s = 7 * HOUR + 5 * 60
    passed = ageing.passes_at(EPOXY, [Stretch(0, 18), Stretch(night_s, 11)], 0, "opening")
    assert passed.at_s is not None
    assert (passed.at_s - night_s) / HOUR == pytest.approx(13.60, abs=0.005)
    assert passed.at_s / HOUR == pytest.approx(20.68, abs=0.005)
    assert passed.basis == "between"
    in_celsius = [16 * (24 / 16) ** ((20 - temp_c) / 10) for temp_c in (18, 11)]
    left = (1 - night_s / HOUR / in_celsius[0]) * in_celsius[1]
    assert night_s / HOUR + left == pytest.approx(20.72, abs=0.005)


def test_cold_nights_do_not_lengthen_the_time_until_the_window_closes() -> None:
    """7 days at 20 C from the first face (common practice, no source): still 7 days."""
    week = 7 * 24 * HOUR
    log = [
        Stretch(day * 24 * HOUR + h * HOUR, c) for day in range(9) for h, c in ((0, 18), (8, 11))
    ]
    assert ageing.passes_at(((20.0, week),), log, 0, "closing") == Passing(
        pytest.approx(week), "sheet", 0.0
    )


def test_under_its_least_temperature_nothing_ages_towards_an_opening() -> None:
    log = [Stretch(0, 20), Stretch(HOUR, 4), Stretch(7 * HOUR, 20)]
    passed = ageing.passes_at(ONE, log, 0, "opening", least_c=5)
    assert passed == Passing(8 * HOUR, "sheet", 6 * HOUR)
    assert ageing.progress(ONE, log, 0, 7 * HOUR, "opening", least_c=5) == 0.5
    at_the_limit = ageing.passes_at(ONE, [Stretch(0, 20)], 0, "opening", least_c=20)
    assert at_the_limit.at_s == 2 * HOUR


def test_under_its_least_temperature_a_pot_keeps_ageing() -> None:
    passed = ageing.passes_at(ONE, [Stretch(0, 4)], 0, "closing", least_c=5)
    assert passed == Passing(2 * HOUR, "sheet", 0.0)


def test_a_log_that_stays_under_the_least_temperature_never_passes() -> None:
    log = [Stretch(0, 4), Stretch(HOUR, 3)]
    assert ageing.passes_at(ONE, log, 0, "opening", least_c=5) == Passing(None, "sheet", HOUR)


def test_the_first_reading_holds_for_the_time_before_it() -> None:
    assert ageing.progress(ONE, [Stretch(5 * HOUR, 20)], 0, HOUR, "opening") == 0.5


def test_readings_before_the_beginning_do_not_count() -> None:
    log = [Stretch(-9 * HOUR, 40), Stretch(-HOUR, 30), Stretch(HOUR, 20)]
    passed = ageing.passes_at(ONE, log, 0, "closing")
    assert passed == Passing(2 * HOUR / 2.5, "guess", 0.0)


def test_the_weakest_figure_on_the_way_is_named() -> None:
    mixed = [Stretch(0, 20), Stretch(HOUR, 15), Stretch(2 * HOUR, 5)]
    assert ageing.passes_at(EPOXY, mixed, 0, "opening").basis == "outside"
    assert ageing.passes_at(EPOXY, mixed[:2], 0, "opening").basis == "between"
    assert ageing.passes_at(EPOXY, mixed[:1], 0, "opening").basis == "sheet"
    assert ageing.passes_at(ONE, [Stretch(0, 20), Stretch(HOUR, 19)], 0, "opening").basis == "guess"


def test_a_later_cold_stretch_does_not_mark_what_passed_before_it() -> None:
    log = [Stretch(0, 20), Stretch(17 * HOUR, -5)]
    assert ageing.passes_at(EPOXY, log, 0, "opening").basis == "sheet"


def test_no_reading_and_readings_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="needs at least one reading"):
        ageing.passes_at(ONE, [], 0, "opening")
    with pytest.raises(ValueError, match="list readings in order of time"):
        ageing.passes_at(EPOXY, [Stretch(0, 20), Stretch(60, 20), Stretch(30, 20)], 0, "opening")
    with pytest.raises(ValueError, match="end 5 s lies before the beginning 9 s"):
        ageing.progress(ONE, [Stretch(0, 20)], 9, 5, "opening")
    with pytest.raises(ValueError, match="beginning nan s: must be a number"):
        ageing.passes_at(ONE, [Stretch(0, 20)], math.nan, "opening")


def _oracle_rate(table: TimeTable, temp_c: float) -> float:
    """1 / t between the points of a table, by numpy's own interpolation."""
    inverse = [1 / (listed_c + 273.15) for listed_c, _ in table][::-1]
    logs = [math.log(seconds) for _, seconds in table][::-1]
    return math.exp(-float(np.interp(1 / (temp_c + 273.15), inverse, logs)))


@pytest.mark.parametrize("seed", range(5))
def test_the_sum_agrees_with_scipys_integral_over_an_irregular_log(seed: int) -> None:
    from scipy.integrate import quad  # slow to import, for each process of the tests
    from scipy.optimize import brentq

    draw = np.random.default_rng(seed)
    starts = np.concatenate([[0.0], np.cumsum(draw.exponential(1700.0, size=80))])
    temps = draw.uniform(10, 30, size=len(starts))
    log = [Stretch(float(s), float(c)) for s, c in zip(starts, temps, strict=True)]

    def rate(at_s: float) -> float:
        return _oracle_rate(THREE, float(temps[np.searchsorted(starts, at_s, "right") - 1]))

    def integral(until_s: float) -> float:
        edges = [500.0, *(float(s) for s in starts if 500.0 < s < until_s), until_s]
        return sum(quad(rate, a, b, epsabs=1e-13)[0] for a, b in pairwise(edges))

    end_s = float(starts[-1]) + 5000.0
    found = ageing.progress(THREE, log, 500.0, end_s, "opening")
    assert found == pytest.approx(integral(end_s), rel=1e-6)
    passed = ageing.passes_at(THREE, log, 500.0, "opening")
    assert found > 1
    assert passed.at_s == pytest.approx(
        brentq(lambda s: integral(s) - 1, 501.0, end_s, xtol=1e-6), abs=0.01
    )


# --- properties ---------------------------------------------------------------------------------


@st.composite
def tables(draw: st.DrawFn) -> TimeTable:
    temps = sorted(draw(st.sets(st.integers(-20, 60), min_size=1, max_size=4)))
    times = sorted(
        draw(st.lists(st.floats(60, 1e6), min_size=len(temps), max_size=len(temps))), reverse=True
    )
    return tuple((float(c), s) for c, s in zip(temps, times, strict=True))


@st.composite
def logs(draw: st.DrawFn) -> list[Stretch]:
    gaps = draw(st.lists(st.floats(0, 50_000), min_size=1, max_size=12))
    temps = draw(st.lists(st.floats(-20, 60), min_size=len(gaps), max_size=len(gaps)))
    at, log = 0.0, []
    for gap, temp_c in zip(gaps, temps, strict=True):
        at += gap
        log.append(Stretch(at, temp_c))
    return log


edges = st.sampled_from(EDGES)
leasts = st.one_of(st.none(), st.floats(-10, 30))
moments = st.lists(st.floats(-1e4, 1e6), min_size=3, max_size=3).map(sorted)


@given(tables(), logs(), moments, edges, leasts)
def test_ageing_is_additive_over_any_split_of_a_log(
    table: TimeTable, log: list[Stretch], at: list[float], edge: Side, least_c: float | None
) -> None:
    whole = ageing.progress(table, log, at[0], at[2], edge, least_c)
    first = ageing.progress(table, log, at[0], at[1], edge, least_c)
    rest = ageing.progress(table, log, at[1], at[2], edge, least_c)
    assert first + rest == pytest.approx(whole, rel=1e-9, abs=1e-12)


@given(tables(), logs(), moments, edges, leasts)
def test_ageing_never_runs_backwards(
    table: TimeTable, log: list[Stretch], at: list[float], edge: Side, least_c: float | None
) -> None:
    sooner = ageing.progress(table, log, at[0], at[1], edge, least_c)
    later = ageing.progress(table, log, at[0], at[2], edge, least_c)
    assert 0 <= sooner <= later * (1 + 1e-12)


@given(tables(), logs(), st.floats(-1e4, 1e6), edges, leasts)
def test_progress_reaches_1_when_it_passes_to_the_millisecond(
    table: TimeTable, log: list[Stretch], begin_s: float, edge: Side, least_c: float | None
) -> None:
    passed = ageing.passes_at(table, log, begin_s, edge, least_c)
    assume(passed.at_s is not None)
    assert passed.at_s is not None
    assert passed.at_s > begin_s
    before, after = (
        ageing.progress(table, log, begin_s, max(begin_s, at_s), edge, least_c)
        for at_s in (passed.at_s - 0.001, passed.at_s + 0.001)
    )
    assert before <= 1 + 1e-9
    assert after >= 1 - 1e-9


@given(tables(), logs(), st.integers(0, 11), st.floats(0, 1), edges)
def test_a_reading_that_changes_nothing_changes_nothing(
    table: TimeTable, log: list[Stretch], where: int, share: float, edge: Side
) -> None:
    here = where % len(log)
    after = log[here + 1].start_s if here + 1 < len(log) else log[here].start_s + 1000
    again = Stretch(log[here].start_s + share * (after - log[here].start_s), log[here].temp_c)
    more = [*log[: here + 1], again, *log[here + 1 :]]
    plain, with_it = (ageing.passes_at(table, each, 0, edge) for each in (log, more))
    assert with_it.basis == plain.basis
    assert (with_it.at_s is None) == (plain.at_s is None)
    assert (with_it.at_s or 0.0) == pytest.approx(plain.at_s or 0.0, rel=1e-9)


@given(tables(), st.floats(-40, 120), st.floats(-40, 120), edges)
def test_warmer_is_never_slower(table: TimeTable, one_c: float, two_c: float, edge: Side) -> None:
    cold_c, warm_c = sorted((one_c, two_c))
    cold, warm = (ageing.rate_at(table, each, edge)[0] for each in (cold_c, warm_c))
    assert cold <= warm * (1 + 1e-9)


@given(tables(), st.floats(-40, 120))
def test_a_wait_is_never_credited_and_a_limit_never_stretched(
    table: TimeTable, temp_c: float
) -> None:
    opens, closes = (ageing.rate_at(table, temp_c, edge)[0] for edge in EDGES)
    assert opens <= 1 / table[-1][1] * (1 + 1e-9)
    assert closes >= 1 / table[0][1] * (1 - 1e-9)
    assert opens <= closes * (1 + 1e-9)


# --- the two rates ------------------------------------------------------------------------------


def test_rates_are_1_at_the_reference() -> None:
    assert ageing.arrhenius_rate(23, 23, 50) == 1
    assert ageing.doubling_rate(23, 23) == 1


@pytest.mark.parametrize("ea_kj_mol", [0.0, -50.0, 301.0, math.nan])
def test_an_activation_energy_out_of_range_is_refused(ea_kj_mol: float) -> None:
    with pytest.raises(ValueError, match=r"activation energy .* must be over 0, up to 300 kJ/mol"):
        ageing.arrhenius_rate(10, 23, ea_kj_mol)


@given(st.floats(-40, 120), st.floats(-40, 120), st.floats(1, 150))
def test_there_and_back_the_rate_is_1(one_c: float, two_c: float, ea_kj_mol: float) -> None:
    there = ageing.arrhenius_rate(one_c, two_c, ea_kj_mol)
    assert there * ageing.arrhenius_rate(two_c, one_c, ea_kj_mol) == pytest.approx(1)


def test_two_points_of_a_table_are_a_tenth_of_a_degree_apart_at_least() -> None:
    ageing.check_table(((10.0, 7200.0), (10.11, 3600.0)))
    with pytest.raises(ValueError, match="are the same temperature: keep one"):
        ageing.check_table(((10.0, 7200.0), (10.095, 3600.0)))


def test_no_sheet_lists_more_than_a_hundred_years() -> None:
    century_s = 100 * 366 * 86400.0
    ageing.check_table(((10.0, century_s),))
    with pytest.raises(ValueError, match="up to"):
        ageing.check_table(((10.0, century_s + 1),))
