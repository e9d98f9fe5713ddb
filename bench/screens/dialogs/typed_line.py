"""A line that is typed on the keypad: figures, a unit in letters, and the way back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, TypeVar

from bench.process.refusals.refusal import Refusal
from bench.process.wording.display_units import ShopUnits
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, Method, active_keys
from bench.screens.dialogs.number_input import LETTERS, is_written
from bench.widgets.lines import Line

T = TypeVar("T")

MOST_FIGURES = 8
MOST_SIGNS = 20
"""As long as a number gets on a keypad, and with its unit on a keyboard."""


class TypedLine(BenchScreen[T | None]):
    """A question with one line to type in. typed: what stands on it; wrong: why it is refused."""

    FROM_A_KEYBOARD = LETTERS
    ANSWER_LINES = 0
    REFUSAL_LINES = 2

    def __init__(self) -> None:
        super().__init__()
        self.typed, self.wrong = "", ""

    def foot(self, width: int) -> list[Line]:
        """Return a refusal, which what is typed may be the answer to; of other answers nothing."""
        is_refused = isinstance(self.bench.said, Refusal)
        return self.said_lines(width, self.REFUSAL_LINES) if is_refused else []

    @property
    def _units(self) -> ShopUnits:
        return self.bench.view.house.units

    def keys_for(self, idle: Sequence[Method], unit: str) -> Sequence[KeyWord]:
        """Letters only where there is a unit; while one is written the slash belongs to it (g/l).

        idle: what does nothing just now.
        """
        keys = active_keys(self.KEYS, tuple(idle))
        if not unit:
            keys = [key for key in keys if key.caps is not LETTERS]
        if not is_written(self.typed):
            return keys
        return (*keys[:-1], KeyWord(("escape",), "Esc", "home", TypedLine.home))

    def write(self, sign: str) -> None:
        """One figure or one letter more."""
        written = is_written(self.typed + sign)
        fits = len(self.typed) < (MOST_SIGNS if written else MOST_FIGURES)
        if fits and not (sign == "." and "." in self.typed) and (self.typed or sign != " "):
            self.typed += sign
        self.wrong = ""

    def leave(self) -> None:
        """Back without an answer; a slash within a unit is typed."""
        if is_written(self.typed):
            self.write("/")
        else:
            self.dismiss(None)

    SIGNS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(tuple("0123456789."), "0-9 .", "type", each=write),
        KeyWord(LETTERS, "a-z", "unit", each=write),
    )
    LEAVE: ClassVar[KeyWord] = KeyWord(("/",), "/", "back", leave)
