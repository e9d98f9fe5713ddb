"""Keys as they are printed on the caps, whatever NumLock makes the terminal send."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

DOUBLE_PRESS_S = 0.25
"""Gloves press twice; the same key again within this is one press."""

_CAPS = {
    "insert": "0",
    "end": "1",
    "down": "2",
    "pagedown": "3",
    "left": "4",
    "begin": "5",
    "right": "6",
    "home": "7",
    "up": "8",
    "pageup": "9",
    "delete": ".",
    "full_stop": ".",
    "comma": ".",
    "plus": "+",
    "minus": "-",
    "asterisk": "*",
    "slash": "/",
    "return": "enter",
    "question_mark": "?",
    "f1": "?",
}
"""What a keypad sends with NumLock off, and Textual's names, to what is printed on the cap."""


@dataclass(frozen=True)
class KeyWord:
    """One key of a screen: the caps it answers to, its word, and the screen's method."""

    caps: tuple[str, ...]
    shown: str
    word: str
    does: str


HELP = KeyWord(("?",), "?", "help", "help")
"""On every screen: what the keys do there, and what the words mean."""


def cap(key: str, character: str | None) -> str:
    """The key as printed on its cap; anything else by its own name."""
    if key in _CAPS:
        return _CAPS[key]
    if character is not None and character.isprintable():
        return "." if character == "," else character
    return key


class Debounce:
    """Tells a second press from a glove that pressed twice."""

    def __init__(self) -> None:
        self._last: tuple[str, float] | None = None

    def is_echo(self, pressed: str, at_s: float) -> bool:
        """True when the same key came within DOUBLE_PRESS_S. A held key stays an echo."""
        last, self._last = self._last, (pressed, at_s)
        return last is not None and last[0] == pressed and at_s - last[1] < DOUBLE_PRESS_S


def legend(table: Sequence[KeyWord], width: int) -> str:
    """The keys of a screen on one line; closer together where the line is short."""
    told = [f"{key.shown} {key.word}" for key in (*table, HELP) if key.word]
    wide = "  ".join(told)
    return wide if len(wide) < width else " ".join(told)
