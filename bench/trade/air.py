"""The air round the part: dew point, margin, humidity, and whether it is fit to coat in.

Relative humidity is always over water, also below 0 C, as hygrometers show it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bench.trade import checked
from bench.trade.ageing import ZERO_C_IN_K

COLDEST_AIR_C, HOTTEST_AIR_C = -40.0, 60.0
COLDEST_METAL_C, HOTTEST_METAL_C = -40.0, 120.0
"""Outside these a reading is a fault (common practice, no source)."""
LEAST_RH_PCT = 1.0
"""No shop hygrometer reads below this (common practice, no source)."""
LEAST_PRESSURE_HPA, MOST_PRESSURE_HPA = 600.0, 1100.0
SEA_LEVEL_HPA = 1013.25
"""Standard atmosphere, ISO 2533 (from memory)."""

DEW_A, DEW_B_C, DEW_HPA = 17.625, 243.04, 6.1094
"""Magnus over water: Alduchov and Eskridge, "Improved Magnus Form Approximation of Saturation
Vapor Pressure", J. Appl. Meteor. 35 (1996) 601-609, equation 21, as quoted in the R source
meteo_vapor.R of the package phaselag (rdrr.io)."""
FROST_A, FROST_B_C, FROST_HPA = 22.587, 273.86, 6.1121
"""Magnus over ice: the same paper, equation 23, quoted in the same place."""
VAPOUR_G_K_J = 461.52
"""Gas constant of water vapour, J/(kg K) (source seen beside the table of water content)."""
VAPOUR_TO_DRY_AIR = 0.621945
"""Ratio of molar masses, water to dry air (ASHRAE, as in psychrolib)."""

DEW_MARGIN_C = 3.0
"""Metal at least this far above the dew point (source seen: application-conditions pages)."""
MOST_RH_PCT = 85.0
"""Most relative humidity for coating (source seen: the same pages)."""
_ROUNDING = 1e-9


Limit = Literal["dew point", "humidity", "cold", "warm"]
"""What can be broken: the margin over the dew point, the most humidity, the metal's two ends."""


@dataclass(frozen=True)
class Verdict:
    """What the air and the metal allow. A figure, not permission: the product's sheet decides.

    frost_point_c stands only below freezing; the margin is then taken from it, being the stricter.
    metal_least_c: the temperature at which the metal would have the margin; warm_by_c: how far it
    is below that, else 0. broken: each limit that is broken, with its words; none means fit.
    """

    dew_point_c: float
    frost_point_c: float | None
    margin_c: float
    metal_least_c: float
    warm_by_c: float
    broken: tuple[tuple[Limit, str], ...]

    @property
    def against(self) -> tuple[str, ...]:
        """Return each limit that is broken, in words."""
        return tuple(words for _, words in self.broken)

    @property
    def fit(self) -> bool:
        """Return whether no limit is broken."""
        return not self.broken


def dew_point_c(air_c: float, rh_pct: float) -> float:
    """Return the dew point over water in C, also below freezing (see ``frost_point_c``).

    air_c: -40..60 C; rh_pct: 1..100 %. Raises ValueError outside. Within 0.05 C of psychrolib for a
    dew point above 0 C. Source: Magnus equation, see DEW_A.

    >>> round(dew_point_c(16, 71), 1)
    10.7
    """
    return _dew_of_vapour(_vapour_hpa(air_c, rh_pct))


def frost_point_c(air_c: float, rh_pct: float) -> float | None:
    """Return the frost point over ice in C, or None where the dew point is above freezing.

    Below freezing hoar forms here, up to a few degrees above the dew point over water; several
    published tables print this figure as "dew point". In damp air below 0 C it can lie above the
    air itself: the air is then full over ice, not yet over water. Arguments and errors as
    ``dew_point_c``.
    Source: Magnus equation over ice, see FROST_A.

    >>> round(frost_point_c(5, 40), 1), round(dew_point_c(5, 40), 1)
    (-6.6, -7.5)
    """
    vapour_hpa = _vapour_hpa(air_c, rh_pct)
    if _dew_of_vapour(vapour_hpa) >= 0:
        return None
    ln_e = math.log(vapour_hpa / FROST_HPA)
    return FROST_B_C * ln_e / (FROST_A - ln_e)


def rh_from_wet_bulb(air_c: float, wet_c: float, pressure_hpa: float = SEA_LEVEL_HPA) -> float:
    """Return the humidity in percent from a whirling hygrometer's dry and wet bulb, in C.

    wet_c is at most air_c; below 0 C the wick is taken as frozen. pressure_hpa: 600..1100, as read
    here, not reduced to sea level. Whirl for half a minute, read the wet bulb first, twice. The wet
    bulb is taken as the adiabatic one, which errs by 0.3-0.4 % to the damp side, the stricter.
    Raises ValueError outside, or when the two bulbs leave no water in the air. Source: ASHRAE
    psychrometrics, as in psychrolib.

    >>> round(rh_from_wet_bulb(25, 20), 1)
    63.5
    """
    _checked_air(air_c)
    checked.number(wet_c, "wet bulb", "C", least=COLDEST_AIR_C, most=air_c)
    checked.number(
        pressure_hpa, "pressure", "hPa", least=LEAST_PRESSURE_HPA, most=MOST_PRESSURE_HPA
    )
    water_kg_kg = _water_from_wet_bulb(air_c, wet_c, pressure_hpa)
    vapour_hpa = pressure_hpa * water_kg_kg / (VAPOUR_TO_DRY_AIR + water_kg_kg)
    rh_pct = 100 * vapour_hpa / _over_water_hpa(air_c)
    if rh_pct < LEAST_RH_PCT:
        raise ValueError(
            f"wet bulb {wet_c:g} C in air of {air_c:g} C leaves no humidity: "
            "wet the wick, whirl again, and see which bulb is which"
        )
    return min(rh_pct, 100.0)


