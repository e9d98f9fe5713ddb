"""When each band of a finished step ends, for every slot in which it could be finished.

The hours are those of the bench's own clocks, asked for a step as if it were finished in a slot.
Between two places where the temperature turns the sum of ageing is a straight line, so that a few
questions a day give every slot; each line is held against the clocks at its other end.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import cached_property
from math import floor

from bench.process.clocks.part_clocks import Environment, clocks_after
from bench.process.clocks.windows import side_of
from bench.process.parts.film_thickness import thickest, times_as_long
from bench.process.parts.part import Part, StepRecord, step_as_finished
from bench.process.plan.grid import SLOT_S, Grid, Range
from bench.process.sheets.product import Band
from bench.trade.ageing import Side
from bench.trade.log import Log

NEARLY_S = 0.002
"""A line that misses the clocks by more is none; so near to a slot the clocks are asked."""

BEYOND_S = 1e12
"""Later than any turn of the temperature."""

AFTER = Band("open")

Ends = Sequence[float | None]
"""For each slot, the second since 1970 at which something ends that began in it; None: never."""

EndAt = Callable[[datetime], datetime | None]


@dataclass(frozen=True)
class EdgeTables:
    """The ends of bands by slot, each worked out once for all the parts that share it.

    extra: slots outside the shop's hours in which work that goes on now may end.
    """

    grid: Grid
    around: Environment
    extra: Range = (0, 1)
    _tables: dict[object, Ends] = field(default_factory=dict)
    _slots: dict[object, tuple[Sequence[int], Sequence[int]]] = field(default_factory=dict)

    def band_ends(self, part: Part, record: StepRecord, bands: Sequence[Band], place: int) -> Ends:
        """Return when a band of a step ends that began, and was finished, in a slot.

        record: of the part; it is taken to be still as thick as its mist, where that is done.
        """
        key = self._key(part, record, bands, place)
        if key not in self._tables:
            probe = self._probe(part, record, _asked_bands(bands, place))
            side = side_of(bands[place].word)
            self._tables[key] = self._table(lambda at: self._end(part, probe, at, at), side)
        return self._tables[key]

    def band_slots(
        self, part: Part, record: StepRecord, bands: Sequence[Band], place: int
    ) -> tuple[Sequence[int], Sequence[int]]:
        """Return the same as slots: the first that begins no sooner, and the one it lies in."""
        key = self._key(part, record, bands, place)
        if key not in self._slots:
            ends = self.band_ends(part, record, bands, place)
            self._slots[key] = self.grid.ups(ends), self.grid.downs(ends)
        return self._slots[key]

    def _key(self, part: Part, record: StepRecord, bands: Sequence[Band], place: int) -> object:
        """Return what two steps share whose band ends at the same hours."""
        product = self.around.products.get(record.step.product)
        times = times_as_long(part, record, product)
        return record.step.kind, record.step.product, _asked_bands(bands, place), times

    def band_end(
        self, part: Part, record: StepRecord, bands: Sequence[Band], place: int, first: datetime
    ) -> float | None:
        """Return when a band ends whose first face was done at an instant."""
        probe = self._probe(part, record, _asked_bands(bands, place))
        end = self._end(part, probe, first, first)
        return end.timestamp() if end is not None else None

    def ends(self, key: object, end_at: EndAt, side: Side) -> Ends:
        """Return when anything ends that ages, by the slot in which it begins."""
        if key not in self._tables:
            self._tables[key] = self._table(end_at, side)
        return self._tables[key]

    def _probe(self, part: Part, record: StepRecord, bands: tuple[Band, ...]) -> StepRecord:
        """Return the step with these bands alone, as thick as its coat, its own first face."""
        product = self.around.products.get(record.step.product)
        film = thickest(part, record, product)
        step = replace(record.step, bands=bands, continues=False)
        return replace(
            record, step=step, weight=film.weight, wet_um=film.wet_um, dry_um=film.dry_um
        )

    def _end(
        self, part: Part, probe: StepRecord, first: datetime, last: datetime
    ) -> datetime | None:
        """Ask the part's clocks when the last but one band of a step is over."""
        spans = clocks_after(part, step_as_finished(probe, first, last), self.around).spans
        return None if spans[-1].never else spans[-1].start

    # --- lines -----------------------------------------------------------------------------------

    @cached_property
    def _kinks(self) -> dict[Side, list[float]]:
        """Return the seconds at which the temperature turns, on each side."""
        return {side: _turns(self._log(side), self.grid) for side in ("opening", "closing")}

    def _log(self, side: Side) -> Log:
        return self.around.weather().temperatures(self.grid.start, side)

    @cached_property
    def _asked_ranges(self) -> tuple[Range, ...]:
        """Return the slots in which anything can begin or end, the closing one of a day too."""
        last = self.grid.horizon
        open_ranges = [(since, min(until, last)) for since, until in self.grid.open]
        ranges = sorted([self.extra, *open_ranges])
        whole: list[Range] = []
        for since, until in ranges:
            if whole and since <= whole[-1][1]:
                whole.append((whole[-1][0], max(whole.pop()[1], until)))
            else:
                whole.append((since, until))
        return tuple(whole)

    def _table(self, end_at: EndAt, side: Side) -> Ends:
        """Return the ends for each slot; where nobody is in, that of the next slot in hours."""
        ends: list[float | None] = [None] * (self.grid.horizon + 1)
        lines = _Lines(self.grid, end_at, self._kinks[side], ends)
        for since, until in self._asked_ranges:
            lines.draw(since, until)
        asked = {n for since, until in self._asked_ranges for n in range(since, until + 1)}
        later: float | None = None
        for slot in range(self.grid.horizon, -1, -1):
            later = ends[slot] if slot in asked else later
            ends[slot] = later
        return ends


