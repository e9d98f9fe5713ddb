"""When a backup is due, and which are thinned out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.shop.data.backup_retention import copies_over_room, copies_to_delete, is_due

MONDAY = datetime(2025, 6, 9, 6, 30, tzinfo=UTC)
LONDON = ZoneInfo("Europe/London")


def hours(*ago: float) -> list[datetime]:
    return [MONDAY - timedelta(hours=h) for h in ago]


def test_a_shop_without_a_backup_wants_one() -> None:
    assert is_due(MONDAY, [], written_since=False)


def test_while_somebody_works_one_is_due_every_hour() -> None:
    assert not is_due(MONDAY, hours(5, 0.9), written_since=True)
    assert is_due(MONDAY, hours(5, 1.0), written_since=True)


def test_a_day_without_work_has_one_too() -> None:
    assert not is_due(MONDAY, hours(23.9), written_since=False)
    assert is_due(MONDAY, hours(24), written_since=False)


def test_a_backup_from_the_future_does_not_hold_up_the_next() -> None:
    assert is_due(MONDAY, hours(-24 * 365, 2), written_since=True)


def a_year_of_work() -> list[datetime]:
    """A backup every hour for a year, thinned after each as the bench does."""
    kept: list[datetime] = []
    for hour in range(366 * 24):
        kept.append(MONDAY + timedelta(hours=hour))
        for gone in copies_to_delete(kept, LONDON):
            kept.remove(gone)
    return kept


def test_after_a_year_the_last_day_is_whole_a_month_has_its_days_and_a_year_its_months() -> None:
    kept = a_year_of_work()
    newest = kept[-1]
    assert [newest - at for at in kept if newest - at < timedelta(days=1)] == [
        timedelta(hours=h) for h in reversed(range(24))
    ]
    days = {at.astimezone(LONDON).date() for at in kept if newest - at < timedelta(days=31)}
    assert len(days) == 32  # of the first and the last only a part
    months = {(at.astimezone(LONDON).year, at.astimezone(LONDON).month) for at in kept}
    assert len(months) == 13
    assert len(kept) <= 24 + 32 + 13


def test_a_month_keeps_the_last_of_it_in_the_shops_own_zone() -> None:
    # 23:30 UTC on 30 June is July already in London in summer.
    late = datetime(2024, 6, 30, 23, 30, tzinfo=UTC)
    june, newest = late - timedelta(hours=3), late + timedelta(days=200)
    assert copies_to_delete([june, late, newest], LONDON) == []
    assert copies_to_delete([june, late, newest], UTC) == [june]


@pytest.mark.parametrize(("days", "gone"), [(30.9, False), (31, True)])
def test_for_31_days_each_days_last_backup_stays_then_the_months_last_alone(
    days: float, gone: bool
) -> None:
    """House rule. Two days of one month, the older of them so long ago."""
    newest = datetime(2025, 6, 30, 20, 0, tzinfo=UTC)
    older = newest - timedelta(days=days)
    taken = [older, older.replace(hour=23, minute=0) + timedelta(days=1), newest]
    assert copies_to_delete(taken, UTC) == ([older] if gone else [])


@pytest.mark.parametrize(("ago", "gone"), [(23.9, False), (24, True)])
def test_of_the_last_24_hours_every_backup_stays(ago: float, gone: bool) -> None:
    """House rule. A later one of the same day is there."""
    newest = datetime(2025, 6, 20, 20, 0, tzinfo=UTC)
    older = newest - timedelta(hours=ago)
    taken = [older, newest - timedelta(hours=21), newest]
    assert copies_to_delete(taken, UTC) == ([older] if gone else [])


def test_a_shop_that_was_shut_for_a_year_finds_all_of_its_last_day() -> None:
    assert copies_to_delete(hours(*range(20)), LONDON) == []


def test_past_the_room_the_oldest_backup_goes_first_and_the_newest_never() -> None:
    sizes = dict.fromkeys(hours(3, 2, 1), 40)
    assert copies_over_room(sizes, others=0, most=120) == []
    assert copies_over_room(sizes, others=0, most=80) == hours(3)
    assert copies_over_room(sizes, others=0, most=10) == hours(3, 2)


def test_those_made_before_an_update_or_a_restore_take_room_and_stay() -> None:
    sizes = dict.fromkeys(hours(3, 2, 1), 40)
    assert copies_over_room(sizes, others=40, most=120) == hours(3)
    assert copies_over_room(sizes, others=4000, most=120) == hours(3, 2)


@given(st.lists(st.integers(0, 3_000), min_size=1, max_size=60, unique=True))
def test_the_newest_and_one_of_every_month_always_stay_and_thinning_twice_thins_no_more(
    ago: list[int],
) -> None:
    taken = hours(*ago)
    gone = copies_to_delete(taken, LONDON)
    left = sorted(set(taken) - set(gone))
    assert max(taken) in left
    assert {f"{at.astimezone(LONDON):%Y-%m}" for at in left} == {
        f"{at.astimezone(LONDON):%Y-%m}" for at in taken
    }
    assert copies_to_delete(left, LONDON) == []
    assert all(a < b for a, b in pairwise(left))
