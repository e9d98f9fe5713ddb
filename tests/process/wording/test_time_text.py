"""How times are said."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.wording.time_text import (
    countdown,
    format_clock,
    format_duration,
    round_down,
    round_up,
)

from ..making import MON


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0, "0 min 00"),
        (59.2, "1 min 00"),
        (599, "9 min 59"),
        (600, "10 min"),
        (3599, "59 min"),
        (3600, "1 h 00"),
        (47 * 3600 + 23 * 60, "47 h 23"),
        (99 * 3600 + 3599, "99 h 59"),
        (100 * 3600, "4 d 04"),
        (7 * 86400, "7 d 00"),
        (-1, "+0 min 01"),
        (-42 * 60, "+42 min"),
        (-7 * 86400, "+7 d 00"),
    ],
)
def test_a_countdown_shows_minutes_within_the_hour_then_hours_then_days(
    seconds: float, shown: str
) -> None:
    assert countdown(seconds) == shown


def test_the_day_is_named_only_when_it_is_not_today() -> None:
    assert format_clock(MON + timedelta(hours=3), MON) == "11:00"
    assert format_clock(MON + timedelta(days=1), MON) == "Tue 08:00"
    for days, dated in ((2, "Wed 04 Mar 08:00"), (-4, "Thu 26 Feb 08:00"), (9, "Wed 11 Mar 08:00")):
        assert format_clock(MON + timedelta(days=days), MON) == dated


def test_an_estimate_is_rounded_to_the_safe_side() -> None:
    odd = MON + timedelta(minutes=6, seconds=1)
    assert round_up(odd) == MON + timedelta(minutes=10)
    assert round_down(odd) == MON + timedelta(minutes=5)
    assert round_up(MON) == round_down(MON) == MON


def test_lengths_of_time_are_said_in_words() -> None:
    assert format_duration(59) == "1 min"
    assert format_duration(3 * 3600 + 20 * 60) == "3 h 20 min"
    assert format_duration(52 * 3600) == "2 d 4 h"
