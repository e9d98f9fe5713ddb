"""Programs in a pseudo-terminal: how soon they show something, and what they cost while idle."""

from __future__ import annotations

import os
import statistics
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import pexpect

SIZE = (50, 200)


@dataclass
class Window:
    """One program in a terminal."""

    child: pexpect.spawn
    started_s: float

    def read(self, seconds: float) -> int:
        """How many bytes it wrote in so many seconds."""
        written, until = 0, time.monotonic() + seconds
        while time.monotonic() < until:
            try:
                written += len(self.child.read_nonblocking(1 << 16, timeout=0.05))
            except pexpect.TIMEOUT:
                continue
        return written

    def cpu_s(self) -> float:
        """Processor time it has used."""
        fields = Path(f"/proc/{self.child.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def opened(arguments: list[str], until: bytes) -> tuple[Window, float]:
    """Start a program; the seconds until it had written ``until``."""
    environment = {**os.environ, "TERM": "xterm-256color"}
    began = time.monotonic()
    child = pexpect.spawn(
        sys.executable, arguments, env=environment, dimensions=SIZE, timeout=30, maxread=1 << 16
    )
    child.expect_exact(until)
    return Window(child, began), time.monotonic() - began


def start_s(arguments: list[str], until: bytes, times: int = 5) -> float:
    """Median seconds from the call to the first picture."""
    took = []
    for _ in range(times):
        window, seconds = opened(arguments, until)
        took.append(seconds)
        window.child.close(force=True)
    return statistics.median(took)


def idle(arguments: list[str], until: bytes, seconds: float) -> tuple[float, float]:
    """Processor share in percent and bytes a second, left alone."""
    window, _ = opened(arguments, until)
    window.read(3)
    before = window.cpu_s()
    written = window.read(seconds)
    share = (window.cpu_s() - before) / seconds * 100
    window.child.close(force=True)
    return share, written / seconds


def answer_ms(arguments: list[str], until: bytes, presses: int = 60) -> float:
    """95th percentile of the time from a key press to changed bytes on the terminal."""
    window, _ = opened(arguments, until)
    window.read(2)
    took = []
    for n in range(presses):
        window.read(0.35)
        began = time.monotonic()
        window.child.send(str(n % 6 + 1))
        window.child.expect(rb".+")
        took.append((time.monotonic() - began) * 1000)
    window.child.close(force=True)
    return statistics.quantiles(took, n=20)[-1]
