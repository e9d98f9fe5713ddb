"""When the computer's clock is not to be believed, and what the shop goes by then. Pure.

Three things are compared: what the computer's clock says, the computer's counter of the time since
it was started (which nobody can set, and which goes on while it is suspended), and the last line of
the journal. Everything is in UTC, so that neither summer time nor a new year is anything at all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

STEP = timedelta(seconds=5)
"""By more than this the clock was set; less is a clock that is kept in time (house rule)."""

FAR = timedelta(days=30)
"""Nothing written down for so long: ask. A shop that was closed says yes (house rule)."""

EARLIEST = datetime(2025, 1, 1, tzinfo=UTC)
"""The program was not there before. What has lost its battery says 1970, 2000 or the like."""

NEAR = timedelta(minutes=15)
"""How far a painter's watch may be out when the computer's clock comes right (house rule)."""

MINUTE = timedelta(minutes=1)

SET_REASONS = ("the computer's clock is slow", "the computer's clock is fast", "set wrong before")
"""What is offered where a clock that is believed is set all the same."""


@dataclass(frozen=True)
class ClockState:
    """What the shop goes by.

    boot: under which start of the computer; started: when that was, by the shop's time;
    by_computer: by the computer's clock when it was last looked at; why: what is wrong with that
    clock, empty when nothing is; proposed: the start that follows from the hour to be asked about;
    since and line: when the last line before this start was written, and its number.
    """

    boot: str
    started: datetime
    by_computer: datetime
    why: str = ""
    proposed: datetime | None = None
    since: datetime | None = None
    line: int = 0

    @property
    def doubtful(self) -> bool:
        """Whether the shop's time is only "at least"."""
        return bool(self.why)

    @property
    def nothing_known(self) -> bool:
        """Whether the clock was wrong from the first: no hour can be proposed."""
        return self.doubtful and self.started == EARLIEST


@dataclass(frozen=True)
class ComputerClock:
    """What the computer says now: its start, when that was by its clock, and how long ago."""

    boot: str
    started: datetime
    up: timedelta

    @property
    def now(self) -> datetime:
        """What its clock shows."""
        return self.started + self.up


@dataclass(frozen=True)
class LastLine:
    """The last line of the journal."""

    number: int
    at: datetime


def judged(
    kept: ClockState | None,
    told: ComputerClock,
    last: LastLine | None,
    far: timedelta = FAR,
    *,
    watched: bool = False,
) -> ClockState:
    """What to go by from now on: ``kept`` itself when nothing is new.

    watched: somebody was looking from the start on. Then a clock that was set is the right one,
    even if it now shows less than the last line; at a start it is asked about.
    """
    if kept is None or kept.boot != told.boot:
        return _after_a_start(kept, told, last, far)
    if abs(told.started - kept.by_computer) <= STEP:
        return kept
    if kept.nothing_known and told.now >= EARLIEST:
        return replace(kept, started=told.started, by_computer=told.started, why="")
    why, likely = _doubt(kept, told, last, far, watched=watched)
    if why:
        proposed = None if kept.nothing_known else told.started if likely else kept.started
        return replace(kept, by_computer=told.started, why=why, proposed=proposed)
    return replace(kept, started=told.started, by_computer=told.started, why="", proposed=None)


def _doubt(
    kept: ClockState, told: ComputerClock, last: LastLine | None, far: timedelta, *, watched: bool
) -> tuple[str, bool]:
    """Give why a clock that was set is not believed, "" where it is, and whether it may be right.

    What may be right is proposed to whoever is asked.
    """
    why = _why_not(told.now, kept.started + told.up, far)
    if not why and not watched and last is not None and told.now < last.at - STEP:
        why = _earlier()
    if not why and kept.doubtful and told.now < kept.started + told.up - STEP:
        why = _earlier()
    # Where the shop's time is only "at least", a later clock may be the right one.
    likely = kept.doubtful and told.now > kept.started + told.up
    corrected = not kept.doubtful and abs(correction(kept)) > STEP
    if not why and corrected and abs(told.started - kept.started) > NEAR:
        why, likely = "it was set, but not to the time that was typed here", True
    return why, likely


def _after_a_start(
    kept: ClockState | None, told: ComputerClock, last: LastLine | None, far: timedelta
) -> ClockState:
    if last is None:
        if told.now >= EARLIEST:
            return ClockState(told.boot, told.started, told.started)
        return ClockState(told.boot, EARLIEST, told.started, _too_old())
    least = last.at + told.up
    fresh = ClockState(told.boot, told.started, told.started, since=last.at, line=last.number)
    why, proposed = "", last.at
    if told.now < EARLIEST:
        why = _too_old()
    elif told.now < last.at - STEP:
        why = _earlier()
    elif told.now > least + far:
        why, proposed = _too_late(told.now - last.at), told.started
    elif kept is not None and not kept.doubtful and abs(correction(kept)) > STEP:
        why, proposed = "it was wrong when the computer was last on", told.started
        corrected = told.now + correction(kept)
        if last.at - STEP <= corrected <= least + far:
            proposed = told.started + correction(kept)
    if not why:
        return fresh
    # At least the time since the start has gone by since the last line.
    return replace(fresh, started=last.at, why=why, proposed=proposed)


def _why_not(now: datetime, carried: datetime, far: timedelta) -> str:
    """Why the clock was not set right, as far as that can be told."""
    if now < EARLIEST:
        return _too_old()
    if now > carried + far:
        return _too_late(now - carried)
    return f"it was set back by {_days(carried - now)} days" if now < carried - far else ""


def _too_old() -> str:
    return "earlier than this software"


def _earlier() -> str:
    return "it is earlier than the last entry"


def _too_late(gap: timedelta) -> str:
    return f"no entry for {_days(gap)} days before"


def _days(gap: timedelta) -> int:
    return gap // timedelta(days=1)


def correction(kept: ClockState) -> timedelta:
    """What the shop adds to the computer's clock."""
    return kept.started - kept.by_computer


def answered(kept: ClockState, told: ComputerClock, at: datetime) -> ClockState:
    """The painter says that it is ``at``, to the minute: within it the counter is right."""
    carried = kept.started + told.up
    started = kept.started if at <= carried < at + MINUTE else at - told.up
    return replace(kept, started=started, by_computer=told.started, why="", proposed=None)


def moved(before: ClockState, after: ClockState) -> timedelta:
    """By how much the shop's time was put forward; 0 where nobody would notice.

    What was written down under this start must be moved as much: its elapsed time stays.
    """
    step = after.started - before.started
    return step if abs(step) > STEP else timedelta(0)


def moves_all(after: ClockState) -> bool:
    """Whether the older clocks must be moved too.

    They run on by the clock, since no counter knows how long the computer was off: when it comes
    up behind and is then set right, its earlier lines were right all the time. Only if by the new
    time it was started before they were written, that clock was wrong as well.
    """
    return after.since is None or after.started < after.since - STEP
