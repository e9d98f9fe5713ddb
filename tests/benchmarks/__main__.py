"""Measure and print a table; ``--json FILE`` writes it too. Ratios in one run, never pass or fail."""

from __future__ import annotations

import argparse
import asyncio
import gc
import json
import resource
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from bench.app import Paintbench
from bench.clock import ManualClock
from bench.shop import sight, trouble
from bench.trade.ageing import Stretch, progress

from . import terminals
from .making import shop_with

MINUTE_READINGS = 365 * 24 * 60
TABLE = ((10.0, 24 * 3600.0), (20.0, 16 * 3600.0), (30.0, 10 * 3600.0))


@dataclass(frozen=True)
class Figure:
    """One measured thing beside its floor or bar."""

    what: str
    ours: float
    floor: float
    unit: str
    bar: str

    @property
    def ratio(self) -> float:
        """Ours over the floor."""
        return self.ours / self.floor if self.floor else float("inf")


def seconds(work: Callable[[], object], times: int) -> float:
    """Median seconds of one call."""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return statistics.median(took)


def in_terminals(folder: Path, idle_s: float) -> list[Figure]:
    """Start, idle and key presses, with 24 counting stands and 5,000 past parts."""
    file = folder / "shop.db"
    shop_with(file, past_parts=5000).store.close()
    ours, floor = ["-m", "bench", "--db", str(file)], ["-m", "tests.benchmarks.floor"]
    first = Figure(
        "first picture",
        terminals.start_s(ours, b"at the keys"),
        terminals.start_s(floor, b"floor"),
        "s",
        "<= 1.5",
    )
    share, written = terminals.idle(ours, b"at the keys", idle_s)
    floor_share, _ = terminals.idle(floor, b"floor", idle_s)
    return [
        first,
        Figure("idle processor", share, max(floor_share, 0.05), "%", "<= 4"),
        Figure("idle bytes", written, 1200, "B/s", "<= 1 (1,200 B/s)"),
        Figure(
            "key to picture, p95",
            terminals.answer_ms(ours, b"at the keys"),
            50,
            "ms",
            "<= 1 (50 ms)",
        ),
    ]


def commits(folder: Path) -> Figure:
    """One action with its journal line, against one bare insert with the same pragmas."""
    shop = shop_with(folder / "acts.db", stands=2)
    bare = sqlite3.connect(folder / "bare.db", isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE line (id INTEGER PRIMARY KEY, text TEXT)")

    def both() -> None:
        trouble.hold(shop, 1, "Kit", "other")
        trouble.release(shop, 1, "Kit")

    ours = seconds(both, 60) / 2
    floor = seconds(lambda: bare.execute("INSERT INTO line (text) VALUES ('x')"), 120)
    return Figure("action committed", ours * 1000, floor * 1000, "ms", "<= 2")


def views(folder: Path) -> list[Figure]:
    """Reading the bench with a history behind it, against none."""
    none = shop_with(folder / "none.db")
    parts = shop_with(folder / "parts.db", past_parts=5000)
    year = shop_with(folder / "year.db", reading_days=365)
    floor = seconds(lambda: sight.look(none), 15) * 1000
    return [
        Figure(
            "view, 5,000 past parts",
            seconds(lambda: sight.look(parts), 15) * 1000,
            floor,
            "ms",
            "<= 1.2",
        ),
        Figure(
            "view, a year of readings",
            seconds(lambda: sight.look(year), 5) * 1000,
            floor,
            "ms",
            "<= 1.2",
        ),
    ]


def ageing() -> Figure:
    """A year of minute readings for one coat, against numpy's interpolation and sum."""
    rng = np.random.default_rng(1)
    temps = np.round(rng.uniform(5, 35, MINUTE_READINGS), 1)
    stretches = [Stretch(n * 60.0, float(t)) for n, t in enumerate(temps)]
    kelvin = 1 / (np.array([t for t, _ in TABLE]) + 273.15)
    logs = np.log([s for _, s in TABLE])

    def in_numpy() -> float:
        at = np.interp(1 / (temps + 273.15), kelvin[::-1], logs[::-1])
        return float(np.sum(60.0 / np.exp(at)))

    ours = seconds(lambda: progress(TABLE, stretches, 0.0, MINUTE_READINGS * 60.0, "opening"), 3)
    return Figure("a year of ageing", ours, seconds(in_numpy, 5), "s", "<= 3")


async def memory(folder: Path, ticks: int) -> Figure:
    """Resident memory after many ticks, against that after a thousand."""
    clock = ManualClock(datetime(2026, 1, 5, 9, tzinfo=UTC))
    shop = shop_with(folder / "ticks.db", clock=clock)
    app = Paintbench(shop)
    async with app.run_test(size=(80, 24)) as pilot:
        early = 0.0
        for n in range(ticks):
            clock.advance(seconds=1)
            app.tick()
            if n % 100 == 0:
                await pilot.pause(0)
            if n == 1000:
                gc.collect()
                early = resident_mb()
        gc.collect()
        late = resident_mb()
    return Figure(f"memory after {ticks:,} ticks", late, early, "MB", "<= 1.05")


def resident_mb() -> float:
    """What this process holds in memory now."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 2**20


def main() -> None:
    """Measure everything and print it."""
    parser = argparse.ArgumentParser(prog="scripts/benchmark", description=__doc__)
    parser.add_argument("--json", metavar="FILE", help="write the figures as JSON")
    parser.add_argument("--idle", type=float, default=20.0, help="seconds to leave it alone")
    parser.add_argument("--ticks", type=int, default=100_000, help="ticks for the memory figure")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ticked = asyncio.run(memory(folder, given.ticks))
        figures = [*in_terminals(folder, given.idle), commits(folder), *views(folder), ageing()]
        figures.append(ticked)
    print(f"{'what':<28}{'ours':>12}{'floor':>12} {'unit':<5}{'ratio':>8}  bar")
    for figure in figures:
        ours, floor = f"{figure.ours:.3g}", f"{figure.floor:.3g}"
        print(
            f"{figure.what:<28}{ours:>12}{floor:>12} {figure.unit:<5}{figure.ratio:>8.2f}  {figure.bar}"
        )
    if given.json:
        rows = [{**asdict(figure), "ratio": figure.ratio} for figure in figures]
        Path(given.json).write_text(json.dumps(rows, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
