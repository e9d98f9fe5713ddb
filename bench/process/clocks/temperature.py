"""How warm the metal has been and is going to be: readings, then the shop's own day and night."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cached_property
from itertools import pairwise

from bench.process.calendar.holidays import days_off
from bench.process.calendar.week import Break, Week
from bench.trade.ageing import Side, Stretch

LOOK_AHEAD_DAYS = 60
"""How far the days and nights to come are looked through at least."""

DRAWN_DAYS = 2 * LOOK_AHEAD_DAYS
"""How far days and nights are drawn after the last reading; the last temperature then holds."""

FOR_GOOD = datetime(9999, 1, 1, tzinfo=UTC)
SINCE_EVER = datetime(1, 1, 2, tzinfo=UTC)

READ_AGAIN = timedelta(hours=4)
"""Older than this a reading tells nothing of now (source seen: MIL-HDBK-1110, about every 4 h)."""


NOON = timedelta(hours=12)
TURNS = (time(0), time(12))
"""A day's own temperature begins at midnight, that of its night at noon (house rule)."""


@dataclass(frozen=True)
class Reading:
    """What somebody read off a thermometer. Temperatures in C, humidity in percent.

    number: the place in the order in which readings were written down; one may be written late.
    """

    at: datetime
    air_c: float
    rh_pct: float | None = None
    metal_c: float | None = None
    number: int = field(default=0, compare=False)

    @property
    def paint_c(self) -> float:
        """Return the temperature paint ages at: the metal's where it was read, else the air's."""
        return self.metal_c if self.metal_c is not None else self.air_c


@dataclass(frozen=True)
class UsualWeek:
    """The week, the temperatures and the holidays that were usual until they were changed."""

    until: datetime
    days: Week
    day_c: float
    night_c: float
    holidays: tuple[str, ...] = ()

    @property
    def warmest_c(self) -> float:
        """Return the temperature that no hour is taken to be warmer than: the usual day."""
        return max(self.day_c, self.night_c)

    def coldest_c(self, *, inside: bool) -> float:
        """Return the usual day in open hours, the usual night out of them."""
        return self.day_c if inside else min(self.day_c, self.night_c)


@dataclass(frozen=True)
class Forecast:
    """Holds what was forecast of one day: its coldest and its warmest, in C.

    day: the low is of the night that begins on it, from noon to noon, the high of the day itself.
    since: when it was typed; before that it counts for nothing.
    """

    day: date
    low_c: float
    high_c: float
    since: datetime


@dataclass(frozen=True)
class UnansweredJump:
    """Holds a probe's jump that no painter has answered yet.

    since: of its first reading; what: air or metal; c: as that was read; was_c: what it was before,
    apart: of the air, where no surface was read before; before_c: the temperature that paint aged
    at before. Until it is answered the stricter of what was read before and since counts, on each
    side.
    """

    since: datetime
    what: str
    c: float
    was_c: float
    before_c: float
    apart: bool = False


