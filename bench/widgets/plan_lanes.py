"""The lanes of a day of the plan: hours across, a line for each painter and the spray space."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay
from bench.process.plan.day_page import Lane
from bench.widgets.lines import Line, line

NAME_CELLS = 12


def lane_lines(
    lanes: Sequence[Lane], day: Stay, now: datetime, width: int, *, ascii_only: bool
) -> list[Line]:
    """Draw the hours, then each lane. day: what is shown, in the shop's zone like now."""
    cells = width - NAME_CELLS - 1
    rows = [line(f"{'':<{NAME_CELLS}}{_hours(day, cells)}", width, "dim")]
    for lane in lanes:
        drawn = [" "] * cells
        for stretch in lane.stretches:
            since = max(_cell(stretch.since, day, cells), 0)
            until = min(max(_cell(stretch.until, day, cells), since + 1), cells)
            for cell in range(since, until):
                drawn[cell] = stretch.sign
            if stretch.sign in ("=", "x"):
                for cell, sign in enumerate(stretch.tag[: until - since], since):
                    drawn[cell] = sign
        here = _cell(now, day, cells)
        if 0 <= here < cells and drawn[here] == " ":
            drawn[here] = "|" if ascii_only else "\N{BOX DRAWINGS LIGHT VERTICAL}"
        rows.append(line(f"{lane.name[: NAME_CELLS - 1]:<{NAME_CELLS}}{''.join(drawn)}", width))
    return rows


def _cell(at: datetime, day: Stay, cells: int) -> int:
    """Return the cell in which an instant lies; below 0 before the day."""
    return int((at - day[0]) / (day[1] - day[0]) * cells // 1)


def _hours(day: Stay, cells: int) -> str:
    """Write each full hour where it lies, those left out for which there is no room."""
    drawn, free = [" "] * (cells + 2), 0
    hour = (day[0] + timedelta(minutes=59)).replace(minute=0, second=0, microsecond=0)
    while hour < day[1]:
        cell = _cell(hour, day, cells)
        if cell >= free and cell + 2 <= cells:
            drawn[cell : cell + 2] = f"{hour:%H}"
            free = cell + 3
        hour += timedelta(hours=1)
    return "".join(drawn).rstrip()
