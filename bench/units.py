"""Quantities as people write them, read through Pint at the border; plain floats inside.

Pint is imported on first use only: the bench must be on the screen before it.
"""

from __future__ import annotations

import hashlib
import math
import re
import shutil
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint

_NUMBER = re.compile(r"\s*([+-]?[0-9]+(?:[.,][0-9]+)?(?:[eE][+-]?[0-9]+)?)\s*(.*?)\s*")
_UNIT = re.compile(
    r"%|[A-Za-z°µμ]+(?: [A-Za-z]+){0,2}(?:\^|\*\*)?[23²³]?"
    r"(?: ?/ ?(?:US )?[A-Za-zµμ]+(?:\^|\*\*)?[23²³]?)?"
)
"""One unit, or one over another. Pint reads whole sums, and a sum such as 9**9**9 never ends."""
_POWER = re.compile(r"(?<=[A-Za-z])([23])")
_SPOKEN = {
    "C": "degC",
    "F": "degF",
    "mil": "thou",
    "mils": "thou",
    "US pt": "US_pint",
    "US fl oz": "US_fluid_ounce",
    "cfm": "foot ** 3 / minute",
    "lb/US gal": "pound / gallon",
}
"""How painters write units, where Pint's spelling differs (Pint's C is coulomb, its F farad, its
cfm a length)."""

PINT = {
    "%": "percent",
    "C": "degC",
    "degrees C": "delta_degC",
    "hPa": "hectopascal",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "ml": "millilitre",
    "l": "litre",
    "g": "gram",
    "kg": "kilogram",
    "um": "micrometre",
    "mm": "millimetre",
    "MPa": "megapascal",
    "cm": "centimetre",
    "m": "metre",
    "cm2": "centimetre ** 2",
    "m2": "metre ** 2",
    "m3": "metre ** 3",
    "m3/h": "metre ** 3 / hour",
    "cm/s": "centimetre / second",
    "ml/min": "millilitre / minute",
    "l/min": "litre / minute",
    "g/min": "gram / minute",
    "g/mol": "gram / mole",
    "g/ml": "gram / millilitre",
    "g/l": "gram / litre",
    "mg/m3": "milligram / metre ** 3",
    "g/m2": "gram / metre ** 2",
    "mg/m2": "milligram / metre ** 2",
    "uS/cm": "microsiemens / centimetre",
    "ppm": "ppm",
    "years": "year",
    "mm2/s": "millimetre ** 2 / second",
    "degrees": "degree",
    "F": "degF",
    "mil": "thou",
    "US fl oz": "US_fluid_ounce",
    "ft2": "foot ** 2",
    "in": "inch",
    "ft": "foot",
    "bar": "bar",
    "psi": "psi",
    "cfm": "foot ** 3 / minute",
    "lb/US gal": "pound / gallon",
    "oz/ft2": "ounce / foot ** 2",
    "": "dimensionless",
}
"""The units as they are shown, and Pint's name of each."""

_KINDS = {
    "second": "a time, such as 15 min, 4 h or 7 d",
    "second / metre ** 2": "a time for each area, such as 6 min/m2",
    "minute": "a time, such as 15 min or 4 h",
    "hour": "a time, such as 4 h or 15 min",
    "degC": "a temperature, such as 18 C or 68 F",
    "delta_degC": "a difference of temperature, such as 3 C",
    "percent": "a share, such as 45 %",
    "bar": "a pressure, such as 2 bar or 29 psi",
    "hectopascal": "an air pressure, such as 1013 hPa",
    "micrometre": "a film, such as 60 um or 2.4 mil",
    "millimetre": "a thickness, such as 5 mm",
    "millilitre": "a volume, such as 600 ml, 2.5 l or 1 US pt",
    "litre": "a volume, such as 2.5 l, 600 ml or 1 US pt",
    "gram": "a mass, such as 500 g or 1.2 kg",
    "kilogram": "a mass, such as 40 kg or 88 lb",
    "litre / minute": "a flow of air, such as 250 l/min or 9 cfm",
    "millilitre / minute": "a flow of paint, such as 200 ml/min",
    "gram / minute": "a mass in a time, such as 20 g/min",
    "gram / mole": "a molar mass, such as 106 g/mol",
    "gram / millilitre": "a density, such as 1.4 g/ml",
    "gram / litre": "grams in a litre, such as 420 g/l or 3.5 lb/US gal",
    "milligram / metre ** 3": "a vapour in air, such as 220 mg/m3",
    "milligram / metre ** 2": "salts on an area, such as 20 mg/m2",
    "microsiemens / centimetre": "a conductivity, such as 25 uS/cm",
    "ppm": "a vapour in air, such as 50 ppm",
    "year": "years, such as 40 years",
    "centimetre ** 2": "an area, such as 8 cm2 or 1.2 in2",
    "gram / metre ** 2": "zinc on an area, such as 610 g/m2 or 2 oz/ft2",
    "millimetre ** 2 / second": "a viscosity, such as 57 mm2/s",
    "metre": "a length, such as 3 m",
    "metre ** 2": "an area, such as 7.5 m2",
    "metre ** 3": "a room, such as 120 m3",
    "metre ** 3 / hour": "a flow of air, such as 2400 m3/h",
    "centimetre": "a length, such as 20 cm",
    "centimetre / second": "a speed, such as 40 cm/s",
    "degree": "an angle, such as 30 deg",
    "dimensionless": "a number, such as 3",
}
"""What a quantity in each of Pint's units is, with an example of it."""


