"""Plain text for a file: whatever somebody typed, only plain characters go out."""

from __future__ import annotations

import unicodedata


def plain(text: str) -> str:
    """Return the text with what is no plain character written out.

    That is control characters, escape sequences and what turns the reading direction.

    >>> plain("a" + chr(27) + "[2J")
    'a\\\\x1b[2J'
    """
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def width_of(text: str) -> int:
    """Count the columns the text takes in type of one width."""
    return len(text) if text.isascii() else sum(_width(c) for c in text)


def _width(c: str) -> int:
    if unicodedata.combining(c):
        return 0
    return 2 if unicodedata.east_asian_width(c) in "WF" else 1


def folded(text: str, width: int, later: str = "") -> list[str]:
    """Fold the text to lines of at most ``width`` columns, at spaces, or anywhere in a word that
    is longer than a line. Every line after the first begins with ``later``."""
    lines: list[str] = []
    current, empty = "", True
    for word in plain(text).split(" "):
        if not empty and width_of(current) + 1 + width_of(word) <= width:
            current += f" {word}"
            continue
        if not empty:
            lines.append(current)
            current = later
        empty = False
        if width_of(current) + width_of(word) <= width:
            current += word
            continue
        for c in word:
            if width_of(current) + _width(c) > width:
                lines.append(current)
                current = later
            current += c
    return [*lines, current]


def padded(text: str, width: int) -> str:
    """Return the text with spaces behind it up to ``width`` columns."""
    return text + " " * max(width - width_of(text), 0)
