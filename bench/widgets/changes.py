"""Which cells of a line changed, and writing those to the terminal and nothing else."""

from __future__ import annotations

import re

from rich.cells import cell_len
from rich.console import Console
from rich.control import Control
from rich.segment import Segment
from textual.strip import Strip

from bench.textual_hooks import ChopsUpdate
from bench.widgets.lines import Line

NEAR = 6
"""Cells that did not change are written again where fewer part two that did: a jump costs more."""


def changed_runs(old: Line, new: Line) -> list[tuple[int, int]]:
    """First column and the one after the last of each run of cells that differ.

    Letters that are not one cell wide make it the whole line: rare and safe.
    """
    before, after = ("".join(piece.text for piece in row) for row in (old, new))
    if len(before) != len(after) or not (_narrow(before) and _narrow(after)):
        return [(0, max(cell_len(before), cell_len(after), 1))] if old != new else []
    changed = [x for x, pair in enumerate(zip(before, after, strict=True)) if pair[0] != pair[1]]
    if _styles(old) != _styles(new):
        pairs = enumerate(zip(_style_of_each(old), _style_of_each(new), strict=True))
        changed = sorted({*changed, *(x for x, pair in pairs if pair[0] != pair[1])})
    runs: list[tuple[int, int]] = []
    for x in changed:
        near = bool(runs) and x - runs[-1][1] < NEAR
        runs.append((runs.pop()[0] if near else x, x + 1))
    return runs


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
