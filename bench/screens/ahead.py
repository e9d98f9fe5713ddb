"""Looking ahead on the screen: both ends of the window of a coat, and the coming night."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from bench.process.daystrip import day_strip
from bench.process.lookahead import ahead_words
from bench.process.refusal import Refusal
from bench.process.spoken import clock_words
from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord
from bench.shop.ahead import MixAhead, PartAhead, Tonight, tonight
from bench.widgets.lines import Line, line, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

Found = TypeVar("Found")

KEPT_S = 60.0
"""Looking ahead costs far more than drawing: what was found is shown again for a minute."""


NOT_READ = Refusal("the data cannot be read just now")


class Kept(Generic[Found]):
    """What was found, until something was written or a minute has gone."""

    def __init__(self, find: Callable[[], Found | Refusal]) -> None:
        self._find = find
        self._found: Found | Refusal | None = None
        self._view: object = None
        self._at_s = 0.0

    def of(self, bench: Paintbench) -> Found | Refusal:
        """What is found now."""
        at_s = bench.shop.clock.monotonic()
        stale = self._view is not bench.view or at_s - self._at_s >= KEPT_S
        if (self._found is None or stale) and bench.data.fault is None:
            self._found = bench.data.read(self._find) or self._found
            self._view, self._at_s = bench.view, at_s
        return self._found or NOT_READ


def ahead_lines(found: PartAhead | Refusal, width: int) -> list[str]:
    """What would come of beginning the next step now."""
    if not isinstance(found, PartAhead) or found.ahead is None:
        return []
    return wrapped([ahead_words(found.ahead, found.now)], width, "> ")


def mix_lines(found: MixAhead | Refusal, width: int) -> list[str]:
    """For each part that waits for the mix, what would come of it."""
    if not isinstance(found, MixAhead):
        return []
    texts = [f"tag {part.tag}: {ahead_words(ahead, found.now)}" for part, ahead in found.parts]
    return wrapped(texts[:2], width, "> ")


def strip_lines(found: PartAhead | Refusal, width: int) -> list[Line]:
    """The next 48 hours of a part: the line and its hours."""
    if not isinstance(found, PartAhead):
        return [line("", width), line("", width)]
    shown, hours = day_strip(found.signs, found.hours, found.now, width - 2)
    return [line(f" {shown}", width, "bold"), line(f" {hours}", width, "dim")]


class TonightPage(BenchScreen[None]):
    """What will be missed with nobody in, most harm first."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("9",), "9", "more", "turn"),
        KeyWord(("0", "enter", "/"), "0", "back", "leave"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.page, self.pages = 0, 1
        self._kept: Kept[Tonight] | None = None

    def draw(self, width: int, height: int) -> list[Line]:
        """From when to when, then each thing that goes by."""
        self._kept = self._kept or Kept(lambda: tonight(self.bench.shop))
        found = self._kept.of(self.bench)
        lines = [line(" With nobody in", width, "head"), line("", width)]
        rows = self._rows(found, width) if isinstance(found, Tonight) else [str(found)]
        room = max(height - len(lines) - 2, 1)
        pages = self.pages = max(-(-len(rows) // room), 1)
        shown = rows[self.page % pages * room :][:room]
        lines += [line(f"  {row}", width) for row in shown]
        lines += [line("", width)] * (height - 2 - len(lines))
        more = f" page {self.page % pages + 1} of {pages}" if pages > 1 else ""
        return [*lines[: height - 2], line(more, width, "dim"), self.keys_line(width)]

    def _rows(self, found: Tonight, width: int) -> list[str]:
        if found.away is None:
            return ["somebody is always in"]
        leaves, comes = (clock_words(at, found.now) for at in found.away)
        rows = [f"nobody in from {leaves} to {comes}", ""]
        for missed in found.missed:
            where = f"stand {missed.stand}, " if missed.stand is not None else ""
            rows += wrapped([f"{where}{missed.text}"], width - 4, f"{missed.word:<8}")
        return rows if found.missed else [*rows, "nothing is missed"]

    def keys_now(self) -> Sequence[KeyWord]:
        """There is more only where one page does not hold it all."""
        return self.KEYS if self.pages > 1 else self.KEYS[1:]

    def turn(self) -> None:
        """The next page."""
        self.page += 1

    def leave(self, _: str) -> None:
        """Back."""
        self.dismiss(None)
