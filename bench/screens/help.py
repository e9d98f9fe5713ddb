"""What the keys do on the screen below, and how to read the bench."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from bench.process.state import HARM, SHAPES
from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord
from bench.widgets.lines import Line, ends, fit, line

MEANS = {
    "LATE": "rinse now: the wash is past its most",
    "BIN": "this pot is past its life",
    "RINSE": "rinse inside this time",
    "SHUTS": "the window ends soon",
    "KEY IT": "the window was missed: key first",
    "SHUT": "nothing may go on now",
    "TRY IT": "time is up: test it, say who",
    "OPEN": "the next step may begin",
    "HOLD": "put aside; its clocks run on",
    "IN HAND": "somebody is on it",
    "SOAK": "under a wash, not long enough yet",
    "WET": "wet paint",
    "FLASH": "solvent leaving",
    "DRYING": "water leaving",
    "WAIT": "too soon for the next coat",
    "CURE": "curing; more days, no more coats",
    "CURED": "take it off the stand",
    "GUN": "paint goes hard in it: flush it",
}


class Help(BenchScreen[None]):
    """Two columns: keys, and words with their shapes."""

    KEYS: ClassVar[Sequence[KeyWord]] = (KeyWord(("0", "enter", "/"), "0", "back", "leave"),)

    def __init__(self, table: Sequence[KeyWord]) -> None:
        super().__init__()
        self.table = [key for key in table if key.word]

    def draw(self, width: int, height: int) -> list[Line]:
        """Keys on the left, words on the right."""
        left = [f"{key.shown:>7}  {key.word}" for key in self.table]
        left += [
            "",
            "  ~ about: from temperatures",
            "  ~old the last one over 4 h old",
            "  ? a guess or a placeholder",
            "  ! an alarm nobody answered",
            "  Una is on it; (Una) was last",
            "",
            "  strip: = in  - out  : night",
            "  [ opens  ] shuts  ? try  x bin",
            "  The bench cannot see or smell.",
        ]
        left += ["  Data sheet, local rules and a", "  qualified person decide."]
        shown = [word for word in (*HARM, "GUN") if word in MEANS]
        right = [f"{word:<7} {SHAPES[word]} {MEANS[word]}" for word in shown]
        half = min(34, width // 2)
        lines = [line(" What the keys do here, and what the words mean", width, "head")]
        for y in range(max(len(left), len(right))):
            a = left[y] if y < len(left) else ""
            b = right[y] if y < len(right) else ""
            lines.append(line(fit(a, half) + fit(b, width - half), width))
        lines += [line("", width)] * (height - 1 - len(lines))
        return [*lines[: height - 1], line(ends(" 0 back", "", width), width, "keys")]

    def leave(self, _: str) -> None:
        """Back."""
        self.dismiss(None)