@cache
def registry() -> pint.UnitRegistry:  # type: ignore[type-arg]
    """Return the one unit registry of the program (quantities of two registries do not mix).

    Its tables are kept on disk as Pint read them, which saves 0.2 s a start.
    """
    import pint

    cache_folder = _cache_folder(pint.__file__, pint.__version__)
    try:
        return pint.UnitRegistry(cache_folder=cache_folder, autoconvert_offset_to_baseunit=True)
    except Exception:
        # Cut short when the power went, or nowhere to keep it: whatever it is, it is only a cache.
        shutil.rmtree(cache_folder, ignore_errors=True)
        return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def _cache_folder(source: str, version: str) -> Path:
    """Return the cache's folder for this very Pint.

    What is kept names the files it was read from, and those of another environment may be gone.
    """
    from platformdirs import user_cache_path

    place = hashlib.sha256(f"{source} {version}".encode()).hexdigest()[:12]
    return user_cache_path("paintbench", appauthor=False) / f"pint-{place}"


def kind_words(unit: str) -> str:
    """Return what a quantity in one of Pint's units is, with an example.

    >>> kind_words("percent")
    'a share, such as 45 %'
    """
    return _KINDS.get(unit, f"a quantity in {unit}")


def read(text: str, unit: str, *, bare: bool = False) -> float:
    """Return the magnitude of ``text`` in ``unit``.

    A decimal comma is a decimal point. bare: a number without a unit is taken to be in ``unit``.
    Raises ValueError saying what was read and what would be right.

    >>> read("2,5 l", "millilitre")
    2500.0
    >>> read("68 F", "degC")
    20.0
    """
    expected = kind_words(unit)
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise ValueError(
            f"read {text[:40]!r}, which is not a number with a unit; wanted {expected}"
        )
    number, unit_text = float(match[1].replace(",", ".")), match[2]
    if not unit_text and not bare:
        raise ValueError(f"{text[:40]!r} has no unit: type {expected}")
    value = _convert(number, unit_text, unit) if unit_text else number
    if value is None or not math.isfinite(value):
        raise ValueError(f"read {text[:40]!r}; wanted {expected}")
    return value


@lru_cache(maxsize=1000)
def _convert(number: float, unit_text: str, unit: str) -> float | None:
    """Return the number in ``unit``; None where ``unit_text`` is no unit or of another kind."""
    from pint.errors import PintError

    if _UNIT.fullmatch(unit_text) is None:
        return None
    ureg = registry()
    spelling = _POWER.sub(r"**\1", _SPOKEN.get(unit_text, unit_text))
    try:
        name = str(ureg.Unit(spelling))
        if unit == "delta_degC" and name in ("degree_Celsius", "degree_Fahrenheit"):
            name = f"delta_{name}"
        return round(float(ureg.Quantity(number, name).to(unit).magnitude), 9)
    except (PintError, ValueError, AttributeError, TypeError):
        return None


def seconds(text: str) -> float:
    """Read a time as written ("15 min", "4 h", "7 d"), in seconds."""
    return read(text, "second")
