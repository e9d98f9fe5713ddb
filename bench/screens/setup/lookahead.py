"""Looking ahead on the screen: both ends of the window of a coat, and the coming night."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Generic, TypeVar

from bench.process.ahead.day_strip import day_strip
from bench.process.ahead.lookahead import ahead_words
from bench.process.ahead.unattended import MissedEvent
from bench.process.attention.todo_list import Task
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_clock
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import PagedScreen, chunks
from bench.shop.queries.lookahead import MixAhead, PartAhead, Tonight, closed_hours_tasks
from bench.widgets.lines import Line, line, title_lines, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

MemoValue = TypeVar("MemoValue")

KEPT_S = 60.0
"""Looking ahead costs far more than drawing: what was found is shown again for a minute."""


NOT_READ = Refusal("the data cannot be read just now")


class Memo(Generic[MemoValue]):
    """What was found, until something was written or a minute has gone."""

    def __init__(self, find: Callable[[], MemoValue | Refusal]) -> None:
        self._find = find
        self._found: MemoValue | Refusal | None = None
        self._view: object = None
        self._at_s = 0.0

    def of(self, bench: Paintbench) -> MemoValue | Refusal:
        """Return what is to come now."""
        at_s = bench.shop.clock.monotonic()
        stale = self._view is not bench.view or at_s - self._at_s >= KEPT_S
        if (self._found is None or stale) and bench.data.fault is None:
            self._found = bench.data.read(self._find) or self._found
            self._view, self._at_s = bench.view, at_s
        return self._found or NOT_READ


def ahead_lines(ahead: PartAhead | Refusal, width: int) -> list[str]:
    """What would come of beginning the next step now."""
    if not isinstance(ahead, PartAhead) or ahead.ahead is None:
        return []
    return wrapped([ahead_words(ahead.ahead, ahead.now)], width, "> ")


def mix_lines(found: MixAhead | Refusal, width: int) -> list[str]:
    """For each part that waits for the mix, what would come of it."""
    if not isinstance(found, MixAhead):
        return []
    texts = [f"tag {part.tag}: {ahead_words(ahead, found.now)}" for part, ahead in found.parts]
    return wrapped(texts[:2], width, "> ")


def strip_lines(ahead: PartAhead | Refusal, width: int) -> list[Line]:
    """The next 48 hours of a part: the line and its hours."""
    if not isinstance(ahead, PartAhead):
        return [line("", width), line("", width)]
    shown, hours = day_strip(ahead.signs, ahead.hours, ahead.now, width - 2)
    return [line(f" {shown}", width, "bold"), line(f" {hours}", width, "dim")]


def _missed_rows(missed: MissedEvent | Task, width: int) -> list[str]:
    where = f"stand {missed.stand}, " if missed.stand is not None else ""
    return wrapped([f"{where}{missed.text}"], width - 4, f"{missed.word:<10}")


class TonightPage(PagedScreen[None]):
    """What will be missed with the shop closed, most harm first."""

    ANSWER_LINES = 0

    def __init__(self) -> None:
        super().__init__()
        self._kept: Memo[Tonight] = Memo(lambda: closed_hours_tasks(self.bench.shop))

    def body(self, width: int, height: int) -> list[Line]:
        """From when to when, then each thing that goes by."""
        ahead = self._kept.of(self.bench)
        rows = self._rows(ahead, width) if isinstance(ahead, Tonight) else [str(ahead)]
        shown = self.page_of(chunks(rows, max(height - 2, 1)))
        lines = title_lines("Shop closed: what you will miss", width)
        return lines + [line(f"  {row}", width) for row in shown]

    def foot(self, width: int) -> list[Line]:
        """Which page it is, where there are more."""
        more = f" {self.page_words()}" if self.pages > 1 else ""
        return [line(more, width, "dim")]

    def _rows(self, ahead: Tonight, width: int) -> list[str]:
        cold = [row for want in ahead.cold for row in _missed_rows(want, width)]
        if ahead.away is None:
            return ["the shop never closes", *cold]
        leaves, comes = (format_clock(at, ahead.now) for at in ahead.away)
        rows = [f"shop closed from {leaves} to {comes}", ""]
        for missed in ahead.missed:
            rows += _missed_rows(missed, width)
        rows += cold
        return rows if ahead.missed or cold else [*rows, "nothing is missed"]

    KEYS = (
        KeyWord(("9",), "9", "more", PagedScreen.turn),
        KeyWord(("0", "enter", "/"), "0", "back", PagedScreen.back),
    )
