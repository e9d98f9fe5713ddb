"""Typing a batch number or tag: figures and dashes on a keypad, letters on a keyboard."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_letters

from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, active_keys
from bench.shop.parts.placement import MOST_TAG
from bench.shop.stock.tins import MOST_BATCH
from bench.widgets.lines import Line, line, text_lines, title_lines

LETTERS = (*ascii_letters, "_", " ")


class BatchNumber(BenchScreen[str | None]):
    """Answers what was typed, empty for Enter alone; None for back. It holds nothing up."""

    ASKS = True
    FROM_A_KEYBOARD = LETTERS
    TAKES_SCANS = True
    WHAT, NOTES, MOST = (
        "batch number",
        "As it is printed on the tin. It may follow later, and holds nothing up.",
        MOST_BATCH,
    )

    def __init__(self, title: str, empty: str, value: str = "") -> None:
        super().__init__()
        self.heading, self.empty, self.typed = title, empty, value

    def body(self, width: int, height: int) -> list[Line]:
        """The number as far as it is typed, and what Enter would take."""
        hint = "" if self.typed else f"   (Enter: {self.empty})"
        lines = title_lines(self.heading, width) + text_lines([self.NOTES], width, indent=2)
        typed = line(f"   {self.WHAT}   {self.typed}_{hint}", width, "bold")
        return [*lines, line("", width), typed]

    def keys_now(self) -> Sequence[KeyWord]:
        """Nothing to rub out of an empty line."""
        return active_keys(self.KEYS, () if self.typed else (BatchNumber.rub_out,))

    def write(self, sign: str) -> None:
        """Add a sign."""
        if len(self.typed) < self.MOST and (self.typed or sign != " "):
            self.typed += sign

    def rub_out(self) -> None:
        """Take the last sign away."""
        self.typed = self.typed[:-1]

    def take_scan(self, text: str) -> None:
        """Type all of it."""
        for sign in text:
            self.write(sign)

    def take(self) -> None:
        """Answer what is typed."""
        self.dismiss(self.typed.strip())

    KEYS = (
        KeyWord(tuple("0123456789.-"), "0-9 . -", "type", each=write),
        KeyWord(LETTERS, "a-z", "letters", each=write),
        KeyWord(("+", "backspace"), "+", "rub out", rub_out),
        KeyWord(("enter",), "Enter", "take", take),
        KeyWord(("/",), "/", "back", BenchScreen.back),
    )


class TagNumber(BatchNumber):
    """The same of a part's tag, which has letters where a lot was split."""

    TAKES_SCANS = False
    WHAT, NOTES, MOST = (
        "tag on its steel disc",
        "Its number finds the pieces of its lot too, such as 4b.",
        MOST_TAG,
    )

    KEYS = (
        KeyWord(tuple("0123456789."), "0-9", "type", each=BatchNumber.write),
        KeyWord(LETTERS, "a-z", "letters", each=BatchNumber.write),
        KeyWord(("-", "backspace"), "-", "rub out", BatchNumber.rub_out),
        KeyWord(("enter",), "Enter", "find", BatchNumber.take),
        KeyWord(("/",), "/", "back", BenchScreen.back),
    )
