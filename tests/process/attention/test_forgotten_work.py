"""Work in hand that was perhaps forgotten is asked about.

Twice the median of the log, from five times on, else closing time: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest

from bench.process.attention.alarms import current_alarms
from bench.process.attention.forgotten_work import asked_from
from bench.process.calendar.holidays import run_of_days
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import stand_state
from bench.process.parts.durations import Length
from bench.process.parts.part import StepRecord

from ..making import HOURS, MON, after, around, band, coated, product

WASH = coated(MON, MON, then="work").steps[1]
WORKING = replace(WASH, status="in hand", first_at=MON)
UNKNOWN = Length(timedelta(minutes=30))
CLOSES = after(9.5 * 60)
"""The shop of these tests closes at 17:30."""


@pytest.mark.parametrize(
    ("length", "asked"),
    [
        (Length(timedelta(minutes=30), 5, like="step"), after(60)),
        (Length(timedelta(minutes=30), 4, like="step"), CLOSES),
        (Length(timedelta(minutes=30), 9, like="tool"), CLOSES),
    ],
)
def test_work_is_asked_about_past_twice_its_usual_time_or_when_the_shop_closes(
    length: Length, asked: datetime
) -> None:
    assert asked_from(WORKING, length, HOURS) == asked


def test_what_is_not_in_hand_or_has_alarms_of_its_own_is_not_asked_about() -> None:
    timed = replace(WORKING, step=replace(WORKING.step, least_s=180, most_s=600))
    for record in (WASH, timed):
        assert asked_from(record, UNKNOWN, HOURS) is None


def asks(record: StepRecord, minutes: float) -> list[str]:
    part = coated(MON, MON, then="work")
    part = replace(part, steps=(part.steps[0], record))
    now = after(minutes)
    state = stand_state(part, clocks_of(part, around(product(band("open")))), now)
    return [
        alarm.want.text for alarm in current_alarms([(part, state)], (), now, (), {"1": after(60)})
    ]


def test_forgotten_work_raises_an_alarm_that_asks() -> None:
    assert asks(WORKING, 59) == []
    assert asks(WORKING, 60) == ["bracket: work started 08:00: still working? If not, finish it"]
    assert asks(WASH, 60) == []


@pytest.mark.parametrize(("days_off", "asked"), [(13, after(13 * 24 * 60 + 570)), (14, None)])
def test_after_a_fortnight_of_holidays_no_closing_asks_about_it(
    days_off: int, asked: datetime | None
) -> None:
    closed = replace(
        HOURS,
        days=((time(7, 30), time(17, 30)),) * 7,
        holidays=(run_of_days(MON.date(), days_off),),
    )
    assert asked_from(WORKING, UNKNOWN, closed) == asked
