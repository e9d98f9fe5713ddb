"""The rules that stand in the way of work: their names, and by what each can be overridden."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from bench.process.refusals.refusal import Overridable, Refusal

COUPON = "tested on the coupon"
DATA_SHEET = "the data sheet allows it"
AT_THE_PART = "measured at the part: within limits"
LOOKED_AT = "looked at it: clear and thin"
EXTENDED = "the supplier extended its date"

OTHER = "other"
"""Offered with every rule: the painter types the reason."""

AIR_SUPPLIES = ("breathing-air cylinders", "another breathing-air compressor")
"""What else a mask can be fed from, offered where no letters can be typed."""


@dataclass(frozen=True)
class Rule:
    """One kind of rule.

    name: what the command line calls it; of: what follows the name where several things can be
    meant ("taken-gun", "taken-hoist"); reasons: those that make sense for it.
    """

    name: str
    override: Overridable = "reason"
    reasons: tuple[str, ...] = ()
    of: str = ""

    def refuses(self, rule: str, read: str = "", remedy: str = "", which: str = "") -> Refusal:
        """Say no in words. which: the thing that is meant, where ``of`` asks for one."""
        name = f"{self.name}-{_slug(which)}" if which else self.name
        return Refusal(rule, read, remedy, name, self.override, self.reasons)

    @property
    def written(self) -> str:
        """Return the name as help lists it: "too-soon", "taken-THING"."""
        return f"{self.name}-{self.of}" if self.of else self.name


def _slug(text: str) -> str:
    return re.sub(r"[\W_]+", "-", text.casefold()).strip("-")


NOT_FLASHED: Final = Rule("not-flashed", "never")

PART_TAKEN: Final = Rule("part-taken", reasons=("agreed with who took it",))
TOO_SOON: Final = Rule("too-soon", reasons=(COUPON, DATA_SHEET))
KEEP_OFF: Final = Rule("keep-off", reasons=(COUPON, DATA_SHEET))
WINDOW_MISSED: Final = Rule(
    "window-missed", reasons=("abraded and wiped, not recorded", COUPON, DATA_SHEET)
)
UNTESTED: Final = Rule("untested", reasons=(COUPON,))
HOLD_POINT: Final = Rule(
    "hold-point", reasons=("released by the inspector", "measured, not recorded")
)
NOT_PREPARED: Final = Rule("not-prepared", reasons=("prepared, not recorded", DATA_SHEET))
OVER_UNKNOWN: Final = Rule("over-unknown", reasons=(COUPON, DATA_SHEET))
NOT_OVER: Final = Rule("not-over", reasons=(COUPON, DATA_SHEET))
NO_WINDOW: Final = Rule("no-window", reasons=("the shop is being warmed", DATA_SHEET))

NO_READING: Final = Rule("no-reading", reasons=(AT_THE_PART,))
READING_OLD: Final = Rule("reading-old", reasons=(AT_THE_PART,))
NO_HUMIDITY: Final = Rule("no-humidity", reasons=(AT_THE_PART,))
NO_SURFACE: Final = Rule("no-surface", reasons=(AT_THE_PART,))
READING_WRONG: Final = Rule("reading-wrong", reasons=(AT_THE_PART,))
DEW_POINT: Final = Rule("dew-point", reasons=(AT_THE_PART, DATA_SHEET))
HUMIDITY: Final = Rule("humidity", reasons=(AT_THE_PART, DATA_SHEET))
TOO_COLD: Final = Rule("too-cold", reasons=(AT_THE_PART, DATA_SHEET))
TOO_WARM: Final = Rule("too-warm", reasons=(AT_THE_PART, DATA_SHEET))

POT_RESTS: Final = Rule("pot-rests", reasons=(DATA_SHEET,))
POT_PAST_LIFE: Final = Rule("pot-past-life", reasons=("the data sheet gives a longer life",))
POT_OFF_RATIO: Final = Rule("pot-off-ratio")
NO_POT: Final = Rule("no-pot", reasons=("it is mixed, not recorded",))
POT_FROM_OLD_TIN: Final = Rule("pot-from-old-tin", reasons=(EXTENDED,))
TIN_OUT_OF_DATE: Final = Rule("tin-out-of-date", reasons=(EXTENDED, LOOKED_AT), of="N")

TAKEN: Final = Rule("taken", reasons=("another one, not recorded here",), of="THING")
ASKED_FOR: Final = Rule("asked-for", reasons=("agreed with who asked",), of="THING")
RINSED_EARLY: Final = Rule("rinsed-early", reasons=("rinsed anyway",))
"""By keypad its one reason is given by the key that rinses; a command line types another."""

LEFT_ON_PART: Final = Rule("left-on-part", reasons=("they stay in on purpose", "the owner does it"))

NO_AIR_FED_MASK: Final = Rule("no-air-fed-mask", "air supply")
AIR_TAKEN: Final = Rule("air-taken", "air supply")
AIR_ASKED_FOR: Final = Rule("air-asked-for", "air supply")
AIR_SHORT: Final = Rule("air-short", "air supply")
NOT_TRAINED: Final = Rule("not-trained", "air supply")

RULES: Final = tuple(rule for rule in tuple(globals().values()) if isinstance(rule, Rule))
"""Every rule that has a name, in the order of the work."""

IN_THE_WAY_OF_BEGINNING: Final = tuple(
    rule for rule in RULES if rule not in (LEFT_ON_PART, RINSED_EARLY)
)
"""The rules against beginning a step; the others have work of their own."""
