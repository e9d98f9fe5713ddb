"""Which old readings of a probe stay. 31 days, hours and extremes: common practice, no source.

14 and 60 days after a coat: house rules of ``bench.shop.records.job_record``.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from bench.process.clocks.reading_thinning import (
    TimeSpan,
    WorkedStep,
    readings_to_drop,
    spans_of,
    whole_hours_before,
)
from bench.process.clocks.temperature import Reading

NOON = datetime(2025, 6, 9, 12, tzinfo=UTC)

Figures = tuple[float, float | None, float | None]
"""Air in C, humidity in percent, surface in C."""


def every_ten_minutes(*figures: Figures) -> list[Reading]:
    """Readings from noon on, numbered from 0."""
    return [
        Reading(NOON + timedelta(minutes=10 * n), air_c, rh_pct, metal_c, n)
        for n, (air_c, rh_pct, metal_c) in enumerate(figures)
    ]


def air(*air_c: float) -> list[Reading]:
    return every_ten_minutes(*((c, None, None) for c in air_c))


def staying(readings: list[Reading], *spans: TimeSpan) -> list[int]:
    gone = {reading.number for reading in readings_to_drop(readings, spans)}
    return [reading.number for reading in readings if reading.number not in gone]


def minutes(start: float, end: float) -> TimeSpan:
    return NOON + timedelta(minutes=start), NOON + timedelta(minutes=end)


@pytest.mark.parametrize(
    ("readings", "stay"),
    [
        (air(), []),
        (air(18), [0]),
        (air(18, 18, 18, 18, 18, 18), [0]),
        (air(18, 19, 20, 20, 19, 18), [0, 2]),
        (air(18, 17, 18, 21, 17, 18), [0, 1, 3]),
        (air(18, 18, 18, 18, 18, 18, 18, 18), [0, 6]),
        (every_ten_minutes((18, 60, 15), (18, 50, 15), (18, 70, 15), (18, 60, 15)), [0, 1, 2]),
        (every_ten_minutes((18, 60, 15), (18, 60, 14), (18, 60, 15), (18, 60, 16)), [0, 1, 3]),
        (every_ten_minutes((18, None, 15), (18, 60, 15), (18, None, 15)), [0, 1]),
        (every_ten_minutes((18, None, None), (18, None, 15), (18, None, None)), [0, 1]),
    ],
    ids=[
        *("none", "one", "all alike", "the warmest", "coldest and warmest", "two hours"),
        *("driest and dampest", "surface", "humidity read once", "surface read once"),
    ],
)
def test_of_an_hour_the_first_stays_and_the_earliest_of_each_extreme(
    readings: list[Reading], stay: list[int]
) -> None:
    assert staying(readings) == stay


@pytest.mark.parametrize(
    ("span", "stay"),
    [
        (minutes(20, 30), [0, 1, 2, 3, 4]),
        (minutes(25, 25), [0, 2, 3]),
        (minutes(-60, -30), [0]),
        (minutes(90, 120), [0, 5]),
        (minutes(-60, 120), [0, 1, 2, 3, 4, 5]),
    ],
    ids=["inside", "between two", "before all", "after all", "all"],
)
def test_all_in_a_span_stay_with_the_last_before_and_the_first_after(
    span: TimeSpan, stay: list[int]
) -> None:
    assert staying(air(18, 18, 18, 18, 18, 18), span) == stay


def test_spans_are_given_in_any_order_and_may_overlap() -> None:
    readings = air(*[18] * 12)
    spans = [minutes(75, 75), minutes(20, 40), minutes(22, 30)]
    assert staying(readings, *spans) == [0, 1, 2, 3, 4, 5, 6, 7, 8]


def test_what_was_thinned_once_is_not_thinned_again() -> None:
    readings = air(18, 17, 18, 21, 17, 18)
    gone = readings_to_drop(readings, [])
    assert gone
    assert readings_to_drop([reading for reading in readings if reading not in gone], []) == []


def test_only_whole_hours_older_than_31_days_are_thinned() -> None:
    assert whole_hours_before(NOON + timedelta(minutes=59)) == NOON - timedelta(days=31)


def coat(first_h: float, last_h: float | None, *, away: bool, **more: object) -> WorkedStep:
    last_at = None if last_h is None else NOON + timedelta(hours=last_h)
    told = {"part": 1, "is_coat": True, "passed_at": None, **more}
    return WorkedStep(away=away, first_at=NOON + timedelta(hours=first_h), last_at=last_at, **told)  # type: ignore[arg-type]


LONG_AFTER = NOON + timedelta(days=400)


def hours_of(*steps: WorkedStep) -> list[tuple[float, float]]:
    hour = timedelta(hours=1)
    spans = spans_of(steps, LONG_AFTER)
    return [((start - NOON) / hour, (end - NOON) / hour) for start, end in spans]


def test_on_the_bench_all_stay_from_a_week_before_a_step_to_sixty_days_after_it() -> None:
    assert hours_of(coat(0, 1, away=False)) == [(-7 * 24, 1 + 60 * 24)]
    assert hours_of(coat(0, None, away=False)) == [(-7 * 24, 400 * 24 + 60 * 24)]


def test_of_a_part_that_left_what_its_record_shows_beside_a_coat_stays() -> None:
    last = coat(20, 21, away=True)
    until_last = (-4.0, 20.0)
    assert hours_of(coat(0, 1, away=True), last)[0] == until_last
    tested = coat(0, 1, away=True, passed_at=NOON + timedelta(hours=17))
    assert hours_of(tested, last)[0] == (-4.0, 17.0)


def test_of_a_part_that_left_uncured_all_of_its_cure_stays() -> None:
    uncured = hours_of(coat(0, 1, away=True))
    assert uncured == [(-4.0, 1 + 14 * 24), (-4.0, 1 + 60 * 24)]
    cure = coat(30, 30, away=True, is_coat=False, passed_at=NOON + timedelta(days=9))
    assert hours_of(coat(0, 1, away=True), cure)[:2] == [(-4.0, 30.0), (-4.0, 1 + 14 * 24)]


def test_of_other_work_on_a_part_that_left_a_day_and_what_is_nearest_to_its_end_stay() -> None:
    assert hours_of(coat(0, 1, away=True, is_coat=False)) == [(-4.0, 1.0), (1.0, 1.0)]
    assert hours_of(coat(0, 300, away=True, is_coat=False)) == [(-4.0, 24.0), (300.0, 300.0)]


def test_a_later_coat_of_another_part_ends_nothing() -> None:
    first, another = coat(0, 1, away=True, part=1), coat(5, 6, away=True, part=2)
    assert hours_of(first, another) == [*hours_of(first), *hours_of(another)]
