"""Big numbers, three or five rows tall, to be read from the doorway."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache, partial


def _font(signs: str, *rows: str) -> dict[str, tuple[str, ...]]:
    """Signs with what draws each, from rows in which they stand beside one another."""
    drawn = zip(*(row.split(",") for row in rows), strict=True)
    return dict(zip(signs, drawn, strict=True))


_BLOCKS = _font(
    "0123456789",
    "▄▀▀▄,▄▄█ ,▀▀▀█,▀▀▀█,█  █,█▀▀▀,▄▀▀ ,▀▀▀█,█▀▀█,█▀▀█",
    "█  █,  █ ,█▀▀▀, ▀▀█,▀▀▀█,▀▀▀█,█▀▀█,  ▄▀,█▀▀█,▀▀▀█",
    "▀▄▄▀,▄▄█▄,█▄▄▄,▄▄▄█,   █,▄▄▄█,█▄▄█,  █ ,█▄▄█, ▄▄▀",
)
"""Figures of half blocks, six half rows tall: their strokes are a sixth of that.

The Linux console has no half blocks and shows squares: no two figures may differ by the half alone.
"""
_NARROW = {figure: tuple(row[0] + row[2:] for row in rows) for figure, rows in _BLOCKS.items()}
"""The same without their second column."""

_SIGNS = _font(
    "+-?:.<>~hdmin",
    "   ,   ,▀▀█,▄, , █,█ ,     ,   ,   ,     ,  ,   ",
    "▄█▄,▀▀▀, █▀, , ,█ , █,▄▀▄▄▀,█▄ , ▄█,▄▄▄▄▄,▀ ,▄▄▄",
    " ▀ ,   , ▄ ,▀,█, █,█ ,     ,█ █,█▄█,█ █ █,█▄,█ █",
)
"""Letters of units are two rows tall: from far away none is taken for a figure."""

_ASCII = _font(
    "0123456789+-?:.<>~hdmin",
    " _ ,   , _ , _ ,   , _ , _ , _ , _ , _ ,   ,   ,_ , , , /,\\ ,   ,   ,   ,   , ,   ",
    "| |,  |, _|, _|,|_|,|_ ,|_ ,  |,|_|,|_|,-+-,---,_|,:, ,< , >,/\\/,   ,   ,   , ,   ",
    "|_|,  |,|_ , _|,  |, _|,|_|,  |,|_|, _|,   ,   ,. , ,., \\,/ ,   , h , d , m ,i, n ",
)
_DOTS = _font(
    "0123456789+-?:.<>~",
    "###, # ,###,###,# #,###, ##,###,###,###,   ,   ,###, , ,  #,#  ,    ",
    "# #,## ,  #,  #,# #,#  ,#  ,  #,# #,# #, # ,   ,  #,#, , # , # , # #",
    "# #, # ,###, ##,###,###,###,  #,###,###,###,###, ##, , ,#  ,  #,# # ",
    "# #, # ,#  ,  #,  #,  #,# #,  #,# #,  #, # ,   ,   ,#, , # , # ,    ",
    "###,###,###,###,  #,###,###,  #,###,## ,   ,   , # , ,#,  #,#  ,    ",
) | _font(
    "hdmin",
    "   ,   ,     , ,   ",
    "#  ,  #,     ,#,   ",
    "## ,###,#####, ,###",
    "# #,# #,# # #,#,# #",
    "# #,###,# # #,#,# #",
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

TALL, TALL_WIDE = 5, 43
"""Rows of the largest figures and letters, and cells for ten hours of them with sign and mark."""

TALL_FROM = 29
"""From so many lines above the keys on there is room for them beside what else is on a page."""


def tall(text: str, cells: int, *, ascii_only: bool = False, gap: int | None = None) -> list[str]:
    """Figures and capital letters in five rows, every dot one or two cells wide.

    gap: cells between two of them; without it as wide as a dot.
    """
    rows = _joined(text, {**_LETTERS, **_DOTS}, TALL, between="|")
    dot = "#" if ascii_only else "█"
    between = " " * (cells if gap is None else gap)
    return [
        row.replace(" ", " " * cells).replace("#", dot * cells).replace("|", between)
        for row in rows
    ]


@lru_cache(1024)
def big(text: str, rows: int, width: int, *, ascii_only: bool = False) -> tuple[str, ...]:
    """The text in figures ``rows`` (3 or 5) tall, each line exactly ``width`` cells.

    Takes figures, ``+ - ? : . < > ~`` and the letters of ``h``, ``d`` and ``min``, which stand
    close to their figures. Too wide for ``width``: a ``?`` at its end is small, then the figures
    are closer or narrower, then three rows instead of five, then one.
    """
    drawn = next(
        (
            each
            for each in _drawn(text.replace(" ", ""), rows, ascii_only)
            if len(each[-1]) <= width
        ),
        ["", text[:width], ""],
    )
    return (*(row.ljust(width) for row in drawn), *(" " * width,) * (rows - len(drawn)))


def _drawn(text: str, rows: int, ascii_only: bool) -> Iterator[list[str]]:
    """The text in every way there is, the best one first."""
    figures = text.removesuffix("?")
    for draw in _ways(rows, ascii_only):
        yield draw(text)
        if figures != text:
            *above, last = draw(figures)
            yield [*above, f"{last} ?"]


def _ways(rows: int, ascii_only: bool) -> Iterator[Callable[[str], list[str]]]:
    if rows >= TALL:
        yield from (partial(tall, cells=2, ascii_only=ascii_only, gap=gap) for gap in (2, 1))
    fonts = [_ASCII] if ascii_only else [_BLOCKS | _SIGNS, _NARROW | _SIGNS]
    yield from (partial(_joined, font=font, rows=3) for font in fonts)


def _joined(
    text: str, font: Mapping[str, tuple[str, ...]], rows: int, between: str = " "
) -> list[str]:
    return [between.join(font[c][row] for c in text if c in font) for row in range(rows)]
