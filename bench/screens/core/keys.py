"""Keys as they are printed on the caps, whatever NumLock makes the terminal send."""

from __future__ import annotations

from collections.abc import Callable, Collection, Coroutine, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any

from textual.keys import Keys

from bench.textual_hooks import teach_sequences

DOUBLE_PRESS_S = 0.25
"""Gloves press twice; the same key again within this is one press."""

REPEATS_FROM_S = 0.75
"""A key that is held down begins to repeat within this: after 250 ms on the Linux console, 660 ms
under X (the defaults of the kernel's input core and of the X server, from memory)."""

HELD_S = 0.1
"""Longer than the time between two repeats (33 and 40 ms there). So long a key waits that could be
the first repeat of a held one."""

_CAPS = {
    "insert": "0",
    "end": "1",
    "down": "2",
    "pagedown": "3",
    "left": "4",
    "kp_begin": "5",
    "right": "6",
    "home": "7",
    "up": "8",
    "pageup": "9",
    "delete": ".",
    "full_stop": ".",
    "comma": ".",
    "decimal": ".",
    "separator": ".",
    "plus": "+",
    "add": "+",
    "minus": "-",
    "subtract": "-",
    "asterisk": "*",
    "multiply": "*",
    "slash": "/",
    "divide": "/",
    "return": "enter",
    "question_mark": "?",
    "f1": "?",
}
"""What a keypad sends with NumLock off, and Textual's names, to what is printed on the cap."""

NUMERIC_KEYPAD = "\x1b>\x1b[?1l\x1b[?8l"
"""To the terminal at the start: figures and arrows from the keypad, not function keys, whatever ran
before (DECPNM, DECCKM off), and a held key not repeated (DECARM off). Linux: console_codes(4)."""

KEYS_REPEAT = "\x1b[?8h"
"""To the terminal at the end: a held key repeats again (DECARM)."""


class _More(Enum):
    """Keys that Textual knows by this name from other terminals."""

    BEGIN = "kp_begin"


_SEQUENCES: dict[str, Any] = {
    "\n": (Keys.Enter,),  # Enter of a keypad that tmux has set to function keys (3.3a, seen)
    "\x1b[G": (_More.BEGIN,),  # 5 without NumLock: kb2 of terminfo's linux
    "\x1bOE": (_More.BEGIN,),  # kbeg of terminfo's xterm
    "\x1bOl": ",",  # the comma of a vt220's keypad: kpCMA of terminfo's xterm
    "\x1bOX": (Keys.Ignore,),  # its equal sign, which is on no cap of ours (xterm's ctlseqs)
}
"""What keypads send besides what Textual reads. Not known, they would be read as letters."""


def know_every_keypad() -> None:
    """Teach Textual's reader of terminal input the rest of what keypads send."""
    teach_sequences(_SEQUENCES)


Flow = Coroutine[Any, Any, None]
"""Questions and what comes of their answers."""

Method = Callable[[Any], Flow | None] | Callable[[Any, str], Flow | None]
"""What a key does, a method of its screen: done at once, or the flow that it begins."""


@dataclass(frozen=True)
class KeyWord:
    """One key of a screen, or a row of them: the caps it answers to, its word, what it does.

    do: the screen's method; each: that of a row, which is given the cap that was pressed. beside: a
    key beside the keypad, which the help lists last.
    """

    caps: tuple[str, ...]
    shown: str
    word: str
    do: Callable[[Any], Flow | None] | None = None
    each: Callable[[Any, str], Flow | None] | None = None
    beside: bool = False

    @property
    def method(self) -> Method | None:
        """The method, of whichever kind it is."""
        return self.do or self.each

    def press(self, screen: object, pressed: str) -> Flow | None:
        """Do what it does on a screen, or give the flow that it begins."""
        if self.each is not None:
            return self.each(screen, pressed)
        return self.do(screen) if self.do is not None else None


HELP = KeyWord(("*", "?"), "*", "help")
"""What the keys do on a screen, and what the words mean; ``?`` and F1 are beside the keypad."""


def help_behind(key: str) -> KeyWord:
    """Give the help of a screen with another use for ``*``: over its menu that key helps both."""
    return KeyWord(("?",), f"{key} *", "help")


