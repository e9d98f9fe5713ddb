"""Holidays as rules: which days have no hours, and what is said of a rule that cannot be used.

Dates: the calendar; Easter 2026 on 5 April: computed by python-dateutil's own Easter sum.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from bench.process.holidays import days_of, days_off, fault_of
from bench.process.temperature import Reading, stretches

from .making import HOURS, MON

CHRISTMAS = "FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=25"


@pytest.mark.parametrize(
    ("rule", "days"),
    [
        (CHRISTMAS, [date(2026, 12, 25)]),
        ("RRULE:" + CHRISTMAS, [date(2026, 12, 25)]),
        (CHRISTMAS.lower(), [date(2026, 12, 25)]),
        ("FREQ=YEARLY;BYEASTER=1", [date(2026, 4, 6)]),
        ("FREQ=YEARLY;BYMONTH=5;BYDAY=1MO", [date(2026, 5, 4)]),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29", []),
        ("FREQ=DAILY;BYMONTH=8", [date(2026, 8, day) for day in range(1, 32)]),
        (
            "DTSTART:20260803 RRULE:FREQ=DAILY;COUNT=3",
            [date(2026, 8, 3), date(2026, 8, 4), date(2026, 8, 5)],
        ),
        ("DTSTART:20251230 FREQ=DAILY;UNTIL=20260102", [date(2026, 1, 1), date(2026, 1, 2)]),
        ("DTSTART:20240105T090000Z FREQ=YEARLY;INTERVAL=2", [date(2026, 1, 5)]),
    ],
)
def test_a_rule_meets_these_days_of_2026(rule: str, days: list[date]) -> None:
    assert fault_of(rule) == ""
    assert sorted(days_of(rule, 2026)) == days


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        ("", "it has one FREQ, of YEARLY, MONTHLY, WEEKLY, DAILY"),
        ("25 December", "it has one FREQ"),
        ("FREQ=SECONDLY", "it has one FREQ"),
        ("FREQ=YEARLY;FREQ=DAILY", "it has one FREQ"),
        ("FREQ=YEARLY", "names no day: add BYMONTHDAY=25, BYDAY=MO or the like"),
        ("FREQ=YEARLY;BYMONTH=12", "names no day"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=MO", "counts: say from when, as DTSTART:20261224 before it"),
        ("FREQ=DAILY;COUNT=9", "counts: say from when"),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "meets no day: look at its month and day again"),
        ("FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30", "meets no day"),
        ("FREQ=YEARLY;BYMONTH=13;BYMONTHDAY=1", "meets no day"),
        ("FREQ=YEARLY;BYDAY=XX", "cannot be read: invalid 'BYDAY': XX"),
        ("FREQ=YEARLY;BYMOON=1;BYMONTHDAY=1", "cannot be read"),
        ("EXDATE:20260101 FREQ=DAILY", "cannot be read: one rule to a line, without RDATE"),
        ("FREQ=WEEKLY;BYDAY=MO\x1b[2J", "one line of up to 200 characters"),
        ("FREQ=WEEKLY;BYDAY=MO" + "," * 200, "one line of up to 200 characters"),
    ],
)
def test_a_rule_that_cannot_be_used_is_told_with_what_would_be_right(rule: str, told: str) -> None:
    fault = fault_of(rule)
    assert fault.startswith("holiday ")
    assert told in fault
    assert fault.isprintable()


def test_holidays_over_a_new_year() -> None:
    rules = (CHRISTMAS, "FREQ=YEARLY;BYMONTH=1;BYMONTHDAY=1")
    found = days_off(rules, date(2026, 12, 25), date(2027, 1, 1))
    assert found == {date(2026, 12, 25), date(2027, 1, 1)}
    assert days_off(rules, date(2026, 12, 26), date(2026, 12, 31)) == frozenset()


def test_a_holiday_has_no_shop_hours() -> None:
    christmas_eve = datetime(2026, 12, 24, 12, 0, tzinfo=UTC)
    closed = replace(HOURS, holidays=(CHRISTMAS,))
    assert [start.date().day for start, _ in HOURS.spans(christmas_eve, 3)] == [24, 25, 26]
    assert [start.date().day for start, _ in closed.spans(christmas_eve, 3)] == [24, 26]


def temperatures(hours: object, since: datetime, *readings: Reading) -> list[tuple[str, float]]:
    drawn = stretches(readings, hours, since)["opening"]  # type: ignore[arg-type]
    return [
        (f"{datetime.fromtimestamp(s.start_s, UTC):%a %H:%M}", s.temp_c)
        for s in drawn
        if s.start_s < (since + timedelta(days=2)).timestamp()
    ]


def test_on_a_holiday_the_shop_stays_as_cold_as_at_night() -> None:
    thursday = datetime(2026, 12, 24, 16, 0, tzinfo=UTC)
    closed = replace(HOURS, holidays=(CHRISTMAS,))
    assert temperatures(HOURS, thursday)[:3] == [
        ("Thu 16:00", 18.0),
        ("Thu 17:30", 11.0),
        ("Fri 07:30", 18.0),
    ]
    assert temperatures(closed, thursday)[:3] == [
        ("Thu 16:00", 18.0),
        ("Thu 17:30", 11.0),
        ("Sat 08:00", 18.0),
    ]


def test_the_night_after_a_closed_day_is_as_cold_as_any_other() -> None:
    """Saturday's warm reading tells nothing of Monday at five, though nobody shut on Sunday."""
    saturday = Reading(MON - timedelta(hours=47), 18.0)
    assert temperatures(HOURS, MON - timedelta(hours=3), saturday)[:2] == [
        ("Mon 05:00", 11.0),
        ("Mon 07:30", 18.0),
    ]
