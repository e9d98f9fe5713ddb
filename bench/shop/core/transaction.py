"""What every action has in common: one transaction, its log entry, and an answer."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property
from math import ceil
from typing import Any, TypeVar

from bench.clock import Clock, CorrectedClock
from bench.process.clocks.part_clocks import Environment, readings_since
from bench.process.parts.part import Part, last_event_at
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.wording.text_rules import clean_name
from bench.process.wording.time_text import format_clock
from bench.shop.clock import timekeeping
from bench.shop.core.conflicts import SeenEntries, WatchedRow, changed_since_seen
from bench.shop.core.mappers import part_of, products_of, settings_of
from bench.shop.core.temperature_cache import Air
from bench.shop.environment import masks
from bench.shop.people.pins import WrongPins, another, matches_pin, wait_left
from bench.shop.people.wrong_pins import (
    RIGHT_PIN,
    WRONG_PIN,
    has_pin,
    keep_wrong_pins,
    refuse_old_pin,
    wrong_pins,
)
from bench.shop.settings.kiosk_limits import ANYTHING, KioskLimits
from bench.shop.settings.shop_settings import ShopSettings
from bench.store.databases.database import Session, Store, StoreFault
from bench.store.databases.faults import InDoubt, guard_commit
from bench.store.log import journal, sheet_versions
from bench.store.log.journal import CLOCK_ACTIONS, Ledger
from bench.store.queries import bench_rows, people_rows
from bench.store.schema.tables import (
    EquipmentRow,
    Painter,
    PartRow,
    ProductRow,
    SettingRow,
    Stand,
    StepRow,
)
from bench.store.schema.tables import Row as Table

__all__ = ["Outcome", "Shop", "StoreFault", "Target", "Transaction"]

T = TypeVar("T")

Target = int | str
"""What an action is done to: a stand by its number, or a part by its tag."""

CLOCK_SLACK = timedelta(seconds=2)
"""How far an event may be ahead of the clock: two terminals never agree to the second."""


READ_DISC = "read the steel disc again"
"""What to do about a tag that no part bears."""


def no_tag(tag: str, remedy: str = READ_DISC) -> Refusal:
    """Refuse a tag that no part bears."""
    return Refusal(f"no tag {tag.strip()[:40]}", "", remedy)


def no_stand(number: int, there: Iterable[int]) -> Refusal:
    """Refuse a stand that is none of those there are."""
    return Refusal(f"no stand {number}", "", f"stands run from 1 to {max(there, default=0)}")


def part_at(
    session: Session,
    target: Target,
    unknown: str = READ_DISC,
    empty: str = "place a part on it first",
) -> PartRow | Refusal:
    """Find the part on a stand, or with a tag, on the bench or away.

    unknown, empty: what to do about a tag that no part bears, and about an empty stand.
    """
    if isinstance(target, str):
        if not target.isprintable():
            return Refusal("that is no tag", ascii(target[:40]), unknown)
        return bench_rows.part_tagged(session, target) or no_tag(target, unknown)
    row = bench_rows.part_on(session, target)
    if row is None and session.get(Stand, target) is None:
        return no_stand(target, bench_rows.stand_numbers(session))
    return row or Refusal(f"stand {target} is empty", "", empty)


@dataclass(frozen=True)
class Outcome:
    """What was done, in words, and what the painter should know about it.

    line: the number of its line in the journal, 0 where it has none.
    """

    text: str
    tag: str = ""
    notes: tuple[str, ...] = ()
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, init=False)
class Shop:
    """The shop as one terminal sees it. clock gives the shop's time, whatever clock is given.

    allowed: what this terminal may use of its computer.
    """

    store: Store
    clock: CorrectedClock
    terminal: str = "bench"
    air: Air = field(init=False, compare=False, repr=False)
    pin: str = field(init=False, repr=False)
    seen: SeenEntries | None = field(init=False, repr=False)
    allowed: KioskLimits = field(init=False, compare=False, repr=False)

    def __init__(self, store: Store, clock: Clock, terminal: str = "bench") -> None:
        object.__setattr__(self, "store", store)
        object.__setattr__(self, "clock", CorrectedClock(clock))
        object.__setattr__(self, "terminal", terminal)
        object.__setattr__(self, "air", Air())
        object.__setattr__(self, "pin", "")
        object.__setattr__(self, "seen", None)
        object.__setattr__(self, "allowed", ANYTHING)

    def with_pin(self, pin: str) -> Shop:
        """Give the same shop for one action that is signed with a painter's PIN."""
        return self._with(pin=pin)

    def as_seen(self, entries: SeenEntries) -> Shop:
        """Give the shop for one action of a painter whose screen shows these entries."""
        return self._with(seen=entries)

    def within(self, allowed: KioskLimits) -> Shop:
        """Give the same shop on a terminal that may use only what is allowed."""
        return self if self.allowed == allowed else self._with(allowed=allowed)

    def _with(self, **changes: object) -> Shop:
        other = copy(self)
        for name, value in changes.items():
            object.__setattr__(other, name, value)
        return other

    @contextmanager
    def act(self, action: str, by: str) -> Iterator[Transaction]:
        """Open a transaction that leaves no trace unless ``Transaction.done`` is reached.

        A clock that was set since the last look is written down first, as a line of its own.
        """
        with self.store.writing() as session, bench_rows.settings_at_hand(session):
            before = self.clock.believed
            state = timekeeping.attend(session, self.clock, self.terminal)
            step = state.started - before if before is not None else timedelta(0)
            act = Transaction(self, session, action, by, doubtful=state.doubtful, moved=step)
            act.forget_wrong_pins()
            yield act


