"""Starts after which the next step would find no window: the bench refuses to begin at them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from operator import lt

from bench.process.clocks.windows import side_of
from bench.process.parts.part import Part, StepRecord
from bench.process.plan import slot_sets
from bench.process.plan.edge_tables import EdgeTables
from bench.process.plan.grid import slots_of
from bench.process.plan.problem import Stage
from bench.process.plan.stages import bands_left


class NeverDries(Exception):
    """What a step leaves never dries, wherever in the plan it is begun. step: its name."""

    def __init__(self, step: str) -> None:
        """Take the name of the step."""
        super().__init__(step)
        self.step = step


def ends_that_never_dry(part: Part, record: StepRecord, tables: EdgeTables) -> int:
    """Return the slots in which a step would end that would then never open for the next."""
    if record.step.kind == "dwell":
        return 0
    never, bands = 0, bands_left(tables, record)
    for place, band in enumerate(bands):
        if side_of(band.word) != "opening" or band.until is None:
            break
        ends = tables.band_ends(part, record, bands, place)
        if None in ends:
            never |= slot_sets.slots_where(end is None for end in ends)
    return never


def last_starts(length: int, stages: Sequence[Stage], slack_min: float) -> list[int] | None:
    """Return the slot too late for a step, by where its coat began, to leave the next a window.

    stages: of the next step. None where that is never too late.
    """
    plain = [stage for stage in stages if not stage.abraded]
    if not plain:
        return None
    slack, latest = slots_of(slack_min), [0] * len(plain[0].opens)
    for stage in plain:
        if stage.closes is None:
            return None
        opens, beyond = stage.opens, len(stage.opens)
        never = bisect_left(opens, beyond)
        late = (
            bisect_left(opens, closes + slack) - length if closes < beyond else beyond
            for closes in stage.closes
        )
        each = (beyond if end + length >= never else end for end in late)
        latest = [*map(max, latest, each)]
    return latest


def starts_in_time(latest: Sequence[int]) -> int:
    """Return the starts that are not too late, where the step's own first face counts."""
    return slot_sets.slots_where(map(lt, range(len(latest)), latest))


def with_identity(latest: Sequence[int]) -> tuple[Stage, ...]:
    """Return the stages of a wait that only says by when a step is begun, abraded or not."""
    same = range(len(latest))
    return tuple(Stage(same, latest, abraded) for abraded in (False, True))
