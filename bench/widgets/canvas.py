"""The one widget of every screen: it keeps its last lines and repaints only cells that changed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import compress
from operator import ne

from rich.cells import cell_len
from rich.console import Console
from rich.control import Control
from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from bench.textual_hooks import ChopsUpdate
from bench.widgets.lines import Line
from bench.widgets.theme import USUAL, Look


class Canvas(Widget, can_focus=True):
    """Shows lines. Give it the whole picture each time; it finds the difference."""

    DEFAULT_CSS = "Canvas { width: 1fr; height: 1fr; background: $background; }"

    def __init__(self, look: Look = USUAL) -> None:
        super().__init__()
        self._lines: list[Line] = []
        self.look = look

    @property
    def lines(self) -> tuple[str, ...]:
        """What is on the screen, as plain text."""
        return tuple("".join(piece.text for piece in row) for row in self._lines)

    def show(self, lines: Sequence[Line], look: Look) -> None:
        """Show these lines, from the top."""
        before, self._lines = self._lines, list(lines)
        other, self.look = self.look is not look, look
        if other or len(before) != len(self._lines):
            self.refresh()
            return
        changed = [
            Region(first, y, after - first, 1)
            for y, (old, new) in enumerate(zip(before, self._lines, strict=True))
            if old != new
            for first, after in changed_runs(self._drawn(old), self._drawn(new))
        ]
        if changed:
            self.refresh(*changed)

    def _drawn(self, row: Line) -> Line:
        """A row with the signs of the terminal, each of which may hang on its neighbours."""
        if self.look.glyphs != "console":
            return row
        return tuple(replace(piece, text=self.look.shown(piece.text)) for piece in row)

    def render_line(self, y: int) -> Strip:
        """Return one line of the picture."""
        pieces: Line = self._lines[y] if y < len(self._lines) else ()
        look = self.look
        segments = [Segment(look.shown(piece.text), look.styles[piece.style]) for piece in pieces]
        return Strip(segments).adjust_cell_length(self.size.width, look.styles[""])


NEAR = 6
"""Cells that did not change are written again where fewer part two that did: a jump costs more."""


def changed_runs(old: Line, new: Line) -> list[tuple[int, int]]:
    """First column and the one after the last of each run of cells that differ.

    Letters that are not one cell wide make it the whole line: rare and safe.
    """
    before, after = ("".join(piece.text for piece in row) for row in (old, new))
    if len(before) != len(after) or not (_narrow(before) and _narrow(after)):
        return [(0, max(cell_len(before), cell_len(after), 1))] if old != new else []
    changed = list(_differing(before, after))
    if _styles(old) != _styles(new):
        restyled = _differing(_style_of_each(old), _style_of_each(new))
        changed = sorted({*changed, *restyled})
    runs: list[tuple[int, int]] = []
    for x in changed:
        near = bool(runs) and x - runs[-1][1] < NEAR
        runs.append((runs.pop()[0] if near else x, x + 1))
    return runs


def _differing(before: Sequence[str], after: Sequence[str]) -> Iterator[int]:
    """The places at which two rows of one length differ."""
    return compress(range(len(before)), map(ne, before, after))


_USUAL = re.compile("[ -~\u2500-\u259f]*")
"""ASCII, boxes and blocks: the letters of nearly every line, one cell wide each."""


def _narrow(text: str) -> bool:
    return bool(_USUAL.fullmatch(text)) or all(cell_len(letter) == 1 for letter in set(text))


def _styles(row: Line) -> list[tuple[str, int]]:
    return [(piece.style, len(piece.text)) for piece in row]


def _style_of_each(row: Line) -> list[str]:
    return [piece.style for piece in row for _ in piece.text]


class ChangedCells(ChopsUpdate):
    """Textual's update of parts of the screen, without what it writes besides.

    Textual writes a line from the left edge of its widget on, names the style of every piece and
    ends it, and goes to a new line. Here a run of cells begins where it changed, and a style is
    named once for all runs in a row that have it.
    """

    def render_segments(self, console: Console) -> str:
        """What is written to the terminal."""
        written: list[Segment] = []
        for y, first, after in self.spans:
            for x, strip in self.chops[y].items():
                begin, end = max(first, x), min(after, x + strip.cell_length if strip else 0)
                if strip is None or begin >= end:
                    continue
                jump = Control.move_to(begin, y).segment.text
                for text, style, _ in strip.crop(begin - x, end - x):
                    if written and written[-1].style == style:
                        written.append(Segment(written.pop().text + jump + text, style))
                    else:
                        written.append(Segment(jump + text, style))
                    jump = ""
        return Strip(written).render(console)
