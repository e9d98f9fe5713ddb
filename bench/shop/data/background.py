"""What goes on in the background: copies by the hour, thinning, and trying again what failed.

A disk can take seconds, and a stick can hang for good; so each folder is looked after, and each try
is made, on a thread of its own that nobody waits for, and no key does. What a painter did is never
tried again.
"""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from bench.process.wording.time_text import format_duration
from bench.shop.core.transaction import Shop, StoreFault
from bench.shop.data.backups import BackupPlace, BackupState, back_up_if_due, backup_places
from bench.shop.environment.reading_thinning import EVERY, thin
from bench.shop.settings.shop_settings import ShopSettings
from bench.store.databases.database import CannotOpen, NothingHere
from bench.store.databases.faults import InDoubt, LogLost
from bench.store.databases.sqlite import has_room
from bench.store.databases.write_ahead_log import which_file

BackgroundJob = Callable[[], None]


def on_a_thread(job: BackgroundJob) -> threading.Thread:
    """Start a job that may hang for good and does not keep the program from ending."""
    thread = threading.Thread(target=job, daemon=True)
    thread.start()
    return thread


LOOK_EVERY_S = 60.0
"""How soon a stick that was put in is noticed."""

FIRST_LOOK_S = 3.0
"""After the start: the first picture comes first."""

NO_ANSWER_S = 600.0
"""A copy to a slow stick takes minutes; what takes longer hangs."""


class BackupScheduler:
    """Makes backups when they are due, and says how they stand."""

    def __init__(self, start: Callable[[BackgroundJob], object] = on_a_thread) -> None:
        self._start = start
        self._answers: queue.SimpleQueue[tuple[BackupPlace, BackupState]] = queue.SimpleQueue()
        self._busy: dict[Path, float] = {}
        self._states: dict[Path, BackupState] = {}
        self._next_s: float | None = None
        self._places: list[BackupPlace] = []
        self._has_looked = False
        self._now_s = 0.0

    @property
    def damaged(self) -> str:
        """What is damaged in the data itself."""
        return next((state.damaged for state in self._states.values() if state.damaged), "")

    def tick(self, shop: Shop, house: ShopSettings, *, doubtful: bool) -> None:
        """Take in what came back, and look again when it is time."""
        self._take_in()
        self._now_s = now_s = shop.clock.monotonic()
        if self._next_s is None:
            self._next_s = now_s + FIRST_LOOK_S
        if shop.store.place is None or now_s < self._next_s:
            return
        self._next_s = now_s + LOOK_EVERY_S
        now, zone = shop.clock.now(), house.hours.zone
        self._places = backup_places(
            shop.store.place,
            house.second_place,
            now,
            zone,
            may_thin=not doubtful and not any(state.broken for state in self._states.values()),
            most_bytes=house.backup_bytes,
            places=shop.allowed.backups,
        )
        for what in self._places:
            if what.folder not in self._busy:
                self._busy[what.folder] = now_s
                self._start(
                    self._looks_after(
                        replace(what, thorough=not self._has_looked and not what.second)
                    )
                )
        self._has_looked = True
        self._take_in()

    def _looks_after(self, what: BackupPlace) -> BackgroundJob:
        def job() -> None:
            try:
                state = back_up_if_due(what)
            except Exception as fault:
                state = BackupState(fault=f"{type(fault).__name__}: {fault}")
            self._answers.put((what, state))

        return job

    def _take_in(self) -> None:
        while not self._answers.empty():
            what, state = self._answers.get()
            self._busy.pop(what.folder, None)
            before = self._states.get(what.folder)
            if state.newest is None and before is not None:
                state = replace(state, newest=before.newest)
            if state.broken is None and before is not None:
                state = replace(state, broken=before.broken)
            self._states[what.folder] = state

    def faults(self, now: datetime) -> list[str]:
        """List what is wrong with the copies, the second place first: each in a line."""
        return [
            f"{what.folder if what.second else 'beside the data'}: {words}"
            for what, words, wrong in reversed(self._how_they_stand(now))
            if wrong
        ]

    def places(self, now: datetime) -> list[tuple[str, str, str]]:
        """List each folder, how the copies in it stand, and how much room they take."""
        return [
            (str(what.folder), words, self._states.get(what.folder, BackupState()).room)
            for what, words, _ in self._how_they_stand(now)
        ]

    def _how_they_stand(self, now: datetime) -> list[tuple[BackupPlace, str, bool]]:
        places = []
        for what in self._places:
            last = self._states.get(what.folder, BackupState())
            hangs = self._now_s - self._busy.get(what.folder, self._now_s) >= NO_ANSWER_S
            fault = "it does not answer" if hangs else last.fault or last.broken or ""
            age = format_duration((now - last.newest).total_seconds()) if last.newest else ""
            newest = f"the newest there is {age} old" if age else "" if fault else "none is there"
            words = ", ".join(filter(None, (fault, newest)))
            places.append((what, words, bool(fault)))
        return places

    def newest(self) -> datetime | None:
        """Find when the newest good copy anywhere was made, as far as was seen."""
        hours = [state.newest for state in self._states.values() if state.newest is not None]
        return max(hours, default=None)


