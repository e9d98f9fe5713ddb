"""How air, metal and dew point went: by reading, and as lines of text drawn by plotext."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.clocks.conditions import judge_reading
from bench.process.clocks.temperature import Reading
from bench.process.wording.display_units import ShopUnits, to_shop_unit

MARKS = (("air_c", "a"), ("metal_c", "m"), ("dew_c", "d"))
"""A letter a line: it can be read without colour."""

MOST_POINTS = 600
"""A probe reads more often than a screen has columns."""

TICKS = 5
_ASCII = str.maketrans({"┤": "|", "│": "|", "─": "-", "┬": "+"} | dict.fromkeys("┌┐└┘", "+"))


@dataclass(frozen=True)
class Moment:
    """What one reading said. Temperatures in C; None for what was not read or cannot be worked out.

    margin_c: the metal, or else the air, over the dew point.
    """

    at: datetime
    air_c: float
    metal_c: float | None
    dew_c: float | None
    margin_c: float | None


def trend(readings: Iterable[Reading], since: datetime, until: datetime) -> tuple[Moment, ...]:
    """The readings of a stretch, both ends counted, oldest first."""
    wanted = sorted((r for r in readings if since <= r.at <= until), key=lambda r: r.at)
    return tuple(_moment(reading) for reading in wanted)


def _moment(reading: Reading) -> Moment:
    air = judge_reading(reading)
    return Moment(
        reading.at,
        reading.air_c,
        reading.metal_c,
        air.dew_point_c if air else None,
        air.margin_c if air else None,
    )


def nearest_to_dew(moments: Iterable[Moment]) -> Moment | None:
    """When the metal came nearest to the dew point, the last time it did; None where unknown."""
    known = [moment for moment in moments if moment.margin_c is not None]
    return min(reversed(known), key=lambda moment: moment.margin_c or 0.0, default=None)


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
            plotext.plot(
                hours, [to_shop_unit(value, "C", units)[0] for _, value in points], marker=mark
            )
    span = until - since
    ticks = [since + span * n / (TICKS - 1) for n in range(TICKS)]
    words = [f"{at:%H:%M}" if span <= timedelta(days=1) else f"{at:%a %H:%M}" for at in ticks]
    plotext.xlim(0, _hours(until, since))
    plotext.xticks([_hours(at, since) for at in ticks], words)
    drawn: str = plotext.uncolorize(plotext.build())
    return [row.translate(_ASCII) for row in drawn.splitlines()[: size[1]]]


def _hours(at: datetime, since: datetime) -> float:
    return (at - since).total_seconds() / 3600
