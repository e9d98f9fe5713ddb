"""A part as a list for people reads it: where it is, who had it, what it shows at another hour."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from bench.process.ahead.cold_nights import Cold
from bench.process.clocks.edges import Turn
from bench.process.clocks.stand_state import Clocks, StandState, stand_state
from bench.process.parts.part import Part


@dataclass(frozen=True)
class Standing:
    """A part with its clocks, what its stand shows now and when its coat is too cold."""

    part: Part
    clocks: Clocks
    state: StandState
    cold: tuple[Cold, ...] = ()

    @property
    def place(self) -> str:
        """Return its stand and tag."""
        return place_words(self.part.stand, self.part.tag)

    @property
    def had_by(self) -> str:
        """Return who is on it, else who did its last step, in brackets; empty where nobody did."""
        finished = self.part.clock_step()
        names = self.part.on_it() or (finished.painters if finished else ())
        return f" ({', '.join(names)})" if names else ""

    @property
    def aside(self) -> str:
        """Return why it is on hold, to stand behind a line; empty where it is not."""
        return f"; on hold: {self.part.hold}" if self.part.hold else ""

    @property
    def is_untouched(self) -> bool:
        """Return whether nobody did, began or took anything of it: nothing of it can be missed."""
        record = self.part.current()
        begun = record is None or record.status == "in hand" or self.part.clock_step() is not None
        return not begun and not self.part.taken_by

    def state_at(self, at: datetime) -> StandState:
        """Return what its clocks say at another hour if nothing is done till then, held or not."""
        return stand_state(replace(self.part, hold=""), self.clocks, at)

    def coat_turns(self, now: datetime) -> tuple[Turn, ...]:
        """Return where its next step opens or closes; only a coat's window closes."""
        record = self.part.current()
        is_coat = record is not None and record.step.kind == "coat"
        turns = self.clocks.turns(now)
        return tuple(turn for turn in turns if is_coat or turn.edge.side == "opening")


def place_words(stand: int | None, tag: str) -> str:
    """Return a stand and a tag in words.

    >>> place_words(3, "12"), place_words(None, "12b")
    ('stand 3 tag 12', 'no stand, tag 12b')
    """
    return f"stand {stand} tag {tag}" if stand is not None else f"no stand, tag {tag}"
