"""How warm it was and is going to be: days, nights, and a usual night that was changed."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from bench.process.clocks.temperature import Forecast, Hours, Reading, UsualWeek, stretches
from bench.trade.ageing import Side

from ..making import HOURS, MON, after

WEDNESDAY_NOON = MON + timedelta(days=2, hours=4)
COLDER = replace(
    HOURS, night_c=5.0, before=(UsualWeek(WEDNESDAY_NOON, HOURS.days, HOURS.day_c, HOURS.night_c),)
)
"""Nights of 11 C until Wednesday noon, of 5 C from then on."""


def at(moment: datetime, hours: Hours, *readings: Reading, side: Side = "opening") -> float:
    """The temperature the bench takes for a moment, drawn from Monday on."""
    drawn = stretches(readings, hours, MON)[side]
    return drawn[bisect_right([s.start_s for s in drawn], moment.timestamp()) - 1].temp_c


def night(day: int) -> datetime:
    return MON + timedelta(days=day, hours=15)


def test_a_new_usual_night_leaves_the_nights_before_it_as_they_were() -> None:
    assert [at(night(day), HOURS) for day in range(4)] == [11.0] * 4
    assert [at(night(day), COLDER) for day in range(4)] == [11.0, 11.0, 5.0, 5.0]


def test_asked_for_in_the_middle_of_a_night_it_holds_from_that_hour() -> None:
    late = MON + timedelta(hours=14)
    hours = replace(HOURS, night_c=4.0, before=(UsualWeek(late, HOURS.days, 18.0, 11.0),))
    assert at(late - timedelta(minutes=1), hours) == 11.0
    assert at(late, hours) == 4.0
    assert at(late + timedelta(hours=1), hours) == 4.0


@pytest.mark.parametrize("side", ["opening", "closing"])
@pytest.mark.parametrize("read_c", [2.0, 8.0, 26.0])
@pytest.mark.parametrize("read_at", [MON, night(0)])
def test_a_reading_counts_as_it_stands_for_four_hours_by_day_and_by_night(
    read_at: datetime, read_c: float, side: Side
) -> None:
    read = Reading(read_at, read_c)
    assert at(read_at + timedelta(hours=3, minutes=59), HOURS, read, side=side) == read_c


@pytest.mark.parametrize(
    ("read_c", "by_day", "by_night"), [(26.0, 18.0, 11.0), (15.0, 15.0, 11.0), (8.0, 8.0, 8.0)]
)
def test_after_four_hours_an_opening_takes_the_colder_of_the_reading_and_what_is_usual(
    read_c: float, by_day: float, by_night: float
) -> None:
    # The house rule; 18 C days and 11 C nights are the shop's usual ones.
    read = Reading(MON, read_c)
    assert at(MON + timedelta(hours=4), HOURS, read) == by_day
    assert at(night(0), HOURS, read) == by_night
    assert at(night(1) - timedelta(hours=12), HOURS, read) == by_day


@pytest.mark.parametrize(("read_c", "later_c"), [(26.0, 26.0), (15.0, 18.0), (8.0, 18.0)])
def test_after_four_hours_a_closing_takes_the_warmer_of_the_reading_and_the_usual_day_at_night_too(
    read_c: float, later_c: float
) -> None:
    read = Reading(MON, read_c)
    for moment in (MON + timedelta(hours=4), night(0), night(1) - timedelta(hours=12)):
        assert at(moment, HOURS, read, side="closing") == later_c


def test_a_reading_taken_when_leaving_says_no_more_of_the_night_than_one_taken_before() -> None:
    """The shop closes at 17:30: five minutes make no night warmer."""
    before, after_it = (Reading(MON.replace(hour=17, minute=m), 18.0) for m in (25, 35))
    assert at(night(0), HOURS, before) == at(night(0), HOURS, after_it) == 11.0


def test_a_night_that_somebody_left_warmer_than_the_day_is_taken_warm_for_a_closing_only() -> None:
    odd = replace(HOURS, night_c=25.0)
    assert at(night(0), odd) == 18.0
    assert at(night(0), odd, side="closing") == 25.0


def test_days_keep_the_temperature_that_was_usual_then() -> None:
    warmer = replace(HOURS, day_c=21.0, before=(UsualWeek(WEDNESDAY_NOON, HOURS.days, 18.0, 11.0),))
    assert at(MON + timedelta(hours=2), warmer) == 18.0
    assert at(WEDNESDAY_NOON - timedelta(minutes=1), warmer) == 18.0
    assert at(WEDNESDAY_NOON, warmer) == 21.0


def test_past_days_keep_the_hours_they_had() -> None:
    short: tuple[tuple[time, time] | None, ...] = ((time(9), time(12)),) * 5 + (None, None)
    hours = replace(HOURS, days=short, before=(UsualWeek(WEDNESDAY_NOON, HOURS.days, 18.0, 11.0),))
    monday, tuesday, wednesday, thursday = hours.spans(MON, 4)
    assert (monday[0], monday[1]) == (
        MON.replace(hour=7, minute=30),
        MON.replace(hour=17, minute=30),
    )
    assert tuesday[1] - tuesday[0] == timedelta(hours=10)
    assert (wednesday[0].hour, wednesday[1]) == (7, WEDNESDAY_NOON), (
        "at noon the new hours are over"
    )
    assert (thursday[0].hour, thursday[1].hour) == (9, 12)


def test_hours_that_only_got_longer_are_one_stretch_on_the_day_of_the_change() -> None:
    longer: tuple[tuple[time, time] | None, ...] = ((time(7), time(20)),) * 5 + (None, None)
    hours = replace(HOURS, days=longer, before=(UsualWeek(WEDNESDAY_NOON, HOURS.days, 18.0, 11.0),))
    wednesday = [span for span in hours.spans(MON, 4) if span[0].day == WEDNESDAY_NOON.day]
    assert [(a.strftime("%H:%M"), b.strftime("%H:%M")) for a, b in wednesday] == [
        ("07:30", "20:00")
    ]


def test_two_changes_one_after_the_other() -> None:
    hours = replace(
        HOURS,
        night_c=2.0,
        before=(
            UsualWeek(night(0) - timedelta(hours=6), HOURS.days, 18.0, 11.0),
            UsualWeek(night(1) - timedelta(hours=6), HOURS.days, 18.0, 7.0),
        ),
    )
    assert [at(night(day), hours) for day in range(3)] == [7.0, 2.0, 2.0]


def test_readings_before_the_beginning_tell_only_by_the_last_of_them() -> None:
    many = [Reading(MON - timedelta(hours=n), 10.0 + n) for n in range(1, 200)]
    assert stretches(tuple(many), HOURS, MON) == stretches((many[0],), HOURS, MON)


def test_spans_are_aware_and_in_order_whatever_was_changed() -> None:
    spans = COLDER.spans(datetime(2026, 3, 1, tzinfo=UTC), 30)
    edges = [edge for span in spans for edge in span]
    assert edges == sorted(edges)
    assert all(edge.tzinfo is not None for edge in edges)


@pytest.mark.parametrize("minutes", [0, 1, 600, 5000])
def test_the_first_stretch_begins_where_it_is_asked_for(minutes: int) -> None:
    for drawn in stretches((), COLDER, after(minutes)).values():
        assert drawn[0].start_s == after(minutes).timestamp()


def test_a_night_that_was_forecast_is_that_of_its_date_from_noon_to_noon() -> None:
    hours = replace(HOURS, forecasts=(Forecast(MON.date(), 2.0, 18.0, MON - timedelta(days=1)),))
    noon = MON.replace(hour=12)
    second, day = timedelta(seconds=1), timedelta(days=1)
    moments = (noon - second, noon, noon + day - second, noon + day)
    assert [hours.expected_c(hours.usual()[-1], at, inside=False)[0] for at in moments] == [
        11,
        2,
        2,
        11,
    ]
