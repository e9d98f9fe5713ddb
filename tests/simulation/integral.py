"""When a coat's bands end, worked out a second time: numpy on the same stretches of temperature.

Written from the house rules alone, without the program's own sum: ln t is linear in 1/T (kelvin)
between a sheet's points (the Arrhenius form, from memory, as in ASTM C1074). Colder than they are
an opening takes twice as long over ten degrees and then three times for each ten, or by the sheet's
own slope where that is longer; no further than fifteen. Hotter, a closing takes two fifths for each
ten. Never to the lenient side; under the least temperature nothing ages towards an opening. A time
without a temperature is one at 20 C, unless it is exact. Whatever opens after a coat that was said
to be heavy takes half as long again, after a measured one the square of how thick it is, three
times at most; no closing moves for it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from bench.process.clocks.temperature import Hours, Reading
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import Band, Product, Until
from bench.trade.ageing import Side, Stretch

WAITS = ("wet", "flash", "drying", "wait")
CLEAN = (Band("open", Until(fixed_s=86400.0)), Band("key"))
"""What a cleaner leaves is clean for a day, then it is wiped again (common practice, no source)."""
Floats = NDArray[np.float64]
Drawn = Callable[[datetime, Side], Sequence[Stretch]]
"""The stretches of temperature from an instant on, as the program drew them for a side."""


def seconds_at(table: Sequence[tuple[float, float]], temps_c: Floats, *, opening: bool) -> Floats:
    """How long a milestone takes at each temperature."""
    points_c = np.array([point for point, _ in table])
    ln_s = np.log([seconds for _, seconds in table])
    inverse = 1 / (temps_c + 273.15)
    between = np.exp(np.interp(-inverse, -1 / (points_c + 273.15), ln_s))
    beyond = np.where(temps_c < points_c[0], 0, -1)
    by_thumb = np.exp(ln_s[beyond] + _ln_thumb(points_c[beyond] - temps_c))
    if len(table) > 1:
        # The line through the two points nearest to that end.
        one, two = np.where(beyond == 0, 0, -2), np.where(beyond == 0, 1, -1)
        x_one, x_two = 1 / (points_c[one] + 273.15), 1 / (points_c[two] + 273.15)
        slope = (ln_s[two] - ln_s[one]) / (x_two - x_one)
        on_line = np.exp(ln_s[one] + slope * (inverse - x_one))
        by_thumb = np.maximum(by_thumb, on_line) if opening else np.minimum(by_thumb, on_line)
    outside = temps_c < points_c[0] if opening else temps_c > points_c[-1]
    found: Floats = np.where(outside, by_thumb, between)
    return np.where(points_c[0] - temps_c > 15, np.inf, found) if opening else found


def _ln_thumb(colder_c: Floats) -> Floats:
    """ln of how many times as long: three straight lines, with bends at the point and 10 C below."""
    hot = np.log(2.5) / 10 * np.minimum(colder_c, 0)
    cool = np.log(2) / 10 * np.clip(colder_c, 0, 10)
    cold: Floats = np.log(3) / 10 * np.maximum(colder_c - 10, 0)
    return hot + cool + cold


def passes(
    table: Sequence[tuple[float, float]],
    drawn: Sequence[Stretch],
    since: datetime,
    *,
    opening: bool,
    least_c: float | None,
) -> datetime | None:
    """When the integral of dt / t(T) from ``since`` on reaches 1; None if it never does."""
    begin_s = since.timestamp()
    starts = np.array([stretch.start_s for stretch in drawn])
    temps_c = np.array([stretch.temp_c for stretch in drawn])
    rates = 1 / seconds_at(table, temps_c, opening=opening)
    if opening and least_c is not None:
        rates = np.where(temps_c < least_c, 0.0, rates)
    edges = np.maximum(np.append(starts[1:], np.inf), begin_s)
    starts = np.maximum(starts, begin_s)
    grown = np.concatenate([[0.0], np.cumsum((edges[:-1] - starts[:-1]) * rates[:-1])])
    place = int(np.searchsorted(grown, 1.0, side="left")) - 1
    place = min(max(place, 0), len(rates) - 1)
    if rates[place] <= 0:
        return None
    end_s = starts[place] + (1.0 - grown[place]) / rates[place]
    return datetime.fromtimestamp(float(end_s), UTC)


def ends_of(
    part: Part,
    record: StepRecord,
    product: Product | None,
    drawn: Drawn,
    read: Sequence[Reading],
) -> list[tuple[str, datetime | None]]:
    """Every band that is not empty, in order, with its end; None: no end at these temperatures."""
    last, first = record.last_at, first_face(part, record)
    assert last is not None
    assert first is not None
    least_c = product.limits.metal_least_c if product and record.step.kind == "coat" else None
    bands = bands_left(record, product)

    def due(times: float) -> list[datetime | None]:
        ends = [
            _end(band, last, drawn, least_c, times)
            if _opens(band)
            else _end(band, first, drawn, None)
            for band in bands
        ]
        return _put_off(bands, ends, record.not_before)

    put_off: list[tuple[str, datetime | None]] = []
    here = last
    if record.not_before and not any(band.word in WAITS for band in bands):
        # Nothing has to dry: the test alone is waited for, and no window is longer for it.
        put_off = [("wait", record.not_before)]
        here = record.not_before
    meant = _with_damp(bands, due(1.0), first, here, drawn, read)
    longer = due(times_longer(part, record, product))
    ends = [b if _opens(band) else a for band, a, b in zip(bands, meant, longer, strict=True)]
    return [*put_off, *_not_empty(bands, ends, here)]


def _put_off(
    bands: Sequence[Band], ends: list[datetime | None], not_before: datetime | None
) -> list[datetime | None]:
    """A "not yet" is about the last test that was due by then; there is none between two waits."""
    due = [
        number
        for number, (band, end) in enumerate(zip(bands[:-1], ends, strict=False))
        if not_before and _opens(band) and end and end < not_before
        if bands[number + 1].word not in WAITS
    ]
    return (
        [not_before if number == due[-1] else e for number, e in enumerate(ends)] if due else ends
    )


def _with_damp(
    bands: Sequence[Band],
    ends: Sequence[datetime | None],
    first: datetime,
    here: datetime,
    drawn: Drawn,
    read: Sequence[Reading],
) -> list[datetime | None]:
    """Where damp air closes a window sooner; one that opened late by its sheet has eight hours."""
    found: list[datetime | None] = []
    late = False
    for band, end in zip(bands, ends, strict=True):
        closes = end
        if band.until and band.until.damp_s and end:
            sooner = _if_damp(band.until, first, end, drawn, read)
            closes = min(end, max(sooner, here + timedelta(hours=8) if late else sooner))
        found.append(closes)
        late = late or closes is None or closes > here
        here = max(here, closes) if closes else here
    return found


def _not_empty(
    bands: Sequence[Band], ends: Sequence[datetime | None], here: datetime
) -> list[tuple[str, datetime | None]]:
    found: list[tuple[str, datetime | None]] = []
    for band, closes in zip(bands, ends, strict=True):
        if closes is None or closes > here:
            found.append((band.word, closes))
        if closes is None:
            break
        here = max(here, closes)
    return found


def times_longer(part: Part, record: StepRecord, product: Product | None) -> float:
    """How many times as long what opens after a coat takes: the heavier of a mist and its build."""
    before = part.steps[record.number - 2] if record.number > 1 else None
    halves = [record]
    if record.step.continues and before and before.status == "done" and before.step.kind == "coat":
        halves.append(before)
    return max((_longer(h, product) for h in halves if h.step.kind == "coat"), default=1.0)


def _longer(record: StepRecord, product: Product | None) -> float:
    shares = []
    if product and product.film and record.dry_um:
        shares.append(record.dry_um / product.film.target_um)
    if product and product.film and product.volume_solids_pct and record.wet_um:
        thinner_pct = product.thinner.least_pct if product.thinner else 0
        dries_to_um = record.wet_um * product.volume_solids_pct / (100 + thinner_pct)
        shares.append(dries_to_um / product.film.target_um)
    if shares:
        return float(np.clip(max(shares) ** 2, 1, 3))
    return 1.5 if record.weight == "heavy" else 1.0


def _opens(band: Band) -> bool:
    return band.word in (*WAITS, "shut")


def first_face(part: Part, record: StepRecord) -> datetime | None:
    """Of the mist that a build coat continues; else where the step itself began."""
    before = part.steps[record.number - 2] if record.number > 1 else None
    if record.step.continues and before and before.status == "done" and before.step.kind == "coat":
        return before.first_at
    return record.first_at


def bands_left(record: StepRecord, product: Product | None) -> tuple[Band, ...]:
    """A step's own bands go before its product's; anything else is open for good."""
    if record.step.bands:
        return record.step.bands
    if product and product.kind == "cleaner" and record.step.kind != "coat":
        return CLEAN
    return product.bands if product and record.step.kind == "coat" else (Band("open"),)


def _end(
    band: Band, anchor: datetime, drawn: Drawn, least_c: float | None, times: float = 1.0
) -> datetime | None:
    until = band.until
    if until is None:
        return None
    if until.exact:
        assert until.fixed_s is not None
        return anchor + timedelta(seconds=until.fixed_s * times)
    table = until.table
    if until.fixed_s is not None:
        table = ((20.0, until.fixed_s),)
    table = tuple((point_c, seconds * times) for point_c, seconds in table)
    here = drawn(anchor, "opening" if _opens(band) else "closing")
    return passes(table, here, anchor, opening=_opens(band), least_c=least_c)


def _if_damp(
    until: Until, first: datetime, dry_end: datetime, drawn: Drawn, read: Sequence[Reading]
) -> datetime:
    """Where damp air closes it: as damp as it ever was before, and damp once four hours are unread."""
    assert until.damp_s is not None
    assert until.damp_over_rh_pct is not None
    here = drawn(first, "closing")
    damp_end = passes(((20.0, until.damp_s),), here, first, opening=False, least_c=None)
    assert damp_end is not None
    four = timedelta(hours=4)
    humid = sorted((r.at, r.rh_pct) for r in read if r.rh_pct is not None and r.at < dry_end)
    counted = [pair for pair in humid if first - four <= pair[0] <= first][-1:]
    counted += [pair for pair in humid if pair[0] > first]
    known = damp_end
    while counted and counted[0][0] < known:
        at, rh_pct = counted.pop(0)
        if rh_pct > until.damp_over_rh_pct:
            return damp_end
        known = max(known, at + four)
    return known


def temperature_at(
    readings: Sequence[Reading], hours: Hours, at: datetime, *, opening: bool
) -> float:
    """What the shop goes by at an instant, said once more in plain words.

    What was read less than four hours before, by day and by night. Else an opening goes by the
    coldest that it may be: the last reading, or what is usual for the hour. A closing goes by the
    warmest: the last reading, or the usual day.
    """
    known = [reading for reading in readings if reading.at <= at]
    last = max(known, key=lambda reading: reading.at, default=None)
    if last is not None and (at - last.at).total_seconds() < 4 * 3600:
        return last.paint_c
    may_be = [] if last is None else [last.paint_c]
    if not opening:
        return max([*may_be, hours.day_c])
    return min([*may_be, hours.day_c if _is_open(hours, at) else hours.night_c])


def _is_open(hours: Hours, at: datetime) -> bool:
    local = at.astimezone(hours.zone)
    span = hours.days[local.weekday()]
    return span is not None and span[0] <= local.time() < span[1]
