"""A plan as plain values: as it is agreed, and as it is read again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from typing import Literal

Planner = Literal["bench", "referee"]
"""Who made a plan: the bench's own planner, or the one that proves it."""


@dataclass(frozen=True)
class AgreedStep:
    """When a step of a part, or a share of a long one, begins and ends, and by whom.

    share: which of how many; abrading_from: when the abrading before it begins, None without;
    closes: when it is too late to begin it; pot: steps of one number are sprayed from one pot;
    mixes_at: when that pot is mixed for it, None where it joins one; open_pot: the letter of a pot
    that stood there mixed; moved_at: when two carry its part out of the spray space, None where it
    stays; doubt: its length is a placeholder.
    """

    tag: str
    number: int
    name: str
    begins: datetime
    ends: datetime
    painters: tuple[str, ...] = ()
    share: tuple[int, int] = (1, 1)
    abrading_from: datetime | None = None
    closes: datetime | None = None
    pot: int | None = None
    mixes_at: datetime | None = None
    open_pot: str = ""
    moved_at: datetime | None = None
    doubt: bool = False

    @property
    def starts(self) -> datetime:
        """Return when hands are wanted: for its mixing or its abrading, else for itself."""
        return min(filter(None, (self.mixes_at, self.abrading_from, self.begins)))


@dataclass(frozen=True)
class WorkPlan:
    """A plan of the whole bench.

    made_at, line: the hour and the newest entry of the log of the bench it was made for; until: how
    far it goes; planner, seed, limits: the same make the same plan of the same bench; price: what
    it counts; bound: what none can be under, None where that is not known; is_proven: none is
    better.
    """

    made_at: datetime
    line: int
    until: datetime
    steps: tuple[AgreedStep, ...]
    planner: Planner = "bench"
    seed: int = 0
    limits: Mapping[str, int | float] = field(default_factory=dict)
    price: float = 0.0
    bound: float | None = None
    is_proven: bool = False

    def of_part(self, tag: str) -> tuple[AgreedStep, ...]:
        """Return the steps of a part in their order."""
        return tuple(step for step in self.steps if step.tag == tag)

    @property
    def abraded(self) -> int:
        """Return for how many coats what lies below is abraded first."""
        return sum(step.abrading_from is not None for step in self.steps)

    def words(self, zone: tzinfo) -> str:
        """Say what it is: "14 steps of 5 parts until Fri 12 Dec, 2 coats abraded for"."""
        tags = {step.tag for step in self.steps}
        steps = len({(step.tag, step.number) for step in self.steps})
        coats = f", {self.abraded} coat{'s' * (self.abraded != 1)} abraded for"
        return (
            f"{steps} step{'s' * (steps != 1)} of {len(tags)} part{'s' * (len(tags) != 1)} "
            f"until {max(step.ends for step in self.steps).astimezone(zone):%a %d %b}"
            f"{coats if self.abraded else ''}"
        )
