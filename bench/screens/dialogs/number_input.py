"""Reading what was typed into a line: a keypad's bare figures, or a quantity as people write it."""

from __future__ import annotations

import math
import re
from string import ascii_letters

from bench.units import PINT

LETTERS = tuple(ascii_letters) + tuple("% °µμ²³")
"""What only a keyboard has. A keypad never sends any of them."""

_FIGURES = re.compile(r"-?(?:[0-9]+\.?[0-9]*|\.[0-9]+)")


def is_written(text: str) -> bool:
    """True when a keyboard was used: there is more than a keypad's figures."""
    return any(sign in LETTERS for sign in text)


def number(text: str, unit: str, such_as: float | None = None) -> float:
    """The magnitude of ``text`` in ``unit``, as it is shown; bare figures are in it already.

    such_as: an example for the refusal. Raises ValueError with what was read and what would be
    right. Pint is imported only where something else than figures was typed.
    """
    if _FIGURES.fullmatch(text):
        return float(text)
    example = "" if such_as is None else f", such as {f'{such_as:g} {unit}'.strip()}"
    if not unit or unit not in PINT:
        value = _bare(text)
        if value is None:
            raise ValueError(f"read {text!r}; wanted a bare number{example}")
        return value
    from bench.units import read

    try:
        return read(text, PINT[unit], bare=True)
    except ValueError as fault:
        was_read = str(fault).partition("; wanted ")[0]
        raise ValueError(f"{was_read}; wanted it in {unit}{example}") from fault


def _bare(text: str) -> float | None:
    """A number that stands in no unit: a count, a ratio, money."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
