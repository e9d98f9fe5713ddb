"""What a figure rests on: the stand says so, and its page says it in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from bench.process.clocks.estimate_basis import basis_words
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import StandState, stand_state
from bench.process.clocks.temperature import Forecast, Hours, Reading
from bench.process.sheets.product import Product
from bench.widgets.stand import next_lines, window_words

from ..making import HOURS, MON, after, around, band, coated, product

EPOXY = product(band("wait", c10=24, c20=16), band("open", c20=168), band("key"))
"""16 h at 20 C, 24 h at 10 C, 7 d: a generic data sheet (source seen)."""
ONE_POINT = product(band("wait", c20=16), band("open", c20=168), band("key"))
TYPED = replace(HOURS, typed=True)
BLOCK = 26
"""Columns of a stand at 80 columns, three across."""


def stand(paint: Product, now: datetime, *readings: Reading) -> StandState:
    part = coated(MON, MON)
    return stand_state(part, clocks_of(part, around(paint, *readings)), now)


def words(paint: Product, now: datetime, *readings: Reading, hours: Hours = TYPED) -> str:
    newest = max(readings, key=lambda r: r.at, default=None)
    return basis_words(stand(paint, now, *readings), newest, hours, now)


def test_the_page_says_reading_nights_and_where_the_figure_comes_from() -> None:
    read = Reading(MON, 20.0, 60.0, 17.5)
    assert words(ONE_POINT, after(36), read) == (
        "estimated from surface 17.5 C read 36 min ago, then 11 C nights: "
        "an estimate from one figure of the data sheet"
    )


def test_air_is_marked_where_the_metal_was_not_read() -> None:
    assert "air 18 C (surface not read) read 5 min ago" in words(
        EPOXY, after(5), Reading(MON, 18.0)
    )


@pytest.mark.parametrize(
    ("paint_c", "told"),
    [
        (20.0, "an estimate between two figures of the data sheet"),  # the night is 11 C
        (5.0, "colder than the data sheet lists, so longer than its slope"),
    ],
)
def test_between_the_points_of_the_sheet_and_colder_than_it_lists(
    paint_c: float, told: str
) -> None:
    assert told in words(EPOXY, after(10), Reading(MON, paint_c))


def test_a_reading_warmer_than_the_usual_day_is_said_to_give_way_to_it() -> None:
    assert "then 18 C days and 11 C nights" in words(EPOXY, after(10), Reading(MON, 20.0))
    assert "then 11 C nights" in words(EPOXY, after(10), Reading(MON, 17.0))


def test_a_closing_is_said_to_take_the_usual_day_where_that_is_warmer() -> None:
    paint = product(band("open", c20=168), band("key"))
    assert "ago, then 18 C:" in words(paint, after(10), Reading(MON, 17.0))
    assert "10 min ago: " in words(paint, after(10), Reading(MON, 19.0))


def test_a_colder_night_forecast_for_one_date_is_said() -> None:
    colder = replace(TYPED, forecasts=(Forecast(MON.date(), 2.0, 18.0, MON),))
    told = words(EPOXY, after(10), Reading(MON, 17.0), hours=colder)
    assert "then 11 C nights and 2 C forecast for Mon 02 Mar" in told


def test_a_mild_night_forecast_changes_nothing_and_is_not_said() -> None:
    for low_c in (TYPED.night_c, 15.0):
        mild = replace(TYPED, forecasts=(Forecast(MON.date(), low_c, 18.0, MON),))
        assert "forecast" not in words(EPOXY, after(10), Reading(MON, 17.0), hours=mild)


def test_a_placeholder_night_is_marked_as_one() -> None:
    told = words(EPOXY, after(10), Reading(MON, 18.0), hours=HOURS)
    assert "then 11? C nights" in told


def test_an_opening_within_the_same_day_rests_on_no_night() -> None:
    quick = product(band("wait", c20=2), band("open"))
    assert "night" not in words(quick, after(10), Reading(MON, 18.0))


def test_without_any_reading_it_is_a_guess_from_the_shops_usual_day() -> None:
    state = stand(EPOXY, after(10))
    assert state.basis == "guess"
    assert "?" in window_words(state, after(10))[0]
    told = words(EPOXY, after(10), hours=HOURS)
    assert told.startswith("estimated from the shop's usual 18? C, nobody read a thermometer")


def test_a_reading_over_four_hours_old_is_marked_on_the_stand_and_which_way_it_may_be_wrong() -> (
    None
):
    read = Reading(MON, 18.0)
    fresh, old = after(4 * 60), after(4 * 60 + 1)
    assert not stand(EPOXY, fresh, read).old
    assert window_words(stand(EPOXY, fresh, read), fresh)[0].startswith("opens ~Tue")
    assert stand(EPOXY, old, read).old
    assert window_words(stand(EPOXY, old, read), old)[0].startswith("opens ~old Tue")
    told = words(EPOXY, old, read)
    assert "read OLD, 4 h 01 min ago" in told
    assert "if it is colder by now, it opens later" in told
    assert "if it is warmer by now, it closes sooner" in told


def test_a_new_reading_takes_the_mark_away_and_moves_the_hour() -> None:
    now = after(5 * 60)
    old = stand(EPOXY, now, Reading(MON, 18.0))
    new = stand(EPOXY, now, Reading(MON, 18.0), Reading(now, 12.0))
    assert (old.old, new.old) == (True, False)
    assert old.opens is not None
    assert new.opens is not None
    assert new.opens.at > old.opens.at


def test_a_fixed_time_is_no_older_for_an_old_reading() -> None:
    fixed = product(band("wait", 24 * 60), band("open"))
    state = stand(fixed, after(600), Reading(MON, 18.0))
    assert (state.old, state.aged) == (False, False)
    assert words(fixed, after(600), Reading(MON, 18.0)) == ""


def test_once_it_is_try_it_the_wait_rests_on_nothing_any_more() -> None:
    only_waits = product(band("wait", c20=1), band("open"))
    now = after(6 * 60)
    state = stand(only_waits, now, Reading(MON, 20.0))
    assert (state.word, state.old) == ("TEST", False)


def test_a_window_that_closes_by_temperature_is_marked_by_its_own_figure() -> None:
    hot = Reading(MON, 30.0)
    state = stand(ONE_POINT, after(10), hot)
    opens, closes = window_words(state, after(10))
    assert opens.endswith("?")
    assert closes.startswith("closes ~")
    assert closes.endswith("?"), "half the time per 10 C over the sheet's one point is a guess"


def test_what_is_only_shut_for_now_says_it_rests_on_temperatures_too() -> None:
    paint = product(band("open", 60), band("shut", c20=48), band("open"))
    state = stand(paint, after(90), Reading(MON, 18.0))
    assert (state.word, state.aged) == ("KEEP OFF", True)
    assert "~" in window_words(state, after(90))[0]


def test_a_hold_does_not_hide_that_the_hour_is_a_guess() -> None:
    part = replace(coated(MON, MON), hold="phone")
    clocks = clocks_of(part, around(ONE_POINT, Reading(MON, 12.0)))
    state = stand_state(part, clocks, after(10))
    assert (state.word, state.basis, state.aged) == ("HOLD", "guess", True)


def test_a_night_under_the_least_temperature_is_told_as_a_standstill() -> None:
    # Nothing ages under the product's least temperature: the house rule, after its sheet.
    paint = replace(EPOXY, limits=replace(EPOXY.limits, metal_least_c=12.0))
    read = Reading(MON, 18.0)
    state = stand(paint, after(10), read)
    assert state.stalled_s > 0
    assert "at a standstill for 14 h of it, below its minimum C" in words(paint, after(10), read)


def test_an_old_reading_under_the_least_temperature_is_marked_as_old() -> None:
    paint = replace(EPOXY, limits=replace(EPOXY.limits, metal_least_c=12.0))
    now = after(5 * 60)
    state = stand(paint, now, Reading(MON, 6.0))
    assert state.old
    window, _ = next_lines(coated(MON, MON), state, now, BLOCK)
    assert window == "~old: too cold: it is not drying"


def test_a_cure_under_the_least_temperature_is_not_said_to_lack_a_figure() -> None:
    paint = product(band("open"), full_cure=((20.0, 7 * 86400.0),))
    part = coated(MON, MON, then="cure")
    state = stand_state(part, clocks_of(part, around(paint, Reading(MON, 2.0))), after(60))
    assert (state.word, state.note, state.test) == ("CURE", "too cold: it is not curing", "")


@pytest.mark.parametrize("days", [0, 3, 8, 40])
def test_every_wording_fits_a_stand_of_80_columns(days: int) -> None:
    slow = product(band("wait", c20=24 * (days + 1)), band("open", c20=24 * 90), band("key"))
    for minutes in (10, 5 * 60):
        now = after(minutes)
        state = stand(slow, now, Reading(MON, 9.0))
        for text in window_words(state, now, weekday=False):
            assert len(text) <= BLOCK, text


def test_two_readings_out_of_order_and_one_entered_late_give_the_same_figure() -> None:
    late = [Reading(after(240), 12.0), Reading(MON, 18.0), Reading(after(120), 15.0)]
    now = after(300)
    assert stand(EPOXY, now, *late) == stand(EPOXY, now, *sorted(late, key=lambda r: r.at))


def test_the_words_are_plain_ascii_and_name_a_length_of_time() -> None:
    told = words(EPOXY, after(600), Reading(MON - timedelta(days=1), 18.0))
    assert told.isascii()
    assert "1 d 10 h ago" in told or "34 h ago" in told


@pytest.mark.parametrize(("hours", "is_said"), [(3, False), (6, True)])
def test_an_opening_of_the_day_takes_the_usual_day_once_the_reading_is_old(
    hours: float, is_said: bool
) -> None:
    """A reading counts for four hours."""
    quick = product(band("wait", c20=hours), band("open"))
    told = words(quick, after(10), Reading(MON, 20.0))
    assert ("then 18 C days:" in told) is is_said
    assert "night" not in told
