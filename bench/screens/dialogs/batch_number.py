"""Typing a batch number: figures and dashes on a keypad, letters where there is a keyboard."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_letters

from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import SCANNED, KeyWord, active_keys
from bench.shop.stock.tins import MOST_BATCH
from bench.widgets.lines import Line, line, text_lines, title_lines

LETTERS = (*ascii_letters, "_", " ")


class BatchNumber(BenchScreen[str | None]):
    """Answers what was typed, empty for Enter alone; None for back. It holds nothing up."""

    ASKS = True
    FROM_A_KEYBOARD = LETTERS

    def __init__(self, title: str, empty: str, value: str = "") -> None:
        super().__init__()
        self.heading, self.empty, self.typed = title, empty, value

    def body(self, width: int, height: int) -> list[Line]:
        """The number as far as it is typed, and what Enter would take."""
        hint = "" if self.typed else f"   (Enter: {self.empty})"
        notes = ["As it is printed on the tin. It may follow later, and holds nothing up."]
        lines = title_lines(self.heading, width) + text_lines(notes, width, indent=2)
        typed = line(f"   batch number   {self.typed}_{hint}", width, "bold")
        return [*lines, line("", width), typed]

    def keys_now(self) -> Sequence[KeyWord]:
        """Nothing to rub out of an empty line."""
        return active_keys(self.KEYS, () if self.typed else (BatchNumber.rub_out,))

    def write(self, sign: str) -> None:
        """Add a sign."""
        if len(self.typed) < MOST_BATCH and (self.typed or sign != " "):
            self.typed += sign

    def rub_out(self) -> None:
        """Take the last sign away."""
        self.typed = self.typed[:-1]

    def take(self) -> None:
        """Answer what is typed."""
        self.dismiss(self.typed.strip())

    KEYS = (
        KeyWord(tuple("0123456789.-"), "0-9 . -", "type", each=write),
        KeyWord(LETTERS, "a-z", "letters", each=write),
        KeyWord(("+", "backspace"), "+", "rub out", rub_out),
        KeyWord(("enter", SCANNED), "Enter", "take", take),
        KeyWord(("/",), "/", "back", BenchScreen.back),
    )
