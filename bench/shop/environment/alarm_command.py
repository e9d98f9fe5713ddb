"""The alarm's command, a relay or a sounder: run without a shell, and never left hanging."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import count
from pathlib import Path

MARK = "PAINTBENCH_ALARM_RUN"
"""In the environment of a run, and so of all it starts: a session of its own does not hide it.

What throws its environment away escapes. Only who may write the command can arrange that.
"""

MOST_ROUNDS = 100
"""So often is looked for what a run started while it was being ended."""

_numbers = count(1)


class Sounder:
    """Runs one command at a time, from a thread of its own; ``stop`` is for the program's end."""

    def __init__(self) -> None:
        self._running: subprocess.Popen[bytes] | None = None
        self._mark = ""
        self._is_stopped = False

    def run(self, command: Sequence[str], timeout_s: float) -> str:
        """Wait for the command's end. Answers what went wrong, nothing when all went well.

        What it started is ended with it, when it ends by itself or after ``timeout_s`` seconds.
        """
        nothing = subprocess.DEVNULL
        self._mark = f"{os.getpid()}-{next(_numbers)}"
        try:
            self._running = subprocess.Popen(
                command,
                stdin=nothing,
                stdout=nothing,
                stderr=nothing,
                start_new_session=True,
                env={**os.environ, MARK: self._mark},
            )
        except (OSError, ValueError) as fault:
            return getattr(fault, "strerror", None) or str(fault)
        if self._is_stopped:
            _end(self._running, self._mark)
        try:
            code = self._running.wait(timeout_s)
        except subprocess.TimeoutExpired:
            return f"it did not end within {timeout_s:g} s and was stopped"
        finally:
            _end(self._running, self._mark)
            self._running.wait()
        return f"it ended with {code}" if code else ""

    def stop(self) -> None:
        """End what runs, and whatever were to be run after."""
        self._is_stopped = True
        if self._running is not None:
            _end(self._running, self._mark)


def _end(process: subprocess.Popen[bytes], mark: str) -> None:
    if process.poll() is None:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
    for _ in range(MOST_ROUNDS):
        if not [pid for pid in _processes() if _end_process(pid, mark)]:
            return


def _processes() -> Iterator[int]:
    """Every process of this computer, where the system lists them (Linux)."""
    with suppress(OSError):
        yield from (int(name) for name in os.listdir("/proc") if name.isdecimal())


def _end_process(pid: int, mark: str) -> bool:
    """Whether a process is of that run; then it is ended. Held while it is looked at."""
    with suppress(OSError):
        process = os.pidfd_open(pid)
        try:
            entries = Path(f"/proc/{pid}/environ").read_bytes().split(b"\0")
            if f"{MARK}={mark}".encode() not in entries:
                return False
            signal.pidfd_send_signal(process, signal.SIGKILL)
            return True
        finally:
            os.close(process)
    return False
