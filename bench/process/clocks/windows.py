"""Turning a coat's bands into hours of the day.

An edge that opens something ("too early") counts from the last face; one that closes something
("too late") counts from the first face.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from bench.process.parts.film_thickness import times_as_long
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import SHEET_C, TOO_SOON, Band, BandWord, Product, Until
from bench.trade.ageing import Basis, Side, TimeTable, lengthen_table
from bench.trade.log import Log

Temperatures = Callable[[datetime, Side], Log]
"""The temperatures from an instant on, and perhaps from before it, on the safe side of an edge."""

CLEANED = (Band("open", Until(fixed_s=24 * 3600)), Band("key"))
"""Degreased metal is primed, or wiped again, within a day (common practice, no source)."""

FAR = datetime(9999, 1, 1, tzinfo=UTC)

SHIFT = timedelta(hours=8)
"""A working day (common practice, no source): what opens is left open for one, damp or not."""


@dataclass(frozen=True)
class Span:
    """One band on the calendar. end None: no end. never: it cannot end at these temperatures.

    stalled_s: how long of it nothing ages, being under the product's least temperature.
    placeholder: its time is of a product whose data sheet nobody typed. humid: it stands still by
    the humidity too. test: what its sheet tests when it is over, empty where it names nothing.
    times: how many times as long it takes as its sheet says, for a coat that came out heavy; what
    closes is never anything but 1.
    """

    word: BandWord
    start: datetime
    end: datetime | None
    basis: Basis = "sheet"
    aged: bool = False
    never: bool = False
    stalled_s: float = 0.0
    placeholder: bool = False
    humid: bool = False
    test: str = ""
    times: float = 1.0


@dataclass(frozen=True)
class Weather:
    """Holds what the end of a band depends on besides time.

    dry_until: until when a surface lasts, from when it began, when it is over in damp air and in
    dry air, and the humidity in percent over which air is damp.
    """

    temperatures: Temperatures
    dry_until: Callable[[datetime, datetime, datetime, float], datetime]


def side_of(word: BandWord) -> Side:
    """Return whether the end of a band opens something or closes it."""
    return "opening" if word in TOO_SOON or word == "shut" else "closing"


def bands_of(record: StepRecord, product: Product | None) -> tuple[Band, ...]:
    """Return what the finished step leaves behind."""
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
    """Return the bands of a finished step on the calendar, none of them empty, in order."""
    first, last = part.coat_first_at(record), record.last_at
    if first is None or last is None:
        return ()
    bands = bands_of(record, product)
    waits = _not_yet(record, bands, last)
    begins = record.not_before if waits and record.not_before else last

    def worked_out(times: float) -> list[Span]:
        spans = _work_out(record, product, bands, weather, first, last, times)
        return _with_wait(spans, record.not_before)

    spans = _with_damp(bands, worked_out(1.0), weather, first, begins)
    times = times_as_long(part, record, product)
    if times > 1:
        # Only what opens: no window closes later, in damp air either, for having opened later.
        spans = [
            longer if side_of(usual.word) == "opening" else usual
            for usual, longer in zip(spans, worked_out(times), strict=True)
        ]
    return (*waits, *_in_order(spans, begins))


def _work_out(
    record: StepRecord,
    product: Product | None,
    bands: Sequence[Band],
    weather: Weather,
    first: datetime,
    last: datetime,
    times: float,
) -> list[Span]:
    """Return each band with its own end, so many times as long, whatever the bands before it."""
    limits = product.limits if product and record.step.kind == "coat" else None
    least_c = limits.metal_least_c if limits else None
    humid = limits is not None and limits.minds_humidity
    placeholder = product is not None and bands is product.bands and bool(product.doubt_of("bands"))
    return [
        replace(
            _span(band, first, last, weather, least_c, times),
            placeholder=placeholder and band.until is not None,
            humid=humid and side_of(band.word) == "opening",
            test=band.test,
        )
        for band in bands
    ]


def _with_damp(
    bands: Sequence[Band],
    worked_out: Sequence[Span],
    weather: Weather,
    first: datetime,
    last: datetime,
) -> list[Span]:
    """Return the bands, damp air counted; a window that opened late leaves a shift to work in."""
    start = last
    spans: list[Span] = []
    for band, span in zip(bands, worked_out, strict=True):
        if band.until is not None and band.until.damp_s is not None:
            waited = start + SHIFT if _in_order(spans, last) else first
            span = _sooner_if_damp(span, band.until, first, weather, waited)
        spans.append(span)
        start = max(span.end or FAR, start)
    return spans


def _in_order(worked_out: Sequence[Span], last: datetime) -> tuple[Span, ...]:
    """Return the bands one after the other, without the empty ones."""
    start = last
    spans: list[Span] = []
    for span in worked_out:
        if span.end is None or span.end > start:
            spans.append(replace(span, start=start))
        if span.end is None:
            break
        start = max(span.end, start)
    return tuple(spans)


def _with_wait(spans: list[Span], not_before: datetime | None) -> list[Span]:
    """Return the bands with the opening that a painter's "not yet" is about put back."""
    place = _put_back_at(spans, not_before)
    if place is not None and not_before is not None:
        spans[place] = put_back(spans[place], not_before)
    return spans


