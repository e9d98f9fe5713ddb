"""Flow cups: seconds and viscosity, refusals, thinner for a target."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade.cups import (
    CUPS,
    Cup,
    CupReading,
    range_mm2_s,
    seconds_through,
    thinner_to_reach,
    viscosity_mm2_s,
)

cups = st.sampled_from(list(CUPS.values()))
shares = st.floats(0, 1)


def _seconds(cup: Cup, share: float) -> float:
    return cup.least_s + share * (cup.most_s - cup.least_s)


@given(cups, shares)
def test_seconds_come_back_from_their_viscosity(cup: Cup, share: float) -> None:
    seconds = _seconds(cup, share)
    assert seconds_through(cup.key, viscosity_mm2_s(cup.key, seconds)) == pytest.approx(seconds)


@given(cups, shares, shares)
def test_a_longer_time_is_a_thicker_paint(cup: Cup, one: float, other: float) -> None:
    short, long = sorted((_seconds(cup, one), _seconds(cup, other)))
    assert viscosity_mm2_s(cup.key, short) <= viscosity_mm2_s(cup.key, long)


@pytest.mark.parametrize("cup", CUPS.values(), ids=lambda cup: cup.key)
def test_each_cup_is_refused_just_outside_its_times(cup: Cup) -> None:
    for seconds in (cup.least_s - 0.1, cup.most_s + 0.1, 0, -5, math.nan, math.inf):
        with pytest.raises(ValueError, match=f"wanted {cup.least_s:g} to {cup.most_s:g} s"):
            viscosity_mm2_s(cup.key, seconds)
    least, most = range_mm2_s(cup.key)
    for viscosity in (least * 0.99, most * 1.01, -1, math.nan):
        with pytest.raises(ValueError, match="which it does not measure"):
            seconds_through(cup.key, viscosity)


def test_a_paint_too_thin_for_the_cup_is_sent_to_a_finer_one() -> None:
    with pytest.raises(ValueError, match=r"read 18 s, .* a finer cup: ISO 2431 cup, 3 mm"):
        viscosity_mm2_s("iso4", 18)


def test_a_paint_too_thick_for_the_cup_is_sent_to_a_coarser_one() -> None:
    with pytest.raises(ValueError, match=r"read 130 s, .* a coarser cup: Ford cup 5"):
        viscosity_mm2_s("ford4", 130)


def test_the_coarsest_cup_has_no_other_to_offer() -> None:
    with pytest.raises(ValueError, match=r"wanted 20 to 80 s$"):
        viscosity_mm2_s("zahn5", 81)


@pytest.mark.parametrize("key", ["din4", "ISO 4", "", "4"])
def test_seconds_without_a_known_cup_mean_nothing(key: str) -> None:
    with pytest.raises(ValueError, match="cups do not convert; wanted the cup the reading"):
        viscosity_mm2_s(key, 30)


@given(
    ratio=st.floats(1.05, 1.6),
    first_pct=st.floats(0, 10),
    more_pct=st.floats(2, 15),
    wanted_pct=st.floats(0, 60),
)
def test_thinner_is_found_for_a_paint_that_keeps_the_rule(
    ratio: float, first_pct: float, more_pct: float, wanted_pct: float
) -> None:
    """A made-up paint whose viscosity falls by ``ratio`` for each tenth of thinner in the whole."""

    def seconds(thinner_pct: float) -> float:
        share = thinner_pct / (100 + thinner_pct)
        return seconds_through("ford4", 350 / ratio ** (10 * share))

    readings = [CupReading(pct, seconds(pct)) for pct in (first_pct, first_pct + more_pct)]
    found = thinner_to_reach("ford4", readings[0], readings[1], seconds(wanted_pct))
    assert found.thinner_pct == pytest.approx(wanted_pct, abs=0.01)


def test_thinner_does_not_depend_on_which_reading_comes_first() -> None:
    one, two = CupReading(0, 60), CupReading(10, 40)
    assert thinner_to_reach("ford4", one, two, 30) == thinner_to_reach("ford4", two, one, 30)


def test_a_target_between_the_readings_is_not_beyond_them() -> None:
    found = thinner_to_reach("ford4", CupReading(0, 60), CupReading(10, 40), 50)
    assert 0 < found.thinner_pct < 10
    assert not found.beyond_readings


def test_as_much_thinner_as_paint_is_the_most_that_is_answered() -> None:
    """A slip's limit, a house rule: one second faster would take more."""
    found = thinner_to_reach("ford4", CupReading(0, 60), CupReading(100, 30), 30)
    assert found.thinner_pct == 100
    with pytest.raises(ValueError, match="more thinner than paint"):
        thinner_to_reach("ford4", CupReading(0, 60), CupReading(100, 30), 29)
    with pytest.raises(ValueError, match="thinner"):
        thinner_to_reach("ford4", CupReading(0, 60), CupReading(100.1, 30), 40)


def test_the_target_of_a_reading_is_its_own_thinner() -> None:
    found = thinner_to_reach("iso4", CupReading(0, 80), CupReading(5, 60), 80)
    assert found.thinner_pct == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("first", "second", "target_s", "said"),
    [
        (CupReading(5, 60), CupReading(5, 50), 40, "5 % thinner in both readings"),
        (CupReading(0, 60), CupReading(5, 60), 40, "more thinner must run faster"),
        (CupReading(0, 50), CupReading(5, 60), 40, "more thinner must run faster"),
        (CupReading(0, 60), CupReading(10, 40), 70, "thinner does not come out again"),
        (CupReading(0, 60), CupReading(10, 58), 20, "more thinner than paint"),
        (CupReading(-5, 60), CupReading(10, 58), 50, "thinner -5 %: must be at least 0"),
        (CupReading(0, 60), CupReading(10, 40), 12, "wanted 20 to 100 s"),
        (CupReading(0, 160), CupReading(10, 40), 30, "wanted 20 to 100 s"),
    ],
)
def test_readings_that_cannot_answer_are_refused(
    first: CupReading, second: CupReading, target_s: float, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        thinner_to_reach("ford4", first, second, target_s)


def test_a_viscosity_a_thousandth_past_what_a_cup_measures_is_still_its_edge() -> None:
    """What a table rounds."""
    for edge, past in zip(range_mm2_s("ford4"), (-0.00095, 0.00095), strict=True):
        assert seconds_through("ford4", edge * (1 + past)) > 0
        with pytest.raises(ValueError, match="which it does not measure"):
            seconds_through("ford4", edge * (1 + past * 1.1))


def test_the_finest_zahn_cup_goes_by_its_line() -> None:
    """1.1 x (60 - 29): the coefficients of ASTM D4212, whose line for it has no third one."""
    assert viscosity_mm2_s("zahn1", 60) == pytest.approx(34.1)
