"""Which of a probe's old readings stay: enough for every clock, every job record and each hour.

Readings that painters typed are no matter of this: they stay always.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import groupby

from bench.process.clocks.part_clocks import READINGS_BEFORE
from bench.process.clocks.temperature import READ_AGAIN, Reading

DRYING_READ = timedelta(days=14)
"""How long after its last face the readings of a coat count: the longest full cure that the
shipped products know (house rule)."""

WORK_READ = timedelta(days=1)
"""How long after its beginning the readings of other work count (house rule)."""

CURE_READ = timedelta(days=60)
"""How long after the last coat readings are asked for its cure: no cure that the bench counts is
longer."""

KEEP_ALL = timedelta(days=31)
"""So long every reading stays (common practice, no source)."""

TimeSpan = tuple[datetime, datetime]
"""From an instant to another, both included."""


@dataclass(frozen=True)
class WorkedStep:
    """A step of a part that was begun. last_at: None while it goes on."""

    part: int
    away: bool
    is_coat: bool
    first_at: datetime
    last_at: datetime | None
    passed_at: datetime | None


def whole_hours_before(now: datetime) -> datetime:
    """Give the end of the last hour of which every reading is older than KEEP_ALL."""
    return hour_of(now - KEEP_ALL)


def hour_of(at: datetime) -> datetime:
    """Give the beginning of the hour, of UTC, that an instant is in."""
    return at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)


def readings_to_drop(readings: Sequence[Reading], spans: Iterable[TimeSpan]) -> list[Reading]:
    """Give those of a probe's old readings that go, oldest first.

    readings: of whole hours, oldest first. spans: in which all stay, and the last before and the
    first after each. Of any other hour the first stays, and those with the lowest and the highest
    air, surface and humidity: so what is let go once leaves nothing to let go the next time.
    """
    stays = {reading.number for reading in _beside(readings, spans)}
    for _, of_hour in groupby(readings, key=lambda reading: hour_of(reading.at)):
        stays.update(reading.number for reading in _extremes(list(of_hour)))
    return [reading for reading in readings if reading.number not in stays]


def _extremes(of_hour: Sequence[Reading]) -> Iterator[Reading]:
    """Yield the first reading of an hour and its extremes, of equal ones the earliest."""
    yield of_hour[0]
    for figure in (_air_c, _metal_c, _rh_pct):
        values = [(value, reading) for reading in of_hour if (value := figure(reading)) is not None]
        if values:
            yield min(values, key=_value)[1]
            yield max(values, key=_value)[1]


def _air_c(reading: Reading) -> float | None:
    return reading.air_c


def _metal_c(reading: Reading) -> float | None:
    return reading.metal_c


def _rh_pct(reading: Reading) -> float | None:
    return reading.rh_pct


def _value(pair: tuple[float, Reading]) -> float:
    return pair[0]


def _beside(readings: Sequence[Reading], spans: Iterable[TimeSpan]) -> Iterator[Reading]:
    """Yield the readings in any of some spans, with the last before and the first after each."""
    place = 0
    for start, end in _joined(spans):
        while place < len(readings) and readings[place].at < start:
            place += 1
        if place:
            yield readings[place - 1]
        while place < len(readings) and readings[place].at <= end:
            yield readings[place]
            place += 1
        if place < len(readings):
            yield readings[place]


def _joined(spans: Iterable[TimeSpan]) -> list[TimeSpan]:
    """Return the spans in order, those that overlap as one."""
    joined: list[TimeSpan] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(joined[-1][1], end)
        else:
            joined.append((start, end))
    return joined


def spans_of(steps: Iterable[WorkedStep], now: datetime) -> Iterator[TimeSpan]:
    """Give the spans in which every reading stays for some steps.

    steps: part by part, in the order of each one's route.
    """
    for _, of_part in groupby(steps, key=lambda step: step.part):
        route = list(of_part)
        for place, step in enumerate(route):
            if step.away:
                yield from _of_record(step, route[place + 1 :], now)
            else:
                yield step.first_at - READINGS_BEFORE, (step.last_at or now) + CURE_READ


def _of_record(step: WorkedStep, later: Sequence[WorkedStep], now: datetime) -> Iterator[TimeSpan]:
    """Yield what the job record of a part that has left shows and counts beside a step."""
    last_at = step.last_at or now
    start = step.first_at - READ_AGAIN
    if not step.is_coat:
        yield start, worked_until(step.first_at, last_at)
        yield last_at, last_at
        return
    ended = [step.passed_at, *(after.first_at for after in later)]
    yield start, dried_until(last_at, ended, now)
    if not any(after.is_coat for after in later):
        cured = any(after.passed_at for after in later)
        yield start, last_at + (DRYING_READ if cured else CURE_READ)


def worked_until(first_at: datetime, last_at: datetime) -> datetime:
    """Find until when readings are shown beside work that is no coat."""
    return min(last_at, first_at + WORK_READ)


def dried_until(last_at: datetime, ended: Iterable[datetime | None], now: datetime) -> datetime:
    """Find until when readings are shown beside a coat: until it was tested or the next step.

    last_at: its last face, or now; ended: when it was tested, and when later steps began.
    """
    later = [at for at in ended if at is not None and at >= last_at]
    return max(last_at, min([*later, last_at + DRYING_READ, now]))
