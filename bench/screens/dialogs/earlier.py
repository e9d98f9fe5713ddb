"""It happened earlier: five minutes back with every press."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from bench.process.parts.part import Part
from bench.process.wording.time_text import format_clock
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, active_keys
from bench.shop.parts.back_dating import BACK_STEP_MIN
from bench.widgets.lines import Line, line, title_lines


class Earlier(BenchScreen[int | None]):
    """Answers the minutes to go back, None for leave it."""

    ANSWER_LINES = 0

    def __init__(self, part: Part, last: datetime) -> None:
        super().__init__()
        self.part, self.last = part, last
        self.minutes = BACK_STEP_MIN

    def body(self, width: int, height: int) -> list[Line]:
        """The event as it is written, and as it would be."""
        now = self.bench.now()
        moved = self.last - timedelta(minutes=self.minutes)
        return [
            *title_lines(f"Tag {self.part.tag} {self.part.name}: log it earlier", width),
            line(f"   logged         {format_clock(self.last, now)}", width),
            line(
                f"   correct to     {format_clock(moved, now)}   ({self.minutes} min earlier)",
                width,
                "bold",
            ),
            line("", width),
            line("   The old time stays in the log.", width, "dim"),
        ]

    def keys_now(self) -> Sequence[KeyWord]:
        """Leave out the key that would lead into the future."""
        return active_keys(self.KEYS, () if self.minutes else (Earlier.later,))

    def earlier(self) -> None:
        """Go five minutes back."""
        self.minutes += BACK_STEP_MIN

    def later(self) -> None:
        """Go five minutes on."""
        self.minutes = max(self.minutes - BACK_STEP_MIN, 0)

    def take(self) -> None:
        """Answer how long ago it was."""
        self.dismiss(self.minutes or None)

    KEYS = (
        KeyWord(("-",), "-", "5 min earlier", earlier),
        KeyWord(("+",), "+", "5 min later", later),
        KeyWord(("enter",), "Enter", "save", take),
        KeyWord(("0", "/"), "0", "cancel", BenchScreen.back),
    )
