"""What is written down and read: an action, the bench with years behind it, a new reading."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework

from .figure import Figure, beside, processor_s
from .making import shop_with

YEAR = 365.25


def action(folder: Path) -> Figure:
    """A part put on hold and released, each with its journal line, against a bare insert."""
    shop = shop_with(folder / "acts.db", stands=2)
    bare = sqlite3.connect(folder / "bare.db", isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE line (id INTEGER PRIMARY KEY, text TEXT)")

    def two_actions() -> None:
        holds_and_rework.hold(shop, 1, "Kit", "other")
        holds_and_rework.release(shop, 1, "Kit")

    def two_inserts() -> None:
        for _ in range(2):
            bare.execute("INSERT INTO line (text) VALUES ('x')")

    ours, floor = beside(two_actions, two_inserts, 60)
    took_ms, bare_ms = (processor_s(work, 20) * 500 for work in (two_actions, two_inserts))
    note = f"{ours * 500:.2g} ms by the clock, an insert {floor * 500:.2g}"
    return Figure("action committed, processor", took_ms, bare_ms, "ms", 1.0, "over", note)


def refresh(folder: Path) -> list[Figure]:
    """The bench read, and read with 5,000 parts and ten years of a reading each ten minutes."""
    none, years = (
        shop_with(folder / "none.db"),
        shop_with(folder / "years.db", past_parts=5000, reading_days=10 * YEAR),
    )
    for shop in (none, years):
        bench_view.read_bench(shop)
    ours, floor = beside(
        lambda: bench_view.read_bench(years), lambda: bench_view.read_bench(none), 25
    )
    took_ms = processor_s(lambda: bench_view.read_bench(none), 50) * 1000
    return [
        Figure("refresh, 24 parts, processor", took_ms, 0.0, "ms", 8.0, "at most"),
        Figure("refresh, 10 years of history", ours * 1000, floor * 1000, "ms", 1.2),
    ]


def new_reading(folder: Path) -> list[Figure]:
    """A reading written down and the bench read again, the longer it has been read from a probe."""
    day = shop_with(folder / "day.db", reading_days=1)
    return [
        _against(day, shop_with(folder / f"{years}y.db", reading_days=years * YEAR), what)
        for years, what in ((1, "new reading, 1 year to 1 day"), (10, "new reading, 10 years"))
    ]


def _against(day: Shop, years: Shop, what: str) -> Figure:
    ours, floor = beside(_reads(years), _reads(day), 20)
    return Figure(what, ours * 1000, floor * 1000, "ms", 1.2)


def _reads(shop: Shop) -> Callable[[], None]:
    def read() -> None:
        readings.take_reading(shop, "Kit", air_c=18.5, rh_pct=55.0)
        bench_view.read_bench(shop)

    read()
    return read
