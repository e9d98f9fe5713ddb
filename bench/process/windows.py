"""Turning a coat's bands into hours of the day.

An edge that opens something ("too early") counts from the last face; one that closes something
("too late") counts from the first face.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from bench.process.part import Part, StepRecord
from bench.process.product import TOO_SOON, Band, BandWord, Product, Until
from bench.trade.ageing import Basis, Side, TimeTable
from bench.trade.log import Log

Temperatures = Callable[[datetime], Log]
"""The temperatures from an instant on, and perhaps from before it."""

CLEANED = (Band("open", Until(fixed_s=24 * 3600)), Band("key"))
"""Degreased metal is primed, or wiped again, within a day (common practice, no source)."""

FAR = datetime(9999, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Span:
    """One band on the calendar. end None: no end. never: it cannot end at these temperatures.

    stalled_s: how long of it nothing ages, being under the product's least temperature.
    placeholder: its time is of a product whose data sheet nobody typed.
    """

    word: BandWord
    start: datetime
    end: datetime | None
    basis: Basis = "sheet"
    aged: bool = False
    never: bool = False
    stalled_s: float = 0.0
    placeholder: bool = False


@dataclass(frozen=True)
class Weather:
    """What a band's end depends on besides time."""

    temperatures: Temperatures
    rh_pct: float | None = None


def side_of(word: BandWord) -> Side:
    """Whether the end of a band opens something or closes it."""
    return "opening" if word in TOO_SOON or word == "shut" else "closing"


def bands_of(record: StepRecord, product: Product | None) -> tuple[Band, ...]:
    """What the finished step leaves behind."""
    if record.step.bands:
        return record.step.bands
    if record.step.kind == "coat" and product is not None:
        return product.bands
    if product is not None and product.kind == "cleaner":
        return CLEANED
    return (Band("open"),)


def spans_of(
    part: Part, record: StepRecord, product: Product | None, weather: Weather
) -> tuple[Span, ...]:
    """The bands of a finished step on the calendar, none of them empty, in order."""
    first, last = part.coat_first_at(record), record.last_at
    if first is None or last is None:
        return ()
    if record.step.kind == "work":
        # A surface is as old as the work that bared it is done, not begun.
        first = last
    least_c = product.limits.metal_least_c if product and record.step.kind == "coat" else None
    start, spans = last, list[Span]()
    bands = bands_of(record, product)
    for wait in _not_yet(record, bands, start):
        spans.append(wait)
        start = wait.end or start
    placeholder = product is not None and bands is product.bands and _is_placeholder(product)
    for place, band in enumerate(bands):
        if band.until is None:
            spans.append(Span(band.word, start, None))
            break
        anchor = last if side_of(band.word) == "opening" else first
        span = replace(_span(band, start, anchor, weather, least_c), placeholder=placeholder)
        waits_on = any(later.word in TOO_SOON for later in bands[place + 1 : place + 2])
        if band.word in TOO_SOON and record.not_before and not (waits_on or span.never):
            # Only the last wait before the test is put back: the words before it are over.
            span = _put_back(span, record.not_before)
        if span.never:
            spans.append(span)
            break
        end = span.end or start
        if end > start:
            spans.append(span)
            start = end
    return tuple(spans)


def cure_span(part: Part, record: StepRecord, product: Product, weather: Weather) -> Span:
    """From the last face to full cure. A product without a table never claims to have cured."""
    last = record.last_at
    if last is None or not product.full_cure:
        return Span("wait", last or FAR, None, never=True)
    least_c = product.limits.metal_least_c
    span = _aged("wait", last, last, product.full_cure, weather, least_c)
    return replace(span, placeholder=_is_placeholder(product))


def _is_placeholder(product: Product) -> bool:
    return product.source == "placeholder"


def _not_yet(record: StepRecord, bands: tuple[Band, ...], start: datetime) -> tuple[Span, ...]:
    """The wait that a "not yet" asks for where nothing has to dry: its test alone is waited for."""
    if record.not_before is None or any(band.word in TOO_SOON for band in bands):
        return ()
    return (Span("wait", start, record.not_before),)


def _put_back(span: Span, not_before: datetime) -> Span:
    """Where a painter's "not yet" ends later than the sheet's time, its end is exact."""
    if span.end is not None and span.end >= not_before:
        return span
    exact = replace(span, end=not_before, basis="sheet", aged=False)
    return replace(exact, stalled_s=0.0, placeholder=False)


def _span(
    band: Band,
    start: datetime,
    anchor: datetime,
    weather: Weather,
    least_c: float | None,
) -> Span:
    until = band.until
    assert until is not None
    if until.table and not _damp(until, weather):
        return _aged(band.word, start, anchor, until.table, weather, least_c)
    seconds = until.damp_s if _damp(until, weather) else until.fixed_s
    return Span(band.word, start, anchor + timedelta(seconds=seconds or 0.0))


def _damp(until: Until, weather: Weather) -> bool:
    return (
        until.damp_over_rh_pct is not None
        and weather.rh_pct is not None
        and weather.rh_pct > until.damp_over_rh_pct
    )


def _aged(
    word: BandWord,
    start: datetime,
    anchor: datetime,
    table: TimeTable,
    weather: Weather,
    least_c: float | None,
) -> Span:
    log = weather.temperatures(anchor)
    passing = log.passes_at(table, anchor.timestamp(), side_of(word), least_c)
    if passing.at_s is None:
        return Span(word, start, None, passing.basis, aged=True, never=True)
    end = datetime.fromtimestamp(passing.at_s, UTC)
    return Span(word, start, end, passing.basis, aged=True, stalled_s=passing.stalled_s)
