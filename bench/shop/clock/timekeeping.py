"""What time it is in the shop: the computer's clock, unless it is in doubt.

Kept in the setting ``clock``, so that of two terminals that see the clock set one writes it down,
and the other finds it written. Every action looks first; a running program looks once a second.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING, Any

from bench.clock import CorrectedClock, ServerClock
from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name
from bench.process.wording.time_text import day_words, format_duration
from bench.shop.clock.clock_fault import (
    EARLIEST,
    FAR,
    MINUTE,
    STEP,
    ClockState,
    ComputerClock,
    LastLine,
    correction,
    judge,
    moved,
    moves_all,
    state_by_painter,
)
from bench.shop.clock.clock_step import instants, shift
from bench.shop.environment import masks
from bench.shop.people.wrong_pins import has_pin
from bench.store.databases.database import Session, StoreFault
from bench.store.log import journal
from bench.store.log.journal import CLOCK_ACTIONS, Ledger
from bench.store.queries import bench_rows
from bench.store.schema.tables import JournalRow, SettingRow

if TYPE_CHECKING:
    from bench.shop.core.transaction import Outcome, Shop, Transaction

SETTING = "clock"
TIMES = ("started", "by_computer", "proposed", "since")


def start_clock(shop: Shop) -> str:
    """Judge the clock as a program starts, write down what is new, and watch it from here on.

    Answers what was written down, if anything. Where nothing can be written the shop's time is
    judged all the same.
    """
    words = ""
    try:
        words = move_running_clocks(shop)
    except StoreFault:
        state_in_use(shop)
    shop.clock.watching = True
    return words


def was_stepped(shop: Shop) -> bool:
    """Say whether the computer's clock was set since it was last looked at. Reads no data."""
    entries = shop.clock.seen
    return entries is not None and abs(shop.clock.started() - entries) > STEP


def move_running_clocks(shop: Shop) -> str:
    """Move what runs, once and by one terminal, after the clock was set while the program runs.

    Answers what was written down; nothing when the other terminal was first.
    """
    with shop.store.writing() as session:
        before = bench_rows.last_line(session)
        number = before.id if before is not None else None
        attend(session, shop.clock, shop.terminal)
        after = bench_rows.last_line(session)
        return after.text if after is not None and after.id != number else ""


def state_in_use(shop: Shop) -> ClockState:
    """Give the clock state that the shop uses; nothing is written."""
    with shop.store.reading() as session:
        return read_state(session, shop.clock)


def read_state(session: Session, clock: CorrectedClock) -> ClockState:
    """Give the clock state for a reader; nothing is written.

    A step that nobody has written down yet leaves the shop's time alone: what runs was not moved.
    """
    before = stored_state(session)
    after = _judge(session, clock, before)
    if before is None or before.boot != after.boot:
        clock.believe(after.started, after.by_computer)
        return after
    if moved(before, after):
        after = before
    clock.believe(after.started, before.by_computer)
    return after


def attend(session: Session, clock: CorrectedClock, terminal: str) -> ClockState:
    """Judge the clock and write down what is new, in a transaction of its own."""
    before = stored_state(session)
    if isinstance(clock.computer, ServerClock):
        _not_before_the_last_line(session, clock.computer)
    after = _judge(session, clock, before)
    if after == before or not (before or after.doubtful or after.since):
        # Of a shop that is not open yet the first line keeps it.
        clock.believe(after.started, after.by_computer)
        return after
    ledger, release = Ledger(session), None
    if before is not None and before.boot == after.boot:
        release = released_then(session, before, after)
        after = move(session, before, after, before.started + clock.up())
    keep(session, after)
    action, text = _action_and_words(before, after, clock)
    journal.write(
        session,
        ledger.changes(session),
        at=after.started + clock.up(),
        action=action,
        painter="",
        terminal=terminal,
        text=text,
        doubtful=after.doubtful,
        release=release,
    )
    session.commit()
    clock.believe(after.started, after.by_computer)
    return after


