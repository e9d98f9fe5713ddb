"""Reading the value of an input as a person types it: quantities with their units, lists, times.

Every refusal is a ValueError in three parts: what was read, why not, what to type.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from bench import units
from bench.sums.model import Input, Quantity
from bench.trade import ageing
from bench.trade.ageing import TimeTable
from bench.trade.mixing import ROLES
from bench.trade.ratio import read_ratio

HOUR_S = 3600.0
_WHOLE = re.compile(r"[+-]?[0-9]{1,9}")

ByPart = Mapping[str, Quantity] | tuple[Quantity | None, ...]
"""By the part's name, or in the order printed with None where nothing is said."""


def read(field: Input, text: str) -> Any:
    """Return the value of an input from its text. Raises ValueError."""
    reader = _READERS.get(field.kind)
    if reader is None:
        return field.chosen(text.strip())
    return reader(field, text.strip())


def _number(field: Input, text: str) -> float:
    value = units.read(text, units.PINT[field.unit], bare=field.bare or not field.unit)
    return _within(field, value, text)


def _whole(field: Input, text: str) -> int:
    if not _WHOLE.fullmatch(text):
        raise ValueError(
            f"read {text[:40]!r}; wanted a number of {field.label}, a whole number such as 3"
        )
    return int(_within(field, int(text), text))


def _within(field: Input, value: float, text: str) -> float:
    try:
        return field.check(value)
    except ValueError as fault:
        raise ValueError(f"read {text[:40]!r}; {fault}") from fault


def split_list(text: str) -> list[str]:
    """Split at commas; at semicolons where there is one: then a comma is decimal.

    >>> split_list("340ml,70ml,"), split_list("2,5 l; 70 ml")
    (['340ml', '70ml', ''], ['2,5 l', '70 ml'])
    """
    return [piece.strip() for piece in text.split(";" if ";" in text else ",")]


def named_pieces(text: str) -> list[str]:
    """Split at commas, where each piece is a name or a quantity, ``=``, and another.

    >>> named_pieces("0%=60,10%=40"), named_pieces("4,5l=420g/l,1l=380g/l")
    (['0%=60', '10%=40'], ['4,5l=420g/l', '1l=380g/l'])
    """
    pieces: list[str] = []
    for piece in re.split(r";|,(?=[^,;=]*=)", text):
        if pieces and "=" not in pieces[-1]:
            piece = f"{pieces.pop()},{piece}"  # that comma was a decimal one
        pieces.append(piece)
    return [piece.strip() for piece in pieces]


def _numbers(field: Input, text: str) -> tuple[float, ...]:
    values = []
    for n, piece in enumerate(split_list(text), start=1):
        try:
            values.append(_number(field.of[0], piece))
        except ValueError as fault:
            raise ValueError(f"{field.of[0].label} {n}: {fault}") from fault
    return tuple(values)


def _pairs(field: Input, text: str) -> tuple[tuple[float, float], ...]:
    left_field, right_field = field.of
    pairs = []
    for piece in named_pieces(text):
        left_text, equals, right_text = piece.partition("=")
        if not equals:
            raise ValueError(
                f"read {piece[:40]!r} in {text[:80]!r}; wanted {left_field.label} with "
                f"{right_field.label}, as {field.such_as}"
            )
        pairs.append(
            (_number(left_field, left_text.strip()), _number(right_field, right_text.strip()))
        )
    return tuple(pairs)


def _table(field: Input, text: str) -> TimeTable:
    return table_of(_pairs(field, text))


def table_of(points: tuple[tuple[float, float], ...]) -> TimeTable:
    """Return a table of times at temperatures from (C, hours). Raises ValueError."""
    table = tuple((temp_c, hours * HOUR_S) for temp_c, hours in points)
    ageing.check_table(table)
    return table


def _amount(field: Input, text: str) -> Quantity:
    """Return a size in the first of the units that it can be read in."""
    *others, last = field.of[1:] + field.of[:1]
    for each in others:
        if _can_be(each, text):
            return Quantity(_number(each, text), each.unit)
    try:
        return Quantity(_number(last, text), last.unit)
    except ValueError as fault:
        also = " or ".join(each.such_as for each in others)
        raise ValueError(
            f"{fault}; or {also}" if also and "such as" in str(fault) else str(fault)
        ) from fault


def _can_be(field: Input, text: str) -> bool:
    try:
        units.read(text, units.PINT[field.unit])
    except ValueError:
        return False
    return True


def _by_part(field: Input, text: str) -> ByPart:
    """Return the quantities by part: named, or in the order that the ratio is printed."""
    if "=" not in text:
        may_lack = len(field.of) > 1  # there is plenty of a part; a price there must be
        return tuple(
            _size(field, piece) if piece or not may_lack else None for piece in split_list(text)
        )
    by_role: dict[str, Quantity] = {}
    for piece in named_pieces(text):
        role, equals, amount = (word.strip() for word in piece.partition("="))
        if not equals or role not in ROLES:
            raise ValueError(
                f"read {piece[:40]!r}; wanted part=amount, such as {field.such_as}; parts are "
                f"{', '.join(ROLES)}"
            )
        if role in by_role:
            raise ValueError(f"read {role} twice; wanted each part once")
        by_role[role] = _size(field, amount)
    return by_role


def _size(field: Input, text: str) -> Quantity:
    if len(field.of) > 1:
        return _amount(field, text)
    return Quantity(_number(field.of[0], text), field.of[0].unit)


def _moment(_: Input, text: str) -> datetime:
    try:
        return datetime.fromisoformat(text)
    except ValueError as fault:
        raise ValueError(
            f"read {text[:40]!r}; wanted a day and an hour such as 2026-03-02T09:40"
        ) from fault


_READERS: dict[str, Callable[[Input, str], Any]] = {
    "number": _number,
    "whole": _whole,
    "numbers": _numbers,
    "pairs": _pairs,
    "table": _table,
    "amount": _amount,
    "by part": _by_part,
    "ratio": lambda _, text: read_ratio(text),
    "moment": _moment,
}
