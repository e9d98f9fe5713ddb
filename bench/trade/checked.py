"""One way to refuse a number: what was read, why it is refused, what would be right."""

from __future__ import annotations

import math


def limits_in_words(over: float | None, least: float | None, most: float | None) -> str:
    """Return "over 0, up to 100"; nothing where any number will do."""
    bounds = (("over", over), ("at least", least), ("up to", most))
    return ", ".join(f"{words} {bound:g}" for words, bound in bounds if bound is not None)


def number(
    value: float,
    what: str,
    unit: str = "",
    *,
    over: float | None = None,
    least: float | None = None,
    most: float | None = None,
) -> float:
    """Return ``value`` when it is a number inside its range.

    what, unit: how the message names it. over: must be more than this; least, most: may be this.
    Raises ValueError with the number read and the range that would be right.

    >>> number(45, "volume solids", "%", over=0, most=100)
    45
    >>> number(0, "volume solids", "%", over=0, most=100)
    Traceback (most recent call last):
    ValueError: volume solids 0 %: must be over 0, up to 100 %
    """
    inside = (
        math.isfinite(value)
        and (over is None or value > over)
        and (least is None or value >= least)
        and (most is None or value <= most)
    )
    if inside:
        return value
    tail = f" {unit}" if unit else ""
    limits = limits_in_words(over, least, most)
    right = f"must be {limits}{tail}" if limits else "must be a number"
    raise ValueError(f"{what} {value:g}{tail}: {right}")