@dataclass
class Transaction:
    """One action under way.

    doubtful: the shop's time is only "at least"; moved: how far it was put forward just now, when
    the action was asked for already.
    """

    shop: Shop
    session: Session
    action: str
    by: str
    notes: list[str] = field(default_factory=list)
    doubtful: bool = False
    moved: timedelta = timedelta(0)

    def __post_init__(self) -> None:
        self.ledger = Ledger(self.session)
        self.now = self.shop.clock.now()
        self._names: list[str] = []
        self._read: dict[Hashable, Any] = {}

    @cached_property
    def house(self) -> ShopSettings:
        """The shop's own settings."""
        return settings_of(self.session)

    @property
    def products(self) -> dict[str, Product]:
        """Every product by its key."""
        return self.once(products_of, ProductRow)

    @property
    def equipment(self) -> list[EquipmentRow]:
        """Every row of equipment, in the order it is offered."""
        return self.once(people_rows.equipment, EquipmentRow)

    def once(self, query: Callable[[Session], T], *tables: type[Table]) -> T:
        """Give what ``query`` finds in some tables, asked once while the action changes none."""
        if query not in self._read or self.ledger.touched(self.session, tables):
            self._read[query] = query(self.session)
        answer: T = self._read[query]
        return answer

    @property
    def local_now(self) -> datetime:
        """The time now, in the shop's zone."""
        return self.now.astimezone(self.house.hours.zone)

    def reason(self, typed: str) -> str | Refusal:
        """Give the reason for a correction, fit to be kept, and signed by who has a PIN."""
        reason = clean_name(typed, "the reason")
        if isinstance(reason, Refusal):
            return reason
        return self.signed() or reason

    def signed(self) -> Refusal | None:
        """Check the painter's PIN where there is one. A wrong one is written down."""
        painter = self.painter()
        if isinstance(painter, Refusal):
            return painter
        stored_pin = bench_rows.painter(self.session, painter).pin
        if not stored_pin:
            return None
        if not has_pin(stored_pin):
            return refuse_old_pin(painter)
        wrong = wrong_pins(self.session, painter)
        if refused := self._too_soon(painter, wrong):
            return refused
        if not self.shop.pin:
            return Refusal(f"{painter} has a PIN", "", "sign with it")
        if matches_pin(self.shop.pin, stored_pin):
            return None
        self.session.rollback()
        self.action, self.ledger = WRONG_PIN, Ledger(self.session)
        clock, before = self.shop.clock, wrong_pins(self.session, painter)
        keep_wrong_pins(self.session, painter, another(before, clock.boot, clock.up()))
        self.write(painter, "", f"a wrong PIN was given for {painter}")
        return Refusal(f"wrong PIN of {painter}", "", "type it again")

    def _too_soon(self, painter: str, wrong: WrongPins | None) -> Refusal | None:
        """Why no PIN of a painter is looked at yet, after wrong ones."""
        wait = wait_left(wrong, self.shop.clock.boot, self.shop.clock.up()) if wrong else None
        if not wrong or not wait:
            return None
        minutes = ceil(wait / timedelta(minutes=1))
        return Refusal(f"{wrong.count} wrong PINs of {painter}", "", f"wait {minutes} min")

    def forget_wrong_pins(self) -> None:
        """Begin the count of wrong PINs again where a right one was given.

        As an entry of its own before the action's, so that no undo of the action brings them back.
        """
        painter = self.painter() if self.shop.pin else None
        if not isinstance(painter, str):
            return
        wrong, stored_pin = (
            wrong_pins(self.session, painter),
            bench_rows.painter(self.session, painter).pin,
        )
        if not wrong or self._too_soon(painter, wrong) or not has_pin(stored_pin):
            return
        if matches_pin(self.shop.pin, stored_pin):
            action, self.action = self.action, RIGHT_PIN
            keep_wrong_pins(self.session, painter, None)
            self.write(painter, "", f"the right PIN was given for {painter}")
            self.action, self.ledger = action, Ledger(self.session)

    def around(
        self, sheets: Mapping[str, Product], at: datetime, parts: Iterable[Part] = ()
    ) -> Environment:
        """Give the readings, hours and sheets that the clocks of a pot or of parts need."""
        since = readings_since(at, parts)
        return self.shop.air.around(self.session, self.house.hours, sheets, since)

    def hour(self, at: datetime) -> str:
        """Format an instant as this shop says it."""
        return format_clock(at, self.local_now)

    def painters_here(self) -> list[Painter]:
        """List the painters of the shop in the order they came."""
        return self.once(bench_rows.painters_here, Painter, SettingRow)

    def painter(self, name: str | None = None) -> str | Refusal:
        """Give the painter's name as the shop spells it."""
        typed_name = self.by if name is None else name
        spelling = self._spelling(typed_name)
        if spelling is None:
            self._names = [painter.name for painter in self.painters_here()]
            spelling = self._spelling(typed_name)
        names = ", ".join(self._names)
        return spelling or Refusal(f"no painter '{typed_name[:40]}'", "", f"one of {names}")

    def _spelling(self, typed_name: str) -> str | None:
        alike = (name for name in self._names if name.casefold() == typed_name.strip().casefold())
        return next(alike, None)

    def row(self, target: Target, beside: Collection[str] = ()) -> PartRow | Refusal:
        """Find the part on a stand or with a tag; refuse one that was changed unseen.

        beside: the actions of others that do not count as a change.
        """
        part = part_at(self.session, target)
        return part if isinstance(part, Refusal) else self.unseen(part, beside) or part

    def unseen(self, row: WatchedRow, beside: Collection[str] = ()) -> Refusal | None:
        """Refuse a row that somebody changed since the painter at the screen saw it."""
        line = changed_since_seen(self.session, self.shop.seen, row, beside)
        if line is None:
            return None
        first = f"{line.painter or 'another terminal'} changed this at {self.hour(line.at)}"
        return Refusal(first, line.text, "check again")

    def stand(self, number: int) -> Stand | Refusal:
        """Give the stand with a number."""
        row = self.session.get(Stand, number)
        return row or no_stand(number, bench_rows.stand_numbers(self.session))

    def steps(self, row: PartRow) -> list[StepRow]:
        """Give the part's steps in order."""
        assert row.id is not None
        return bench_rows.steps_of(self.session, [row])[row.id]

    def part(self, row: PartRow) -> Part:
        """Give the part as plain values."""
        return part_of(row, self.steps(row))

    def when(self, at: datetime | None, part: Part | None = None) -> datetime | Refusal:
        """Give the event's instant: now, or ``at`` if neither ahead nor before the last."""
        if at is None:
            at = self.now
        else:
            at += self.moved
        if at > self.now + CLOCK_SLACK:
            return Refusal(
                "that is in the future",
                self.hour(at),
                f"now is {self.hour(self.now)}",
            )
        before = last_event_at(part) if part is not None else None
        if before is not None and at < before:
            return Refusal(
                "that is before the last thing done to it",
                f"{self.hour(at)} is before {self.hour(before)}",
                "give a later time, or correct the earlier event first",
            )
        return at

    def done(self, tag: str, text: str, *, undoes: int | None = None) -> Outcome | Refusal:
        """Write state and journal together. Only after this returns Done did anything happen."""
        by = self.painter()
        if isinstance(by, Refusal):
            return by
        return self.write(by, tag, text, undoes=undoes)

    def write(
        self,
        by: str,
        tag: str,
        text: str,
        *,
        undoes: int | None = None,
        release: tuple[datetime, str] | None = None,
    ) -> Outcome:
        """Write the journal line under ``by`` and commit.

        release: what was put into the air last, where only the clock moved under it.
        """
        number, checksum = self._entry(by, tag, text, undoes, release)
        try:
            with guard_commit():
                self.session.commit()
        except InDoubt as doubt:
            doubt.number, doubt.checksum = number, checksum
            self._look_for(doubt)
        return Outcome(text, tag, tuple(self.notes), number)

    def entry(self, tag: str, text: str) -> Refusal | None:
        """Write what was changed so far as an entry of its own; ``done`` commits it with the rest.

        For an action on many parts, each of which keeps its own entry.
        """
        by = self.painter()
        if isinstance(by, Refusal):
            return by
        self._entry(by, tag, text, None, None)
        self.ledger = Ledger(self.session)
        return None

    def _entry(
        self,
        by: str,
        tag: str,
        text: str,
        undoes: int | None,
        release: tuple[datetime, str] | None,
    ) -> tuple[int, str]:
        """Write a journal line about what the ledger has; its number and checksum."""
        if undoes is None:
            self.ledger.move_revisions(self.session)
        changes = self.ledger.changes(self.session)
        sheet_versions.keep(self.session, changes, self.now)
        if release is None and self.action not in CLOCK_ACTIONS:
            release = masks.released_by(changes, self.action, self.now, lambda: self.products)
        return journal.write(
            self.session,
            changes,
            at=self.now,
            action=self.action,
            painter=by,
            terminal=self.shop.terminal,
            tag=tag,
            text=text,
            undoes=undoes,
            doubtful=self.doubtful,
            release=release,
        )

    def _look_for(self, doubt: InDoubt) -> None:
        """See that the entry is in the log. Raises StoreFault if it is not, or still in doubt."""
        self.session.rollback()
        try:
            in_log = self.shop.store.was_written(doubt)
        except StoreFault:
            raise doubt from None
        if not in_log:
            raise doubt.undone from None
        self.notes.append("there was a fault as this was saved; it is saved")
