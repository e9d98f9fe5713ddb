"""The data cannot be read: what is wrong with it, and the newest good backup in its place."""

from __future__ import annotations

import queue
from collections.abc import Sequence
from dataclasses import replace

from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.dialogs.questions import is_sure
from bench.shop.data import restore as restoring
from bench.shop.data.restore import RestoreOffer
from bench.widgets.lines import Line, line, text_lines

MOST_MISSING = 4
"""So many of the lines that would be missing are shown."""


OFFERED = ("damaged", "gone", "behind")
"""Faults where trying again is of no use and a backup may be."""

BEHIND = (
    "Entries may be missing in the data: a log that was removed, or an older file in its place. "
    "Nothing is saved until you choose: the backup, or the data as it is."
)

NO_CLOCK = (
    "Stop work that needs the clock: start no wash, pot or coat. Rinse what soaks, and write hours "
    "on paper."
)

EMPTY_INSTEAD = (
    "For a new, empty shop instead: move the copies of this one away first, or name another place: "
    "paintbench --db PLACE."
)


class NoData(BenchScreen[None]):
    """Over the bench while it runs, or in its place when it cannot be begun."""

    BARS_SCANS = True

    def __init__(self) -> None:
        super().__init__()
        self._found: queue.SimpleQueue[RestoreOffer | None] = queue.SimpleQueue()
        self._looked_for = False
        self._searching = False
        self.offer: RestoreOffer | None = None

    def keys_now(self) -> Sequence[KeyWord]:
        """List the keys that do something about this fault."""
        restore, keep, later = self.KEYS
        keys = [restore] if self.offer else []
        keys += [keep] if self._is_behind else []
        if self.bench.has_view:
            return [*keys, later]
        return keys if self.bench.kiosk else [*keys, replace(later, word="leave")]

    @property
    def _is_behind(self) -> bool:
        fault = self.bench.data.fault
        return fault is not None and fault.kind == "behind"

    def redraw(self) -> None:
        """Look for a backup where one may help, and take in what was found: sticks are slow."""
        fault = self.bench.data.fault
        if fault and fault.kind in OFFERED and not self._looked_for:
            self._looked_for = self._searching = True
            shop = self.bench.shop
            place, places = shop.store.place or "", shop.allowed.backups
            self.bench.data.in_background(
                lambda: self._found.put(restoring.newest_good(place, places))
            )
        if not self._found.empty():
            self.offer, self._searching = self._found.get(), False
        super().redraw()

    def picture(self, width: int, height: int) -> list[Line]:
        """What is wrong is the whole screen: no line but an alarm's stands above it."""
        alarms = self.alarm_band(width)
        return [*alarms, *self.draw(width, height - len(alarms))]

    def body(self, width: int, height: int) -> list[Line]:
        """What is wrong, where, and what can be done."""
        fault = self.bench.data.fault
        words = fault.words if fault else "the data can be read again"
        lines = [line(f" THE DATA: {words}", width, "ruined"), line("", width)]
        # The first line says already what is so.
        notes = [str(fault).replace(f"{words}: ", "") if fault else "", *self._fault_notes()]
        return lines + text_lines(filter(None, notes), width) + self._offered(width)

    def _fault_notes(self) -> list[str]:
        fault = self.bench.data.fault
        if fault is None:
            return []
        if fault.kind not in OFFERED:
            return [NO_CLOCK, "Retrying every few seconds."]
        if self.bench.has_view:
            return [NO_CLOCK, "Nothing is saved until a good data file is back."]
        if self._is_behind:
            return [NO_CLOCK, BEHIND]
        return [NO_CLOCK, EMPTY_INSTEAD] if fault.kind == "gone" else [NO_CLOCK]

    def _offered(self, width: int) -> list[Line]:
        if self._searching:
            return [
                line("", width),
                line("   looking for the newest good backup ...", width, "dim"),
            ]
        if not self._looked_for:
            return []
        if self.offer is None:
            return [
                line("", width),
                line(
                    "   There is no good backup beside it, nor in the second place.", width, "bold"
                ),
                line("   From elsewhere: paintbench restore FILE", width),
            ]
        offer = self.offer
        lines = [
            line("", width),
            line(f"   The newest good backup, {restoring.upto_words(offer)}:", width, "bold"),
            *text_lines([str(offer.file)], width),
            line("", width),
        ]
        missing = [entry.text for entry in offer.missing[:MOST_MISSING]]
        more = len(offer.missing) - len(missing)
        missing += [f"and {more} more"] if more else []
        lines += text_lines([restoring.count_words(offer)], width, "bold")
        lines += [line(f"     {text}", width) for text in missing]
        return lines

    # -- keys ------------------------------------------------------------------

    async def restore(self) -> None:
        """Put the backup over the data, after a second, different key."""
        if self.offer is None:
            return
        offer = self.offer = self.bench.data.offer_now(self.offer)
        notes = [
            f"{restoring.missing_words(offer)}.",
            "The file that is there now is kept beside it, under a name with today's date.",
        ]
        if await is_sure(self.bench, "Restore this backup over the data?", notes):
            self.bench.data.restore(offer.file)

    async def keep(self) -> None:
        """The data stays, after a second, different key."""
        if not self._is_behind:
            return
        notes = ["What the backup has beyond it stays in the backup, and is not on the bench."]
        if await is_sure(self.bench, "Go on with the data as it is?", notes):
            self.bench.data.keep()

    def later(self) -> None:
        """Back to the bench as it was last read; without one, out of the program."""
        if self.bench.has_view:
            self.dismiss(None)
        elif not self.bench.kiosk:
            self.bench.exit(0)

    KEYS = (
        KeyWord(("1",), "1", "restore the backup", restore),
        KeyWord(("2",), "2", "keep the data as it is", keep),
        KeyWord(("0", "escape"), "0", "later", later),
    )
