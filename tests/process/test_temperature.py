"""How warm it was and is going to be: days, nights, and a usual night that was changed."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from bench.process.temperature import Hours, Reading, Usual, stretches

from .making import HOURS, MON, after

WEDNESDAY_NOON = MON + timedelta(days=2, hours=4)
COLDER = replace(
    HOURS, night_c=5.0, before=(Usual(WEDNESDAY_NOON, HOURS.days, HOURS.day_c, HOURS.night_c),)
)
"""Nights of 11 C until Wednesday noon, of 5 C from then on."""


def at(moment: datetime, hours: Hours, *readings: Reading) -> float:
    """The temperature the bench reckons with at a moment, drawn from Monday on."""
    drawn = stretches(readings, hours, MON)
    return drawn[bisect_right([s.start_s for s in drawn], moment.timestamp()) - 1].temp_c


def night(day: int) -> datetime:
    return MON + timedelta(days=day, hours=15)


def test_a_new_usual_night_leaves_the_nights_before_it_as_they_were() -> None:
    assert [at(night(day), HOURS) for day in range(4)] == [11.0] * 4
    assert [at(night(day), COLDER) for day in range(4)] == [11.0, 11.0, 5.0, 5.0]


def test_asked_for_in_the_middle_of_a_night_it_holds_from_that_hour() -> None:
    late = MON + timedelta(hours=14)
    hours = replace(HOURS, night_c=4.0, before=(Usual(late, HOURS.days, 18.0, 11.0),))
    assert at(late - timedelta(minutes=1), hours) == 11.0
    assert at(late, hours) == 4.0
    assert at(late + timedelta(hours=1), hours) == 4.0


def test_a_reading_of_the_night_itself_holds_against_both() -> None:
    read = Reading(night(2), 8.0)
    assert at(night(2) + timedelta(hours=1), COLDER, read) == 8.0
    assert at(night(3), COLDER, read) == 5.0


def test_days_keep_the_temperature_that_was_usual_then() -> None:
    warmer = replace(HOURS, day_c=21.0, before=(Usual(WEDNESDAY_NOON, HOURS.days, 18.0, 11.0),))
    assert at(MON + timedelta(hours=2), warmer) == 18.0
    assert at(WEDNESDAY_NOON - timedelta(minutes=1), warmer) == 18.0
    assert at(WEDNESDAY_NOON, warmer) == 21.0


def test_past_days_keep_the_hours_they_had() -> None:
    short: tuple[tuple[time, time] | None, ...] = ((time(9), time(12)),) * 5 + (None, None)
    hours = replace(HOURS, days=short, before=(Usual(WEDNESDAY_NOON, HOURS.days, 18.0, 11.0),))
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
    hours = replace(HOURS, days=longer, before=(Usual(WEDNESDAY_NOON, HOURS.days, 18.0, 11.0),))
    wednesday = [span for span in hours.spans(MON, 4) if span[0].day == WEDNESDAY_NOON.day]
    assert [(a.strftime("%H:%M"), b.strftime("%H:%M")) for a, b in wednesday] == [
        ("07:30", "20:00")
    ]


def test_two_changes_one_after_the_other() -> None:
    hours = replace(
        HOURS,
        night_c=2.0,
        before=(
            Usual(night(0) - timedelta(hours=6), HOURS.days, 18.0, 11.0),
            Usual(night(1) - timedelta(hours=6), HOURS.days, 18.0, 7.0),
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
    assert stretches((), COLDER, after(minutes))[0].start_s == after(minutes).timestamp()
