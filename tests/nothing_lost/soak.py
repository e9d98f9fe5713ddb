"""24 stands that count for days, by a clock that is moved: nothing grows, and nothing is written.

The bench looks twice a minute of that clock, so that a week is minutes. In an hour in which nobody does anything the
shop's file and its log stay as they are to the byte; a backup a day is all that is written.
"""

from __future__ import annotations

import asyncio
import gc
import hashlib
import os
import resource
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from bench.app import Paintbench
from bench.shop.data.background import BackgroundJob, on_a_thread
from bench.store.copies import backup
from bench.testing import ManualClock
from tests.benchmarks.making import shop_with

from .report import Row

HOUR_S, TICK_S = 3600, 30
TICKS_A_DRAWING = 7
"""So many looks, and then what was drawn is worked off."""

MOST_GROWTH_MB = 16
"""From the end of the first hour on: what the first backup and full caches of what is drawn take, once."""

MOST_GROWTH_LATER_MB = 1
"""In the second half of the hours: by then the caches of some days are full."""


@dataclass(frozen=True)
class Held:
    """What the program holds at a moment."""

    memory_mb: float
    descriptors: Counter[str]
    """How many there are of what each points to."""
    threads: int
    data: tuple[int, bytes]

    @classmethod
    def now(cls, folder: Path) -> Held:
        """Look: at the shop's file from outside only, at its log to the byte."""
        gc.collect()
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
        return cls(
            pages * resource.getpagesize() / 2**20,
            _descriptors(),
            threading.active_count(),
            ((folder / "shop.db").stat().st_mtime_ns, _digest(folder / "shop.db-wal")),
        )


def _descriptors() -> Counter[str]:
    found: Counter[str] = Counter()
    for number in os.listdir("/proc/self/fd"):
        with suppress(FileNotFoundError):  # the one by which the folder was listed
            found[os.readlink(f"/proc/self/fd/{number}")] += 1
    return found


class Background:
    """Starts jobs on threads of their own, as the program does, and waits for those under way."""

    def __init__(self) -> None:
        self._threads: list[threading.Thread] = []

    def start(self, job: BackgroundJob) -> None:
        """Start one."""
        self._threads.append(on_a_thread(job))

    def end(self) -> None:
        """Wait until each has ended and let go of its files."""
        while self._threads:
            self._threads.pop().join()


def _digest(file: Path) -> bytes:
    return hashlib.sha256(file.read_bytes()).digest()


async def _soak(folder: Path, hours: int) -> list[Held]:
    clock = ManualClock(datetime(2026, 1, 5, 9, tzinfo=UTC))
    background, held = Background(), list[Held]()
    app = Paintbench(shop_with(folder / "shop.db", clock=clock), start=background.start)
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(hours):
            for number in range(HOUR_S // TICK_S):
                clock.advance(seconds=TICK_S)
                app.tick()
                if number % TICKS_A_DRAWING == 0:
                    await pilot.pause(0)
            background.end()
            held.append(Held.now(folder))
    return held


def rows(folder: Path, tries: int, seed: int) -> Iterator[Row]:
    """Let so many hours go by, the first of which makes what is made once. The seed draws nothing."""
    row = Row("hours of 24 stands, idle")
    first, *later = asyncio.run(_soak(folder, tries))
    middle = later[len(later) // 2]
    for hour, held in enumerate(later, 2):
        row.look(f"hour {hour}", _grown(first, middle, held))
    last, copies = later[-1], backup.every_copy(folder / backup.FOLDER, str(folder / "shop.db"))
    row.notes = (
        f"{first.memory_mb:.1f} MB after one, {middle.memory_mb:.1f} MB after half,"
        f" {last.memory_mb:.1f} MB after all;"
        f" {last.descriptors.total()} descriptors, {last.threads} threads, {len(copies)} backups;"
        " nothing else written"
    )
    yield row


def _grown(first: Held, middle: Held, now: Held) -> str:
    for when, before, most_mb in (
        ("at first", first, MOST_GROWTH_MB),
        ("after half", middle, MOST_GROWTH_LATER_MB),
    ):
        if now.memory_mb > before.memory_mb + most_mb:
            return f"{now.memory_mb:.1f} MB, {before.memory_mb:.1f} MB {when}"
    if now.descriptors.total() > first.descriptors.total():
        more = ", ".join((now.descriptors - first.descriptors).elements())
        return (
            f"{now.descriptors.total()} descriptors, {first.descriptors.total()} at first: {more}"
        )
    if now.threads > first.threads:
        return f"{now.threads} threads, {first.threads} at first"
    if now.data != first.data:
        return "the data was written, though nobody did anything"
    return ""
