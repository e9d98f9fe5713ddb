"""The units the shop reads and types in. The sums keep theirs: C, um, ml, m2 and cm."""

from __future__ import annotations

import math
import re
from dataclasses import asdict, dataclass

MIL_UM = 25.4
US_FL_OZ_ML = 29.5735295625
FT_CM = 30.48
IN_CM = 2.54
"""International inch of 25.4 mm and US gallon of 231 cubic inches: exact, by definition."""

POUND_G = 453.59237
PSI_BAR = POUND_G / 1000 * 9.80665 / (IN_CM / 100) ** 2 / 1e5
CFM_L_MIN = FT_CM**3 / 1000
LB_US_GAL_G_L = POUND_G / (128 * US_FL_OZ_ML / 1000)
OZ_FT2_G_M2 = POUND_G / 16 / (FT_CM / 100) ** 2
"""By the avoirdupois pound and the standard fall of 9.80665 m/s2, exact by definition: the factors
of NIST SP 811 appendix B.8 (from memory) are these, rounded."""

F_PER_C = 1.8
F_AT_0_C = 32.0

FIGURES = 3
"""Of a converted number, three significant figures; a temperature to a tenth."""

_ROUNDING = 9
"""Decimals past these are rounding of floats and must not round a figure up."""

_NUMBER = re.compile(r"(?<![\d.])-?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class ShopUnits:
    """What each kind of quantity is shown and typed in."""

    temperature: str = "C"
    film: str = "um"
    volume: str = "ml"
    area: str = "m2"
    length: str = "cm"
    pressure: str = "bar"
    air: str = "l/min"
    voc: str = "g/l"
    zinc: str = "g/m2"


METRIC = ShopUnits()

KINDS: dict[str, tuple[str, str]] = {
    "temperature": ("C", "F"),
    "film": ("um", "mil"),
    "volume": ("ml", "US fl oz"),
    "area": ("m2", "ft2"),
    "length": ("cm", "in"),
    "pressure": ("bar", "psi"),
    "air": ("l/min", "cfm"),
    "voc": ("g/l", "lb/US gal"),
    "zinc": ("g/m2", "oz/ft2"),
}
"""Each kind, with the unit of the sums and the other one it may be shown in."""

_LENGTHS = {"mm": "in", "m": "ft"}
"""What other lengths of the sums are shown in, where lengths are in inches."""

_OTHER_PER_ONE = {
    "C": F_PER_C,
    "um": 1 / MIL_UM,
    "ml": 1 / US_FL_OZ_ML,
    "m2": (100 / FT_CM) ** 2,
    "cm": 1 / IN_CM,
    "mm": 0.1 / IN_CM,
    "m": 100 / FT_CM,
    "bar": 1 / PSI_BAR,
    "l/min": 1 / CFM_L_MIN,
    "g/l": 1 / LB_US_GAL_G_L,
    "g/m2": 1 / OZ_FT2_G_M2,
}


def read_units(text: str) -> dict[str, str]:
    """Give the kinds named in ``text`` with their units, such as "F, mil"; "metric" is all of them.

    Raises ValueError with what was read and what would be right.

    >>> read_units("F, mil")
    {'temperature': 'F', 'film': 'mil'}
    """
    if text.strip() == "metric":
        return asdict(METRIC)
    by_kind: dict[str, str] = {}
    for name in (each.strip() for each in text.split(",")):
        kind = next((kind for kind, units in KINDS.items() if name in units), None)
        if kind is None:
            right = ", ".join(" or ".join(units) for units in KINDS.values())
            raise ValueError(f"unit {name[:20]!r}: metric, or some of {right}")
        if kind in by_kind:
            raise ValueError(f"two units of {kind}: {' or '.join(KINDS[kind])}, not both")
        by_kind[kind] = name
    return by_kind


def shop_unit(unit: str, units: ShopUnits) -> str:
    """Return what a quantity of the sums in ``unit`` is shown in; any other unit stays as it is."""
    for kind, (inside, _) in KINDS.items():
        if unit == inside:
            return str(getattr(units, kind))
    if unit in _LENGTHS and units.length != METRIC.length:
        return _LENGTHS[unit]
    return unit


def to_shop_unit(
    value: float, unit: str, units: ShopUnits, *, difference: bool = False
) -> tuple[float, str]:
    """Convert a value of the sums in ``unit`` to the shop's. difference: warmer or colder by it.

    >>> to_shop_unit(20.0, "C", ShopUnits(temperature="F"))
    (68.0, 'F')
    """
    other = shop_unit(unit, units)
    if other == unit:
        return value, unit
    zero = F_AT_0_C if unit == "C" and not difference else 0.0
    return value * _OTHER_PER_ONE[unit] + zero, other


def from_shop_unit(value: float, unit: str, units: ShopUnits) -> float:
    """Convert a bare number typed in the shop's unit to a value in ``unit``.

    >>> from_shop_unit(68.0, "C", ShopUnits(temperature="F"))
    20.0
    """
    if shop_unit(unit, units) == unit:
        return value
    zero = F_AT_0_C if unit == "C" else 0.0
    return (value - zero) / _OTHER_PER_ONE[unit]


def format_figures(
    value: float,
    unit: str,
    units: ShopUnits,
    plain: str = "g",
    *,
    bound: str = "",
    difference: bool = False,
) -> str:
    """Return the value in figures; ``plain`` is its format while it stays in ``unit``.

    bound: "least" is never shown too small once converted, "most" never too great.
    """
    figure, other = to_shop_unit(value, unit, units, difference=difference)
    if other == unit:
        return f"{value:{plain}}"
    decimals = 1
    if unit != "C" and figure != 0:
        decimals = max(0, FIGURES - 1 - math.floor(math.log10(abs(figure))))
    whole = round(figure * 10**decimals, _ROUNDING)
    rounded = {"least": math.ceil, "most": math.floor}.get(bound, round)(whole) / 10**decimals
    text = f"{rounded:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def quantity(value: float, unit: str, units: ShopUnits, plain: str = "g") -> str:
    """Return the value in figures with its unit, as the shop reads it."""
    return f"{format_figures(value, unit, units, plain)} {shop_unit(unit, units)}"


def convert_figures(
    text: str, unit: str, units: ShopUnits, *, bound: str = "", difference: bool = False
) -> str:
    """Give every number of a text that holds nothing but figures of ``unit``: "15-30", "72, 65"."""
    if shop_unit(unit, units) == unit:
        return text
    return _NUMBER.sub(
        lambda match: format_figures(
            float(match[0]), unit, units, bound=bound, difference=difference
        ),
        text,
    )


_FIGURE_AND_UNIT = re.compile(r"(\d+(?:\.\d+)?(?:-\d+(?:\.\d+)?)?) (bar|l/min|cm)\b")


def convert_units(text: str, units: ShopUnits) -> str:
    """Return a text with its pressures, flows of air and centimetres in the shop's units.

    >>> convert_units("2-3 bar trigger pulled; 250-400 l/min", ShopUnits(pressure="psi", air="cfm"))
    '29-43.5 psi trigger pulled; 8.83-14.1 cfm'
    """
    return _FIGURE_AND_UNIT.sub(
        lambda match: f"{convert_figures(match[1], match[2], units)} {shop_unit(match[2], units)}",
        text,
    )