ANSWER = KeyWord(("enter",), "Enter", "answers")
"""On every screen, while an alarm takes that key."""


def cap(key: str, character: str | None) -> str:
    """The key as printed on its cap; anything else by its own name."""
    if key in _CAPS:
        return _CAPS[key]
    if character is not None and character.isprintable():
        return "." if character == "," else character
    return key


@dataclass(frozen=True)
class Waiting:
    """A key that is done only if it does not turn out to be held down."""

    pressed: str


class Presses:
    """Tells a painter's press from a glove's second one and from a key that is held down."""

    def __init__(self) -> None:
        self._last: tuple[str, float] | None = None
        self.waiting: Waiting | None = None

    def taken(self, pressed: str, at_s: float) -> list[str]:
        """The keys to act on now, in their order: none, one that waited, this one.

        The same key again soon after is an echo; a held one stays an echo. Somewhat later it may be
        the first repeat of a held key: it is left ``waiting``, for HELD_S or the next key.
        """
        last, self._last = self._last, (pressed, at_s)
        gap_s = at_s - last[1] if last is not None and last[0] == pressed else float("inf")
        waited, self.waiting = self.waiting, None
        if gap_s < DOUBLE_PRESS_S:
            return []
        earlier = [waited.pressed] if waited else []
        if gap_s < REPEATS_FROM_S:
            self.waiting = Waiting(pressed)
            return earlier
        return [*earlier, pressed]

    def due(self, waited: Waiting) -> list[str]:
        """The key that waited, unless it was done or dropped meanwhile."""
        if self.waiting is not waited:
            return []
        self.waiting = None
        return [waited.pressed]


class Keypad:
    """Hands on the presses that were meant, those that have to wait a little by a timer."""

    def __init__(
        self, hand_on: Callable[[str], None], later: Callable[[float, Callable[[], None]], object]
    ) -> None:
        self.presses = Presses()
        self._hand_on, self._later = hand_on, later

    def pressed(self, key: str, at_s: float, *, gloved: bool) -> None:
        """Take a press, named as on its cap. gloved: it may be one that was not meant."""
        if not gloved:
            self._due(self.presses.waiting)
            self._hand_on(key)
            return
        for meant in self.presses.taken(key, at_s):
            self._hand_on(meant)
        if (waiting := self.presses.waiting) is not None:
            self._later(HELD_S, lambda: self._due(waiting))

    def _due(self, waited: Waiting | None) -> None:
        for meant in self.presses.due(waited) if waited else ():
            self._hand_on(meant)


def first_of(key: KeyWord, count: int) -> tuple[KeyWord, ...]:
    """A row of digits as far as there is something behind them; nothing where there is none."""
    return only(key, key.caps[: max(count, 0)])


def only(key: KeyWord, caps: Sequence[str]) -> tuple[KeyWord, ...]:
    """Some digits of a row, in order, with a dash where none between is missing."""
    if not caps:
        return ()
    first, last = caps[0], caps[-1]
    whole = len(caps) > 1 and int(last) - int(first) == len(caps) - 1
    return (replace(key, caps=tuple(caps), shown=f"{first}-{last}" if whole else ",".join(caps)),)


def active_keys(
    table: Sequence[KeyWord],
    idle: Collection[Method] = (),
    upto: Mapping[Method, int] | None = None,
) -> list[KeyWord]:
    """A table without what does nothing just now.

    idle: methods that have nothing to do; upto: how many digits of a row, by its method.
    """
    rows: list[KeyWord] = []
    digits = upto or {}
    for key in table:
        if key.each is not None and key.each in digits:
            rows += first_of(key, digits[key.each])
        elif key.method not in idle:
            rows.append(key)
    return rows


def legend(table: Sequence[KeyWord], width: int, helps: KeyWord = HELP) -> str:
    """The keys of a screen on one line; closer together where the line is short.

    On a narrow terminal those before the last make room: the help names them all.
    """
    words = [f"{key.shown} {key.word}" for key in table if key.word]
    for between in ("  ", " "):
        if len(row := between.join([*words, f"{helps.shown} {helps.word}"])) <= width:
            return row
    while len(row := " ".join([*words, f"{helps.shown} more"])) > width and len(words) > 1:
        del words[-2]
    return row
