"""Decide whether the computer's clock is right, and which time the shop uses if not. Pure.

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
    """The clock as the shop uses it, and why it is in doubt.

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
        """Whether the clock was wrong from the start: no hour can be proposed."""
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


def judge(
    state: ClockState | None,
    computer: ComputerClock,
    last: LastLine | None,
    far: timedelta = FAR,
    *,
    watched: bool = False,
) -> ClockState:
    """Decide which clock state holds from now on: ``state`` itself when nothing is new.

    watched: somebody was looking from the start on. Then a clock that was set is the right one,
    even if it now shows less than the last line; at a start it is asked about.
    """
    if state is None or state.boot != computer.boot:
        return _after_a_start(state, computer, last, far)
    if abs(computer.started - state.by_computer) <= STEP:
        return state
    if state.nothing_known and computer.now >= EARLIEST:
        return replace(state, started=computer.started, by_computer=computer.started, why="")
    why, likely = _doubt(state, computer, last, far, watched=watched)
    if why:
        proposed = None if state.nothing_known else computer.started if likely else state.started
        return replace(state, by_computer=computer.started, why=why, proposed=proposed)
    return replace(
        state, started=computer.started, by_computer=computer.started, why="", proposed=None
    )


def _doubt(
    state: ClockState,
    computer: ComputerClock,
    last: LastLine | None,
    far: timedelta,
    *,
    watched: bool,
) -> tuple[str, bool]:
    """Give why a clock that was set is not believed, "" where it is, and whether it may be right.

    What may be right is proposed to whoever is asked.
    """
    why = _why_not(computer.now, state.started + computer.up, far)
    if not why and not watched and last is not None and computer.now < last.at - STEP:
        why = _earlier()
    if not why and state.doubtful and computer.now < state.started + computer.up - STEP:
        why = _earlier()
    # Where the shop's time is only "at least", a later clock may be the right one.
    likely = state.doubtful and computer.now > state.started + computer.up
    corrected = not state.doubtful and abs(correction(state)) > STEP
    if not why and corrected and abs(computer.started - state.started) > NEAR:
        why, likely = "it was set, but not to the time that was typed here", True
    return why, likely


def _after_a_start(
    state: ClockState | None, computer: ComputerClock, last: LastLine | None, far: timedelta
) -> ClockState:
    if last is None:
        if computer.now >= EARLIEST:
            return ClockState(computer.boot, computer.started, computer.started)
        return ClockState(computer.boot, EARLIEST, computer.started, _too_old())
    least = last.at + computer.up
    fresh = ClockState(
        computer.boot, computer.started, computer.started, since=last.at, line=last.number
    )
    why, proposed = "", last.at
    if computer.now < EARLIEST:
        why = _too_old()
    elif computer.now < last.at - STEP:
        why = _earlier()
    elif computer.now > least + far:
        why, proposed = _too_late(computer.now - last.at), computer.started
    elif state is not None and not state.doubtful and abs(correction(state)) > STEP:
        why, proposed = "it was wrong when the computer was last on", computer.started
        corrected = computer.now + correction(state)
        if last.at - STEP <= corrected <= least + far:
            proposed = computer.started + correction(state)
    if not why:
        return fresh
    # At least the time since the start has gone by since the last line.
    return replace(fresh, started=last.at, why=why, proposed=proposed)


def _why_not(now: datetime, expected: datetime, far: timedelta) -> str:
    """Why the clock was not set right, as far as that can be told."""
    if now < EARLIEST:
        return _too_old()
    if now > expected + far:
        return _too_late(now - expected)
    return f"it was set back by {_days(expected - now)} days" if now < expected - far else ""


def _too_old() -> str:
    return "earlier than this software"


def _earlier() -> str:
    return "it is earlier than the last entry"


def _too_late(gap: timedelta) -> str:
    return f"no entry for {_days(gap)} days before"


def _days(gap: timedelta) -> int:
    return gap // timedelta(days=1)


def correction(state: ClockState) -> timedelta:
    """Say what the shop adds to the computer's clock."""
    return state.started - state.by_computer


def state_by_painter(state: ClockState, computer: ComputerClock, at: datetime) -> ClockState:
    """Give the clock state once a painter says it is ``at``, to the minute."""
    expected = state.started + computer.up
    started = state.started if at <= expected < at + MINUTE else at - computer.up
    return replace(state, started=started, by_computer=computer.started, why="", proposed=None)


def moved(before: ClockState, after: ClockState) -> timedelta:
    """Say by how much the shop's time was put forward; 0 where nobody would notice.

    What was written down under this start must be moved as much: its elapsed time stays.
    """
    step = after.started - before.started
    return step if abs(step) > STEP else timedelta(0)


def moves_all(after: ClockState) -> bool:
    """Say whether the older clocks must be moved too.

    They run on by the clock, since no counter knows how long the computer was off: when it comes
    up behind and is then set right, its earlier lines were right all the time. Only if by the new
    time it was started before they were written, that clock was wrong as well.
    """
    return after.since is None or after.started < after.since - STEP