def _not_before_the_last_line(session: Session, clock: ServerClock) -> None:
    """Nobody at a bench can put a server's clock right: nothing is written by one that is wrong."""
    last, now = bench_rows.last_line(session), clock.now()
    if now < EARLIEST or (last is not None and now < last.at - STEP):
        raise StoreFault(
            f"the server's clock says {now:%d %b %Y %H:%M} UTC, which is earlier than the last "
            "thing written down; correct it on the server",
            "clock",
        )


def begin(session: Session, clock: CorrectedClock) -> None:
    """Write the first log entry of a new shop with the clock state it starts from."""
    if stored_state(session) is None:
        keep(session, ClockState(clock.boot, clock.started(), clock.started()))


def computer_says(clock: CorrectedClock) -> ComputerClock:
    """Say what the computer's clock shows."""
    return ComputerClock(clock.boot, clock.started(), clock.up())


def _judge(session: Session, clock: CorrectedClock, before: ClockState | None) -> ClockState:
    says = computer_says(clock)
    if before and before.boot == says.boot and abs(says.started - before.by_computer) <= STEP:
        return before  # as nearly always, and without a look at the journal
    line = bench_rows.last_line(session)
    last = LastLine(line.id or 0, line.at) if line is not None else None
    return judge(before, says, last, _far(session), watched=clock.watching)


def _far(session: Session) -> timedelta:
    house: Any = bench_rows.setting(session, "house") or {}
    return timedelta(days=house.get("clock_far_days", FAR.days))


def released_then(
    session: Session, before: ClockState, after: ClockState
) -> tuple[datetime, str] | None:
    """Find what was put into the air last, by the shop's time as it is moved now."""
    return masks.shifted_release(
        session, moved(before, after), after.line, everything=moves_all(after)
    )


def move(session: Session, before: ClockState, after: ClockState, now: datetime) -> ClockState:
    """Move what runs along with the shop's time; ``now`` is the shop's time before."""
    by = moved(before, after)
    if not by:
        return after
    everything = moves_all(after)
    shift(session, by, after.line, now, everything=everything)
    return replace(after, since=None, line=0) if everything else after


def moved_since(session: Session, line: JournalRow) -> bool:
    """Say whether the shop's time was put forward or back after a line that wrote hours down."""
    if not any(True for c in line.changes for p in (c["before"], c["after"]) for _ in instants(p)):
        return False
    later = bench_rows.lines_after(session, line.id or 0, CLOCK_ACTIONS)
    return any(_moved_by(change) for entry in later for change in entry.changes)


def _moved_by(change: dict[str, Any]) -> bool:
    if change["table"] != SettingRow.__tablename__ or change["before"] is None:
        return False
    before, after = _state_from(change["before"]["value"]), _state_from(change["after"]["value"])
    return before.boot == after.boot and bool(moved(before, after))


def stored_state(session: Session) -> ClockState | None:
    """Read the clock state that the shop stored last."""
    setting: Any = bench_rows.setting(session, SETTING)
    return None if setting is None else _state_from(setting)


def _state_from(setting: dict[str, Any]) -> ClockState:
    times = {name: datetime.fromisoformat(setting[name]) for name in TIMES if setting[name]}
    return ClockState(**{**setting, **times})


def keep(session: Session, what: ClockState) -> None:
    """Put it where ``stored_state`` finds it."""
    value = {
        name: value.isoformat() if isinstance(value, datetime) else value
        for name, value in vars(what).items()
    }
    row = session.get(SettingRow, SETTING)
    if row is None:
        session.add(SettingRow(key=SETTING, value=value))
    else:
        row.value = value