@dataclass(frozen=True)
class Hours:
    """When somebody is in and the shop is warm: one (opens, closes) pair a weekday, Monday first.

    holidays: rules for the days without any hours. always_in: somebody is there day and night, so
    that no window is missed for want of hands; the nights are no warmer for it. before: what was
    usual earlier, oldest first: a change holds from the moment it is made. typed: the two
    temperatures are this shop's own and no placeholders. forecasts: as they were typed, the newest
    last. unanswered: a probe's jump that a painter is asked about. lunch: nobody is in, and the
    shop stays warm.
    """

    days: Week
    day_c: float
    night_c: float
    zone: tzinfo
    holidays: tuple[str, ...] = ()
    always_in: bool = False
    before: tuple[UsualWeek, ...] = ()
    typed: bool = False
    forecasts: tuple[Forecast, ...] = ()
    unanswered: UnansweredJump | None = None
    lunch: Break | None = None

    def taken_c(self, reading: Reading) -> tuple[float, float]:
        """Return how cold openings take a reading to be, and how warm closings, in C."""
        jump = self.unanswered
        if jump is None or reading.at < jump.since:
            return reading.paint_c, reading.paint_c
        return min(reading.paint_c, jump.before_c), max(reading.paint_c, jump.before_c)

    def spans(self, start: datetime, days: int) -> list[tuple[datetime, datetime]]:
        """Return the open hours from the day of ``start`` on, as aware instants."""
        first = start.astimezone(self.zone).date()
        return [span for n in range(days) for span in self._open_on(first + timedelta(days=n))]

    def usual(self) -> tuple[UsualWeek, ...]:
        """Return what was and is usual, oldest first; the last has no end."""
        return (*self.before, self._now())

    def _now(self) -> UsualWeek:
        return UsualWeek(FOR_GOOD, self.days, self.day_c, self.night_c, self.holidays)

    def forecast(self, day: date, at: datetime) -> Forecast | None:
        """Return what was forecast of a day by ``at``, as it was typed last."""
        newest_first = reversed(self._forecasts_by_day.get(day, ()))
        return next((each for each in newest_first if each.since <= at), None)

    @cached_property
    def _forecasts_by_day(self) -> dict[date, list[Forecast]]:
        by_day: dict[date, list[Forecast]] = {}
        for each in self.forecasts:
            by_day.setdefault(each.day, []).append(each)
        return by_day

    def expected_c(self, usual: UsualWeek, at: datetime, *, inside: bool) -> tuple[float, float]:
        """Return how cold an opening takes an hour nobody read to be, and how warm a closing, in C.

        Each takes the stricter of what is usual and what was forecast for the date.
        """
        cold_c, warm_c = usual.coldest_c(inside=inside), usual.warmest_c
        if not self.forecasts:
            return cold_c, warm_c
        local = at.astimezone(self.zone)
        day = self.forecast(local.date(), at)
        night = self.forecast((local - NOON).date(), at)
        if day is not None:
            warm_c = max(warm_c, day.high_c)
            cold_c = min(cold_c, day.high_c) if inside else cold_c
        if night is not None and not inside:
            cold_c = min(cold_c, night.low_c)
        return cold_c, warm_c

    def forecast_turns(self, since: datetime) -> Iterator[datetime]:
        """Yield where a forecast begins or ends to count from an instant on, and some before it.

        Those are midnights, noons, and when it was typed.
        """
        first = since.astimezone(self.zone).date() - timedelta(days=1)
        for each in self.forecasts:
            if each.day >= first:
                after = each.day + timedelta(days=1)
                yield each.since
                yield from (self._at(day, clock) for day in (each.day, after) for clock in TURNS)

    @cached_property
    def _stays_by_day(self) -> dict[date, list[tuple[datetime, datetime]]]:
        """Return the open hours of the days that were asked for."""
        return {}

    def _open_on(self, day: date) -> list[tuple[datetime, datetime]]:
        """Return the open hours of one day, of each week as long as it was usual."""
        if day not in self._stays_by_day:
            self._stays_by_day[day] = self._work_out(day)
        return self._stays_by_day[day]

    def _work_out(self, day: date) -> list[tuple[datetime, datetime]]:
        stays: list[tuple[datetime, datetime]] = []
        since = SINCE_EVER
        for usual in self.usual():
            off = days_off(usual.holidays, day, day)
            hours = usual.days[day.weekday()] if not off else None
            if hours is not None:
                opens = max(self._at(day, hours[0]), since)
                closes = min(self._at(day, hours[1]), usual.until)
                if opens < closes:
                    goes_on = bool(stays) and stays[-1][1] == opens
                    stays.append((stays.pop()[0] if goes_on else opens, closes))
            since = usual.until
        return stays

    def _at(self, day: date, clock: time) -> datetime:
        return datetime.combine(day, clock, self.zone)


def stretches(
    readings: Sequence[Reading], hours: Hours, since: datetime
) -> dict[Side, tuple[Stretch, ...]]:
    """Return the temperatures from ``since`` on, past and to come, for each side the safe ones.

    A reading counts as it stands for ``READ_AGAIN``, by day and by night. After that an opening
    takes the colder of it and what is usual for the hour (the usual day in open hours, the usual
    night out of them), a closing the warmer of it and the usual day, at night too: cold that nobody
    read lengthens nothing. What was forecast for a date counts where it is stricter. Readings may
    come in any order.
    """
    ordered = sorted(readings, key=lambda reading: reading.at)
    # Of those before the beginning only the last one tells anything.
    ordered = ordered[max(bisect_right(ordered, since, key=lambda r: r.at) - 1, 0) :]
    newest = max(ordered[-1].at, since) if ordered else since
    read_days = newest.astimezone(hours.zone).date() - since.astimezone(hours.zone).date()
    open_spans = hours.spans(since, read_days.days + DRAWN_DAYS)
    opens = {a.timestamp() for a, _ in open_spans}
    closes = {b.timestamp() for _, b in open_spans}
    read_s = [reading.at.timestamp() for reading in ordered]
    edges = {since.timestamp(), *opens, *closes, *read_s, *_too_old(read_s)}
    edges |= {usual.until.timestamp() for usual in hours.before}
    edges |= {at.timestamp() for at in hours.forecast_turns(since)}
    usuals = list(hours.usual())
    cold: list[Stretch] = []
    warm: list[Stretch] = []
    place = 0
    inside = False
    for edge in sorted(edges):
        inside = edge in opens or (inside and edge not in closes)
        while place < len(ordered) and read_s[place] <= edge:
            place += 1
        while usuals[0].until.timestamp() <= edge:
            usuals.pop(0)
        if edge < since.timestamp():
            continue
        at = datetime.fromtimestamp(edge, UTC)
        cold_c, warm_c = hours.expected_c(usuals[0], at, inside=inside)
        if place:
            counts = edge < read_s[place - 1] + READ_AGAIN.total_seconds()
            opening_c, closing_c = hours.taken_c(ordered[place - 1])
            cold_c = opening_c if counts else min(opening_c, cold_c)
            warm_c = closing_c if counts else max(closing_c, warm_c)
        cold.append(Stretch(edge, cold_c))
        warm.append(Stretch(edge, warm_c))
    return {"opening": tuple(cold), "closing": tuple(warm)}


def _too_old(read_s: Sequence[float]) -> Iterator[float]:
    """Return when a reading stops counting as it stands, where no later one replaced it by then."""
    for at_s, next_s in pairwise((*read_s, math.inf)):
        if at_s + READ_AGAIN.total_seconds() < next_s:
            yield at_s + READ_AGAIN.total_seconds()
