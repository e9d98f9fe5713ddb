"""The program by a clock that stands still until a test moves it: ``python -m tests.clock_on_file``.

The main job lasts three weeks. What a test writes into a file is the time for the program in its
terminal, wall clock and counters alike, so that nothing was set and nothing stepped: it goes by.
It is looked at ten times a second, so that nobody waits long for a new hour to be shown.
Everything else is ``python -m bench``: the same words, the same ``main``.
"""

from __future__ import annotations

import os
import sys
from datetime import datetime, timedelta
from pathlib import Path

from bench import app
from bench.__main__ import main
from bench.clock import EPOCH
from bench.testing import ManualClock

PLACE = "TEST_CLOCK"
"""The environment's name for the file."""


class ClockOnFile:
    """A ``ManualClock`` of another process."""

    boot = ManualClock(EPOCH).boot

    def __init__(self, file: Path) -> None:
        self._file = file

    def now(self) -> datetime:
        """What stands in the file."""
        return datetime.fromisoformat(self._read()[0])

    def monotonic(self) -> float:
        """Seconds it was moved forward in all, and was held for."""
        return float(self._read()[1])

    def up(self) -> timedelta:
        """As if switched on in 1970."""
        return self.now() - EPOCH

    def started(self) -> datetime:
        """Never moves."""
        return EPOCH

    def _read(self) -> list[str]:
        return self._file.read_text(encoding="ascii").split()


def put(now: datetime, elapsed_s: float, file: Path) -> None:
    """From now on that is the time; nobody reads half of it."""
    new = file.with_suffix(".new")
    new.write_text(f"{now.isoformat()} {elapsed_s}", encoding="ascii")
    new.replace(file)


if __name__ == "__main__":
    app.TICK_S = 0.1
    sys.exit(main(clock=ClockOnFile(Path(os.environ[PLACE]))))
