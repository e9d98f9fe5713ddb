"""Tells a scanner's keys from a hand's, and holds them back until it is known whose they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from textual import events

from bench.screens.core.keys import cap

SCAN_GAP_S = 0.03
"""Keys that follow each other quicker than this come from a scanner and from no hand (common
practice, no source). So long a hand's key waits, which nobody feels."""

PREFIXED_GAP_S = 0.25
"""The same once the shop's prefix came, which no hand types: over a slow line keys come late."""


@dataclass(frozen=True)
class Scan:
    """What was scanned, without the prefix and the Enter at its end."""

    text: str
    prefixed: bool = False


class Sorted(NamedTuple):
    """What became of a key: what to hand on now, in its order, and the scan that it ended."""

    keys: list[events.Key]
    scan: Scan | None = None


class ScanReader:
    """Holds what could be the beginning of a scan, which Enter ends.

    prefix: what the shop's scanner sends first; empty for nothing.
    """

    def __init__(self, prefix: Callable[[], str]) -> None:
        self._prefix = prefix
        self._held: list[events.Key] = []
        self.last_s = float("-inf")

    @property
    def holds(self) -> bool:
        """Whether something is held back."""
        return bool(self._held)

    @property
    def gap_s(self) -> float:
        """How soon the next key of this scan comes at the latest."""
        prefix = self._prefix()
        return PREFIXED_GAP_S if prefix and self._text().startswith(prefix) else SCAN_GAP_S

    def came(self, key: events.Key, at_s: float) -> Sorted:
        """Take a key that came at an instant, in s."""
        soon = at_s - self.last_s < self.gap_s
        self.last_s = at_s
        earlier = [] if soon else self.let_go()
        if cap(key.key, key.character) == "enter":
            return self._ended() if soon else Sorted([*earlier, key])
        if key.is_printable:
            self._held.append(key)
            return Sorted(earlier)
        return Sorted([*earlier, *self.let_go(), key])

    def _ended(self) -> Sorted:
        """An Enter so soon after a key is no hand's: it ends a scan, or does nothing."""
        text, held = self._text(), self.let_go()
        if not any(sign.isalnum() for sign in text):
            return Sorted(held)
        prefix = self._prefix()
        prefixed = bool(prefix) and text.startswith(prefix)
        return Sorted([], Scan(text.removeprefix(prefix).strip(), prefixed))

    def due(self, at_s: float) -> list[events.Key]:
        """What was a hand's, since nothing came after it."""
        return self.let_go() if at_s - self.last_s >= self.gap_s else []

    def let_go(self) -> list[events.Key]:
        """Hold nothing any longer, and give what was held."""
        held, self._held = self._held, []
        return held

    def _text(self) -> str:
        return "".join(key.character or "" for key in self._held)
