"""A part's clocks on the calendar, worked out once per change and only compared per tick."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property

from bench.process.part import Part, StepRecord
from bench.process.product import Product
from bench.process.state import Clocks, test_named
from bench.process.temperature import Hours, Reading, stretches
from bench.process.windows import Span, Weather, cure_span, spans_of
from bench.trade.ageing import Stretch

HUMIDITY_TOLD = timedelta(days=7)
"""A humidity read longer ago tells nothing. As far back as is read for every clock: else a part's
hours would hang on how long ago another part was begun (house rule)."""


@dataclass(frozen=True)
class Surroundings:
    """What the shop knows about its air: readings, hours, and the sheets of its products."""

    readings: tuple[Reading, ...]
    hours: Hours
    products: Mapping[str, Product]

    @cached_property
    def in_order(self) -> tuple[Reading, ...]:
        """The readings, oldest first."""
        return tuple(sorted(self.readings, key=lambda reading: reading.at))

    def newest(self) -> Reading | None:
        """The last reading, None when there is none."""
        return self.in_order[-1] if self.readings else None

    def weather(self, at: datetime) -> Weather:
        """Temperatures from any instant on, and the humidity known at ``at``."""
        oldest = at - HUMIDITY_TOLD
        read = (r.rh_pct for r in self._back_from(at) if r.rh_pct is not None and r.at >= oldest)
        return Weather(self._stretches, next(read, None))

    @cached_property
    def _as_read(self) -> tuple[Stretch, ...]:
        """From the first reading on: drawn once, for every clock that began after it."""
        return stretches(self.in_order, self.hours, self.in_order[0].at)

    def _stretches(self, since: datetime) -> tuple[Stretch, ...]:
        """From ``since`` on, or before it. After the last reading it is drawn anew from there."""
        newest = self.newest()
        if newest is not None and self.in_order[0].at <= since < newest.at:
            return self._as_read
        return stretches(self.in_order, self.hours, since)

    def paint_c(self, at: datetime) -> float | None:
        """The temperature last read before ``at``, None when nothing was."""
        return next((r.paint_c for r in self._back_from(at)), None)

    def _back_from(self, at: datetime) -> Iterator[Reading]:
        place = bisect_right(self.in_order, at, key=lambda reading: reading.at)
        return (self.in_order[n] for n in range(place - 1, -1, -1))


def clocks_of(part: Part, around: Surroundings) -> Clocks:
    """The spans that decide what may be done to the part next."""
    done, current = part.clock_step(), part.current()
    if done is None or current is None or done.last_at is None:
        return Clocks()
    product = around.products.get(done.step.product)
    newest = around.newest()
    read_at = newest.at if newest else None
    spans = spans_of(part, done, product, around.weather(done.last_at))
    spans = tuple(_as_far_as_read(span, read_at) for span in spans)
    if current.step.kind != "cure":
        return Clocks(spans, None, test_named(done, product), read_at)
    test = current.step.test or test_named(done, product)
    return Clocks(spans, cure_of(part, current, around), test, read_at)


def began(part: Part) -> Iterator[datetime]:
    """When the clocks that ``clocks_of`` works out began: readings matter from there on."""
    done = [record for record in part.steps if record.status == "done"]
    coats = [record for record in done if record.step.kind == "coat"]
    for record in (*done[-1:], *coats[-1:]):
        first_at = part.coat_first_at(record)
        if first_at is not None:
            yield first_at


def _as_far_as_read(span: Span, read_at: datetime | None) -> Span:
    """Where nobody ever read a thermometer, a time that hangs on temperature is a guess."""
    return replace(span, basis="guess") if span.aged and read_at is None else span


def cure_of(part: Part, cure: StepRecord, around: Surroundings) -> Span | None:
    """From the last coat's last face to full cure, put back by a "not yet"; None without a coat."""
    coats = [r for r in part.steps if r.status == "done" and r.step.kind == "coat"]
    product = around.products.get(coats[-1].step.product) if coats else None
    if product is None or coats[-1].last_at is None:
        return None
    span = cure_span(part, coats[-1], product, around.weather(coats[-1].last_at))
    if cure.not_before and span.end and cure.not_before > span.end:
        span = replace(span, end=cure.not_before, basis="sheet", aged=False)
    newest = around.newest()
    return _as_far_as_read(span, newest.at if newest else None)
