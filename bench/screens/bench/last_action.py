"""The last thing done, by anyone on any terminal: one key undoes it, another redoes it."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.parts.log_entry import LogEntry
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_clock, format_duration
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, Method, active_keys
from bench.shop.core.transaction import Outcome
from bench.shop.corrections import undo as undoing
from bench.widgets.lines import Line, line, text_lines, title_lines


class LastAction(BenchScreen[None]):
    """Shows both; a key does exactly what is shown, and leads home."""

    def __init__(self) -> None:
        super().__init__()
        self.last: LogEntry | None = None
        self.undone: LogEntry | None = None

    def on_mount(self) -> None:
        """Read them once: what is undone is what was shown."""
        self._read()
        super().on_mount()

    def body(self, width: int, height: int) -> list[Line]:
        """Show what was done, by whom, when and where."""
        lines = title_lines("The last thing done", width)
        if self.last is None:
            lines.append(line("   there is nothing to undo", width))
        else:
            text = "Enter undoes it. The log keeps both lines."
            lines += self._entry_lines(self.last, text, width)
        if self.undone is not None:
            lines.append(line("", width))
            text = "+ redoes it, with its old hour and painter: one more line in the log."
            lines += self._entry_lines(self.undone, text, width)
        return lines

    def _entry_lines(self, entry: LogEntry, key: str, width: int) -> list[Line]:
        """An entry of the log, whose it is, and what a key does about it."""
        now = self.bench.now()
        age = format_duration((now - entry.at).total_seconds())
        by = f"by {entry.painter} at {format_clock(entry.at, now)}, {age} ago, on {entry.terminal}"
        lines = text_lines([entry.text], width, "bold")
        return [*lines, line("", width), *text_lines([by], width), *text_lines([key], width, "dim")]

    def keys_now(self) -> Sequence[KeyWord]:
        """Nothing to undo in a new shop, and nothing to redo where work went on."""
        idle: set[Method] = set() if self.last else {LastAction.undo}
        return active_keys(self.KEYS, idle if self.undone else {*idle, LastAction.redo})

    def undo(self) -> None:
        """Undo what is shown."""
        if self.last is not None:
            number = self.last.number
            self._home_after(self.bench.do(undoing.undo, self.bench.painter, number=number))

    def redo(self) -> None:
        """Redo what is shown as undone."""
        if self.undone is not None:
            self._home_after(self.bench.do(undoing.redo, self.bench.painter, self.undone.number))

    def _home_after(self, answer: Outcome | Refusal) -> None:
        """Home once it is done; after a refusal what is so now."""
        if isinstance(answer, Outcome):
            self.home()
        else:
            self._read()

    def _read(self) -> None:
        shop = self.bench.shop
        self.last = self.bench.data.read(lambda: undoing.last_action(shop))
        self.undone = self.bench.data.read(lambda: undoing.last_undone(shop))

    KEYS = (
        KeyWord(("enter",), "Enter", "undo it", undo),
        KeyWord(("+",), "+", "redo", redo),
        KeyWord(("0", ".", "/"), "0", "cancel", BenchScreen.back),
    )
