"""When a part is as promised, by the slot in which its last step ends, and what that counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import inf

from bench.process.clocks.cure import DRIES
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.windows import cure_span
from bench.process.parts.job import PRIORITIES, Job
from bench.process.parts.part import Part, StepRecord, step_as_finished
from bench.process.plan.edge_tables import EdgeTables, Ends
from bench.process.plan.figures import Prices
from bench.process.plan.grid import SLOT_S
from bench.process.plan.stages import bands_left


@dataclass(frozen=True)
class Readiness:
    """The days of a part by the slot in which its last step ends, and what they count."""

    done_day: Sequence[int]
    price: Sequence[int]
    promised_day: int | None
    weight: int


def weight_of(job: Job | None) -> int:
    """Return how heavy a job's days count: 3 for the most urgent, 1 for the least."""
    priority = job.priority if job else sorted(PRIORITIES)[len(PRIORITIES) // 2]
    return max(PRIORITIES) + 1 - priority


def readiness_of(
    part: Part,
    last: StepRecord,
    job: Job | None,
    tables: EdgeTables,
    handling_h: float,
    prices: Prices,
) -> Readiness:
    """Return the days of a part and what they count, lateness by when it is as promised."""
    grid = tables.grid
    is_cured = job is not None and job.promise == "cured"
    ready = _ready(part, last, tables, handling_h, is_cured=is_cured)
    promised = grid.last_shop_day(job.promised) if job and job.promised else None
    weight = weight_of(job)
    done_days = [grid.shop_day_at(at_s) for at_s in ready]
    prices_by_day: dict[tuple[int, int], int] = {}
    price = []
    for worked, done in zip(grid.shop_day_of, done_days, strict=True):
        if (worked, done) not in prices_by_day:
            late = max(0, done - promised) if promised is not None else 0
            counts = late * prices.late_day + day_price(worked, prices)
            prices_by_day[worked, done] = weight * counts
        price.append(prices_by_day[worked, done])
    return Readiness(done_days, price, promised, weight)


def day_price(days: int, prices: Prices) -> int:
    """Return what so many shop days of waiting count: later days count more.

    >>> day_price(2, Prices()), day_price(11, Prices())
    (200, 1125)
    """
    return sum(prices.day + prices.dearer_day * (n // prices.dearer_after) for n in range(days))


def _ready(
    part: Part, last: StepRecord, tables: EdgeTables, handling_h: float, *, is_cured: bool
) -> Sequence[float | None]:
    """Return when a part is as promised, by the slot in which its last step ends."""
    grid = tables.grid
    if last.step.kind != "coat":
        return [grid.second(slot) for slot in range(grid.horizon + 1)]
    if is_cured:
        return _cured(part, last, tables)
    bands = bands_left(tables, last)
    dries = [
        tables.band_ends(part, last, bands, place)
        for place, band in enumerate(bands)
        if band.word in DRIES and band.until is not None
    ]
    handled_s = handling_h * 3600
    handled = [grid.start_s + SLOT_S * slot + handled_s for slot in range(grid.horizon + 1)]
    for ends in dries:
        handled = [
            inf if end is None else max(at_s, end) for at_s, end in zip(handled, ends, strict=True)
        ]
    return [None if at_s == inf else at_s for at_s in handled]


def _cured(part: Part, last: StepRecord, tables: EdgeTables) -> Ends:
    """Return when the last coat is cured; never where its sheet has no time for it."""
    product = tables.around.products.get(last.step.product)
    if product is None or not product.full_cure:
        return [None] * (tables.grid.horizon + 1)
    key = "cure", product.key
    return tables.ends(key, lambda at: _cured_at(part, last, tables.around, at), "opening")


def _cured_at(
    part: Part, last: StepRecord, around: Environment, ended: datetime
) -> datetime | None:
    product = around.products.get(last.step.product)
    if product is None or not product.full_cure:
        return None
    weather = around.weather(product.limits)
    return cure_span(part, step_as_finished(last, ended, ended), product, weather).end


def ready_at(
    part: Part, last: StepRecord, ended: datetime, tables: EdgeTables, handling_h: float, job: Job
) -> datetime | None:
    """Return when a part is as promised whose last step ends at an instant; None for never.

    Of a single instant what ``readiness_of`` says of each slot.
    """
    if last.step.kind != "coat":
        return ended
    if job.promise == "cured":
        return _cured_at(part, last, tables.around, ended)
    bands = bands_left(tables, last)
    ends_s = [
        tables.band_end(part, last, bands, place, ended)
        for place, band in enumerate(bands)
        if band.word in DRIES and band.until is not None
    ]
    if None in ends_s:
        return None
    dry = [datetime.fromtimestamp(end_s, UTC) for end_s in ends_s if end_s is not None]
    return max([ended + timedelta(hours=handling_h), *dry])
