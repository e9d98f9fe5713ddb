"""Lines of temperature over time as text, drawn by plotext."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from bench.process.shopunits import ShopUnits, shown
from bench.process.trend import Moment

MARKS = (("air_c", "a"), ("metal_c", "m"), ("dew_c", "d"))
"""A letter a line: it is told apart without colour."""

MOST_POINTS = 600
"""A probe reads more often than a screen has columns."""

TICKS = 5
_ASCII = str.maketrans({"┤": "|", "│": "|", "─": "-", "┬": "+"} | dict.fromkeys("┌┐└┘", "+"))


def trend_lines(
    moments: Sequence[Moment],
    since: datetime,
    until: datetime,
    size: tuple[int, int],
    units: ShopUnits,
) -> list[str]:
    """The picture in ASCII, ``size`` (columns, rows); no lines where nothing was read."""
    import plotext  # only when somebody looks: it costs a tenth of a second

    thinned = moments[:: max(len(moments) // MOST_POINTS, 1)]
    if not thinned:
        return []
    plotext.clear_figure()
    plotext.limit_size(False, False)
    plotext.theme("clear")
    plotext.plotsize(*size)
    for name, mark in MARKS:
        points = [(m.at, getattr(m, name)) for m in thinned if getattr(m, name) is not None]
        if points:
            hours = [_hours(at, since) for at, _ in points]
            plotext.plot(hours, [shown(value, "C", units)[0] for _, value in points], marker=mark)
    span = until - since
    ticks = [since + span * n / (TICKS - 1) for n in range(TICKS)]
    words = [f"{at:%H:%M}" if span <= timedelta(days=1) else f"{at:%a %H:%M}" for at in ticks]
    plotext.xlim(0, _hours(until, since))
    plotext.xticks([_hours(at, since) for at in ticks], words)
    drawn: str = plotext.uncolorize(plotext.build())
    return [row.translate(_ASCII) for row in drawn.splitlines()[: size[1]]]


def _hours(at: datetime, since: datetime) -> float:
    return (at - since).total_seconds() / 3600
