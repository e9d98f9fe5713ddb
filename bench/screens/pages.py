"""A text over as many pages as it needs: nothing is cut without a word."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.cells import cell_len

from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord
from bench.widgets.lines import Line, line, wrapped

Row = tuple[str, str]
"""A line of text and its style."""


class Pages(BenchScreen[None]):
    """Lines worked out once by ``find``: a title, and rows that are broken where they are long."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("9", "enter"), "9", "more", "turn"),
        KeyWord(("0", "/"), "0", "back", "leave"),
    )

    def __init__(self, find: Callable[[], tuple[str, Sequence[Row]]]) -> None:
        super().__init__()
        self.find = find
        self.page = 0
        self.heading, self.rows = find()

    def draw(self, width: int, height: int) -> list[Line]:
        """One page."""
        pages = self._pages(width, max(height - 4, 1))
        self.page %= len(pages)
        more = f", page {self.page + 1} of {len(pages)}" if len(pages) > 1 else ""
        lines = [line(f" {self.heading}{more}", width, "head"), line("", width)]
        lines += [line(f" {text}", width, style) for text, style in pages[self.page]]
        lines += [line("", width)] * (height - 2 - len(lines))
        return [*lines[: height - 2], self.said_line(width), self.keys_line(width)]

    def _pages(self, width: int, room: int) -> list[list[Row]]:
        broken: list[Row] = []
        for text, style in self.rows:
            inner = text.lstrip()
            indent = " " * (len(text) - len(inner))
            fits = cell_len(text) <= width - 2
            parts = [text] if fits else wrapped([inner], width - 2, indent)
            broken += [(part, style) for part in parts]
        return [broken[at : at + room] for at in range(0, len(broken), room)] or [[]]

    def keys_now(self) -> Sequence[KeyWord]:
        """9 only where there is a next page."""
        width, height = self.size
        one = len(self._pages(width, max(height - 4, 1))) == 1
        return [key for key in self.KEYS if not (one and key.does == "turn")]

    def again(self) -> None:
        """Work the lines out anew."""
        self.heading, self.rows = self.find()
        self.page = 0

    def turn(self, _: str) -> None:
        """The next page."""
        self.page += 1

    def leave(self, _: str) -> None:
        """Back."""
        self.dismiss(None)
