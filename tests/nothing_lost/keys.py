"""Whatever a hand can press, into the running program: no crash, no traceback, memory flat.

The program runs in a pseudo-terminal on a shop of its own. Most keys are those of a keypad, as
terminals send them with NumLock on or off; the rest are letters, keys that mean nothing here, and
bytes that are no keys at all. Only what is meant to end the program is left out.
"""

from __future__ import annotations

import os
import resource
import select
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import pexpect

from bench.clock import SystemClock
from bench.screens.core.scanner import SCAN_GAP_S
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.store.databases.database import open_store
from tests.terminal import program_of

from .kills import new_shop
from .report import Row

KEYPAD = (*"0123456789+-*/.", "\r")
NUMLOCK_OFF = (
    *(f"\x1bO{letter}" for letter in "pqrstuvwxyjklmnoM"),
    *(f"\x1b[{letter}" for letter in "ABCDEFHG"),
    *(f"\x1b[{number}~" for number in (1, 2, 3, 4, 5, 6)),
)
FUNCTION = (*(f"\x1bO{letter}" for letter in "PQRS"), "\x1b[15~", "\x1b[24~", "\x1b[1;5C", "\x1b[Z")
LETTERS = tuple("abcdefghijklmnopqrstuvwxyzABCXYZ ?,;:'\"!$%&()=<>|~[]{}\\@#_^`")
CONTROL = tuple(chr(code) for code in range(32) if code not in (0x03, 0x11, 0x1A, 0x1C))
"""Without ctrl+c, ctrl+q, ctrl+z and ctrl+\\: those end or stop a program, and are meant to."""
ODD = (
    *("\u00e4", "\u00df", "\u65e5", "\U0001f600", "e\u0301", "\u202e", "\x7f", "\x00"),
    *("\x1b", "\x1b[", "\x1bO", "\x1b[<0;5;5M", "\x1b[<0;5;5m", "\x1b[I", "\x1b[O"),
    *(
        "\x1b[200~pasted [b]text[/b]\n\x1b[201~",
        "\x1b[M !!",
        "\x1b]0;title\x07",
        "\x1b[99999;99999R",
    ),
    *("\x1b[?1;2c", "\x1bP1+r\x1b\\", "\x1b[1;1;1;1;1;1u", "9" * 40, "//////", "\r" * 5),
)

DEEDS = (
    *("0S+5R1\rT\r",) * 4,  # a part placed: a stand, a route, a shape, one piece, a tag
    *("0S+-+", "0S+", "0S\r+\r", "0S\r2", "0S-\r", "0S/R1", "0S/2R", "0S/3RR", "0S/4S\r", "0S/5\r"),
    *("0*R1T\r", "0/5", "0/3R", "0/4RR", "0r1S\r5T\r1S\r", "0.\r", "00T\r", "0?", "0w", "\x1b"),
)
"""Presses that come to something where they fall right, so that there is more than an empty bench.
S is a stand, R a choice, T some figures. No key comes twice in a row: that is taken for a glove's."""

DEED_BEFORE_A_BURST = 0.12
ESCAPE_S = 0.2
"""Longer than a terminal's reader waits for what may follow an Escape; then it leads home."""

BURST = 10
"""So many keys are sent at once, as fast as a keyboard buffer gives them; then they are worked off.
Only an Enter waits for a hand: one that follows at once is a scanner's and answers no question."""

BY_HAND_S = 2 * SCAN_GAP_S

QUIET_S = 0.02
PATIENCE_S = 120.0
FIRST = 0.1
"""After this share of the keys memory is looked at first: by then every screen was open."""


class Fell(AssertionError):
    """The program fell over; what it showed last is said."""


@dataclass
class Figures:
    """What was pressed, and what was seen."""

    keys: int = 0
    starts: int = 1
    lines: int = 0
    seconds: float = 0.0
    memory_mb: list[tuple[int, float]] = field(default_factory=list)

    def after(self, share: float) -> float:
        """Memory after a share of the keys."""
        return next(mb for keys, mb in self.memory_mb if keys >= share * self.keys)


def any_key(draw: Random) -> str:
    """Mostly what a painter has under the hand."""
    kind = draw.random()
    if kind < 0.70:
        return draw.choice(KEYPAD)
    if kind < 0.80:
        return draw.choice(NUMLOCK_OFF)
    if kind < 0.90:
        return draw.choice(LETTERS)
    if kind < 0.94:
        return draw.choice((*FUNCTION, *CONTROL))
    return draw.choice(ODD)


def any_deed(draw: Random) -> str:
    """A run of keys that comes to something on the whole bench."""
    return "".join(_drawn(draw, sign) for sign in draw.choice(DEEDS))