THIN_AFTER_S = 60.0
"""After the start, and then once a day: the first copies come first."""


class ReadingThinner:
    """Deletes old readings of probes, once a day."""

    def __init__(self, start: Callable[[BackgroundJob], object] = on_a_thread) -> None:
        self._start = start
        self._next_s: float | None = None

    def tick(self, shop: Shop) -> None:
        """Let them go when it is time."""
        now_s = shop.clock.monotonic()
        if self._next_s is None:
            self._next_s = now_s + THIN_AFTER_S
        if now_s >= self._next_s:
            self._next_s = now_s + EVERY.total_seconds()
            # Its own look at the clock, as another terminal's: a thread shares none.
            own_shop = Shop(shop.store, shop.clock.computer, shop.terminal)
            self._start(lambda: self._thin(own_shop))

    def _thin(self, shop: Shop) -> None:
        # What fails is tried again a day later; a painter's next action meets the same fault.
        with suppress(StoreFault):
            thin(shop)


TRY_EVERY_S = 3.0

Tried = Shop | StoreFault


class Reconnector:
    """Tries again every few seconds, one try at a time, and says how it went."""

    def __init__(self, start: Callable[[BackgroundJob], object] = on_a_thread) -> None:
        self._start = start
        self._answers: queue.SimpleQueue[Tried] = queue.SimpleQueue()
        self._busy = False
        self._next_s = float("-inf")
        self._damaged: object = None

    def begin(self, shop: Shop) -> None:
        """Start trying: what is damaged is not tried again while the same file lies there."""
        self._damaged = _file_of(shop)
        self._next_s = shop.clock.monotonic() + TRY_EVERY_S

    def tick(self, shop: Shop, fault: StoreFault) -> Tried | None:
        """Give the shop to go on with, or what is wrong still; None as long as nothing is new."""
        now_s = shop.clock.monotonic()
        if not self._busy and now_s >= self._next_s:
            self._busy, self._next_s = True, now_s + TRY_EVERY_S
            self._start(lambda: self._answers.put(self._try(shop, fault)))
        if self._answers.empty():
            return None
        self._busy = False
        return self._answers.get()

    def _try(self, shop: Shop, fault: StoreFault) -> Tried:
        try:
            same = _file_of(shop) == self._damaged
            if fault.kind in ("damaged", "behind") and same:
                return fault
            return try_to_write(shop, fault, may_reopen=not (isinstance(fault, LogLost) and same))
        except StoreFault as still:
            return fault if isinstance(fault, InDoubt) else still
        except Exception as ours:
            return StoreFault(f"{type(ours).__name__}: {ours}")


def try_to_write(shop: Shop, fault: StoreFault, *, may_reopen: bool = True) -> Shop:
    """Try to write, and give the shop to go on with. Raises StoreFault.

    Data that could not be opened, or that is another file than it was, is opened again. Beside a
    file whose log was lost a second connection would make a new log: may_reopen forbids that.
    """
    place = shop.store.place
    is_lost = place is not None and fault.kind in ("gone", "damaged", "behind") and may_reopen
    if shop.store.shut or shop.store.unwritable or is_lost:
        try:
            store = shop.store.reopen()
        except NothingHere as why:
            raise StoreFault(f"{place} is gone", "gone") from why
        except CannotOpen as why:
            raise StoreFault(str(why), why.kind or fault.kind) from why
        if store.unwritable:
            store.close()
            raise store.unwritable
        return Shop(store, shop.clock.computer, shop.terminal)
    if isinstance(fault, InDoubt):
        shop.store.was_written(fault)
    with shop.store.writing() as session:
        session.connection()  # not before is the lock taken
    if place is not None:
        has_room(place)
    return shop


def recovery_words(shop: Shop, fault: StoreFault | None) -> str:
    """Say that the data is well, and whether what was in doubt was done. Raises StoreFault."""
    words = "the data can be read and written again"
    if not isinstance(fault, InDoubt):
        return words
    if shop.store.was_written(fault):
        return f"{words}; what was done last IS saved"
    return f"{words}; what was done last was NOT saved: press it again"


def _file_of(shop: Shop) -> object:
    """What tells the file at the shop's place from one that is put there later."""
    return which_file(shop.store.place) if shop.store.place is not None else None
