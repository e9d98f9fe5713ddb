"""What a reading means for painting: dew point and the metal's margin over it."""

from __future__ import annotations

from bench.process.temperature import Reading
from bench.trade.air import Verdict, verdict


def judged(reading: Reading) -> Verdict | None:
    """The air against the usual limits, metal where it was read, else air.

    None where there is no humidity, or one so low that it was misread.
    """
    if reading.rh_pct is None:
        return None
    try:
        return verdict(reading.air_c, reading.rh_pct, reading.paint_c)
    except ValueError:
        return None
