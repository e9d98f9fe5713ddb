"""The shop's own command, a relay or a sounder: run without a shell, and never left hanging."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Sequence
from contextlib import suppress


class Sounder:
    """Runs one command at a time, from a thread of its own; ``stop`` is for the program's end."""

    def __init__(self) -> None:
        self._running: subprocess.Popen[bytes] | None = None
        self._stopped = False

    def run(self, command: Sequence[str], timeout_s: float) -> str:
        """Wait for the command's end. Answers what went wrong, nothing when all went well."""
        nothing = subprocess.DEVNULL
        try:
            # A session of its own: what the command itself started is ended with it.
            self._running = subprocess.Popen(
                command, stdin=nothing, stdout=nothing, stderr=nothing, start_new_session=True
            )
        except (OSError, ValueError) as fault:
            return getattr(fault, "strerror", None) or str(fault)
        if self._stopped:
            _end(self._running)
        try:
            code = self._running.wait(timeout_s)
        except subprocess.TimeoutExpired:
            _end(self._running)
            self._running.wait()
            return f"it did not end within {timeout_s:g} s and was stopped"
        return f"it ended with {code}" if code else ""

    def stop(self) -> None:
        """End what runs, and whatever were to be run after."""
        self._stopped = True
        if self._running is not None:
            _end(self._running)


def _end(process: subprocess.Popen[bytes]) -> None:
    if process.poll() is None:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
