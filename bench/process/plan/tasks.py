"""Where work can begin: hours with somebody in, breaks, masks, dust, the limits of the air."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from bench.process.ahead.cold_nights import AHEAD
from bench.process.parts.part import Part
from bench.process.plan import slot_sets
from bench.process.plan.chains import Work
from bench.process.plan.conditions_ahead import slots_outside_limits, until_then
from bench.process.plan.figures import PlanInputs
from bench.process.plan.grid import Grid
from bench.process.plan.places import releases_isocyanate


@dataclass(frozen=True)
class Starts:
    """Where a task can begin, as sets of slots. longer, longer_starts: over a break.

    by_two: where two can who share it.
    """

    plain: int
    abraded: int
    longer: int = 0
    longer_starts: int = 0
    by_two: int = 0


@dataclass
class Domains:
    """Works out the sets of slots of tasks, the same one once."""

    inputs: PlanInputs
    grid: Grid

    def __post_init__(self) -> None:
        """Look over what was sprayed before now."""
        self._limits: dict[object, int] = {}
        self._break = self._longest_break()

    def _longest_break(self) -> int:
        """Return the slots of the shop's break."""
        gaps = (
            later[0] - earlier[1]
            for since, until in self.grid.open
            for earlier, later in pairwise(s for s in self.grid.stays if since <= s[0] < until)
        )
        return max(gaps, default=0)

    def starts_of(self, part: Part, work: Work, *, abrading: int) -> Starts:
        """Return where work can begin, whatever came before it on its part."""
        length = work.length
        barred = self._barred(part, work)
        plain = self.grid.within(0, length)
        longer = longer_starts = 0
        if work.figures.can_pause and self._break:
            longer_starts = self._over_the_break(length) & ~plain & ~barred
            longer = self._break if longer_starts else 0
        abraded = 0
        if abrading:
            abraded = self.grid.within(0, length + abrading) & ~(barred >> abrading)
            abraded &= ~self._masked_until(part, work)
        by_two = self.grid.within(0, work.by_two) & ~barred if work.by_two else 0
        return Starts((plain & ~barred) | longer_starts, abraded, longer, longer_starts, by_two)

    def _over_the_break(self, length: int) -> int:
        """Return the starts in which work is laid down for the break and ended after it."""
        met = 0
        for since, until in self.grid.open:
            stays = [s for s in self.grid.stays if since <= s[0] < until]
            for earlier, later in pairwise(stays):
                if later[0] - earlier[1] == self._break:
                    first = max(earlier[0], earlier[1] - length + 1)
                    last = min(earlier[1], later[1] - length - self._break + 1)
                    met |= slot_sets.between(first, last)
        return met

    def _barred(self, part: Part, work: Work) -> int:
        """Return the starts that the air, masks or something wet forbid."""
        barred, offset = self._masked_until(part, work), work.abrading
        for record, slots in zip(work.records, work.slots, strict=True):
            step = record.step
            key = (step.kind, step.product, bool(step.most_s))
            if key not in self._limits:
                self._limits[key] = slots_outside_limits(step, self.inputs.around, self.grid)
            barred |= self._limits[key] >> offset
            offset += slots
        return barred

    def _masked_until(self, part: Part, work: Work) -> int:
        """Return the slots before the clearance time, and before a coat bears dust."""
        barred = 0
        if not any(releases_isocyanate(part, record, self.inputs) for record in work.records):
            barred |= until_then(self.grid, self.inputs.masks_until)
        if work.figures.is_dusty:
            barred |= self._wet_until(work.figures.place)
        return barred

    def _wet_until(self, place: str) -> int:
        """Return the slots before the coats that are on already bear dust."""
        barred = 0
        for part in self.inputs.parts:
            coat = part.clock_step()
            if coat is None or coat.step.kind != "coat" or coat.last_at is None:
                continue
            if self.grid.start - coat.last_at > AHEAD:
                continue
            figures = self.inputs.figures_of(part, coat)
            if figures.place == place:
                barred |= until_then(self.grid, coat.last_at, figures.dust_dry_min)
        return barred

    def opening_starts(self, mixing: int, *, isocyanate: bool) -> int:
        """Return where a coat can be sprayed that is mixed for: the mixing in the same stay."""
        fits = self.grid.within(mixing, 1) & ~slot_sets.between(0, mixing)
        if not isocyanate and self.inputs.masks_until is not None:
            until = self.grid.up(self.inputs.masks_until.timestamp())
            fits &= ~slot_sets.between(0, until + mixing)
        return fits


def agreed_slot(at: datetime | None, grid: Grid) -> int | None:
    """Return the slot of a begin in the agreed plan; None without one or where it has gone by."""
    if at is None or at < grid.start:
        return None
    slot = grid.up(at.timestamp())
    return slot if slot < grid.horizon else None
