"""What the bench answers when something may not be done.

Every refusal is one value, with or without the name of a rule (``rules``)::

    Refusal
    |- without a name: nothing overrides it, as "it is on hold" or what was typed wrong
    `- with a name
       |- never: not-flashed
       |- reason: each is overridden by a reason of its own
       |  |- the part: part-taken, not-prepared, over-unknown, not-over, left-on-part
       |  |- its window: too-soon, keep-off, window-missed, untested, no-window, rinsed-early
       |  |- a reading: no-reading, reading-old, no-humidity, no-surface, reading-wrong, hold-point
       |  |- the air: dew-point, humidity, too-cold, too-warm
       |  |- the pot: pot-rests, pot-past-life, pot-off-ratio, no-pot
       |  |- the tins: pot-from-old-tin, tin-out-of-date-N
       |  `- equipment: taken-THING, asked-for-THING
       `- air supply: overridden by another one that a second person looks after
          `- no-air-fed-mask, air-taken, air-asked-for, air-short, not-trained
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Overridable = Literal["never", "reason", "air supply"]
"""By what a rule is overridden: by nothing, by a reason of its own, or by another air supply that a
second person looks after."""


@dataclass(frozen=True)
class Refusal:
    """Holds why something may not be done: a value, not an exception, so nothing was changed.

    rule: the rule in words; read: the figure or word it was judged on; remedy: what to do.
    name: the rule's short name, empty where it has none (see ``rules``); override: by what it can
    be overridden; reasons: those offered for it; also: the other rules in the way.
    """

    rule: str
    read: str = ""
    remedy: str = ""
    name: str = ""
    override: Overridable = "never"
    reasons: tuple[str, ...] = ()
    also: tuple[Refusal, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        return f"{self.against}: {self.remedy}" if self.remedy else self.against

    @property
    def against(self) -> str:
        """Return the rule and what it was judged on, without what to do."""
        return f"{self.rule} ({self.read})" if self.read else self.rule
