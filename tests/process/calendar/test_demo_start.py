"""When the demo starts: what is understood, and what is told about the rest."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from bench.process.calendar.demo_start import MORNING, demo_start


@pytest.mark.parametrize(
    ("text", "starts"),
    [
        ("Mon 10:00", MORNING - timedelta(days=1, hours=23)),
        ("  sunday  3:05 ", MORNING + timedelta(days=3, hours=18, minutes=5)),
        ("07:40", MORNING - timedelta(minutes=80)),
        ("2025-06-12T10:00", MORNING + timedelta(hours=25)),
        ("2025-06-12 10:00", MORNING + timedelta(hours=25)),
    ],
)
def test_a_day_of_its_week_an_hour_or_an_iso_time_is_understood(
    text: str, starts: datetime
) -> None:
    assert demo_start(text) == starts


def test_a_zone_that_is_named_is_kept() -> None:
    assert demo_start("2026-03-16T10:00+02:00").utcoffset() == timedelta(hours=2)


@pytest.mark.parametrize(
    "text", ["", "noon", "Xyz 10:00", "25:00", "Mon", "10:60", "2026-13-01T10:00"]
)
def test_nonsense_is_told_what_would_be_right(text: str) -> None:
    with pytest.raises(ValueError, match="a day and an hour, such as 'Mon 10:00'"):
        demo_start(text)


@pytest.mark.parametrize(
    "text", ["0001-01-01T10:00", "1999-12-31T10:00", "2101-01-01T10:00", "9999-12-31T23:59"]
)
def test_a_year_its_history_or_its_windows_would_not_fit_in_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="a year from 2000 to 2100"):
        demo_start(text)
