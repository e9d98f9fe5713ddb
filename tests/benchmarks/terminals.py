"""Programs in pseudo-terminals: how soon they show something, what they cost idle, how they answer."""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median, quantiles

import pexpect

from .figure import Figure
from .making import shop_with

ROWS, COLUMNS = 50, 200
SETTLED_S = 3.0
"""After the first picture a program is left alone so long before anything is measured."""
BETWEEN_PRESSES_S = 0.35
"""Longer than a glove's double press."""


class Window:
    """One program in a terminal."""

    def __init__(self, arguments: list[str], shows: bytes) -> None:
        # As it is installed: what was compiled once is kept.
        kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        began = time.monotonic()
        self.child = pexpect.spawn(
            sys.executable,
            arguments,
            env={**kept, "TERM": "xterm-256color"},
            dimensions=(ROWS, COLUMNS),
            timeout=60,
            maxread=1 << 16,
        )
        # Otherwise every key is kept back for 50 ms before it is sent.
        self.child.delaybeforesend = None
        self.child.expect_exact(shows)
        self.first_picture_s = time.monotonic() - began

    def close(self) -> None:
        """End it, whatever it does."""
        self.child.kill(signal.SIGKILL)
        self.child.close(force=True)

    def read(self, seconds: float) -> int:
        """How many bytes it wrote in so many seconds."""
        written, until = 0, time.monotonic() + seconds
        while (left_s := until - time.monotonic()) > 0:
            try:
                written += len(self.child.read_nonblocking(1 << 16, timeout=min(left_s, 0.05)))
            except pexpect.TIMEOUT:
                continue
        return written

    def processor_s(self) -> float:
        """Processor time of all its threads, by the scheduler's own count."""
        tasks = Path(f"/proc/{self.child.pid}/task").glob("*/schedstat")
        return sum(int(task.read_text().split()[0]) for task in tasks) / 1e9

    def answer_ms(self, key: str) -> float:
        """From a key to the first bytes of another picture."""
        self.read(BETWEEN_PRESSES_S)
        began = time.monotonic()
        self.child.send(key)
        self.child.expect(rb".+")
        return (time.monotonic() - began) * 1000


@contextmanager
def windows(file: Path) -> Iterator[tuple[Window, Window]]:
    """The bench and the floor, each in a terminal of its own, past their first picture."""
    ours = Window(["-m", "bench", "--db", str(file)], b"at the keys")
    floor = Window(["-m", "tests.benchmarks.floor"], b"floor")
    try:
        yield ours, floor
    finally:
        for window in (ours, floor):
            window.close()


def in_terminals(folder: Path, idle_s: float, presses: int) -> list[Figure]:
    """Start, idle and keys, with 24 stands that count and 5,000 past parts."""
    file = folder / "shop.db"
    shop_with(file, past_parts=5000).store.close()
    started = [_first_pictures(file) for _ in range(6)][1:]  # the first one compiles
    first = Figure("first picture", *map(median, zip(*started, strict=True)), "s", 1.5)
    with windows(file) as (ours, floor):
        return [first, *_idle(ours, floor, idle_s), *_keys(ours, floor, presses)]


def _first_pictures(file: Path) -> tuple[float, float]:
    with windows(file) as (ours, floor):
        return ours.first_picture_s, floor.first_picture_s


def _idle(ours: Window, floor: Window, seconds: float) -> list[Figure]:
    """Both left alone at the same time."""
    both = (ours, floor)
    for window in both:
        window.read(SETTLED_S)
    before = [window.processor_s() for window in both]
    until, written = time.monotonic() + seconds, [0, 0]
    while time.monotonic() < until:
        for n, window in enumerate(both):
            written[n] += window.read(0.2)
    used = [window.processor_s() - b for window, b in zip(both, before, strict=True)]
    share = [used_s / seconds * 100 for used_s in used]
    bytes_s = [count / seconds for count in written]
    return [
        Figure("idle processor", share[0], share[1], "%", 4),
        Figure("idle bytes", bytes_s[0], bytes_s[1], "B/s", 1200, absolute=True),
    ]


def _keys(ours: Window, floor: Window, presses: int) -> list[Figure]:
    """Choosing a stand; then deeds that are written down before they are shown."""
    chosen = [(ours.answer_ms(str(n % 6 + 1)), floor.answer_ms(str(n % 6))) for n in range(presses)]
    deeds = []
    for n in range(presses):  # so many that the first, for which much is made, is not the 95th
        ours.answer_ms(str(n % 3 * 2 + 1))
        deeds.append((ours.answer_ms("+"), floor.answer_ms(str(n % 6))))
    return [
        Figure("key to picture, p95", *_p95(chosen), "ms", 50, absolute=True),
        Figure("deed to picture, p95", *_p95(deeds), "ms", 50, absolute=True),
    ]


def _p95(times_ms: list[tuple[float, float]]) -> tuple[float, float]:
    ours, floor = (quantiles(each, n=20)[-1] for each in zip(*times_ms, strict=True))
    return ours, floor