def _asked_bands(bands: Sequence[Band], place: int) -> tuple[Band, ...]:
    """Return the bands that decide when one ends: itself; with damp air those before it too."""
    band = bands[place]
    damp = band.until is not None and band.until.damp_s is not None
    return (*(bands[:place] if damp else ()), band, AFTER)


def _turns(log: Log, grid: Grid) -> list[float]:
    """Return the seconds from the plan's beginning on at which a log's temperature changes."""
    turns, before = [], None
    for stretch in log.stretches_from(grid.start_s):
        if before is not None and stretch.temp_c != before:
            turns.append(stretch.start_s)
        before = stretch.temp_c
    return turns


@dataclass(frozen=True)
class _Lines:
    """Fills a table of ends, line by line. kinks: where the ageing may turn, in seconds."""

    grid: Grid
    end_at: EndAt
    kinks: Sequence[float]
    ends: list[float | None]

    def ask(self, slot: int) -> float | None:
        """Ask the clocks for one slot, and keep the answer."""
        end = self.end_at(datetime.fromtimestamp(self.grid.second(slot), UTC))
        self.ends[slot] = end.timestamp() if end is not None else None
        return self.ends[slot]

    def draw(self, since: int, until: int) -> None:
        """Fill the slots from one to another, both included."""
        here, end = since, self.ask(since)
        while here < until and end is not None:
            after = self.ask(here + 1)
            if after is None:
                return
            stop = self._reach(here, end, after, until)
            if stop > here + 1:
                self._draw_line(here, end, stop)
            here, end = max(stop, here + 1), self.ends[max(stop, here + 1)]

    def _reach(self, here: int, end: float, after: float, until: int) -> int:
        """Return up to which slot the line through two slots goes, by what is known of turns."""
        here_s = self.grid.second(here)
        if self._turns_between(here_s, here_s + SLOT_S) or self._turns_between(end, after):
            return here + 1
        stop = min(until, here + floor((self._next(here_s) - here_s) / SLOT_S))
        slope = after - end
        if slope > 0:
            stop = min(stop, here + floor((self._next(end) - end) / slope))
        return stop

    def _draw_line(self, here: int, end: float, stop: int) -> None:
        """Fill a line up to ``stop``; where the clocks say it is none, halve it."""
        first = self.ends[here + 1]
        last = self.ask(stop)
        if first is None or last is None:
            self._each(here, stop)
            return
        if last - end == SLOT_S * (stop - here) and first - end == SLOT_S:
            for slot in range(here + 2, stop):
                self.ends[slot] = end + SLOT_S * (slot - here)
            return
        slope = (last - end) / (stop - here)
        if abs(end + slope - first) > NEARLY_S:
            self._each(here, stop)
            return
        for slot in range(here + 2, stop):
            at_s = end + slope * (slot - here)
            off_s = (at_s - self.grid.start_s) % SLOT_S
            if min(off_s, SLOT_S - off_s) < NEARLY_S:
                self.ask(slot)
            else:
                self.ends[slot] = at_s

    def _each(self, here: int, stop: int) -> None:
        for slot in range(here + 2, stop):
            self.ask(slot)

    def _turns_between(self, since_s: float, until_s: float) -> bool:
        place = bisect_right(self.kinks, since_s)
        return place < len(self.kinks) and self.kinks[place] < until_s

    def _next(self, since_s: float) -> float:
        place = bisect_left(self.kinks, since_s + 1e-6)
        return self.kinks[place] if place < len(self.kinks) else BEYOND_S
