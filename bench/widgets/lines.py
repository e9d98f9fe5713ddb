"""Lines of styled text. Drawing is pure; only the canvas touches the terminal."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain

from rich.cells import cell_len, chop_cells, set_cell_size

from bench.process.wording.display_units import KINDS


@dataclass(frozen=True)
class Piece:
    """Text in one style. The style is a name of ``theme.DARK``."""

    text: str
    style: str = ""


Line = tuple[Piece, ...]


def plain(text: str) -> str:
    """The text without anything that could move the cursor or change its direction."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else "?" for c in text)


def fit(text: str, width: int) -> str:
    """Exactly ``width`` cells: cut with two dots where it is too long, filled where it is short."""
    text = plain(text)
    if width <= 0:
        return ""
    if text.isascii():
        return text.ljust(width) if len(text) <= width else text[: max(width - 2, 0)] + ".."[:width]
    if cell_len(text) > width:
        return set_cell_size(text, max(width - 2, 0)) + ".."[:width]
    return set_cell_size(text, width)


@lru_cache(4096)
def line(text: str, width: int, style: str = "") -> Line:
    """A whole line in one style."""
    return (Piece(fit(text, width), style),)


def fill(lines: Sequence[Line], width: int, height: int) -> list[Line]:
    """Return ``height`` lines: those given, cut where they are more, above empty ones."""
    return [*lines, *[line("", width)] * (height - len(lines))][: max(height, 0)]


def title_lines(title: str, width: int) -> list[Line]:
    """Return the first lines of a screen: its title and an empty one."""
    return [line(f" {title}", width, "head"), line("", width)]


def ends(left: str, right: str, width: int) -> str:
    """Two texts at the two ends of a width; the right one stays whole."""
    right = plain(right)
    room = width - cell_len(right)
    return fit(left, room) + right if room > 0 else fit(right, width)


def columns(
    blocks: Sequence[Sequence[Line]], gap: int, height: int, widths: Sequence[int]
) -> list[Line]:
    """Blocks side by side, each line of a block already as wide as its column."""
    rows: list[Line] = []
    for y in range(height):
        row: list[Piece] = []
        for n, block in enumerate(blocks):
            if n and gap:
                row.append(Piece(" " * gap))
            row.extend(block[y] if y < len(block) else (Piece(" " * widths[n]),))
        rows.append(tuple(row))
    return rows


def wrapped(texts: Iterable[str], width: int, bullet: str = "") -> list[str]:
    """Texts broken at spaces into lines of at most ``width``; later lines of one are indented.

    A number stays with its unit, and what stands between two bars stays on one line where it can.
    A word longer than a line is broken wherever the line ends.
    """
    return [row for text in texts for row in _broken(text, width, bullet)]


def text_lines(
    texts: Iterable[str], width: int, style: str = "", *, indent: int = 3, bullet: str = ""
) -> list[Line]:
    """Return texts as lines in one style, ``indent`` cells free on both sides."""
    rows = wrapped(texts, width - 2 * indent, bullet)
    return [line(f"{' ' * indent}{row}", width, style) for row in rows]


_HELD = "\u00a0"
"""A space at which no line ends; ``plain`` leaves none in a text."""

_OTHER_UNITS = ("min", "h", "d", "s", "%", "mm", "cm/s", "in/s")
_UNITS = sorted({*_OTHER_UNITS, *chain(*KINDS.values())}, key=len, reverse=True)
_BEFORE_UNIT = re.compile(rf"(?<=[\d?]) (?=(?:{'|'.join(map(re.escape, _UNITS))})(?![\w/]))")


def _words(text: str, room: int) -> list[str]:
    """What no line ends in, with its spaces held; a word longer than the room in pieces."""
    parts = plain(text).split(" | ")
    kept = (
        part.replace(" ", _HELD) if len(parts) > 1 and cell_len(part) <= room - 2 else part
        for part in parts
    )
    held = _BEFORE_UNIT.sub(_HELD, " | ".join(kept).replace(" | ", f"{_HELD}| "))
    words = [
        word
        for group in held.split(" ")
        for word in ([group] if cell_len(group) <= room else group.split(_HELD))
    ]
    return [piece for word in words if word for piece in chop_cells(word, room)]


@lru_cache(1024)
def _broken(text: str, width: int, bullet: str) -> tuple[str, ...]:
    room = max(width - len(bullet), 1)
    words = _words(text, room)
    rows: list[str] = []
    current, indent = bullet, " " * len(bullet)
    empty = True
    for word in words:
        if not empty and cell_len(current) + 1 + cell_len(word) > width:
            rows.append(current)
            current, empty = indent, True
        current += word if empty else f" {word}"
        empty = False
    return tuple(row.replace(_HELD, " ") for row in (*rows, current))
