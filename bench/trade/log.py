"""A long log of temperatures that many clocks ask: what lies behind is summed once for all.

The sum of dt / t(T) is that of ``ageing``. Here the log is kept in runs. A run knows how long it
was how warm, so a milestone's progress over the whole of it is one short sum, and is kept. A clock
goes stretch by stretch only through the run it begins in and the run it passes in. A later reading
adds to the log and leaves its finished runs as they are.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import accumulate, islice, pairwise, takewhile
from operator import lt, mul, sub

from bench.trade import checked
from bench.trade.ageing import (
    NEARLY,
    WEAKNESS,
    Basis,
    Passing,
    Side,
    Stretch,
    TimeTable,
    check_order,
    check_table,
    rate_at,
)

RUN = 1024
"""Stretches in a finished run: few enough to go through, so many that a year has few runs."""

SOON = 16
"""So many stretches of the run that a clock begins in are summed first: most pass within them."""


@dataclass(frozen=True)
class Progress:
    """How far a milestone came, the weakest figure used, and how long nothing aged."""

    share: float
    basis: Basis
    stalled_s: float


class Milestone:
    """A table, its edge and its least temperature, with the rates it was asked for so far."""

    def __init__(self, table: TimeTable, edge: Side, least_c: float | None) -> None:
        check_table(table)
        self._sheet = table, edge, least_c
        self._bases: dict[float, Basis | None] = {}
        self._rates: dict[float, float] = {}

    def rates(self, temps_c: Set[float]) -> dict[float, float]:
        """Return the progress per second at these temperatures at least; 0 where nothing ages."""
        table, edge, least_c = self._sheet
        for temp_c in temps_c - self._rates.keys():
            self._rates[temp_c], self._bases[temp_c] = rate_at(table, temp_c, edge, least_c)
        return self._rates

    def summed(self, seconds_at: dict[float, float]) -> Progress:
        """Sum the progress of so many seconds at each of some temperatures."""
        rates = self.rates(seconds_at.keys())
        bases = set(map(self._bases.__getitem__, seconds_at))
        return Progress(
            share=sum(map(mul, seconds_at.values(), map(rates.__getitem__, seconds_at))),
            basis=weakest(basis for basis in bases if basis is not None),
            stalled_s=sum(s for temp_c, s in seconds_at.items() if not rates[temp_c])
            if not bases.isdisjoint((None, "none"))
            else 0.0,
        )


milestone = lru_cache(maxsize=256)(Milestone)
"""The milestone of a table, an edge and a least temperature; the same one each time."""


def weakest(bases: Iterable[Basis]) -> Basis:
    """Return the weakest of some figures."""
    return max(bases, key=WEAKNESS.__getitem__, default="sheet")


@dataclass(frozen=True, eq=False)
class Run:
    """Stretches one after the other, none of them empty, up to ``stop_s``."""

    starts_s: tuple[float, ...]
    temps_c: tuple[float, ...]
    stop_s: float
    _sums: dict[Milestone, Progress] = field(default_factory=dict, repr=False)

    @cached_property
    def lasts_s(self) -> tuple[float, ...]:
        """Return how long each stretch lasts, in seconds."""
        return tuple(map(sub, (*self.starts_s[1:], self.stop_s), self.starts_s))

    @cached_property
    def seconds_at(self) -> dict[float, float]:
        """Return the seconds spent at each temperature."""
        by_temp: dict[float, float] = {}
        for temp_c, lasts_s in zip(self.temps_c, self.lasts_s, strict=True):
            by_temp[temp_c] = by_temp.get(temp_c, 0.0) + lasts_s
        return by_temp

    def since(self, begin_s: float) -> Iterator[Run]:
        """Yield what of it comes after an instant, the next ``SOON`` stretches and then the others.

        Before its first stretch that temperature held too.
        """
        here = max(bisect_right(self.starts_s, begin_s) - 1, 0)
        later = here + SOON
        soon_s = (begin_s, *self.starts_s[here + 1 : later])
        if later >= len(self.starts_s):
            yield Run(soon_s, self.temps_c[here:], self.stop_s)
            return
        yield Run(soon_s, self.temps_c[here:later], self.starts_s[later])
        yield Run(self.starts_s[later:], self.temps_c[later:], self.stop_s)

    def whole(self, milestone: Milestone) -> Progress:
        """Return how far a milestone comes in the whole run."""
        if milestone not in self._sums:
            self._sums[milestone] = milestone.summed(self.seconds_at)
        return self._sums[milestone]

    def until_passed(self, milestone: Milestone, progress: float) -> Run:
        """Return what of it a milestone needs that had come so far before and passes in it."""
        rates = milestone.rates(self.seconds_at.keys())
        steps = map(mul, self.lasts_s, map(rates.__getitem__, self.temps_c))
        grown = list(accumulate(steps, initial=progress))
        here = bisect_left(grown, min(NEARLY, grown[-1]), lo=1) - 1
        left_s = (1.0 - grown[here]) / rates[self.temps_c[here]]
        passed_s = self.starts_s[here] + min(left_s, self.lasts_s[here])
        return Run(self.starts_s[: here + 1], self.temps_c[: here + 1], passed_s)


@dataclass(frozen=True, eq=False)
class Log:
    """Temperatures in order of time, in runs; the last one holds for good."""

    runs: tuple[Run, ...]
    last: Stretch

    @classmethod
    def of(cls, stretches: Sequence[Stretch]) -> Log:
        """Build a log of stretches in order of time. Raises ValueError as ``ageing.passes_at``."""
        if not stretches:
            raise ValueError("no temperature at all: ageing needs at least one reading")
        return cls((), stretches[0]).redrawn(stretches[0].start_s, stretches)

    def __iter__(self) -> Iterator[Stretch]:
        return self._stretches(0)

    def stretches_from(self, begin_s: float) -> Iterator[Stretch]:
        """Return the stretches from an instant on; the first begins there, or with the last."""
        for run in self._from(begin_s):
            yield from map(Stretch, run.starts_s, run.temps_c)
        yield self.last

    def _run_at(self, begin_s: float) -> int:
        """Return the place of the run that holds at an instant; before the first, the first."""
        return max(bisect_right(self.runs, begin_s, key=lambda run: run.starts_s[0]) - 1, 0)

    def _stretches(self, after: int) -> Iterator[Stretch]:
        """Yield the stretches after so many runs."""
        for run in islice(self.runs, after, None):
            yield from map(Stretch, run.starts_s, run.temps_c)
        yield self.last

    def redrawn(self, from_s: float, stretches: Sequence[Stretch]) -> Log:
        """Return the same log up to ``from_s``, and from there on these stretches.

        Finished runs before that stay as they are, with the sums made of them: a stretch that is
        added at the end costs the same however long the log is. Raises ValueError for stretches
        out of order.
        """
        count = bisect_right(self.runs, from_s, key=_stops_s)
        if count and len(self.runs[count - 1].starts_s) < RUN:
            count -= 1
        loose = takewhile(lambda stretch: stretch.start_s < from_s, self._stretches(count))
        rising = _rising([*loose, *stretches], first=not count)
        starts_s, temps_c = [s.start_s for s in rising], [s.temp_c for s in rising]
        runs = (
            Run(tuple(starts_s[n:stop]), tuple(temps_c[n:stop]), starts_s[stop])
            for n in range(0, len(rising) - 1, RUN)
            for stop in [min(n + RUN, len(rising) - 1)]
        )
        return Log((*self.runs[:count], *runs), rising[-1])

    def without(self, before_s: float) -> Log:
        """Return the same log without the runs that end before an instant."""
        return Log(self.runs[bisect_right(self.runs, before_s, key=_stops_s) :], self.last)

    def passes_at(
        self, table: TimeTable, begin_s: float, edge: Side, least_c: float | None = None
    ) -> Passing:
        """Return when a milestone passes, as ``ageing.passes_at`` on the same stretches."""
        target = milestone(table, edge, least_c)
        progress = 0.0
        way: list[Progress] = []
        for run in self._from(checked.number(begin_s, "beginning", "s")):
            whole = run.whole(target)
            if progress + whole.share >= NEARLY:
                until = run.until_passed(target, progress)
                return _passing(until.stop_s, [*way, until.whole(target)])
            progress += whole.share
            way.append(whole)
        rate, basis = rate_at(table, self.last.temp_c, edge, least_c)
        if basis is None or not rate:
            return _passing(None, [*way, Progress(0.0, basis or "sheet", 0.0)])
        since_s = self.last.start_s if way else begin_s
        return _passing(
            since_s + (1.0 - progress) / rate, [*way, Progress(1.0 - progress, basis, 0.0)]
        )

    def _from(self, begin_s: float) -> Iterator[Run]:
        """Yield the runs from an instant on; the first temperature also holds before the first."""
        if begin_s >= self.last.start_s:
            return
        here = self._run_at(begin_s)
        for run in self.runs[here : here + 1]:
            yield from run.since(begin_s)
        yield from islice(self.runs, here + 1, None)


def _stops_s(run: Run) -> float:
    return run.stop_s


def _rising(stretches: list[Stretch], *, first: bool) -> list[Stretch]:
    """Return the stretches without empty ones, but for the first: it held before it too."""
    starts_s = [stretch.start_s for stretch in stretches]
    if all(map(lt, starts_s, starts_s[1:])):
        return stretches
    for before, after in pairwise(stretches):
        check_order(before, after)
    lasting = [here for here, following in pairwise(stretches) if here.start_s < following.start_s]
    if first and starts_s[0] == starts_s[1]:
        lasting.insert(0, stretches[0])
    return [*lasting, stretches[-1]]


def _passing(at_s: float | None, way: Sequence[Progress]) -> Passing:
    return Passing(at_s, weakest({s.basis for s in way}), sum(s.stalled_s for s in way))
