"""One line of text from a keyboard."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Input

from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.widgets.canvas import Canvas
from bench.widgets.lines import Line, line, title_lines, wrapped

NOTE_ROWS = 12


class TypedLine(BenchScreen[str | None]):
    """What stood there may be changed; Enter takes it, Escape leaves it. None for left."""

    TYPES_LETTERS = True
    TAKES_SCANS = True

    DEFAULT_CSS = "TypedLine Input { width: 1fr; height: 3; }"

    def __init__(self, title: str, value: str = "", notes: Sequence[str] = ()) -> None:
        super().__init__()
        self.heading, self.value, self.notes = title, value, list(notes)

    def compose(self) -> ComposeResult:
        """What to know, and the line."""
        yield Canvas(self.bench.look)
        field = Input(self.value, select_on_focus=False)
        field.cursor_blink = False
        yield field

    def on_mount(self) -> None:
        """Give the line the keyboard; a screen that is ended as it opens has none."""
        for canvas in self.query(Canvas):
            canvas.styles.height = self._rows(self.size.width)
        super().on_mount()
        for field in self.query(Input):
            field.focus()

    def _rows(self, width: int) -> int:
        return min(4 + len(wrapped(self.notes, width - 4)), NOTE_ROWS)

    def draw(self, width: int, height: int) -> list[Line]:
        """Say what to type."""
        del height
        lines = title_lines(self.heading, width)
        lines += [line(f"   {text}", width) for text in wrapped(self.notes, width - 4)]
        return [*lines, line("   Enter takes it, Esc leaves it as it was", width, "dim")]

    def take_scan(self, text: str) -> None:
        """Put it where the cursor is."""
        self.query_one(Input).insert_text_at_cursor(text)

    def take(self) -> None:
        """Answer what stands in the line."""
        self.dismiss(self.query_one(Input).value)

    KEYS = (
        KeyWord(("enter",), "Enter", "take it", take),
        KeyWord(("escape",), "Esc", "leave it as it was", BenchScreen.back),
    )
