"""The slots in which it will be too cold, too warm or too near the dew point to begin a step.

Now it is judged by the reading, as at every begin; later by the temperatures that are expected,
each limit by its stricter side, and for a day by the water that is in the air now.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import pairwise

from bench.process.ahead.cold_nights import AHEAD, dew_point_of
from bench.process.clocks.conditions import (
    LIMITS,
    WASH_LEAST_C,
    WASH_MOST_C,
    conditions_against,
    wash_against,
)
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.temperature import READ_AGAIN
from bench.process.plan import slot_sets
from bench.process.plan.grid import Grid
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Limits
from bench.process.sheets.route import Step
from bench.trade.ageing import Side

_OF_THE_AIR = {rule.name for rule in LIMITS.values()}


def slots_outside_limits(step: Step, around: Environment, grid: Grid) -> int:
    """Return the slots in which the rules of a begin would refuse a step for the air."""
    product = around.products.get(step.product)
    limits = product.limits if product else Limits()
    barred = 0
    if step.kind == "coat":
        barred |= _now(
            around, grid, conditions_against(around.conditions(grid.start), limits, grid.start)
        )
        barred |= _outside(around, grid, limits.metal_least_c, limits.metal_most_c)
        barred |= _near_dew_point(around, grid, limits.dew_margin_c)
    if step.kind == "dwell" or step.most_s:
        barred |= _now(
            around, grid, wash_against(around.conditions(grid.start), limits, grid.start)
        )
        least_c = max(WASH_LEAST_C, limits.metal_least_c)
        barred |= _outside(around, grid, least_c, min(WASH_MOST_C, limits.metal_most_c))
    return barred


def _now(around: Environment, grid: Grid, refusals: tuple[Refusal, ...]) -> int:
    """Return the slots for which the last reading counts, where it breaks a limit."""
    newest = around.newest()
    if newest is None or not any(refusal.name in _OF_THE_AIR for refusal in refusals):
        return 0
    return slot_sets.between(0, grid.up((newest.at + READ_AGAIN).timestamp()))


def _outside(around: Environment, grid: Grid, least_c: float, most_c: float) -> int:
    """Return the slots expected to be colder or warmer than two limits, in C."""
    cold = _slots_where(around, grid, "opening", lambda temp_c: temp_c < least_c)
    warm = _slots_where(around, grid, "closing", lambda temp_c: temp_c > most_c)
    return cold | warm


def _near_dew_point(around: Environment, grid: Grid, margin_c: float) -> int:
    """Return the slots of a day from the last humidity on that have too little margin."""
    dew = dew_point_of(around, grid.start)
    if dew is None:
        return 0
    near = _slots_where(around, grid, "opening", lambda temp_c: temp_c - dew.temp_c < margin_c)
    return near & slot_sets.between(0, grid.up((dew.read_at + AHEAD).timestamp()))


def _slots_where(
    around: Environment, grid: Grid, side: Side, is_so: Callable[[float], bool]
) -> int:
    """Return the slots that touch a stretch whose temperature is so."""
    log = around.weather().temperatures(grid.start, side)
    stretches = list(log.stretches_from(grid.start_s))
    last = stretches[-1]
    met = slot_sets.between(grid.down(last.start_s), grid.horizon) if is_so(last.temp_c) else 0
    for here, after in pairwise(stretches):
        if is_so(here.temp_c):
            met |= slot_sets.between(
                grid.down(here.start_s), min(grid.up(after.start_s), grid.horizon)
            )
    return met


def until_then(grid: Grid, at: datetime | None, minutes: float = 0.0) -> int:
    """Return the slots before an instant and so many minutes more; none where there is none."""
    if at is None:
        return 0
    return slot_sets.between(0, grid.up((at + timedelta(minutes=minutes)).timestamp()))
