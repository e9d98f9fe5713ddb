"""Big numbers, three or five rows tall, to be read from the doorway."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

_HEAVY = {
    "0": ("┏━┓", "┃ ┃", "┗━┛"),
    "1": (" ┓ ", " ┃ ", " ┻ "),
    "2": ("━━┓", "┏━┛", "┗━━"),
    "3": ("━━┓", " ━┫", "━━┛"),
    "4": ("┃ ┃", "┗━┫", "  ┃"),
    "5": ("┏━━", "┗━┓", "━━┛"),
    "6": ("┏━━", "┣━┓", "┗━┛"),
    "7": ("━━┓", "  ┃", "  ┃"),
    "8": ("┏━┓", "┣━┫", "┗━┛"),
    "9": ("┏━┓", "┗━┫", "━━┛"),
    ":": (" ", ":", " "),
    ".": (" ", " ", "."),
    "+": ("   ", "━╋━", "   "),
    "h": ("┃  ", "┣━┓", "┃ ┃"),
    "d": ("  ┃", "┏━┫", "┗━┛"),
    "-": ("   ", "━━━", "   "),
    "<": (" /", "< ", " \\"),
    ">": ("\\ ", " >", "/ "),
}
_ASCII = {
    "0": (" _ ", "| |", "|_|"),
    "1": ("   ", "  |", "  |"),
    "2": (" _ ", " _|", "|_ "),
    "3": (" _ ", " _|", " _|"),
    "4": ("   ", "|_|", "  |"),
    "5": (" _ ", "|_ ", " _|"),
    "6": (" _ ", "|_ ", "|_|"),
    "7": (" _ ", "  |", "  |"),
    "8": (" _ ", "|_|", "|_|"),
    "9": (" _ ", "|_|", " _|"),
    ":": (" ", ":", " "),
    ".": (" ", " ", "."),
    "+": ("   ", "-+-", "   "),
    "h": ("   ", "|_ ", "| |"),
    "d": ("   ", " _|", "|_|"),
    "-": ("   ", "---", "   "),
    "<": (" /", "< ", " \\"),
    ">": ("\\ ", " >", "/ "),
}
_DOTS = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", "###", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", "  #", "  #"),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
    ".": (" ", " ", " ", " ", "#"),
    "+": ("   ", " # ", "###", " # ", "   "),
    "h": ("#  ", "#  ", "###", "# #", "# #"),
    "d": ("  #", "  #", "###", "# #", "###"),
    "-": ("   ", "   ", "###", "   ", "   "),
    "<": ("  #", " # ", "#  ", " # ", "  #"),
    ">": ("#  ", " # ", "  #", " # ", "#  "),
}
"""A 3 x 5 dot pattern a figure; every dot is two cells wide, so that it is about square."""


@lru_cache(1024)
def big(text: str, rows: int, width: int, *, ascii_only: bool = False) -> tuple[str, ...]:
    """The text in figures ``rows`` (3 or 5) tall, each line exactly ``width`` cells.

    Takes figures, ``:``, ``.``, ``+``, ``-``, ``<``, ``>``, ``h`` and ``d``. Too wide for
    ``width``: three rows instead of five, then one.
    """
    if rows >= 5:
        tall = _joined(text, _DOTS, 5)
        dot = "#" if ascii_only else "█"
        doubled = [row.replace(" ", "  ").replace("#", dot * 2) for row in tall]
        if len(doubled[0]) <= width:
            return tuple(row.ljust(width) for row in doubled)
    drawn = _joined(text, _ASCII if ascii_only else _HEAVY, 3)
    if len(drawn[0]) > width:
        drawn = ["", text[:width], ""]
    return (*(row.ljust(width) for row in drawn), *(" " * width,) * (rows - 3))


def _joined(text: str, font: Mapping[str, tuple[str, ...]], rows: int) -> list[str]:
    return [" ".join(font[c][row] for c in text if c in font) for row in range(rows)]
