"""Programs in pseudo-terminals: how soon they show something, what they cost idle, how they answer."""

from __future__ import annotations

import os
import pickle
import signal
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from statistics import median, quantiles

import pexpect

from bench.shop.plan.planning import plan_question
from tests.terminal import program_of

from .figure import Figure
from .making import shop_with
from .quota import eighth_of_a_core

ROWS, COLUMNS = 50, 200
IDLE_RUNS = 3
PLANNING_RUNS = 3
SETTLED_S = 3.0
"""After the first picture a program is left alone so long before anything is measured."""
BETWEEN_PRESSES_S = 0.35
"""Longer than a glove's double press."""


class Window:
    """One program in a terminal."""

    def __init__(self, arguments: list[str], shows: bytes, group: Path | None = None) -> None:
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
            preexec_fn=None if group is None else partial(_join, group),
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
        tasks = Path(f"/proc/{program_of(self.child.pid)}/task").glob("*/schedstat")
        return sum(int(task.read_text().split()[0]) for task in tasks) / 1e9

    def answer_ms(self, key: str) -> float:
        """From a key to the first bytes of another picture."""
        self.read(BETWEEN_PRESSES_S)
        began = time.monotonic()
        self.child.send(key)
        self.child.expect(rb".+")
        return (time.monotonic() - began) * 1000


def _join(group: Path) -> None:
    """Put this process into a control group, before it becomes the program."""
    group.write_text(str(os.getpid()))


def bench_window(file: Path, group: Path | None = None) -> Window:
    """The bench in a terminal of its own, past its first picture."""
    return Window(["-m", "bench", "--db", str(file)], b"painter: ", group)


@contextmanager
def windows(file: Path) -> Iterator[tuple[Window, Window]]:
    """The bench and the floor, each in a terminal of its own, past their first picture."""
    ours = bench_window(file)
    floor = Window(["-m", "tests.benchmarks.floor"], b"floor")
    try:
        yield ours, floor
    finally:
        for window in (ours, floor):
            window.close()


