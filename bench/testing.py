"""Stand-ins for tests: a clock that is moved by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from bench.clock import EPOCH


class ManualClock:
    """Stand still until it is moved: a clock for tests and for writing the demo's history."""

    def __init__(
        self, now: datetime, *, boot: str = "by hand", up: timedelta | None = None
    ) -> None:
        self.boot = boot
        self._now = now.astimezone(UTC)
        # As if switched on in 1970: then all such clocks are of one start, whatever they show.
        self._started = EPOCH if up is None else self._now - up
        self._elapsed_s = 0.0

    def now(self) -> datetime:
        """Return the instant it was set to."""
        return self._now

    def monotonic(self) -> float:
        """Count the seconds it was moved forward in all."""
        return self._elapsed_s

    def up(self) -> timedelta:
        """Return how long it has been going; stepping it changes nothing."""
        return self._now - self._started

    def started(self) -> datetime:
        """Return when it began to go, by what it shows."""
        return self._started

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

    def step(self, **span: float) -> None:
        """Show another time, as if somebody set it: no time has gone by."""
        step = timedelta(**span)
        self._now += step
        self._started += step
