"""What a tick costs with years behind it, and what is left in memory after very many."""

from __future__ import annotations

import gc
import resource
from contextlib import AsyncExitStack
from datetime import UTC, datetime
from pathlib import Path

from bench.app import Paintbench
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock

from .figure import Figure, beside
from .making import shop_with

EARLY = 1000
"""Ticks after which memory is looked at first."""
SIZE = (80, 24)


async def ticks(folder: Path) -> list[Figure]:
    """A tick with a year and ten years of readings behind it, against one with a day of them.

    Behind the ten years stand 5,000 parts too.
    """
    day = shop_with(folder / "tick day.db", reading_days=1)
    year = shop_with(folder / "tick year.db", reading_days=365)
    years = shop_with(folder / "tick years.db", past_parts=5000, reading_days=3652)
    return [
        await _tick_against(day, year, "tick, 1 year to 1 day"),
        await _tick_against(day, years, "tick, 10 years and 5,000 parts"),
    ]


async def _tick_against(day: Shop, longer: Shop, what: str) -> Figure:
    ours, floor = Paintbench(longer), Paintbench(day)
    async with AsyncExitStack() as both:
        for app in (floor, ours):
            await both.enter_async_context(app.run_test(size=SIZE))
        spent, least = beside(ours.tick, floor.tick, 100)
    return Figure(what, spent * 1000, least * 1000, "ms", 1.2)


async def memory(folder: Path, count: int) -> Figure:
    """Resident memory after many ticks, against that after a thousand."""
    clock = ManualClock(datetime(2026, 1, 5, 9, tzinfo=UTC))
    app = Paintbench(shop_with(folder / "ticks.db", clock=clock))
    early = 0.0
    async with app.run_test(size=SIZE) as pilot:
        for n in range(1, count + 1):
            clock.advance(seconds=1)
            app.tick()
            if n % 20 == 0:
                await pilot.pause(0)
            if n == EARLY:
                early = _resident_mb()
        late = _resident_mb()
    return Figure(f"memory, {count:,} ticks to {EARLY:,}", late, early, "MB", 1.05)


def _resident_mb() -> float:
    """What this process holds in memory now."""
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * resource.getpagesize() / 2**20
