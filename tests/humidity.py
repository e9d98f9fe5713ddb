"""Humidity from a dew point, as weather files and printed tables give it."""

from __future__ import annotations

import math

from bench.trade.air import DEW_A, DEW_B_C


def rh_from_dew_point(air_c: float, dew_c: float) -> float:
    """Relative humidity in percent: vapour at the dew point over that of full air, by Magnus."""
    full, there = (DEW_A * temp_c / (DEW_B_C + temp_c) for temp_c in (air_c, dew_c))
    return 100 * math.exp(there - full)
