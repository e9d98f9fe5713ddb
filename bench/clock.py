"""The only place that reads the clocks of the computer; everywhere else the time is handed in."""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol

_UPTIME = Path("/proc/uptime")
_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")

_TOGETHER = timedelta(milliseconds=100)
"""Two looks at the counter so close together belong to the look at the clock between them."""

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Clock(Protocol):
    """Tell the time: a clock that anybody may set, and counters that nobody can."""

    @property
    def boot(self) -> str:
        """Name this start of the computer."""
        ...

    def now(self) -> datetime:
        """Return the present instant, aware, in UTC."""
        ...

    def monotonic(self) -> float:
        """Count seconds from some fixed point; never steps. For what lasts seconds."""
        ...

    def up(self) -> timedelta:
        """Return how long the computer has been on, suspended time included; never steps."""
        ...

    def started(self) -> datetime:
        """Return when the computer was started, by its clock: it moves when that clock is set."""
        ...


class SystemClock:
    """Read the computer's own clock."""

    def __init__(self) -> None:
        self.boot = _boot_id()
        self._up_s = _counter()

    def now(self) -> datetime:
        """Return the present instant, aware, in UTC."""
        return datetime.now(UTC)

    def monotonic(self) -> float:
        """Count the seconds since the computer was switched on."""
        return time.monotonic()

    def up(self) -> timedelta:
        """Return how long the computer has been on."""
        return timedelta(seconds=self._up_s())

    def started(self) -> datetime:
        """Return when it was started, by its clock: both read as one, even if suspended."""
        before = self.up()
        while True:
            now, after = self.now(), self.up()
            if after - before < _TOGETHER:
                return now - after
            before = after


class OffsetClock:
    """Start at an instant that is chosen, then go by this computer's counter: the demo's clock.

    What the computer's own clock shows is nothing to it, nor that somebody sets it.
    """

    boot = "the demo"

    def __init__(self, starts: datetime, own: Clock | None = None) -> None:
        self._own = own or SystemClock()
        self.hear(starts)

    def hear(self, now: datetime) -> None:
        """Set the time."""
        self._ahead = now - EPOCH - self._own.up()

    def now(self) -> datetime:
        """Return the present instant by this clock, aware, in UTC."""
        return EPOCH + self.up()

    def monotonic(self) -> float:
        """Count the seconds by this computer's counter."""
        return self._own.monotonic()

    def up(self) -> timedelta:
        """Return how long since 1970: so all such clocks are of one start, whatever they show."""
        return self._own.up() + self._ahead

    def started(self) -> datetime:
        """Return 1970, which never moves."""
        return EPOCH


class ServerClock(OffsetClock):
    """Go by the clock of the computer that has the data, where several computers share it.

    Each would else judge the others' lines by a clock of its own, and a cheap one has no battery.
    It hears the server's time, and between two tellings goes on by this computer's counter. A
    server's clock is kept by its administrator: what it is set to is right.
    """

    boot = "the server"

    def __init__(self, own: Clock | None = None) -> None:
        own = own or SystemClock()
        super().__init__(own.now(), own)


def _boot_id() -> str:
    """Return the kernel's name for this start of the computer; without one, this program's own."""
    try:
        return _BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        return str(uuid.uuid4())


def _counter() -> Callable[[], float]:
    """Return what counts the seconds since the start: the kernel's figure, CLOCK_BOOTTIME.

    Read as a file where there is one, so that nothing that wraps the clock's calls changes it.
    Without either (not on Linux) a suspended computer cannot be told from a clock that was set.
    """
    try:
        _uptime_s()
        return _uptime_s
    except (OSError, ValueError):
        pass
    if hasattr(time, "CLOCK_BOOTTIME"):
        return lambda: time.clock_gettime(time.CLOCK_BOOTTIME)
    began = time.monotonic()
    return lambda: time.monotonic() - began


def _uptime_s() -> float:
    with open(_UPTIME, "rb", buffering=0) as file:
        return float(file.read(64).split()[0])


class CorrectedClock:
    """Keep the shop's time: since it was last believed, it goes by the computer's counter.

    A clock that is set under a running program moves nothing by itself;
    ``bench.shop.clock.timekeeping`` notices, and decides what the shop's time is from then on.
    """

    def __init__(self, clock: Clock) -> None:
        self.computer: Clock = clock.computer if isinstance(clock, CorrectedClock) else clock
        self._believed: datetime | None = None
        self.seen: datetime | None = None
        """When the computer was started by its own clock, when that was last looked at."""
        self.watching = False
        """Whether this program has been comparing the two from its start on."""

    @property
    def boot(self) -> str:
        """Name this start of the computer."""
        return self.computer.boot

    def believe(self, started: datetime, seen: datetime) -> None:
        """Take ``started`` for the start of the computer; its own clock says ``seen``."""
        self._believed, self.seen = started, seen

    @property
    def believed(self) -> datetime | None:
        """Return when the computer was started, by the shop's time; None while nothing is known."""
        return self._believed

    def now(self) -> datetime:
        """Return the present instant by the shop's time."""
        return self.computer.now() if self._believed is None else self._believed + self.up()

    def monotonic(self) -> float:
        """Count the seconds by the computer's counter."""
        return self.computer.monotonic()

    def up(self) -> timedelta:
        """Return how long the computer has been on."""
        return self.computer.up()

    def started(self) -> datetime:
        """Return the start by the computer's clock, which the shop's is compared with."""
        return self.computer.started()


class StillClock:
    """Stand still at an instant, on a computer that another clock is of: for writing the past."""

    def __init__(self, clock: Clock, at: datetime) -> None:
        self._clock, self._at = clock, at

    @property
    def boot(self) -> str:
        """Name the start of the other clock."""
        return self._clock.boot

    def now(self) -> datetime:
        """Return that instant."""
        return self._at

    def monotonic(self) -> float:
        """Count the seconds by the other clock."""
        return self._clock.monotonic()

    def up(self) -> timedelta:
        """Return how long the other clock had been on."""
        return self._at - self.started()

    def started(self) -> datetime:
        """Return the other clock's start: what was done was done under the same one."""
        return self._clock.started()
