"""How air, metal and dew point went: what a painter looks at before the trigger, and overnight."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from bench.process.conditions import judged
from bench.process.temperature import Reading


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
    air = judged(reading)
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