def absolute_humidity_g_m3(air_c: float, rh_pct: float) -> float:
    """Return water in the air, g/m3. Arguments and errors as ``dew_point_c``. Source: ideal gas.

    >>> round(absolute_humidity_g_m3(15, 100), 1)
    12.8
    """
    return 1e5 * _vapour_hpa(air_c, rh_pct) / (VAPOUR_G_K_J * (air_c + ZERO_C_IN_K))


def verdict(
    air_c: float,
    rh_pct: float,
    metal_c: float,
    *,
    margin_least_c: float = DEW_MARGIN_C,
    rh_most_pct: float = MOST_RH_PCT,
    metal_least_c: float | None = None,
    metal_most_c: float | None = None,
    mark: str = "",
) -> Verdict:
    """Judge air and metal against a product's limits, all of them, with the reason for each.

    air_c, rh_pct as above; metal_c -40..120 C; margin_least_c 0..30 C; rh_most_pct 1..100 %; the
    metal's own limits only where given; mark is written after each limit. Raises ValueError
    outside. With the metal at air temperature the margin of 3 C fails before 85 % does: at 20 C
    from 83 % on.

    >>> at_the_bench = verdict(16, 71, 13)
    >>> at_the_bench.fit, round(at_the_bench.warm_by_c, 1), at_the_bench.against
    (False, 0.7, ('surface 13 C is 2.3 C above the dew point 10.7 C: warm it to 13.8 C or more',))
    """
    checked.number(margin_least_c, "minimum margin above dew point", "C", least=0, most=30)
    checked.number(rh_most_pct, "maximum humidity", "%", least=LEAST_RH_PCT, most=100)
    dew_c, frost_c = dew_point_c(air_c, rh_pct), frost_point_c(air_c, rh_pct)
    point_c = dew_c if frost_c is None else max(dew_c, frost_c)
    checked.number(metal_c, "surface", "C", least=COLDEST_METAL_C, most=HOTTEST_METAL_C)
    margin_c = metal_c - point_c
    least_c = max(point_c + margin_least_c, metal_least_c if metal_least_c is not None else -1e3)
    broken: list[tuple[Limit, str]] = []
    if margin_c < margin_least_c - _ROUNDING:
        side = "above" if margin_c >= 0 else "below"
        point = "dew point" if frost_c is None else "frost point"
        words = (
            f"surface {metal_c:g} C is {abs(margin_c):.1f} C {side} the {point} {point_c:.1f} C: "
            f"warm it to {_up(least_c):.1f}{mark} C or more"
        )
        broken.append(("dew point", words))
    if rh_pct > rh_most_pct:
        words = f"humidity {rh_pct:g} % is over {rh_most_pct:g}{mark} %: dry or warm the air"
        broken.append(("humidity", words))
    if metal_least_c is not None and metal_c < metal_least_c:
        words = f"surface {metal_c:g} C is below its minimum of {metal_least_c:g}{mark} C: warm it"
        broken.append(("cold", words))
    if metal_most_c is not None and metal_c > metal_most_c:
        words = (
            f"surface {metal_c:g} C is above its maximum of {metal_most_c:g}{mark} C: let it cool"
        )
        broken.append(("warm", words))
    return Verdict(dew_c, frost_c, margin_c, least_c, max(0.0, least_c - metal_c), tuple(broken))


def _up(temp_c: float) -> float:
    """Round up to a tenth: a metal warmed to the figure shown has its margin."""
    return math.ceil(temp_c * 10 - _ROUNDING) / 10


def _checked_air(air_c: float) -> float:
    return checked.number(air_c, "air", "C", least=COLDEST_AIR_C, most=HOTTEST_AIR_C)


def _vapour_hpa(air_c: float, rh_pct: float) -> float:
    _checked_air(air_c)
    checked.number(rh_pct, "humidity", "%", least=LEAST_RH_PCT, most=100)
    return rh_pct / 100 * _over_water_hpa(air_c)


def _over_water_hpa(temp_c: float) -> float:
    return DEW_HPA * math.exp(DEW_A * temp_c / (DEW_B_C + temp_c))


def _over_ice_hpa(temp_c: float) -> float:
    return FROST_HPA * math.exp(FROST_A * temp_c / (FROST_B_C + temp_c))


def _dew_of_vapour(vapour_hpa: float) -> float:
    ln_e = math.log(vapour_hpa / DEW_HPA)
    return DEW_B_C * ln_e / (DEW_A - ln_e)


def _water_from_wet_bulb(air_c: float, wet_c: float, pressure_hpa: float) -> float:
    """Return water in kg per kg of dry air: the heat balance of a wet bulb, ASHRAE fundamentals."""
    frozen = wet_c < 0
    saturated_hpa = _over_ice_hpa(wet_c) if frozen else _over_water_hpa(wet_c)
    at_bulb = VAPOUR_TO_DRY_AIR * saturated_hpa / (pressure_hpa - saturated_hpa)
    fall_c = air_c - wet_c
    if frozen:
        return ((2830 - 0.24 * wet_c) * at_bulb - 1.006 * fall_c) / (
            2830 + 1.86 * air_c - 2.1 * wet_c
        )
    return ((2501 - 2.326 * wet_c) * at_bulb - 1.006 * fall_c) / (
        2501 + 1.86 * air_c - 4.186 * wet_c
    )
