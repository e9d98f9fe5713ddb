"""What is read from six metres: the room and the few most urgent things, in five-row letters.

On a screen of 24 inches with 24 lines five rows are 6 cm tall, 36 minutes of arc at six metres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.safety.masks import Room, until_words
from bench.widgets.digits import TALL, tall
from bench.widgets.lines import Line, line, wrapped

BLOCK = TALL + 2
"""Rows of one thing: its letters, what it is, and one that is free or goes on with it."""

MOST = 4
"""A glance takes in no more, however large the screen is."""


@dataclass(frozen=True)
class FarLook:
    """One thing: where it is, its word, its number, what it is in words; and whether it is harm."""

    place: str
    word: str
    number: str
    text: str
    harm: bool = False


def room_lines(room: Room, now: datetime, width: int, *, ascii_only: bool) -> list[Line]:
    """Draw that masks are on, until when and why, as large as anything else.

    Where none is known to be needed its place stays empty: a large word would be read as a
    permission, and what stands below it keeps its place.
    """
    if not room.on:
        return [line("", width)] * BLOCK
    hour = until_words(room, now)
    letters = _rows("MASKS ON", hour.upper(), "far ruined", width, ascii_only=ascii_only)
    until = f"until {hour}: " if hour else ""
    return [*letters, *_sentence(f"{until}{room.reason}", width)]


def far_lines(looks: Sequence[FarLook], width: int, *, ascii_only: bool) -> list[Line]:
    """Each thing in BLOCK rows, most urgent first."""
    lines: list[Line] = []
    for look in looks:
        style = "far ruined" if look.harm else "far"
        left = f"{look.place} {look.word}"
        lines += _rows(left, look.number, style, width, ascii_only=ascii_only)
        lines += _sentence(look.text, width)
    return lines


def _sentence(text: str, width: int) -> list[Line]:
    """What it is in words on two rows, the second free where one is enough; no number is cut."""
    rows = wrapped([text], width - len(" ") - len(" .."))
    second = " .." if len(rows) > 2 else ""
    return [line(f" {row}", width, "bold") for row in (rows[0], f"{''.join(rows[1:2])}{second}")]


def _rows(left: str, right: str, style: str, width: int, *, ascii_only: bool) -> list[Line]:
    """Two texts at the two ends, each dot as wide as both have room for; the number wide first.

    Where they have no room beside each other the number is small, and where the letters alone have
    none both are.
    """
    for cells in ((2, 2), (1, 2), (1, 1)):
        row = tall(left, cells[0], ascii_only=ascii_only)
        other = tall(right, cells[1], ascii_only=ascii_only)
        if len(row[0]) + len(other[0]) + 3 <= width:
            gap = " " * (width - 2 - len(row[0]) - len(other[0]))
            return [line(f" {a}{gap}{b}", width, style) for a, b in zip(row, other, strict=True)]
    letters = tall(left, 1, ascii_only=ascii_only)
    if len(letters[0]) + len(right) + 3 <= width:
        numbers = ("", "", right, "", "")
        return [line(f" {a}  {b}", width, style) for a, b in zip(letters, numbers, strict=True)]
    middle = line(f" {left}  {right}", width, style)
    return [line("", width, style)] * 2 + [middle] + [line("", width, style)] * 2
