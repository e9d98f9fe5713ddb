"""The shop's week as it is typed, and what it is in words."""

from __future__ import annotations

from datetime import time

import pytest

from bench.process.calendar.week import break_words, read_break, read_week, week_words

USUAL = "Mon-Fri 07:30-17:30, Sat 08:00-12:30"


@pytest.mark.parametrize(
    "text",
    [
        USUAL,
        "sat 8-12:30, MON - FRI 7.30 - 17.30",
        "Monday-Friday 07:30-17:30, Saturday 08:00-12:30",
    ],
)
def test_a_week_is_read_as_people_write_it(text: str) -> None:
    week = read_week(text)
    assert week[:5] == ((time(7, 30), time(17, 30)),) * 5
    assert week[5:] == ((time(8), time(12, 30)), None)
    assert week_words(week) == USUAL


def test_a_day_and_a_night_and_a_week_that_begins_on_saturday() -> None:
    assert week_words(read_week("Sat-Mon 00:00-24:00")) == "Mon 00:00-24:00, Sat-Sun 00:00-24:00"
    assert week_words((None,) * 7) == "no hours at all"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "wanted days and hours"),
        ("07:30-17:30", "wanted days and hours"),
        ("Mon", "wanted days and hours"),
        ("Moo-Fri 07:30-17:30", "read 'Moo'; wanted a day"),
        ("Mon 25:00-26:00", "read '25:00'; wanted an hour of the day"),
        ("Mon 07:75-17:30", "read '07:75'; wanted an hour of the day"),
        ("Mon 17:30-07:30", "it closes before it opens"),
        ("Mon 08:00-08:00", "it closes before it opens"),
        ("Mon-Fri 08:00-17:00, Fri 08:00-12:00", "read Fri twice"),
    ],
)
def test_a_week_that_cannot_be_is_refused_with_what_would_be_right(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        read_week(text)


def test_a_break_is_read_written_and_refused_with_what_would_be_right() -> None:
    assert break_words(read_break("12-12:30")) == "12:00-12:30"
    assert break_words(read_break(" None ")) == "none"
    for text, right in (("noon", "as 12:00-12:30, or none"), ("13-12", "earlier hour first")):
        with pytest.raises(ValueError, match=right):
            read_break(text)
