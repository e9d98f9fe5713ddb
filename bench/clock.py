"""The only place that reads the wall clock; everywhere else the time is handed in."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta
from typing import Protocol


class Clock(Protocol):
    """What tells the time: aware UTC instants, and seconds that never jump."""

    def now(self) -> datetime:
        """The present instant, aware, in UTC."""
        ...

    def monotonic(self) -> float:
        """Seconds from some fixed point; never steps."""
        ...


class SystemClock:
    """The computer's own clock."""

    def now(self) -> datetime:
        """The present instant, aware, in UTC."""
        return datetime.now(UTC)

    def monotonic(self) -> float:
        """Seconds since the computer was switched on."""
        return time.monotonic()


class ManualClock:
    """A clock that stands still until it is moved: for tests and for writing the demo's history."""

    def __init__(self, now: datetime) -> None:
        self._now = now.astimezone(UTC)
        self._elapsed_s = 0.0

    def now(self) -> datetime:
        """The instant it was set to."""
        return self._now

    def monotonic(self) -> float:
        """Seconds it was moved forward in all."""
        return self._elapsed_s

    def advance(self, **span: float) -> None:
        """Move forward, by what timedelta understands: ``advance(minutes=5)``."""
        step = timedelta(**span)
        self._now += step
        self._elapsed_s += step.total_seconds()

    def hold(self, seconds: float) -> None:
        """Let seconds go by while the wall clock stands still."""
        self._elapsed_s += seconds

    def set(self, now: datetime) -> None:
        """Go to an instant."""
        self._elapsed_s += max((now - self._now).total_seconds(), 0.0)
        self._now = now.astimezone(UTC)