def in_terminals(folder: Path, idle_s: float, presses: int) -> list[Figure]:
    """Start, idle and keys, with 24 stands that count and 5,000 past parts."""
    file = folder / "shop.db"
    shop = shop_with(file, past_parts=5000)
    question = folder / "question"
    question.write_bytes(pickle.dumps(plan_question(shop)))
    shop.store.close()
    started = [_first_pictures(file) for _ in range(6)][1:]  # the first one compiles
    first = Figure("first picture", *map(median, zip(*started, strict=True)), "s", 1.3)
    with windows(file) as (ours, floor):
        found = [first, *_idle(ours, floor, idle_s), *_keys(ours, floor, presses)]
    found += _while_planning(file, question, presses)
    return [*found, *_on_little(file, presses // 4)]


def _while_planning(file: Path, question: Path, presses: int) -> Iterator[Figure]:
    """Keys and idling with a planner in the session of the screen, beside the same without one.

    Once on all cores and once on one, as a cheap computer may have; by turns, each in a window of
    its own: a planner would slow both.
    """
    every = os.sched_getaffinity(0)
    for cores, words in ((every, "planning"), ({min(every)}, "planning, one core")):
        os.sched_setaffinity(0, cores)
        try:
            runs = [_beside(file, question, presses // PLANNING_RUNS) for _ in range(PLANNING_RUNS)]
        finally:
            os.sched_setaffinity(0, every)
        pairs = [*zip(*runs, strict=True)]
        idle = [median(used for used, _ in of_one) for of_one in pairs]
        keys = [_p95_of([ms for _, times in of_one for ms in times]) for of_one in pairs]
        yield Figure(f"idle processor, {words}", idle[0], idle[1], "%", 0.4, "over")
        yield Figure(f"key to picture, {words}, p95", keys[0], keys[1], "ms", 50, "at most")


def _beside(file: Path, question: Path, presses: int) -> list[tuple[float, list[float]]]:
    """With a planner, then without: the processor left alone in percent, and each key's time."""
    found = []
    for program in (["-m", "tests.benchmarks.with_planner", str(question)], ["-m", "bench"]):
        window = Window([*program, "--db", str(file)], b"painter: ")
        try:
            window.read(2 * SETTLED_S)
            keys = [window.answer_ms(str(n % 6 + 1)) for n in range(presses)]
            # By now the threads that load what is needed later have ended.
            before = window.processor_s()
            window.read(2 * SETTLED_S)
            found.append((100 * (window.processor_s() - before) / (2 * SETTLED_S), keys))
        finally:
            window.close()
    return found


def _on_little(file: Path, presses: int) -> list[Figure]:
    """Start and keys on an eighth of a core, as on the slowest computer a shop may have."""
    with eighth_of_a_core() as group:
        if group is None:
            return []
        ours = bench_window(file, group)
        try:
            ours.read(2 * SETTLED_S)
            keys = [ours.answer_ms(str(n % 6 + 1)) for n in range(presses)]
        finally:
            ours.close()
            ours.child.wait()
        return [
            Figure("first picture, 1/8 core", ours.first_picture_s, 0.0, "s", 8.5, "at most"),
            Figure("key to picture, 1/8 core, p95", _p95_of(keys), 0.0, "ms", 150, "at most"),
        ]


def _first_pictures(file: Path) -> tuple[float, float]:
    with windows(file) as (ours, floor):
        return ours.first_picture_s, floor.first_picture_s


def _idle(ours: Window, floor: Window, seconds: float) -> list[Figure]:
    """Both left alone at the same time: the median of three runs."""
    for window in (ours, floor):
        window.read(SETTLED_S)
    runs = [_idle_run((ours, floor), seconds) for _ in range(IDLE_RUNS)]
    share = [median(each) for each in zip(*(used for used, _ in runs), strict=True)]
    bytes_s = [median(each) for each in zip(*(written for _, written in runs), strict=True)]
    return [
        Figure("idle processor", share[0], share[1], "%", 0.4, "over"),
        Figure("idle bytes", bytes_s[0], bytes_s[1], "B/s", 1200, "at most"),
    ]


def _idle_run(
    both: tuple[Window, Window], seconds: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Of each the processor in percent of a core, and the bytes a second."""
    before = [window.processor_s() for window in both]
    until, written = time.monotonic() + seconds, [0, 0]
    while time.monotonic() < until:
        for n, window in enumerate(both):
            written[n] += window.read(0.2)
    used = [window.processor_s() - b for window, b in zip(both, before, strict=True)]
    return tuple(s / seconds * 100 for s in used), tuple(count / seconds for count in written)


def _keys(ours: Window, floor: Window, presses: int) -> list[Figure]:
    """Choosing a stand; then actions that are written down before they are shown."""
    chosen = _choosing(ours, floor, presses)
    actions = []
    for n in range(presses):  # so many that the first, for which much is made, is not the 95th
        ours.answer_ms(str(n % 3 * 2 + 1))
        actions.append((ours.answer_ms("+"), floor.answer_ms(str(n % 6))))
    return [
        Figure("key to picture, p95", *_p95(chosen), "ms", 50, "at most"),
        Figure("action to picture, p95", *_p95(actions), "ms", 25, "at most"),
    ]


def _choosing(ours: Window, floor: Window, presses: int) -> list[tuple[float, float]]:
    return [(ours.answer_ms(str(n % 6 + 1)), floor.answer_ms(str(n % 6))) for n in range(presses)]


def _p95(times_ms: list[tuple[float, float]]) -> tuple[float, float]:
    ours, floor = (_p95_of(each) for each in zip(*times_ms, strict=True))
    return ours, floor


def _p95_of(times_ms: Sequence[float]) -> float:
    return quantiles(times_ms, n=20)[-1]
