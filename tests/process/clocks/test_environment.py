"""Readings that come one by one, late ones too, tell what they tell when read all at once."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.process.clocks.part_clocks import Environment, readings_since
from bench.process.clocks.temperature import Reading
from bench.trade import log
from bench.trade.ageing import Passing, Side, TimeTable

from ..making import HOURS, MON, after, coated

HOUR = 3600.0
EPOXY: TimeTable = ((10.0, 24 * HOUR), (20.0, 16 * HOUR))
"""Full-build epoxy, first recoat: two generic data sheets (source seen) print 24 h and 16 h."""
CURE: TimeTable = ((20.0, 7 * 24 * HOUR),)
"""Full cure in a week at 20 C: common practice, no source."""

minutes = st.integers(-3 * 24 * 60, 40 * 24 * 60)
readings = st.builds(
    lambda at, half_c, rh_pct: Reading(after(at), half_c / 2, rh_pct),
    minutes,
    st.integers(0, 60),
    st.one_of(st.none(), st.integers(30, 90).map(float)),
)


def passing(around: Environment, begun: datetime, table: TimeTable, edge: Side) -> Passing:
    log = around.weather().temperatures(begun, edge)
    return log.passes_at(table, begun.timestamp(), edge, 8.0)


def same(found: Environment, whole: Environment, begun: datetime) -> None:
    assert found.readings == whole.readings
    ends = begun + timedelta(hours=2), begun + timedelta(hours=9)
    dry = [each.dry_until(begun, *ends, 75.0) for each in (found, whole)]
    assert dry[0] == dry[1]
    for table in (EPOXY, CURE):
        for edge in ("opening", "closing"):
            one, other = (passing(each, begun, table, edge) for each in (found, whole))
            assert one.at_s == other.at_s or one.at_s == pytest.approx(other.at_s, rel=1e-15)
            assert one.basis == other.basis


@given(st.lists(readings, min_size=1, max_size=12, unique_by=lambda r: r.at), minutes)
def test_readings_one_by_one_and_late_draw_what_all_at_once_would(
    read: list[Reading], begun_min: int
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(log, "RUN", 7)
        around = Environment((), HOURS, {})
        for reading in read:
            around = around.with_more([reading])
            passing(around, after(begun_min), EPOXY, "opening")
        whole = Environment(tuple(sorted(read, key=lambda r: r.at)), HOURS, {})
        same(around, whole, after(begun_min))


@given(st.lists(readings, min_size=1, max_size=12, unique_by=lambda r: r.at), minutes, minutes)
def test_readings_older_than_every_clock_may_be_forgotten(
    read: list[Reading], one_min: int, other_min: int
) -> None:
    since_min, begun_min = sorted((one_min, other_min))
    whole = Environment(tuple(sorted(read, key=lambda r: r.at)), HOURS, {})
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(log, "RUN", 7)
        around = Environment((), HOURS, {}).with_more(whole.readings[:-1])
        around = around.only_since(after(since_min)).with_more(whole.readings[-1:])
    first = len(whole.readings) - len(around.readings)
    same(around, replace(whole, readings=whole.readings[first:]), after(begun_min))
    assert all(reading.at < after(since_min) for reading in whole.readings[:first])


def test_the_surroundings_that_more_were_added_to_stay_as_they_were() -> None:
    before = Environment((Reading(MON, 20.0, 60.0),), HOURS, {})
    told = passing(before, MON, EPOXY, "opening")
    later = before.with_more([Reading(after(60), 10.0, 60.0)])
    assert passing(later, MON, EPOXY, "opening") != told
    assert passing(before, MON, EPOXY, "opening") == told
    assert len(before.readings) == 1


def test_a_late_reading_counts_from_its_own_hour_on() -> None:
    around = Environment((Reading(MON, 20.0), Reading(after(240), 20.0)), HOURS, {})
    late = around.with_more([Reading(after(120), 10.0)])
    log = late.weather().temperatures(MON, "opening")
    drawn = [s for s in log if s.start_s <= after(240).timestamp()]
    assert [(s.start_s - MON.timestamp(), s.temp_c) for s in drawn[-3:]] == [
        (0.0, 20.0),
        (2 * HOUR, 10.0),
        (4 * HOUR, 20.0),
    ]


def test_without_any_reading_all_clocks_of_a_day_share_what_is_drawn() -> None:
    around = Environment((), HOURS, {})
    weather = around.weather()
    drawn = weather.temperatures(MON, "opening")
    assert drawn is weather.temperatures(MON + timedelta(hours=3), "opening")
    assert drawn is not weather.temperatures(MON + timedelta(days=1), "opening")


def test_readings_count_from_a_week_before_the_oldest_clock_on() -> None:
    """As far as events are put back."""
    now = after(24 * 60)
    assert readings_since(now, [coated(MON, MON)]) == MON - timedelta(days=7)
    assert readings_since(now, [], [after(60)]) == after(60) - timedelta(days=7)
