"""The program in a real pseudo-terminal, with a screen that remembers what it was told to show."""

from __future__ import annotations

import os
import select
import signal
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pexpect
import pyte

PATIENCE_S = 120.0
"""How long a picture may take to come on a busy computer; nothing waits so long when all is well."""

BETWEEN_PRESSES_S = 0.3
"""Longer than a glove's double press."""


def program_of(started: int) -> int:
    """The process that shows the bench, by the one that was started and only waits for it."""
    children = Path(f"/proc/{started}/task/{started}/children").read_text().split()
    return int(children[0]) if children else started


class Terminal:
    """One window with the program in it."""

    def __init__(
        self,
        data: Path,
        width: int = 80,
        height: int = 24,
        program: Sequence[str] = (sys.executable, "-m", "bench"),
        **environment: str,
    ) -> None:
        self.written = bytearray()
        """All that the program sent to the terminal."""
        self.screen = pyte.Screen(width, height)
        self._rows = [""] * height
        self._stream = pyte.ByteStream(self.screen)
        self._last_at = 0.0
        # How large it is, it says itself.
        not_ours = ("NO_COLOR", "COLUMNS", "LINES")
        kept = {name: value for name, value in os.environ.items() if name not in not_ours}
        self.child = pexpect.spawn(
            program[0],
            [*program[1:], "--db", str(data)],
            env={**kept, "TERM": "xterm-256color", "TZ": "UTC", **environment},
            dimensions=(height, width),
            timeout=PATIENCE_S,
        )

    def picture(self) -> str:
        """What is on the screen now."""
        for y in self.screen.dirty:
            signs = self.screen.buffer[y]
            self._rows[y] = "".join(signs[x].data for x in range(self.screen.columns)).rstrip()
        self.screen.dirty.clear()
        return "\n".join(self._rows)

    def wait_until(self, what: Callable[[str], bool], patience_s: float = PATIENCE_S) -> str:
        """Read until the picture is as wanted. Fails with the picture when it never is."""
        deadline = time.monotonic() + patience_s
        while time.monotonic() < deadline:
            if what(self.picture()):
                self._last_at = time.monotonic()
                return self.picture()
            if not self._read():
                break
        raise AssertionError(f"it never showed that:\n{self.picture()}")

    def _read(self) -> bool:
        """Take in what the program wrote; False when it has ended."""
        try:
            sent = self.child.read_nonblocking(65536, timeout=0.05)
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        self.written += sent
        self._stream.feed(sent)
        return True

    def catch_up(self) -> None:
        """Take in all that the program has sent until now: on a busy computer much may wait."""
        while select.select([self.child.child_fd], [], [], 0)[0] and self._read():
            pass

    def press(self, keys: str) -> None:
        """Bytes as the keypad sends them with NumLock on, no faster than one painter presses.

        The key before has worked at the latest when its picture was there: a busy computer may
        have taken it late.
        """
        while time.monotonic() - self._last_at < BETWEEN_PRESSES_S:
            self._read()
        self.child.send(keys)
        self._last_at = time.monotonic()

    def leave(self) -> int:
        """End the program by ctrl+q, and take in its last words; its exit code."""
        self.child.send("\x11")
        return self.end()

    def end(self) -> int:
        """Take in the last words of a program that ends by itself; its exit code."""
        deadline = time.monotonic() + PATIENCE_S
        while self._read():
            assert time.monotonic() < deadline, f"it never ended:\n{self.picture()}"
        self.child.wait()
        return int(self.child.exitstatus)

    @property
    def pid(self) -> int:
        """The process that shows the bench."""
        return program_of(self.child.pid)

    def kill(self) -> None:
        """The power goes out: nothing is asked, nothing is put in order."""
        os.killpg(self.child.pid, signal.SIGKILL)
        self.child.wait()


@contextmanager
def terminal(data: Path, **more: object) -> Iterator[Terminal]:
    """A window that is closed whatever happens."""
    window = Terminal(data, **more)  # type: ignore[arg-type]
    try:
        yield window
    finally:
        try:
            window.child.close(force=True)
        except pexpect.ExceptionPexpect:
            window.child.wait()  # it was killed, and a busy computer is still clearing it away
