"""A part's clocks on the calendar, worked out once per change and only compared per tick."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from bench.process.part import Part, StepRecord
from bench.process.product import Product
from bench.process.state import Clocks, test_named
from bench.process.temperature import Hours, Reading, stretches
from bench.process.windows import Span, Weather, cure_span, spans_of
from bench.trade.ageing import Stretch


@dataclass(frozen=True)
class Surroundings:
    """What the shop knows about its air: readings, hours, and the sheets of its products."""

    readings: tuple[Reading, ...]
    hours: Hours
    products: Mapping[str, Product]

    def weather(self, at: datetime) -> Weather:
        """Temperatures from any instant on, and the humidity known at ``at``."""
        known = [r for r in self.readings if r.rh_pct is not None and r.at <= at]
        rh_pct = max(known, key=lambda r: r.at).rh_pct if known else None
        return Weather(self._stretches, rh_pct)

    def _stretches(self, since: datetime) -> tuple[Stretch, ...]:
        return stretches(self.readings, self.hours, since)

    def paint_c(self, at: datetime) -> float | None:
        """The temperature last read before ``at``, None when nothing was."""
        known = [r for r in self.readings if r.at <= at]
        return max(known, key=lambda r: r.at).paint_c if known else None


def clocks_of(part: Part, around: Surroundings) -> Clocks:
    """The spans that decide what may be done to the part next."""
    done, current = part.clock_step(), part.current()
    if done is None or current is None or done.last_at is None:
        return Clocks()
    product = around.products.get(done.step.product)
    weather = around.weather(done.last_at)
    spans = spans_of(part, done, product, weather)
    if current.step.kind != "cure":
        return Clocks(spans, None, test_named(done, product))
    test = current.step.test or test_named(done, product)
    return Clocks(spans, _cure(part, current, around), test)


def _cure(part: Part, current: StepRecord, around: Surroundings) -> Span | None:
    coats = [r for r in part.steps if r.status == "done" and r.step.kind == "coat"]
    product = around.products.get(coats[-1].step.product) if coats else None
    if product is None or coats[-1].last_at is None:
        return None
    span = cure_span(part, coats[-1], product, around.weather(coats[-1].last_at))
    if current.not_before and span.end and current.not_before > span.end:
        return replace(span, end=current.not_before)
    return span
