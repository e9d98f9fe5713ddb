"""The night ahead of a coat: from when to when its surface is too cold, and what that does to it.

Worded once: the bench, the look-ahead, the hand-over and the list of what is missed repeat it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import chain, pairwise
from math import inf
from typing import Literal

from bench.process.clocks.edges import Edge
from bench.process.clocks.part_clocks import Environment, clocks_after
from bench.process.clocks.stand_state import Clocks
from bench.process.clocks.windows import FAR, side_of
from bench.process.parts.part import Part, StepRecord, step_as_finished
from bench.trade.ageing import Side, Stretch
from bench.trade.air import dew_point_c
from bench.trade.log import Log

ColdLimit = Literal["minimum", "dew point"]
Spell = tuple[float, float]
"""From when to when it is too cold, in seconds; the end inf where it does not end."""

AHEAD = timedelta(hours=24)
"""So far ahead a cold stretch is reported, and so long the water in the air is taken to stay as it
was read (common practice, no source)."""


@dataclass(frozen=True)
class DewPoint:
    """The dew point in C of the air, and when its humidity was read."""

    read_at: datetime
    temp_c: float


@dataclass(frozen=True)
class Cold:
    """A stretch of time in which the surface under a coat is too cold.

    limit: the product's minimum, or the dew point; limit_c: that temperature. begins is shown no
    later than it is, ends no sooner; ends None: as far as temperatures are known.
    """

    limit: ColdLimit
    limit_c: float
    begins: Edge
    ends: Edge | None

    def holds(self, now: datetime) -> bool:
        """Return whether the surface is too cold at ``now``, and not only later."""
        return self.begins.at <= now and not self.is_over(now)

    def is_over(self, now: datetime) -> bool:
        """Return whether it is warm again."""
        return self.ends is not None and self.ends.at <= now

    def words(self, now: datetime) -> str:
        """Say when it is too cold, under which limit, and what to do or what comes of it.

        now: in the shop's zone.
        """
        under = f"the surface is {self._limit_words()}"
        if self.begins.at <= now:
            return f"since {self.begins.words(now)} {under}: {_NOW[self.limit]}"
        night = "tonight " if self._is_tonight(now) else ""
        until = f" to {self.ends.words(now)}" if self.ends else " on"
        return f"{night}from {self.begins.words(now)}{until} {under}: {_AHEAD[self.limit]}"

    def _limit_words(self) -> str:
        if self.limit == "minimum":
            return f"under the minimum {self.limit_c:g}{self.begins.doubt} C"
        return f"through the dew point {self.limit_c:.1f} C"

    def _is_tonight(self, now: datetime) -> bool:
        """Return whether it begins today and goes on past midnight."""
        begins = self.begins.shown.astimezone(now.tzinfo).date()
        ends = self.ends.shown.astimezone(now.tzinfo).date() if self.ends else None
        return begins == now.date() and begins != ends


_AHEAD = {"minimum": "it stands still", "dew point": "dew settles on it"}
_NOW = {
    "minimum": "warm it, or it stands still",
    "dew point": "warm it, or dew settles on it",
}


def cold_of(
    part: Part, clocks: Clocks, around: Environment, dew: DewPoint | None, now: datetime
) -> tuple[Cold, ...]:
    """Return every cold stretch of the coat on a part that is wet or not yet through its wait.

    dew: that of the air at ``now``. A coat in hand is taken to be finished ``now``. Nothing is said
    of a part whose last work was no coat.
    """
    record, coat = part.current(), part.clock_step()
    if record is not None and record.status == "in hand" and record.step.kind == "coat":
        coat = step_as_finished(record, record.first_at or now, now)
        clocks = clocks_after(part, coat, around, doubtful=clocks.doubtful)
    if coat is None or coat.step.kind != "coat" or coat.last_at is None:
        return ()
    first_at = part.coat_first_at(coat) or coat.last_at
    return cold_stretches(coat, clocks, first_at, around, dew, now)


def cold_stretches(
    coat: StepRecord,
    clocks: Clocks,
    since: datetime,
    around: Environment,
    dew: DewPoint | None,
    now: datetime,
) -> tuple[Cold, ...]:
    """Return every cold stretch of a coat, from its first face until nothing of it has to dry.

    The temperatures are those of openings, the colder side; the minimum is its product's. dew: that
    of the air at ``now``; stretches under it count if they begin within a day of its reading.
    Empty for a coat that is through at ``now``.
    """
    product = around.products.get(coat.step.product)
    waits = [span for span in clocks.spans if side_of(span.word) == "opening"]
    until = (waits[-1].end or FAR) if waits else since
    if product is None or until <= now:
        return ()
    log = around.weather().temperatures(since, "opening")
    newest = around.newest()
    read_at = newest.at if newest else None

    def edge(at_s: float, side: Side, *, placeholder: bool) -> Edge:
        at = datetime.fromtimestamp(at_s, UTC)
        aged = read_at is None or at > read_at
        return Edge(at, side, aged=aged, unconfirmed=placeholder or clocks.doubtful)

    def cold(limit: ColdLimit, limit_c: float, spell: Spell, *, placeholder: bool = False) -> Cold:
        begins_s, ends_s = spell
        begins = edge(begins_s, "closing", placeholder=placeholder)
        if ends_s == inf:
            return Cold(limit, limit_c, begins, None)
        return Cold(limit, limit_c, begins, edge(ends_s, "opening", placeholder=placeholder))

    least_c, placeholder = product.limits.metal_least_c, bool(product.doubt_of("limits"))
    stretches = [
        cold("minimum", least_c, spell, placeholder=placeholder)
        for spell in _spells(log, since, until, lambda temp_c: temp_c < least_c)
    ]
    if dew is not None:
        spells = _spells(log, max(since, dew.read_at), until, lambda temp_c: temp_c <= dew.temp_c)
        horizon_s = (dew.read_at + AHEAD).timestamp()
        stretches += [
            cold("dew point", dew.temp_c, spell) for spell in spells if spell[0] < horizon_s
        ]
    return tuple(stretches)


def dew_point_of(around: Environment, now: datetime) -> DewPoint | None:
    """Return the dew point by the last humidity read by ``now``; None without one, or if misread.

    Of a probe's jump that nobody answered and what was read before it, the higher one.
    """
    air = around.conditions(now)
    if air is None or air.damp is None:
        return None
    try:
        highest_c = max(dew_point_c(reading.air_c, rh_pct) for reading, rh_pct in air.damps)
    except ValueError:
        return None
    return DewPoint(air.damp.at, highest_c)


def _spells(
    log: Log, since: datetime, until: datetime, is_cold: Callable[[float], bool]
) -> Iterator[Spell]:
    """Yield from when to when it is too cold, in seconds, the last perhaps for good."""
    since_s, until_s = since.timestamp(), inf if until == FAR else until.timestamp()
    ahead = chain(log.stretches_from(since_s), [Stretch(inf, 0.0)])  # the last one holds for good
    began_s: float | None = None
    for stretch, after in pairwise(ahead):
        if after.start_s <= since_s:
            continue
        begins_s = max(stretch.start_s, since_s)
        if is_cold(stretch.temp_c):
            if began_s is None and begins_s < until_s:
                began_s = begins_s
        elif began_s is not None:
            yield began_s, min(begins_s, until_s)
            began_s = None
        if began_s is None and begins_s >= until_s:
            return
    if began_s is not None:
        yield began_s, until_s


def next_cold(cold: Iterable[Cold], now: datetime) -> tuple[Cold, ...]:
    """Return for each limit the cold stretch that holds, or the first to begin within a day."""
    by_limit: dict[str, Cold] = {}
    for stretch in cold:
        if not stretch.is_over(now) and stretch.begins.at < now + AHEAD:
            by_limit.setdefault(stretch.limit, stretch)
    return tuple(by_limit.values())