def _put_back_at(spans: list[Span], not_before: datetime | None) -> int | None:
    """Return the last opening a painter's "not yet" can be about; words before a wait are over."""
    last_place = None
    for place, (span, after) in enumerate(pairwise(spans)):
        opens = side_of(span.word) == "opening" and after.word not in TOO_SOON
        if not_before and opens and span.end is not None and span.end < not_before:
            last_place = place
    return last_place


def leaves_no_window(
    part: Part, record: StepRecord, product: Product | None, spans: Sequence[Span]
) -> bool:
    """Return whether nothing is left for the step that follows a finished one.

    spans: what the finished step leaves. It never opens, or a coat would find it closed before it
    opened, so that it would only go on after keying. A last coat that its sheet closes for good, as
    wax, has nothing to leave a window for.
    """
    words = {span.word for span in spans}
    if not words & {"open", "key"}:
        last = spans[-1] if spans else None
        closed_for_good = last is not None and last.word == "shut" and not last.never
        return not (closed_for_good and part.kind_after(record) == "cure")
    listed = any(band.word == "open" for band in bands_of(record, product))
    return part.kind_after(record) == "coat" and listed and "open" not in words


def cure_span(part: Part, record: StepRecord, product: Product, weather: Weather) -> Span:
    """Return the span from the last face to full cure; without a table it never ends."""
    last = record.last_at
    if last is None or not product.full_cure:
        return Span("wait", last or FAR, None, never=True)
    least_c = product.limits.metal_least_c
    times = times_as_long(part, record, product)
    span = _aged("wait", last, last, product.full_cure, weather, least_c, times)
    return replace(
        span, placeholder=bool(product.doubt_of("full_cure")), humid=product.limits.minds_humidity
    )


def _not_yet(record: StepRecord, bands: tuple[Band, ...], start: datetime) -> tuple[Span, ...]:
    """Return the wait of a "not yet" where nothing has to dry: its test alone is waited for."""
    if record.not_before is None or any(band.word in TOO_SOON for band in bands):
        return ()
    return (Span("wait", start, record.not_before),)


def put_back(span: Span, not_before: datetime) -> Span:
    """Put the end of a band back by a painter's "not yet", which is exact."""
    exact = replace(span, end=not_before, basis="sheet", aged=False)
    return replace(exact, stalled_s=0.0, placeholder=False, times=1.0)


def _span(
    band: Band,
    first: datetime,
    last: datetime,
    weather: Weather,
    least_c: float | None,
    times: float,
) -> Span:
    """Return a band with its end, so many times as long; it begins where the one before it ends."""
    until = band.until
    if until is None:
        return Span(band.word, last, None)
    anchor = last if side_of(band.word) == "opening" else first
    if until.exact:
        lasts = timedelta(seconds=(until.fixed_s or 0.0) * times)
        return Span(band.word, last, anchor + lasts, times=times)
    return _aged(band.word, last, anchor, until.times, weather, least_c, times)


def _sooner_if_damp(
    dry: Span, until: Until, anchor: datetime, weather: Weather, not_before: datetime
) -> Span:
    """Return the end of a window that damp air closes sooner.

    The dampest air since it began counts; and for as long as nobody read the humidity it is damp.
    not_before: so that a window which opened late leaves a shift to work in.
    """
    assert dry.end is not None
    assert until.damp_s is not None
    assert until.damp_over_rh_pct is not None
    damp = _aged(dry.word, dry.start, anchor, ((SHEET_C, until.damp_s),), weather, None)
    assert damp.end is not None
    lasts = weather.dry_until(anchor, damp.end, dry.end, until.damp_over_rh_pct)
    end = max(lasts, not_before)
    return replace(damp, end=end, placeholder=dry.placeholder) if end < dry.end else dry


def _aged(
    word: BandWord,
    start: datetime,
    anchor: datetime,
    table: TimeTable,
    weather: Weather,
    least_c: float | None,
    times: float = 1.0,
) -> Span:
    side = side_of(word)
    log = weather.temperatures(anchor, side)
    table = lengthen_table(table, times)
    passing = log.passes_at(table, anchor.timestamp(), side, least_c)
    span = Span(word, start, None, passing.basis, aged=True, times=times)
    if passing.at_s is None:
        return replace(span, never=True)
    end = datetime.fromtimestamp(passing.at_s, UTC)
    return replace(span, end=end, stalled_s=passing.stalled_s)
