"""The lanes of a day of the plan: hours across, a line for each painter and the spray space."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from bench.process.ahead.attendance import Stay
from bench.process.plan.day_page import Lane
from bench.process.plan.lane_text import cell_of, lane_texts
from bench.widgets.lines import Line, line

NAME_CELLS = 12


def lane_lines(
    lanes: Sequence[Lane], day: Stay, now: datetime, width: int, *, ascii_only: bool
) -> list[Line]:
    """Draw the hours, then each lane. day: what is shown, in the shop's zone like now."""
    cells = width - NAME_CELLS - 1
    hours, texts = lane_texts(lanes, day, cells)
    rows = [line(f"{'':<{NAME_CELLS}}{hours}", width, "dim")]
    for lane, drawn in zip(lanes, texts, strict=True):
        here = cell_of(now, day, cells)
        if 0 <= here < cells and drawn[here] == " ":
            drawn[here] = "|" if ascii_only else "\N{BOX DRAWINGS LIGHT VERTICAL}"
        rows.append(line(f"{lane.name[: NAME_CELLS - 1]:<{NAME_CELLS}}{''.join(drawn)}", width))
    return rows
