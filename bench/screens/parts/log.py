"""The journal, newest first, page by page; a line on its own, to be undone or corrected."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from bench.process.parts.log_entry import LogEntry
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words, format_clock
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import ON_A_PAGE, LongList
from bench.screens.dialogs.questions import show
from bench.screens.parts.corrections import correct_one_of
from bench.shop.corrections.fact_table import line_menu
from bench.shop.corrections.undo import UNDO_FOR, undo_line
from bench.shop.queries.log import entry_at, log_page
from bench.widgets.lines import Line, line, text_lines, title_lines, wrapped

HEAD = 21
"""Columns before the text: digit, hour, painter."""


def marks_of(entry: LogEntry) -> str:
    """What there is to know of a line besides its text."""
    marks = [
        *(["undone"] if entry.undone else []),
        *(["clock wrong: at least that hour"] if entry.doubtful else []),
    ]
    return f" ({', '.join(marks)})" if marks else ""


class JournalPage(LongList):
    """Who did what and when; of one part if a tag is given."""

    ANSWER_UNTIL_A_KEY = True

    def __init__(self, tag: str = "") -> None:
        super().__init__()
        self.tag = tag
        self._entries: tuple[LogEntry, ...] | None = None

    @property
    def entries(self) -> tuple[LogEntry, ...]:
        """The lines of this page and one more, read once."""
        if self._entries is None:
            before = self.starts[self.page]
            self._entries = log_page(self.bench.shop, ON_A_PAGE + 1, self.tag, before=before)
        return self._entries

    def _blocks(self, width: int, room: int) -> list[list[str]]:
        """As many of them as fit whole; the first one always, whatever its length."""
        blocks: list[list[str]] = []
        for place, entry in enumerate(self.entries[:ON_A_PAGE], start=1):
            block = self._block(place, entry, width)
            if blocks and len(block) > room:
                break
            blocks.append(block)
            room -= len(block)
        return blocks

    def _block(self, place: int, entry: LogEntry, width: int) -> list[str]:
        hour = format_clock(entry.at, self.bench.now(), weekday=False)
        head = f" {place} {hour:<12} {entry.painter[:8]:<8} "
        rows = wrapped([entry.text + marks_of(entry)], max(width - len(head), 20))
        return [head + rows[0], *(" " * len(head) + row for row in rows[1:])]

    def body(self, width: int, height: int) -> list[Line]:
        """List the entries, newest first."""
        blocks = self._blocks(width, height - 2)
        shown = len(blocks)
        older_there = shown < len(self.entries)
        self.goes_on(self.entries[shown - 1].number if older_there else None, after=shown)
        of = f" of tag {self.tag}" if self.tag else ""
        older = ", older lines" if self.page else ""
        drawn = title_lines(f"The log{of}{older}", width)
        for entry, block in zip(self.entries, blocks, strict=False):
            style = "dim" if entry.undone or entry.undoes else ""
            drawn += [line(row, width, style) for row in block]
        return drawn if self.entries else [*drawn, line("   nothing is written down", width)]

    async def picked(self, place: int) -> None:
        """Show an entry on a page of its own."""
        await show(self.bench, LinePage(self.entries[place].number))
        self.turn_to(self.page)

    def turn_to(self, page: int) -> None:
        """Read the lines of that page."""
        super().turn_to(page)
        self._entries = None

    KEYS = (
        KeyWord(tuple("12345678"), "1-8", "look at one", each=LongList.pick),
        KeyWord(("9", "enter"), "9", "older", LongList.turn),
        KeyWord(("-",), "-", "newer", LongList.turn_back),
        KeyWord(("0", "/"), "0", "back", LongList.back),
    )


class LinePage(BenchScreen[None]):
    """One line of the journal, whole."""

    ANSWER_LINES = 3
    ANSWER_UNTIL_A_KEY = True

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number
        self._line: LogEntry | None = None

    @property
    def entry(self) -> LogEntry | None:
        """The line as it is now."""
        if self._line is None:
            self._line = entry_at(self.bench.shop, self.number)
        return self._line

    def body(self, width: int, height: int) -> list[Line]:
        """What, who, when, where, and what became of it."""
        entry = self.entry
        drawn = title_lines(f"Entry {self.number} of the log", width)
        if entry is not None:
            drawn += [*text_lines([entry.text], width, "bold"), line("", width)]
            drawn += text_lines(self._about(entry), width)
        return drawn

    def _about(self, entry: LogEntry) -> list[str]:
        when = day_words(self.bench.view.local(entry.at))
        rows = [f"by {entry.painter or 'the program'}, {when}, on {entry.terminal}"]
        if entry.doubtful:
            rows.append("the clock was wrong then: at least that hour")
        if entry.undone:
            rows.append("it was undone; the log keeps both entries")
        if entry.undoes is not None:
            rows.append(f"it undid line {entry.undoes}")
        if self._undoable(entry):
            minutes = UNDO_FOR.seconds // 60
            rows.append(f"Enter undoes it, for {minutes} min, if no later entry depends on it.")
        return rows

    def _undoable(self, entry: LogEntry) -> bool:
        now: datetime = self.bench.now()
        return not entry.undone and entry.undoes is None and now - entry.at <= UNDO_FOR

    def keys_now(self) -> Sequence[KeyWord]:
        """Undo only while it may be."""
        entry = self.entry
        if entry is not None and self._undoable(entry):
            return self.KEYS
        return [key for key in self.KEYS if key.do is not LinePage.undo]

    def undo(self) -> None:
        """Undo exactly this line."""
        if self.entry is not None and self._undoable(self.entry):
            self.bench.do(undo_line, self.bench.painter, self.number)
            self._line = None

    async def correct(self) -> None:
        """The fact it wrote down was another."""
        entry = self.entry
        if entry is None:
            self.tell(Refusal(f"no entry {self.number} in the log"))
            return
        facts = line_menu(self.bench.shop, self.bench.view, entry)
        if isinstance(facts, Refusal):
            self.tell(facts)
        else:
            await correct_one_of(self.bench, facts, entry.tag)

    KEYS = (
        KeyWord(("enter",), "Enter", "undo it", undo),
        KeyWord(("1",), "1", "correct it", correct),
        KeyWord(("0", "/"), "0", "back", BenchScreen.back),
    )
