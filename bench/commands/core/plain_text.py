"""Text for a terminal: whatever somebody typed, only plain characters go out."""

from __future__ import annotations

import json
import textwrap
import unicodedata
from typing import Any, TextIO

from bench.records.plain_text import plain

__all__ = ["ascii_only", "cut", "folded", "json_text", "plain", "write_json", "write_line"]

WIDTH = 79


def ascii_only(text: str) -> str:
    """Return the text in ASCII: accents dropped, anything else written out.

    >>> ascii_only("Zoë")
    'Zoe'
    """
    parts = unicodedata.normalize("NFKD", plain(text))
    bare = "".join(c for c in parts if not unicodedata.combining(c))
    return bare.encode("ascii", "backslashreplace").decode()


def cut(text: str, width: int) -> str:
    """Return the text in exactly ``width`` columns; two dots where it was cut."""
    return (text if len(text) <= width else text[: width - 2] + "..").ljust(width)


def folded(text: str, indent: str = "", further: str | None = None) -> list[str]:
    """Fold the text in ASCII to lines of at most WIDTH; further: the indent of the later ones."""
    hangs = indent if further is None else further
    return textwrap.wrap(ascii_only(text), WIDTH, initial_indent=indent, subsequent_indent=hangs)


def write_line(out: TextIO, text: str) -> None:
    """Write a line, with what the terminal's character set lacks written out."""
    encoding = getattr(out, "encoding", None) or "utf-8"
    out.write(plain(text).encode(encoding, "backslashreplace").decode(encoding) + "\n")


def json_text(data: Any) -> str:
    """Return the data as JSON in ASCII; JSON itself leaves DEL as it is."""
    text = json.dumps(data, indent=2, ensure_ascii=True, allow_nan=False)
    return text.replace("\x7f", "\\u007f") + "\n"


def write_json(out: TextIO, data: Any) -> None:
    """Write the data as JSON on the terminal."""
    out.write(json_text(data))
