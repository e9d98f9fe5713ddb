"""The lanes of a day as text: hours across, a tag in what is long enough, else a sign."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay
from bench.process.plan.day_page import Lane


def lane_texts(lanes: Sequence[Lane], day: Stay, cells: int) -> tuple[str, list[list[str]]]:
    """Return the line of hours, and the cells of each lane.

    day: what is shown, in the shop's zone; cells: how many there are across.
    """
    return _hours(day, cells), [_drawn(lane, day, cells) for lane in lanes]


def cell_of(at: datetime, day: Stay, cells: int) -> int:
    """Return the cell in which an instant lies; below 0 before the day."""
    return int((at - day[0]) / (day[1] - day[0]) * cells // 1)


def full_hours(day: Stay) -> list[datetime]:
    """Return the full hours of a day, its end left out."""
    hour = (day[0] + timedelta(minutes=59)).replace(minute=0, second=0, microsecond=0)
    hours = []
    while hour < day[1]:
        hours.append(hour)
        hour += timedelta(hours=1)
    return hours


def _drawn(lane: Lane, day: Stay, cells: int) -> list[str]:
    drawn = [" "] * cells
    shown = (each for each in lane.stretches if each.since < day[1] and each.until > day[0])
    for stretch in shown:
        since = max(cell_of(stretch.since, day, cells), 0)
        until = min(max(cell_of(stretch.until, day, cells), since + 1), cells)
        for cell in range(since, until):
            drawn[cell] = stretch.sign
        if stretch.sign in ("=", "x"):
            for cell, sign in enumerate(stretch.tag[: until - since], since):
                drawn[cell] = sign
    return drawn


def _hours(day: Stay, cells: int) -> str:
    """Write each full hour where it lies, those left out for which there is no room."""
    drawn, free = [" "] * (cells + 2), 0
    for hour in full_hours(day):
        cell = cell_of(hour, day, cells)
        if cell >= free and cell + 2 <= cells:
            drawn[cell : cell + 2] = f"{hour:%H}"
            free = cell + 3
    return "".join(drawn).rstrip()
