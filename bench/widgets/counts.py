"""A length of time in big figures, its unit in letters as tall: no time of day looks like it."""

from __future__ import annotations

import re
from functools import lru_cache

from bench.widgets.digits import TALL, big, tall

_PIECES = re.compile(r"[^\s?a-z]+|min|h|d|\?")

_UNITS = {
    "min": ("█▄ ▄█ █ █▄ █", "█ ▀ █ █ █▀▄█", "█   █ █ █  █"),
    "h": ("█ █", "███", "█ █"),
    "d": ("█▀▄", "█ █", "█▄▀"),
}
_ASCII_UNITS = {
    "min": ("#   # # #  #", "## ## # ## #", "# # # # # ##"),
    "h": ("# #", "###", "# #"),
    "d": ("## ", "# #", "## "),
}
"""Units in three rows; in five they are the letters of the far view."""

_WIDEST = 200
"""Wider than any figures in five rows."""


@lru_cache(1024)
def count_rows(text: str, rows: int, width: int, *, ascii_only: bool = False) -> tuple[str, ...]:
    """Draw a count such as ``15 h 24`` in ``rows`` (3 or 5) rows, each exactly ``width`` cells.

    Too wide for ``width``: its unit is small beside the last row, then three rows instead of five,
    then one. What has no unit is drawn as ``big`` draws it.
    """
    if not has_unit(text):
        return big(text, rows, width, ascii_only=ascii_only)
    for height in dict.fromkeys((rows, 3)):
        for small in (False, True):
            drawn = count_letters(text, height, ascii_only=ascii_only, small=small)
            if len(drawn[0]) <= width:
                return (*(row.ljust(width) for row in drawn), *(" " * width,) * (rows - height))
    return tuple(row.ljust(width) for row in ("", text[:width], *("",) * (rows - 2)))


def has_unit(text: str) -> bool:
    """Return whether a text is a count, and no time of day."""
    return bool(re.search(r"\d ?(min|h|d)", text))


def count_letters(
    text: str, height: int = TALL, *, ascii_only: bool = False, small: bool = False
) -> list[str]:
    """Draw a count as wide as it comes. small: its unit, beside the last row."""
    gap = " " if height < TALL or small else "  "
    pieces = [
        _piece(piece, height, ascii_only=ascii_only, small=small) for piece in _PIECES.findall(text)
    ]
    return [gap.join(each) for each in zip(*pieces, strict=True)]


def _piece(piece: str, height: int, *, ascii_only: bool, small: bool) -> tuple[str, ...]:
    if piece == "?" or (small and piece in _UNITS):
        return (*(" " * len(piece),) * (height - 1), piece)
    if piece in _UNITS and height < TALL:
        return (_ASCII_UNITS if ascii_only else _UNITS)[piece]
    drawn = (
        tall(piece.upper(), 1, ascii_only=ascii_only)
        if piece in _UNITS
        else big(piece, height, _WIDEST, ascii_only=ascii_only)
    )
    wide = max(len(row.rstrip()) for row in drawn)
    return tuple(row[:wide].ljust(wide) for row in drawn)
