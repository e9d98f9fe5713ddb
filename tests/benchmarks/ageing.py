"""Ageing: a year of minutes under fifty coats, and what one more reading costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np

from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.reading_log import Readings
from bench.process.clocks.temperature import Reading
from bench.trade.ageing import Side, Stretch
from bench.trade.log import Log, milestone
from tests.process.making import HOURS

from .figure import Figure, beside
from .making import weather_c

DAY_S = 86400.0
MINUTES = 365 * 24 * 60
COATS = 50
EDGES: tuple[Side, ...] = ("opening", "closing")
NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
TEN_MINUTES = timedelta(minutes=10)
EPOXY = ((10.0, DAY_S), (20.0, DAY_S * 2 / 3))
SLOW = ((5.0, 600 * DAY_S), (20.0, 400 * DAY_S), (30.0, 300 * DAY_S))
"""So slow that every coat is still on its way when the year is over."""


def a_year() -> Figure:
    """Fifty coats, begun in the first ten days, through every minute of the year.

    The floor is numpy doing it for all at once: interpolation and running sum over the year, then
    each coat looked up in it. Neither counts the making of its log or its arrays.
    """
    starts_s = [60.0 * n for n in range(MINUTES)]
    temps_c = [weather_c(start_s) for start_s in starts_s]
    log = Log.of(list(map(Stretch, starts_s, temps_c)))
    begins_s = [n * 10 * DAY_S / COATS for n in range(COATS)]
    starts, temps, begins = map(np.array, (starts_s, temps_c, begins_s))
    inverse = 1 / (np.array([temp_c for temp_c, _ in SLOW]) + 273.15)
    ln_s = np.log([seconds for _, seconds in SLOW])

    def with_numpy() -> object:
        took_s = np.exp(np.interp(1 / (temps + 273.15), inverse[::-1], ln_s[::-1]))
        done = np.cumsum(np.diff(starts, append=starts[-1] + 60) / took_s)
        return np.searchsorted(done, done[np.searchsorted(starts, begins)] + 1)

    def ours() -> None:
        milestone.cache_clear()  # with it go all sums that were made
        for begin_s in begins_s:
            log.passes_at(SLOW, begin_s, "opening", 5.0)

    seconds, floor = beside(ours, with_numpy, 9)
    return Figure("a year of minutes, 50 coats", seconds * 1000, floor * 1000, "ms", 3)


def one_more() -> list[Figure]:
    """A reading added and 24 coats of the last day worked out again, after ever longer reading.

    Here every reading since the first matters, as if a part had been on hold since.
    """
    day, *longer = (_added_to(days) for days in (1, 365, 3652))
    found = []
    for what, work in zip(("1 year", "10 years"), longer, strict=True):
        ours, floor = beside(work, day, 40)
        found.append(Figure(f"reading added, {what}", ours * 1000, floor * 1000, "ms", 1.2))
    return found


def _added_to(days: int) -> Callable[[], None]:
    """What adds a reading to so many days of them, ten minutes apart."""
    ats = (NOW - TEN_MINUTES * n for n in range(days * 24 * 6, 0, -1))
    known = [Reading(at, weather_c(at.timestamp()), 60.0) for at in ats]
    around = Environment(Readings(known), HOURS, {})
    begun = [NOW - timedelta(hours=n) for n in range(24)]

    def add() -> None:
        nonlocal around
        newest = around.newest()
        assert newest is not None
        around = around.with_more([replace(newest, at=newest.at + TEN_MINUTES)])
        for at in begun:
            for edge in EDGES:
                log = around.weather().temperatures(at, edge)
                log.passes_at(EPOXY, at.timestamp(), edge, 5.0)

    add()
    return add