def _drawn(draw: Random, sign: str) -> str:
    figures = {"S": 9, "R": 8, "T": 9999}
    return str(draw.randint(1, figures[sign])) if sign in figures else sign


class Running:
    """The program in a terminal, and the end of what it wrote."""

    def __init__(self, file: Path) -> None:
        self._folder = file.parent
        self.child = pexpect.spawn(
            sys.executable,
            ["-m", "bench", "--db", str(file)],
            env={**os.environ, "TERM": "xterm-256color", "TMPDIR": str(file.parent)},
            dimensions=(24, 80),
        )
        self.told = b""
        self._work_off(until=b"painter: ")

    def send(self, keys: str, quiet_s: float = QUIET_S) -> None:
        """Press, Enter by hand, and wait until the screen is quiet for so long."""
        first, *rest = keys.split("\r")
        self._write(first.encode())
        for more in rest:
            self._work_off(BY_HAND_S)
            self._write(b"\r" + more.encode())
        self._work_off(quiet_s)

    def _write(self, left: bytes) -> None:
        while left:
            self._read(0)
            _, writable, _ = select.select([], [self.child.child_fd], [], QUIET_S)
            if writable:
                left = left[os.write(self.child.child_fd, left[:512]) :]

    def _work_off(self, quiet_s: float = QUIET_S, until: bytes = b"") -> None:
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline:
            if not self._read(quiet_s) and until in self.told:
                return

    def _read(self, seconds: float) -> bool:
        ready, _, _ = select.select([self.child.child_fd], [], [], seconds)
        if not ready:
            return False
        try:
            more = os.read(self.child.child_fd, 1 << 16)
        except OSError:
            more = b""
        if not more:
            raise EOFError
        self.told = (self.told + more)[-20_000:]
        if b"Traceback" in self.told or b"paintbench stopped" in self.told:
            raise EOFError
        return True

    def _drain(self) -> None:
        """Take what it writes until it is gone: a full terminal would hold up its end."""
        while select.select([self.child.child_fd], [], [], PATIENCE_S)[0]:
            try:
                if not os.read(self.child.child_fd, 1 << 16):
                    return
            except OSError:
                return

    def fault(self) -> str:
        """What it wrote into its own log, or showed last."""
        logs = sorted(self._folder.glob("*fault*"))
        told = logs[0].read_text() if logs else self.told.decode(errors="replace")
        return told[-3000:]

    def memory_mb(self) -> float:
        """What it holds in memory now."""
        pages = int(Path(f"/proc/{program_of(self.child.pid)}/statm").read_text().split()[1])
        return pages * resource.getpagesize() / 2**20

    def end(self) -> int:
        """Its exit code; still running, it is told to stop."""
        if self.child.isalive():
            self.child.kill(15)
        self._drain()
        self.child.wait()
        return int(self.child.exitstatus or 0) or -int(self.child.signalstatus or 0)


def press(keys: int, seed: int, folder: Path) -> Figures:
    """Press so many keys. Raises Fell."""
    draw, figures = Random(seed), Figures()
    file = folder / "shop.db"
    new_shop(file)
    began = time.monotonic()
    program = Running(file)
    while figures.keys < keys:
        burst = "".join(any_key(draw) for _ in range(BURST))
        figures.keys += BURST
        try:
            if draw.random() < DEED_BEFORE_A_BURST:
                program.send("\x1b", ESCAPE_S)
                program.send(any_deed(draw))
            program.send(burst)
        except EOFError:
            if code := program.end():
                told = f"seed {seed}, key {figures.keys}: it ended with {code}: {program.fault()}"
                raise Fell(told) from None
            figures.starts += 1
            program = Running(file)
        if figures.keys % max(keys // 100 // BURST * BURST, BURST) == 0:
            figures.memory_mb.append((figures.keys, program.memory_mb()))
    if code := program.end():
        raise Fell(f"seed {seed}: told to stop, it ended with {code}: {program.fault()}")
    figures.seconds = time.monotonic() - began
    left = [path.name for path in folder.iterdir() if "fault" in path.name]
    shop = Shop(open_store(str(file)), SystemClock(), "test")
    looked = check(shop)
    shop.store.close()
    if left or looked.faults:
        raise Fell(f"seed {seed}: {left} {looked.faults}")
    figures.lines = looked.lines
    return figures


def rows(folder: Path, tries: int, seed: int) -> Iterator[Row]:
    """Press so many keys."""
    row = Row("keys and bytes")
    try:
        seen = press(tries, seed, folder)
    except Fell as fell:
        row.look("a key", str(fell))
    else:
        row.tries = seen.keys
        memory = ", ".join(
            f"{seen.after(share):.1f} MB after {share:.0%}" for share in (FIRST, 0.5, 1)
        )
        row.notes = f"{seen.starts} starts, {seen.lines} entries in the log; {memory}"
    yield row
