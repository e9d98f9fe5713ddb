"""The file of a forecast: what it holds, and each way it can be wrong."""

from __future__ import annotations

from datetime import date

import pytest

from bench.process.calendar.forecast import DayAhead, fault_of, read_forecast
from bench.process.refusals.refusal import Refusal

TODAY = date(2026, 3, 2)


def read(*lines: str) -> tuple[DayAhead, ...] | Refusal:
    return read_forecast("week.csv", "\n".join(lines), TODAY)


def test_a_good_file_is_read_in_celsius_in_any_order_of_columns() -> None:
    assert read("high,date,low", "14,2026-03-02,2.5", "", "15,2026-03-08,-3") == (
        DayAhead(TODAY, 2.5, 14.0),
        DayAhead(date(2026, 3, 8), -3.0, 15.0),
    )


@pytest.mark.parametrize("heading", ["date,low F,high F", "date,low (F),high (F)"])
def test_a_file_in_fahrenheit_says_so_in_its_header(heading: str) -> None:
    """32 F is 0 C and 50 F is 10 C by definition; 33 F is kept as hundredths of a degree."""
    assert read(heading, "2026-03-02,32,50") == (DayAhead(TODAY, 0.0, 10.0),)
    assert read(heading, "2026-03-02,33,50") == (DayAhead(TODAY, 0.56, 10.0),)


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ((), "week.csv line 1 (read ''): the columns date,low,high"),
        (("day,low,high",), "week.csv line 1 (read 'day,low,high'): the columns"),
        (("date,low F,high C",), "week.csv line 1 (read 'date,low F,high C'): the columns"),
        (("date,low,high",), "week.csv line 2: no day at all: lines such as"),
        (("date,low,high", "2.3.2026,2,9"), "week.csv line 2: no date (read '2.3.2026'): a date"),
        (("date,low,high", "2026-03-02,2"), "week.csv line 2: a cell short (read '2026-03-02,2')"),
        (
            ("date,low,high", "2026-03-02,cold,9"),
            "week.csv line 2: no temperature (read 'cold'): a temperature in C such as 2.5",
        ),
        (
            ("date,low,high", "2026-03-02,nan,9"),
            "week.csv line 2: no temperature (read 'nan'): a temperature in C",
        ),
        (
            ("date,low,high", "2026-03-02,2,90"),
            "week.csv line 2: the high was misread (read 90 C): from -30 to 50 C",
        ),
        (
            ("date,low,high", "2026-03-02,9,2"),
            "week.csv line 2: the low is over the high (read low 9 C, high 2 C)",
        ),
        (
            ("date,low,high", "2026-03-01,2,9"),
            "week.csv line 2: no forecast for that day (read 2026-03-01): "
            "a day from 2026-03-02 to 2026-03-08",
        ),
        (("date,low,high", "2026-03-09,2,9"), "week.csv line 2: no forecast for that day"),
        (
            ("date,low,high", "2026-03-03,2,9", "2026-03-03,2,9"),
            "week.csv line 3: one day twice (read 2026-03-03 again): one line for each day",
        ),
        (("date,low,high", '2026-03-02,"2,9'), "week.csv line 2 ("),
    ],
)
def test_each_kind_of_bad_line_is_refused_with_its_place(lines: tuple[str, ...], told: str) -> None:
    found = read(*lines)
    assert isinstance(found, Refusal)
    assert str(found).startswith(told)


def test_a_low_of_the_usual_range_is_good_on_each_of_seven_days() -> None:
    assert [fault_of(DayAhead(date(2026, 3, n), -30.0, 50.0), TODAY) for n in range(2, 9)] == [
        None
    ] * 7
