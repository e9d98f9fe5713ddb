"""Whether a reading is believed at once: a probe that slips, or a slip in typing, moves no clock.

A figure far from the newest believed one, or air and surface suddenly far apart, waits for a second
reading minutes later that agrees. A painter is asked once instead, and believed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.clocks.temperature import Reading, UnansweredJump
from bench.process.wording.display_units import METRIC, ShopUnits, quantity
from bench.process.wording.time_text import format_clock

AGAIN_AFTER = timedelta(minutes=3)
"""So long after one that is not believed a second reading may confirm it (common practice, no
source): a hand on the probe, or a cable that is pushed, is over by then."""


@dataclass(frozen=True)
class Doubt:
    """A figure that is not believed at once.

    what: air or metal; c: as it was read; before_c, before_at: what it is held against. apart: it
    is held against the air of the same reading.
    """

    what: str
    c: float
    before_c: float
    before_at: datetime
    apart: bool = False

    def question(self, now: datetime, units: ShopUnits = METRIC) -> str:
        """Ask whether it is right, as "48 C? it was 18 C at 14:05". now: in the shop's zone."""
        figure, before = (quantity(c, "C", units) for c in (self.c, self.before_c))
        if self.apart:
            return f"{self.what} {figure}? the air is {before}"
        return f"{self.what} {figure}? it was {before} at {format_clock(self.before_at, now)}"

    def words(self, units: ShopUnits = METRIC) -> str:
        """Say that a probe is not believed yet."""
        return f"{self.what} probe: {quantity(self.c, 'C', units)}, not believed"


def jump_words(jump: UnansweredJump, units: ShopUnits = METRIC, answered_by: str = "/ 2 .") -> str:
    """Ask about a probe's jump, and say by which keys or command it is answered."""
    figure, was = (quantity(c, "C", units) for c in (jump.c, jump.was_c))
    held_against = "the air" if jump.apart else "it"
    return f"{jump.what} probe {figure}, {held_against} was {was}: right? {answered_by}"


def doubt_of(new: Reading, believed: Sequence[Reading], most_c: float) -> Doubt | None:
    """Give the first figure of a reading that is not believed at once; None where all are.

    believed: the readings that are, newest first. Each figure is held against the newest believed
    one of its kind, however old that is. Air and surface apart are doubted only where they were not
    before: cold steel that was rolled in stays cold for hours. most_c: so far apart at most, in C.
    """
    if not believed:
        return None
    last = believed[0]
    if abs(new.air_c - last.air_c) > most_c:
        return Doubt("air", new.air_c, last.air_c, last.at)
    if new.metal_c is None:
        return None
    of_metal = next((reading for reading in believed if reading.metal_c is not None), None)
    if of_metal is not None and of_metal.metal_c is not None:
        if abs(new.metal_c - of_metal.metal_c) > most_c:
            return Doubt("metal", new.metal_c, of_metal.metal_c, of_metal.at)
        if abs(of_metal.metal_c - of_metal.air_c) > most_c:
            return None
    if abs(new.metal_c - new.air_c) > most_c:
        return Doubt("metal", new.metal_c, new.air_c, new.at, apart=True)
    return None


def confirms(second: Reading, first: Reading, most_c: float) -> bool:
    """Say whether a reading agrees with one that was not believed, and is minutes younger."""
    return second.at - first.at >= AGAIN_AFTER and doubt_of(second, [first], most_c) is None
