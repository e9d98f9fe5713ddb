"""What the painter at the screen has seen of the bench, so that a key does what was meant by it."""

from __future__ import annotations

from bench.shop.core.conflicts import SeenEntries

REACTION_S = 0.5
"""What changed so little ago was not looked at when the key was chosen (house rule)."""


class SeenTracker:
    """Follows the pictures of the bench. Under a question, which stands still, nothing is seen."""

    def __init__(self, line: int) -> None:
        self._line = line
        self._shown: int | None = None
        self._since_s = 0.0
        self._own: frozenset[int] = frozenset()

    def shown(self, line: int, now_s: float) -> None:
        """Note that the bench is on the screen as it was at a line of the log."""
        self._settle(now_s)
        if line != self._shown:
            self._shown, self._since_s = line, now_s

    def hidden(self, now_s: float) -> None:
        """Note that something else lies over the bench."""
        self._settle(now_s)
        self._shown = None

    def did(self, line: int) -> None:
        """Note a line the painter wrote: of that they know."""
        self._own |= {line}

    def seen(self, now_s: float) -> SeenEntries:
        """Return what a key that is pressed now was chosen by."""
        self._settle(now_s)
        return SeenEntries(self._line, self._own)

    def _settle(self, now_s: float) -> None:
        if self._shown is not None and now_s - self._since_s >= REACTION_S:
            self._line = self._shown
            self._own = frozenset(number for number in self._own if number > self._line)
