"""The last thing done, by anyone on any terminal; a second, different key undoes it."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.journalline import JournalLine
from bench.process.spoken import clock_words, span_words
from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord
from bench.shop import undo as undoing
from bench.widgets.lines import Line, line, text_lines, title_lines


class LastAction(BenchScreen[None]):
    """Shows it; Enter undoes exactly what is shown."""

    def __init__(self) -> None:
        super().__init__()
        self.last: JournalLine | None = None

    def on_mount(self) -> None:
        """Read it once: what is undone is what was shown."""
        self._read()
        super().on_mount()

    def body(self, width: int, height: int) -> list[Line]:
        """What, who, when, where."""
        now = self.bench.now()
        lines = title_lines("The last thing done", width)
        last = self.last
        if last is None:
            lines.append(line("   there is nothing to undo", width))
        else:
            lines += text_lines([last.text], width, "bold")
            age = span_words((now - last.at).total_seconds())
            told = f"   by {last.painter} at {clock_words(last.at, now)}, {age} ago"
            told += f", on {last.terminal}"
            lines += [line("", width), line(told, width), line("", width)]
            lines.append(line("   Enter undoes it. The journal keeps both lines.", width, "dim"))
        return lines

    def keys_now(self) -> Sequence[KeyWord]:
        """Nothing to undo in a new shop."""
        return self.KEYS if self.last else self.KEYS[1:]

    def undo(self) -> None:
        """Undo what is shown, then show the one before it."""
        if self.last is None:
            return
        self.bench.do(undoing.undo, self.bench.painter, number=self.last.number)
        self._read()

    def _read(self) -> None:
        self.last = self.bench.data.read(lambda: undoing.last_action(self.bench.shop))

    KEYS = (
        KeyWord(("enter",), "Enter", "undo it", undo),
        KeyWord(("0", ".", "/"), "0", "leave it", BenchScreen.back),
    )
