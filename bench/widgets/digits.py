"""Big numbers, three or five rows tall, to be read from the doorway."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache


def _font(signs: str, *rows: str) -> dict[str, tuple[str, ...]]:
    """Signs with what draws each, from rows in which they stand beside one another."""
    drawn = zip(*(row.split(",") for row in rows), strict=True)
    return dict(zip(signs, drawn, strict=True))


_HEAVY = _font(
    "0123456789+hd-?:.<>",
    "┏━┓, ┓ ,━━┓,━━┓,┃ ┃,┏━━,┏━━,━━┓,┏━┓,┏━┓,   ,┃  ,  ┃,   ,━┓, , , /,\\ ",
    "┃ ┃, ┃ ,┏━┛, ━┫,┗━┫,┗━┓,┣━┓,  ┃,┣━┫,┗━┫,━╋━,┣━┓,┏━┫,━━━,┏┛,:, ,< , >",
    "┗━┛, ┻ ,┗━━,━━┛,  ┃,━━┛,┗━┛,  ┃,┗━┛,━━┛,   ,┃ ┃,┗━┛,   ,. , ,., \\,/ ",
)
_ASCII = _font(
    "0123456789+hd-?:.<>",
    " _ ,   , _ , _ ,   , _ , _ , _ , _ , _ ,   ,   ,   ,   ,_ , , , /,\\ ",
    "| |,  |, _|, _|,|_|,|_ ,|_ ,  |,|_|,|_|,-+-,|_ , _|,---,_|,:, ,< , >",
    "|_|,  |,|_ , _|,  |, _|,|_|,  |,|_|, _|,   ,| |,|_|,   ,. , ,., \\,/ ",
)
_DOTS = _font(
    "0123456789+hd-?:.<>",
    "###, # ,###,###,# #,###,###,###,###,###,   ,#  ,  #,   ,###, , ,  #,#  ",
    "# #,## ,  #,  #,# #,#  ,#  ,  #,# #,# #, # ,#  ,  #,   ,  #,#, , # , # ",
    "# #, # ,###,###,###,###,###,  #,###,###,###,###,###,###, ##, , ,#  ,  #",
    "# #, # ,#  ,  #,  #,  #,# #,  #,# #,  #, # ,# #,# #,   ,   ,#, , # , # ",
    "###,###,###,###,  #,###,###,  #,###,###,   ,# #,###,   , # , ,#,  #,#  ",
)
"""A 3 x 5 dot pattern a figure; every dot is two cells wide, so that it is about square."""

_LETTERS = _font(
    "ABCDEFGHIJKLM",
    " # ,## , ##,## ,###,###, ##,# #,#,  #,# #,#  ,#   #",
    "# #,# #,#  ,# #,#  ,#  ,#  ,# #,#,  #,# #,#  ,## ##",
    "###,## ,#  ,# #,## ,## ,# #,###,#,  #,## ,#  ,# # #",
    "# #,# #,#  ,# #,#  ,#  ,# #,# #,#,# #,# #,#  ,#   #",
    "# #,## , ##,## ,###,#  , ##,# #,#, # ,# #,###,#   #",
) | _font(
    "NOPQRSTUVWXYZ ",
    "#  #, # ,## , # ,## , ##,###,# #,# #,#   #,# #,# #,###,  ",
    "## #,# #,# #,# #,# #,#  , # ,# #,# #,#   #,# #,# #,  #,  ",
    "# ##,# #,## ,# #,## , # , # ,# #,# #,# # #, # , # , # ,  ",
    "#  #,# #,#  , ##,# #,  #, # ,# #,# #,## ##,# #, # ,#  ,  ",
    "#  #, # ,#  ,  #,# #,## , # ,###, # ,#   #,# #, # ,###,  ",
)

TALL = 5
"""Rows of the largest figures and letters."""


def tall(text: str, cells: int, *, ascii_only: bool = False) -> list[str]:
    """Figures and capital letters in five rows, every dot one or two cells wide."""
    rows = _joined(text, {**_LETTERS, **_DOTS}, TALL)
    dot = "#" if ascii_only else "█"
    return [row.replace(" ", " " * cells).replace("#", dot * cells) for row in rows]


@lru_cache(1024)
def big(text: str, rows: int, width: int, *, ascii_only: bool = False) -> tuple[str, ...]:
    """The text in figures ``rows`` (3 or 5) tall, each line exactly ``width`` cells.

    Takes figures, ``?``, ``:``, ``.``, ``+``, ``-``, ``<``, ``>``, ``h`` and ``d``. Too wide for
    ``width``: a ``?`` at its end is small, then three rows instead of five, then one.
    """
    if rows >= 5:
        for doubled in (tall(text, 2, ascii_only=ascii_only), _small_mark(text, ascii_only)):
            if len(doubled[-1]) <= width:
                return tuple(row.ljust(width) for row in doubled)
    drawn = _joined(text, _ASCII if ascii_only else _HEAVY, 3)
    if len(drawn[0]) > width:
        drawn = ["", text[:width], ""]
    return (*(row.ljust(width) for row in drawn), *(" " * width,) * (rows - 3))


def _small_mark(text: str, ascii_only: bool) -> list[str]:
    """Five rows of figures, of which a mark at the end is a plain sign beside the last row."""
    figures = text.removesuffix("?")
    rows = tall(figures, 2, ascii_only=ascii_only)
    return [*rows[:-1], f"{rows[-1]} ?" if figures != text else rows[-1]]


def _joined(text: str, font: Mapping[str, tuple[str, ...]], rows: int) -> list[str]:
    return [" ".join(font[c][row] for c in text if c in font) for row in range(rows)]
