"""What is wrong with the data: said for as long as it is so, tried again by itself, backed up."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from bench.process.refusals.refusal import Refusal
from bench.screens.data.no_data import OFFERED, NoData
from bench.shop.core.transaction import Outcome, Shop, StoreFault
from bench.shop.data import missing_entries
from bench.shop.data import restore as restoring
from bench.shop.data.background import (
    BackgroundJob,
    BackupScheduler,
    ReadingThinner,
    Reconnector,
    on_a_thread,
    recovery_words,
)
from bench.shop.data.opening import open_data
from bench.shop.data.restore import RestoreOffer
from bench.widgets.lines import Line
from bench.widgets.status_lines import backup_line, data_line

if TYPE_CHECKING:
    from bench.app import Paintbench

ReadValue = TypeVar("ReadValue")


class DataGuard:
    """Every use of the data by the screens goes through here.

    The first fault stands until a try in the background says that all is well. Meanwhile the bench
    is shown as it was read last, and what is pressed is refused, not kept and done later: the
    painter would not know whether it was.
    """

    def __init__(
        self, bench: Paintbench, start: Callable[[BackgroundJob], object] = on_a_thread
    ) -> None:
        self._bench = bench
        self._start = start
        self.fault: StoreFault | None = None
        self.keeping = BackupScheduler(start)
        self._thinning = ReadingThinner(start)
        self._trying = Reconnector(start)
        self._offered = False

    def struck(self, fault: StoreFault) -> None:
        """Keep the first fault, and begin to try again."""
        if self.fault is None:
            self.fault = fault
            self._trying.begin(self._bench.shop)

    @contextmanager
    def minded(self) -> Iterator[None]:
        """Catch a fault of what is read in here; then no more of it is done."""
        try:
            yield
        except StoreFault as fault:
            self.struck(fault)

    def read(self, find: Callable[[], ReadValue]) -> ReadValue | None:
        """Return what is found in the data, None when it cannot be read."""
        with self.minded():
            return find()
        return None

    def write(self, act: Callable[[], Outcome | Refusal]) -> Outcome | Refusal:
        """Do a painter's action, or say that it is not saved."""
        if self.fault is None:
            with self.minded():
                return act()
            if self.fault is not None and self.fault.in_doubt:
                return Refusal(
                    "SAVED OR NOT",
                    self.fault.words,
                    "when the red line is gone look at the last thing done",
                )
        self._offered = False  # who wants to write is offered the backup again
        words = self.fault.words if self.fault else ""
        return Refusal("NOT SAVED", words, "press it again when the red line is gone")

    def tick(self) -> None:
        """Once a second: look after the backups and old readings, or try again."""
        bench = self._bench
        if self.fault is not None:
            tried = self._trying.tick(bench.shop, self.fault)
            if isinstance(tried, Shop):
                self.well(tried)
            elif tried is not None:
                self.fault = tried
        elif bench.has_view and not bench.demo:
            house, doubtful = bench.view.house, bench.view.doubtful
            self.keeping.tick(bench.shop, house, doubtful=doubtful)
            if self.keeping.damaged:
                self.struck(StoreFault(self.keeping.damaged, "damaged"))
            else:
                self._thinning.tick(bench.shop)
        self._offer_a_backup()

    def _offer_a_backup(self) -> None:
        """Once, as soon as the painter is done with what is open."""
        wanted = self.fault is not None and self.fault.kind in OFFERED
        if wanted and not self._offered and self._bench.at_home:
            self._bench.push_screen(NoData())
            self._offered = True
        elif not wanted:
            self._offered = False

    def well(self, shop: Shop) -> None:
        """Go on with the data that is there now: it can be read and written again."""
        text = self.read(lambda: recovery_words(shop, self.fault))
        if text is None:
            return
        self.fault = None
        if shop is not self._bench.shop:
            self.keeping = BackupScheduler(self._start)
            self._bench.shop.store.close()
            self._bench.use(shop, demo=self._bench.demo)
        self._bench.go_on()
        if self.fault is None:
            self._bench.tell(Outcome(text))

    def in_background(self, job: BackgroundJob) -> None:
        """Start what may hang: nobody waits for it."""
        self._start(job)

    def offer_now(self, offer: RestoreOffer) -> RestoreOffer:
        """An offer as it is now: where our log is lost another terminal may have written since.

        What is in the file now is read once nothing of ours stands between.
        """
        shop = self._bench.shop
        if self.fault is None or self.fault.kind != "gone":
            return offer
        shop.store.close()
        now = restoring.offer_of(shop.store.place or "", offer.file)
        return now if isinstance(now, RestoreOffer) else offer

    def restore(self, file: Path) -> None:
        """Put a backup over the data and go on with it."""
        shop = self._bench.shop
        shop.store.close()
        answer = restoring.restore(shop.store.place or "", file, shop.clock, shop.terminal)
        if isinstance(answer, Outcome):
            place, clock = shop.store.place or "", shop.clock.computer
            opened = open_data(place, clock, shop.terminal, may_be_new=False)
            if isinstance(opened, Shop):
                self.well(opened)
            else:
                answer = opened
        self._bench.tell(answer)

    def keep(self) -> None:
        """Go on with the data as it is, though a backup goes further."""
        old = self._bench.shop
        place, clock = old.store.place or "", old.clock.computer
        opened = open_data(place, clock, old.terminal, may_be_new=False)
        if isinstance(opened, Refusal):
            self._bench.tell(opened)
            return
        answer = self.read(lambda: missing_entries.accept_shorter_data(opened))
        if answer is None:
            opened.store.close()
            return
        self.well(opened)
        self._bench.tell(answer)

    def lines(self, width: int, *, backups: bool = False) -> list[Line]:
        """Return one line if something is wrong. backups: also when it is only them."""
        if self.fault is not None:
            tried = self.fault.kind not in OFFERED
            return [data_line(self.fault.words, width, tried=tried)]
        faults = self.keeping.faults(self._bench.shop.clock.now()) if backups else []
        return [backup_line(faults, width)] if faults else []
