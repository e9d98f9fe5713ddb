"""Reading the options of a sum. What cannot be read, or cannot be, is wrong usage and leaves by 2.

Each reader raises ArgumentTypeError, which argparse shows with the option's name: what was read,
why it is refused and what would be right.
"""

from __future__ import annotations

import re
from argparse import ArgumentTypeError
from collections.abc import Callable
from datetime import datetime
from typing import TypeVar

from bench import units
from bench.commands import quantities
from bench.trade import ageing, checked
from bench.trade.ageing import TimeTable

T = TypeVar("T")
Reader = Callable[[str], T]

UNITS = {
    "%": ("percent", "a share, such as 45 %"),
    "C": ("degC", "a temperature, such as 18 C or 68 F"),
    "degrees C": ("delta_degC", "a difference of temperature, such as 3 C"),
    "hPa": ("hectopascal", "an air pressure, such as 1013 hPa"),
    "s": ("second", "a time, such as 45 s, 15 min or 4 h"),
    "ml": ("millilitre", "a volume, such as 600 ml, 2.5 l or 1 US pt"),
    "l": ("litre", "a volume, such as 2.5 l, 600 ml or 1 US pt"),
    "g": ("gram", "a mass, such as 500 g or 1.2 kg"),
    "um": ("micrometre", "a thickness, such as 60 um or 2.4 mil"),
    "mm": ("millimetre", "a thickness, such as 5 mm"),
    "cm": ("centimetre", "a length, such as 20 cm"),
    "m": ("metre", "a length, such as 3 m"),
    "m2": ("metre ** 2", "an area, such as 7.5 m2"),
    "m3": ("metre ** 3", "a room, such as 120 m3"),
    "m3/h": ("metre ** 3 / hour", "an air flow, such as 2400 m3/h"),
    "cm/s": ("centimetre / second", "a speed, such as 46 cm/s"),
    "ml/min": ("millilitre / minute", "a flow of paint, such as 200 ml/min"),
    "g/min": ("gram / minute", "a mass in a time, such as 20 g/min"),
    "g/mol": ("gram / mole", "a molar mass, such as 106 g/mol"),
    "g/ml": ("gram / millilitre", "a density, such as 1.4 g/ml"),
    "g/l": ("gram / litre", "grams in a litre, such as 420 g/l"),
    "g/m2": ("gram / metre ** 2", "zinc on an area, such as 610 g/m2"),
    "mm2/s": ("millimetre ** 2 / second", "a viscosity, such as 57 mm2/s"),
    "degrees": ("degree", "an angle, such as 30 deg"),
    "": ("dimensionless", "a number, such as 3"),
}
"""The units of the answers: Pint's name of each, and what a quantity in it is."""


def read(text: str, unit: str, *, bare: bool = False) -> float:
    """One quantity in ``unit``, a key of UNITS. bare: the unit may be left out."""
    name, such_as = UNITS[unit]
    try:
        return units.read(text.strip(), name, bare=bare or not unit)
    except ValueError as fault:
        what_was_read = str(fault).partition("; wanted ")[0]
        raise ArgumentTypeError(f"{what_was_read}; wanted {such_as}") from fault


def measure(
    what: str,
    unit: str,
    *,
    over: float | None = None,
    least: float | None = None,
    most: float | None = None,
    bare: bool = False,
) -> Reader[float]:
    """A reader of one quantity within what such a quantity can be."""

    def reader(text: str) -> float:
        value = read(text, unit, bare=bare)
        try:
            return checked.number(value, what, unit, over=over, least=least, most=most)
        except ValueError as fault:
            raise ArgumentTypeError(f"read {text.strip()[:40]!r}; {fault}") from fault

    return reader


def whole(what: str, *, least: int, most: int) -> Reader[int]:
    """A reader of a whole number within what such a number can be."""
    number = quantities.whole(f"a number of {what}")

    def reader(text: str) -> int:
        value = number(text)
        try:
            checked.number(value, what, least=least, most=most)
        except ValueError as fault:
            raise ArgumentTypeError(str(fault)) from fault
        return value

    return reader


def told_by(reader: Callable[[str], T]) -> Reader[T]:
    """A reader of the trade's own, its refusal made the option's."""

    def asked(text: str) -> T:
        try:
            return reader(text.strip())
        except ValueError as fault:
            raise ArgumentTypeError(str(fault)) from fault

    return asked


def divided(text: str) -> list[str]:
    """What stands between commas; between semicolons where there is one: then a comma is decimal.

    >>> divided("340ml,70ml,"), divided("2,5 l; 70 ml")
    (['340ml', '70ml', ''], ['2,5 l', '70 ml'])
    """
    return [piece.strip() for piece in text.split(";" if ";" in text else ",")]


def named_pieces(text: str) -> list[str]:
    """What stands between commas, where each thing is a name or a quantity, ``=``, and another.

    >>> named_pieces("0%=60,10%=40"), named_pieces("4,5l=420g/l,1l=380g/l")
    (['0%=60', '10%=40'], ['4,5l=420g/l', '1l=380g/l'])
    """
    pieces: list[str] = []
    for piece in re.split(r";|,(?=[^,;=]*=)", text):
        if pieces and "=" not in pieces[-1]:
            piece = f"{pieces.pop()},{piece}"  # that comma was a decimal one
        pieces.append(piece)
    return [piece.strip() for piece in pieces]


def bare_list(one: Reader[float], what: str) -> Reader[tuple[float, ...]]:
    """A reader of a list of numbers, see ``divided``."""

    def reader(text: str) -> tuple[float, ...]:
        found = []
        for n, piece in enumerate(divided(text), start=1):
            try:
                found.append(one(piece))
            except ArgumentTypeError as fault:
                raise ArgumentTypeError(f"{what} {n}: {fault}") from fault
        return tuple(found)

    return reader


def pairs(
    left: Reader[float], right: Reader[float], such_as: str
) -> Reader[tuple[tuple[float, float], ...]]:
    """A reader of pairs between commas, as ``10C=24h,20C=16h``."""

    def reader(text: str) -> tuple[tuple[float, float], ...]:
        found = []
        for piece in named_pieces(text):
            one, equals, other = piece.partition("=")
            if not equals:
                raise ArgumentTypeError(f"read {piece[:40]!r} in {text[:80]!r}; wanted {such_as}")
            found.append((left(one), right(other)))
        return tuple(found)

    return reader


_table_points = pairs(
    lambda text: read(text, "C"),
    lambda text: read(text, "s"),
    "a temperature with its time, as 10C=24h,20C=16h",
)


def time_table(text: str) -> TimeTable:
    """A table of times at temperatures, as ``10C=24h,20C=16h``, from cold to warm."""
    table = _table_points(text)
    try:
        ageing.check_table(table)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from fault
    return table


def instant(text: str) -> datetime:
    """A day and an hour in ISO form, as ``2026-03-02T09:40``, with or without an offset."""
    try:
        return datetime.fromisoformat(text.strip())
    except ValueError as fault:
        raise ArgumentTypeError(
            f"read {text.strip()[:40]!r}; wanted a day and an hour such as 2026-03-02T09:40"
        ) from fault


def named(text: str) -> tuple[str, ...]:
    """Names between commas."""
    return tuple(name.strip().lower() for name in text.split(","))
