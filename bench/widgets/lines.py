"""Lines of styled text. Drawing is pure; only the canvas touches the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rich.cells import cell_len, chop_cells, set_cell_size


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
        return text.ljust(width) if len(text) <= width else text[: width - 2] + ".."[:width]
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

    A word longer than a line is broken wherever the line ends.
    """
    return [row for text in texts for row in _broken(text, width, bullet)]


def text_lines(
    texts: Iterable[str], width: int, style: str = "", *, indent: int = 3, bullet: str = ""
) -> list[Line]:
    """Return texts as lines in one style, ``indent`` cells free on both sides."""
    rows = wrapped(texts, width - 2 * indent, bullet)
    return [line(f"{' ' * indent}{row}", width, style) for row in rows]


@lru_cache(1024)
def _broken(text: str, width: int, bullet: str) -> tuple[str, ...]:
    room = max(width - len(bullet), 1)
    words = [piece for word in plain(text).split() for piece in chop_cells(word, room)]
    rows: list[str] = []
    current, indent = bullet, " " * len(bullet)
    empty = True
    for word in words:
        if not empty and cell_len(current) + 1 + cell_len(word) > width:
            rows.append(current)
            current, empty = indent, True
        current += word if empty else f" {word}"
        empty = False
    return (*rows, current)
