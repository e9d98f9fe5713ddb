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
        (0, "00:00"),
        (59.2, "01:00"),
        (3599, "59:59"),
        (3600, "1h00"),
        (47 * 3600 + 23 * 60, "47h23"),
        (99 * 3600 + 3599, "99h59"),
        (100 * 3600, "4d04"),
        (7 * 86400, "7d00"),
        (-1, "+00:01"),
        (-42 * 60, "+42:00"),
        (-7 * 86400, "+7d00"),
    ],
)
def test_a_countdown_shows_minutes_within_the_hour_then_hours_then_days(
    seconds: float, shown: str
) -> None:
    assert countdown(seconds) == shown


def test_the_day_is_named_only_when_it_is_not_today() -> None:
    assert format_clock(MON + timedelta(hours=3), MON) == "11:00"
    assert format_clock(MON + timedelta(days=1), MON) == "Tue 08:00"
    assert format_clock(MON + timedelta(days=9), MON) == "11 Mar 08:00"


def test_an_estimate_is_rounded_to_the_safe_side() -> None:
    odd = MON + timedelta(minutes=6, seconds=1)
    assert round_up(odd) == MON + timedelta(minutes=10)
    assert round_down(odd) == MON + timedelta(minutes=5)
    assert round_up(MON) == round_down(MON) == MON


def test_lengths_of_time_are_said_in_words() -> None:
    assert format_duration(59) == "1 min"
    assert format_duration(3 * 3600 + 20 * 60) == "3 h 20 min"
    assert format_duration(52 * 3600) == "2 d 4 h"
