"""Two temperatures for an hour that nobody read: the colder for an opening, the warmer for a closing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.temperature import Hours, Reading
from bench.process.sheets.product import Band, Product, Until

from ..making import HOURS, MON, band, coated, product

HOUR_S = 3600.0
RECOAT = product(
    band("flash", 15),
    Band("open", Until(table=((10.0, 14 * 24 * HOUR_S), (20.0, 7 * 24 * HOUR_S)))),
    band("key"),
)
"""Open for 14 d at 10 C, 7 d at 20 C: a common form of data sheet (source seen)."""


def spans(paint: Product, at: datetime, hours: Hours, *readings: Reading) -> list[datetime]:
    found = clocks_of(coated(at, at), Environment(readings, hours, {"p": paint})).spans
    return [span.end for span in found if span.end]


def test_a_closing_is_not_put_off_by_cold_nights_that_nobody_read() -> None:
    """Days and mornings of 20 C: as far as anybody read it was 20 C, and 20 C means seven days."""
    first, hours = MON.replace(minute=10), replace(HOURS, day_c=20.0, night_c=9.0)
    mornings = [
        Reading(MON + timedelta(days=n), 20.0)
        for n in range(11)
        if (MON + timedelta(days=n)).weekday() < 5
    ]
    assert spans(RECOAT, first, hours, *mornings)[1] == first + timedelta(days=7)


def test_cold_that_was_read_puts_a_closing_off_for_as_long_as_it_was_read() -> None:
    first, hours = MON, replace(HOURS, day_c=20.0, night_c=9.0)
    cold = [Reading(first + timedelta(hours=4 * n), 10.0) for n in range(6)]
    # A day read at 10 C is a fourteenth of the window there, else a seventh.
    closes = spans(RECOAT, first, hours, *cold)[1]
    assert closes == first + timedelta(days=7.5)


def test_warmth_that_was_read_closes_a_window_sooner_until_something_colder_is_read() -> None:
    first = MON
    hot = Reading(first, 30.0)
    sooner = spans(RECOAT, first, HOURS, hot)[1]
    assert sooner < spans(RECOAT, first, HOURS)[1]
    cooler = spans(RECOAT, first, HOURS, hot, Reading(first + timedelta(hours=6), 18.0))[1]
    assert sooner < cooler < spans(RECOAT, first, HOURS)[1]
