"""Pages as plain text of 79 columns: readable in any editor, on any printer, in twenty years."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from bench.records.air_picture import AirPicture, drawn_text
from bench.records.blocks import (
    Block,
    Entry,
    Facts,
    Heading,
    Page,
    Say,
    SignatureLine,
    Table,
    Title,
)
from bench.records.lanes_picture import LanesPicture, drawn_lanes
from bench.records.plain_text import folded, padded, plain, width_of

WIDTH = 79
LABEL = 12
LEAST_COLUMN = 8
"""Of a table's last column."""


def text(page: Page, width: int = WIDTH) -> str:
    """Write the page as text, each line at most ``width`` columns."""
    return "\n".join(line.rstrip() for line in lines(page, width)) + "\n"


def lines(page: Page, width: int = WIDTH) -> Iterator[str]:
    """Yield the page line by line."""
    for block in page:
        yield from _block(block, width)


def _block(block: Block, width: int) -> Iterator[str]:
    if isinstance(block, Title):
        yield from _title(block, width)
    elif isinstance(block, Heading):
        yield ""
        yield from folded(block.text.upper(), width)
    elif isinstance(block, Facts):
        yield from _labelled(block.rows, width, "")
    elif isinstance(block, Entry):
        yield ""
        yield from folded(block.head, width)
        yield from _labelled(block.rows, width, "  ")
    elif isinstance(block, Table):
        yield from _table(block, width)
    elif isinstance(block, Say):
        yield from folded(f"!!! {block.text}" if block.weighty else block.text, width)
    elif isinstance(block, AirPicture):
        yield from drawn_text(block, width)
    elif isinstance(block, LanesPicture):
        yield from drawn_lanes(block, width)
    else:
        yield from _sign(block, width)


def _title(block: Title, width: int) -> Iterator[str]:
    title, beside = plain(block.text), plain(block.beside)
    gap = width - width_of(title) - width_of(beside)
    if gap > 0:
        yield title + " " * gap + beside
    else:
        yield from folded(title, width)
        yield from folded(beside, width)
    yield "=" * width


def _labelled(rows: tuple[tuple[str, str], ...], width: int, indent: str) -> Iterator[str]:
    blank = indent + " " * LABEL
    for label, text in rows:
        first = padded(indent + plain(label), len(blank))
        many = folded(text, width - len(blank))
        yield first + many[0]
        yield from (blank + more for more in many[1:])


def _table(block: Table, width: int) -> Iterator[str]:
    widths = _fitted(block.widths, width)
    yield from _row(block.heads, widths)
    yield " ".join("-" * each for each in widths)
    for row in block.rows:
        yield from _row(row, widths)
    if not block.rows:
        yield "nothing"


def _fitted(widths: tuple[int, ...], width: int) -> list[int]:
    """Return the columns' widths: the last takes the rest, the widest give where all do not fit."""
    gaps = len(widths) - 1
    fitted = [*widths[:-1], max(width - sum(widths[:-1]) - gaps, LEAST_COLUMN)]
    while sum(fitted) + gaps > width and max(fitted) > 1:
        fitted[fitted.index(max(fitted))] -= 1
    return fitted


def _row(cells: tuple[str, ...], widths: list[int]) -> Iterator[str]:
    columns = [folded(cell, each) for cell, each in zip(cells, widths, strict=True)]
    for across in zip_longest(*columns, fillvalue=""):
        yield " ".join(padded(cell, each) for cell, each in zip(across, widths, strict=True))


def _sign(block: SignatureLine, width: int) -> Iterator[str]:
    each = width // len(block.labels) - 2
    lines = (f"{plain(label)}: ".ljust(each, "_") for label in block.labels)
    yield ""
    yield "  ".join(lines)
