"""Which line of a TOML file a value stands on: tomllib reads the values but keeps no lines."""

from __future__ import annotations

import tomllib
from contextlib import suppress
from functools import lru_cache
from typing import Any

Place = tuple[str | int, ...]
"""Keys and list numbers that lead to a value, as in ("band", 2, "until")."""

_ENDS = ("", "]", "]]", "]}", "]}]", "]]}", '"""', "'''", '"""]', "''']")
"""What ends a text that is cut off after a line: lists and texts may go on over several."""


def line_of(text: str, place: Place) -> int:
    """Find the line of the key or entry at ``place``, or of the nearest one around it, else 1.

    text: TOML that tomllib has accepted. A table or list counts from its first line.

    >>> line_of('name = "x"\\nband = [\\n  { is = "wet" },\\n  { is = "open" },\\n]', ("band", 1))
    4
    """
    for length in range(len(place), 0, -1):
        for number, place_of_line in enumerate(_by_line(text), start=1):
            if _holds(place_of_line, place[:length]):
                return number
    return 1


@lru_cache(maxsize=1)
def _by_line(text: str) -> list[dict[str, Any]]:
    """What the text holds down to the end of each of its lines."""
    lines = text.split("\n")
    table: dict[str, Any] = {}
    places = []
    for number in range(1, len(lines) + 1):
        table = _read("\n".join(lines[:number])) or table
        places.append(table)
    return places


def _read(cut_off: str) -> dict[str, Any] | None:
    for end in _ENDS:
        with suppress(tomllib.TOMLDecodeError):
            return tomllib.loads(f"{cut_off}\n{end}")
    return None


def _holds(value: Any, place: Place) -> bool:
    try:
        for key in place:
            value = value[key]
    except (KeyError, IndexError, TypeError):
        return False
    return True
