"""Looking after the data in the background: copies by the hour, and trying again what failed.

A disk can take seconds, and a stick can hang for good; so each folder is looked after on a thread
of its own that nobody waits for, and no key does.
"""

from __future__ import annotations

import queue
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from bench.process.settings import ShopSettings
from bench.process.spoken import span_words
from bench.shop.acting import Shop
from bench.shop.backup import Found, Wanted, look_after, wanted
from bench.shop.threads import Job, on_a_thread

LOOK_EVERY_S = 60.0
"""How soon a stick that was put in is noticed."""

FIRST_LOOK_S = 3.0
"""After the start: the first picture comes first."""

NO_ANSWER_S = 600.0
"""A copy to a slow stick takes minutes; what takes longer hangs."""


class Keeping:
    """Has the copies looked after, and tells how they stand."""

    def __init__(self, start: Callable[[Job], object] = on_a_thread) -> None:
        self._start = start
        self._answers: queue.SimpleQueue[tuple[Wanted, Found]] = queue.SimpleQueue()
        self._busy: dict[Path, float] = {}
        self._found: dict[Path, Found] = {}
        self._next_s: float | None = None
        self._wanted: list[Wanted] = []
        self._looked = False
        self._now_s = 0.0

    @property
    def damaged(self) -> str:
        """What is damaged in the data itself."""
        return next((found.damaged for found in self._found.values() if found.damaged), "")

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
        self._wanted = wanted(
            shop.store.place,
            house.second_place,
            now,
            zone,
            may_thin=not doubtful,
            places=shop.allowed.backups,
        )
        for what in self._wanted:
            if what.folder not in self._busy:
                self._busy[what.folder] = now_s
                self._start(
                    self._looks_after(replace(what, thorough=not self._looked and not what.second))
                )
        self._looked = True
        self._take_in()

    def _looks_after(self, what: Wanted) -> Job:
        def job() -> None:
            try:
                found = look_after(what)
            except Exception as fault:
                found = Found(fault=f"{type(fault).__name__}: {fault}")
            self._answers.put((what, found))

        return job

    def _take_in(self) -> None:
        while not self._answers.empty():
            what, found = self._answers.get()
            self._busy.pop(what.folder, None)
            before = self._found.get(what.folder)
            if found.newest is None and before is not None:
                found = replace(found, newest=before.newest)
            self._found[what.folder] = found

    def faults(self, now: datetime) -> list[str]:
        """What is wrong with the copies, the second place first: each in a line."""
        return [
            f"{what.folder if what.second else 'beside the data'}: {told}"
            for what, told, wrong in reversed(self._how_they_stand(now))
            if wrong
        ]

    def places(self, now: datetime) -> list[tuple[str, str]]:
        """Each folder, and how the copies in it stand."""
        return [(str(what.folder), told) for what, told, _ in self._how_they_stand(now)]

    def _how_they_stand(self, now: datetime) -> list[tuple[Wanted, str, bool]]:
        found = []
        for what in self._wanted:
            last = self._found.get(what.folder, Found())
            hangs = self._now_s - self._busy.get(what.folder, self._now_s) >= NO_ANSWER_S
            fault = "it does not answer" if hangs else last.fault
            age = span_words((now - last.newest).total_seconds()) if last.newest else ""
            newest = f"the newest there is {age} old" if age else "" if fault else "none is there"
            told = ", ".join(filter(None, (fault, newest)))
            found.append((what, told, bool(fault)))
        return found

    def newest(self) -> datetime | None:
        """When the newest good copy anywhere was made, as far as was seen."""
        made = [found.newest for found in self._found.values() if found.newest is not None]
        return max(made, default=None)