def _action_and_words(
    before: ClockState | None, after: ClockState, clock: CorrectedClock
) -> tuple[str, str]:
    """The line's action and its words."""
    says = f"{after.by_computer + clock.up():%d %b %Y %H:%M} UTC"
    if after.doubtful:
        return "clock wrong", f"CLOCK WRONG: the computer's clock says {says}; {after.why}"
    if before is None or before.boot != after.boot:
        gap = after.started - after.since if after.since else timedelta(0)
        return "clock started", f"computer started, {_gap_words(gap)} after the last line; clock OK"
    by = moved(before, after)
    text = f"the computer's clock was set, to {says}"
    if abs(correction(before)) > STEP and not before.doubtful:
        text += "; the shop's correction of it is dropped"
    if by:
        text += f"; running clocks are moved {way_words(by)}: elapsed time stays"
    return "clock stepped", text


def way_words(by: timedelta) -> str:
    """Write a step of the clock with its direction: "3 h forward"."""
    return f"{_gap_words(abs(by))} {'forward' if by > timedelta(0) else 'back'}"


def _gap_words(gap: timedelta) -> str:
    seconds = max(gap.total_seconds(), 0.0)
    return f"{seconds:.0f} s" if seconds < 120 else format_duration(round(seconds / 60) * 60)


LATEST_YEAR = 2200


def set_clock(shop: Shop, by: str, at: datetime, *, reason: str = "") -> Outcome | Refusal:
    """Set the shop's clock to ``at``, to the minute; what was written at a wrong time moves along.

    by: may be empty, when the computer starts and nobody has said yet who is signed in. reason:
    wanted where the clock is believed, with the PIN of ``by`` where painters use PINs.
    """
    if at < EARLIEST or at.year > LATEST_YEAR:
        return Refusal(
            f"it cannot be {at:%d %b %Y}", "", f"a day from {EARLIEST.year} on; type it again"
        )
    with shop.act("clock set", by) as act:
        painter = act.painter() if by else ""
        if isinstance(painter, Refusal):
            return painter
        before = stored_state(act.session) or read_state(act.session, shop.clock)
        if refused := None if before.doubtful else _why_not_set(act, painter, reason):
            return refused
        after = state_by_painter(before, computer_says(shop.clock), at)
        by_how_much = moved(before, after)
        release = released_then(act.session, before, after)
        after = move(act.session, before, after, act.now)
        keep(act.session, after)
        act.now, act.doubtful = after.started + shop.clock.up(), False
        local = act.now.astimezone(act.house.hours.zone)
        text = f"it is {day_words(local)}, says {painter or 'a painter'}"
        if by_how_much:
            text += f"; running clocks moved {way_words(by_how_much)}"
        if not before.doubtful:
            text += f": {clean_name(reason, 'the reason')}"
        outcome = act.write(painter, "", text, release=release)
    shop.clock.believe(after.started, after.by_computer)
    return outcome


def _why_not_set(act: Transaction, painter: str, reason: str) -> Refusal | None:
    """Why a clock that is believed is not set: no reason, or nobody who signs for it."""
    if not reason.strip():
        problem = "no reason why the clock is set, and it is believed"
        return Refusal(problem, "", "give the reason, as: the computer's clock is 5 min slow")
    if not any(has_pin(each.pin) for each in bench_rows.painters_here(act.session)):
        plain = clean_name(reason, "the reason")
        return plain if isinstance(plain, Refusal) else None
    if not painter or not has_pin(bench_rows.painter(act.session, painter).pin):
        right = "somebody with a PIN sets the clock; paintbench pin gives one"
        return Refusal(f"{painter or 'nobody'} has no PIN, and this shop uses PINs", "", right)
    clean_reason = act.reason(reason)
    return clean_reason if isinstance(clean_reason, Refusal) else None


def instant_typed(
    day: int, month: int, year: int, hour: int, minute: int, zone: tzinfo, least: datetime
) -> datetime | Refusal:
    """Turn a typed time into an instant. Of an hour that comes twice, the first still to come."""
    try:
        typed = datetime(year, month, day, hour, minute, tzinfo=zone)
    except ValueError:
        return Refusal(
            f"there is no {day}.{month}.{year} {hour}:{minute:02d}", "", "type the day again"
        )
    first, again = typed.astimezone(UTC), typed.replace(fold=1).astimezone(UTC)
    return again if first + MINUTE <= least < again + MINUTE else first
