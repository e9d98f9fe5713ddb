"""Trying again, in the background, what could not be read or written: never what a painter did."""

from __future__ import annotations

import os
import queue
from collections.abc import Callable
from contextlib import suppress

from bench.shop.acting import Shop, StoreFault
from bench.shop.threads import Job, on_a_thread
from bench.store.database import CannotOpen, NothingHere
from bench.store.faults import LogLost
from bench.store.room import has_room

TRY_EVERY_S = 3.0

Tried = Shop | StoreFault


class Trying:
    """Tries again every few seconds, one try at a time, and tells how it went."""

    def __init__(self, start: Callable[[Job], object] = on_a_thread) -> None:
        self._start = start
        self._answers: queue.SimpleQueue[Tried] = queue.SimpleQueue()
        self._busy = False
        self._next_s = float("-inf")
        self._damaged: object = None

    def begin(self, shop: Shop) -> None:
        """The data has failed just now: what is damaged is not tried again while it lies there."""
        self._damaged = which_file(shop)
        self._next_s = shop.clock.monotonic() + TRY_EVERY_S

    def tick(self, shop: Shop, fault: StoreFault) -> Tried | None:
        """The shop to go on with, what is wrong still, or None as long as nothing new is known."""
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
            same = which_file(shop) == self._damaged
            if fault.kind == "damaged" and same:
                return fault
            return try_again(shop, fault, may_reopen=not (isinstance(fault, LogLost) and same))
        except StoreFault as still:
            return still
        except Exception as ours:
            return StoreFault(f"{type(ours).__name__}: {ours}")


def try_again(shop: Shop, fault: StoreFault, *, may_reopen: bool = True) -> Shop:
    """Whether an action could be written now. Raises StoreFault.

    Data that could not be opened, or that is another file than it was, is opened again. Beside a
    file whose log was lost a second connection would make a new log: may_reopen forbids that.
    """
    place = shop.store.place
    lost = place is not None and fault.kind in ("gone", "damaged") and may_reopen
    if shop.store.shut or lost:
        try:
            store = shop.store.reopen()
        except NothingHere as why:
            raise StoreFault(f"{place} is gone", "gone") from why
        except CannotOpen as why:
            raise StoreFault(str(why), why.kind or fault.kind) from why
        return Shop(store, shop.clock.computer, shop.terminal)
    with shop.store.writing() as session:
        session.connection()  # not before is the lock taken
    if place is not None:
        has_room(place)
    return shop


def which_file(shop: Shop) -> object:
    """What tells the file at the shop's place from one that is put there later."""
    with suppress(OSError):
        if shop.store.place is not None:
            found = os.stat(shop.store.place)
            return found.st_dev, found.st_ino
    return None
