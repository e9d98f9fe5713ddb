"""Holidays as rules: which days have no hours, and what is said of a rule that cannot be used.

Dates: the calendar; Easter 2026 on 5 April: computed by python-dateutil's own Easter sum.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from dateutil.rrule import rrulestr

from bench.process.ahead.attendance import holidays_between
from bench.process.calendar.holidays import (
    TooManySteps,
    _count_steps,
    days_of,
    days_off,
    fault_of,
    holiday_words,
    run_of_days,
)
from bench.process.clocks.temperature import Reading, stretches

from ..making import HOURS, MON

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


FROM_THE_YEAR_1 = "DTSTART:00010101 RRULE:FREQ=DAILY;BYMONTH=12;BYMONTHDAY=25"


def calls_of(work: Callable[[], object]) -> int:
    """How many functions of Python are called by some work, whatever the computer does beside it.

    Counted by a tracer: the work itself counts by the profiler.
    """
    calls = 0

    def count(*_: object) -> None:
        nonlocal calls
        calls += 1

    before = sys.gettrace()
    sys.settrace(count)
    try:
        work()
    finally:
        sys.settrace(before)
    return calls


def looked_at(rule: str) -> None:
    """What a start does with a rule, and three years of the calendar."""
    fault_of.cache_clear()
    days_of.cache_clear()
    assert fault_of(rule) == ""
    for year in (2026, 2027, 2028):
        days_of(rule, year)


def test_a_rule_from_the_year_1_costs_no_more_than_one_that_begins_today() -> None:
    today = FROM_THE_YEAR_1.replace("00010101", "20250101")
    looked_at(today)  # what is imported meanwhile
    assert days_of(FROM_THE_YEAR_1, 2026) == {date(2026, 12, 25)}
    costs = [calls_of(lambda rule=rule: looked_at(rule)) for rule in (today, FROM_THE_YEAR_1)]
    assert costs[1] < 2 * costs[0]


@pytest.mark.parametrize(
    "rule",
    [
        "DTSTART:{} RRULE:FREQ=DAILY;INTERVAL=10",
        "DTSTART:{} RRULE:FREQ=WEEKLY;INTERVAL=3;BYDAY=MO,FR",
        "DTSTART:{} RRULE:FREQ=WEEKLY;INTERVAL=2;WKST=SU",
        "DTSTART:{} RRULE:FREQ=MONTHLY;INTERVAL=5",
        "DTSTART:{} RRULE:FREQ=YEARLY;INTERVAL=2",
        "DTSTART:{} RRULE:FREQ=YEARLY;INTERVAL=3;BYDAY=1MO;BYMONTH=5",
        "DTSTART:{} RRULE:FREQ=DAILY;INTERVAL=3;UNTIL=20270630",
    ],
)
@pytest.mark.parametrize("begins", ["20190131", "20200229", "20251231", "20260704"])
def test_a_rule_begun_near_meets_the_days_that_it_meets_from_its_own_beginning(
    rule: str, begins: str
) -> None:
    """Outside opinion: python-dateutil, walking all the way."""
    written = rule.format(begins)
    for year in (2026, 2027, 2028):
        walked = rrulestr(written).between(
            datetime.fromisoformat(f"{year}-01-01"),
            datetime.fromisoformat(f"{year}-12-31T23:00"),
            inc=True,
        )
        assert sorted(days_of(written, year)) == [at.date() for at in walked]


@pytest.mark.parametrize(
    "rule",
    [
        "DTSTART:20260105 RRULE:FREQ=DAILY;INTERVAL=7;BYDAY=TU",
        "DTSTART:19900101 RRULE:FREQ=DAILY;COUNT=366;BYMONTH=12;BYMONTHDAY=25",
        "FREQ=YEARLY;BYEASTER=0;BYMONTH=2;BYMONTHDAY=30",
    ],
)
def test_a_rule_that_is_too_far_to_walk_is_refused_with_the_figure(rule: str) -> None:
    assert fault_of(rule).endswith(
        "takes over 50000 steps to work out: write it with UNTIL, or as the days themselves"
    )
    assert sys.getprofile() is None


def steps_after(look: Callable[[], object]) -> int:
    """How many more steps are counted after a look until it is too far."""

    def step() -> None:
        nonlocal steps
        steps += 1

    def walk() -> None:
        look()
        while True:
            step()

    steps = 0
    with pytest.raises(TooManySteps), _count_steps():
        walk()
    return steps


@pytest.mark.parametrize(("name", "days"), [("ydayset", 366), ("mdayset", 31), ("wdayset", 7)])
def test_a_year_a_month_and_a_week_that_are_looked_through_count_by_their_days(
    name: str, days: int
) -> None:
    """The functions of dateutil's are called so; a leap year has 366 days (the calendar)."""
    made: dict[str, Callable[[], object]] = {}
    exec(f"def {name}(): pass\ndef other(): pass", made)
    assert steps_after(made["other"]) - steps_after(made[name]) == days - 1


def test_a_shop_is_closed_for_a_year_at_the_most() -> None:
    assert (
        len(days_off((run_of_days(date(2027, 1, 1), 366),), date(2027, 1, 1), date(2030, 1, 1)))
        == 366
    )
    for days in (0, 367):
        with pytest.raises(ValueError, match="from 1 to 366"):
            run_of_days(date(2027, 1, 1), days)


def test_a_holiday_on_a_day_without_hours_is_none_that_is_missed() -> None:
    """1 March 2026 is a Sunday, the 2nd a Monday."""
    closed = replace(HOURS, holidays=("DTSTART:20260301 FREQ=DAILY;COUNT=2",))
    assert holidays_between(closed, MON - timedelta(days=3), MON) == (MON.date(),)


def test_a_day_of_every_year_is_told_in_words() -> None:
    assert holiday_words(CHRISTMAS) == "25 Dec, every year"
