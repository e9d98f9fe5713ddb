"""The one widget of every screen: it keeps its last lines and repaints only cells that changed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from bench.widgets.changes import changed_runs
from bench.widgets.lines import Line, Piece
from bench.widgets.looks import USUAL, Look


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
            for first, after in changed_runs(old, new)
        ]
        if changed:
            self.refresh(*changed)

    def render_line(self, y: int) -> Strip:
        """One line of the picture."""
        pieces: Line = self._lines[y] if y < len(self._lines) else ()
        look = self.look
        segments = [Segment(look.shown(piece.text), look.styles[piece.style]) for piece in pieces]
        return Strip(segments).adjust_cell_length(self.size.width, look.styles[""])


__all__ = ["Canvas", "Line", "Piece"]
