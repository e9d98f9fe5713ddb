"""How warm the metal has been and is going to be: readings, then the shop's own day and night."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from bench.trade.ageing import Stretch

LOOK_AHEAD_DAYS = 60
"""How far the coming days and nights are drawn; the last temperature then holds."""


@dataclass(frozen=True)
class Reading:
    """What somebody read off a thermometer. Temperatures in C, humidity in percent."""

    at: datetime
    air_c: float
    rh_pct: float | None = None
    metal_c: float | None = None

    @property
    def paint_c(self) -> float:
        """The temperature paint ages at: the metal's where it was read, else the air's."""
        return self.metal_c if self.metal_c is not None else self.air_c


@dataclass(frozen=True)
class Hours:
    """When somebody is in and the shop is warm: one (opens, shuts) pair a weekday, Monday first."""

    days: tuple[tuple[time, time] | None, ...]
    day_c: float
    night_c: float
    zone: tzinfo

    def spans(self, start: datetime, days: int) -> list[tuple[datetime, datetime]]:
        """The open hours from the day of ``start`` on, as aware instants."""
        first = start.astimezone(self.zone).date()
        found = []
        for n in range(days):
            day = first + timedelta(days=n)
            hours = self.days[day.weekday()]
            if hours is not None:
                found.append((self._at(day, hours[0]), self._at(day, hours[1])))
        return found

    def _at(self, day: date, clock: time) -> datetime:
        return datetime.combine(day, clock, self.zone)


def stretches(readings: tuple[Reading, ...], hours: Hours, since: datetime) -> tuple[Stretch, ...]:
    """The temperature from ``since`` on, in stretches, past and to come.

    In shop hours the latest reading holds (before any, the shop's usual day). Out of hours a
    reading taken in that same night holds; before it, the colder of the last reading and the
    shop's usual night: waiting is the safe side. Readings may come in any order.
    """
    ordered = sorted(readings, key=lambda reading: reading.at)
    open_spans = hours.spans(since - timedelta(days=1), LOOK_AHEAD_DAYS)
    edges = {since.timestamp()}
    edges |= {at.timestamp() for span in open_spans for at in span}
    edges |= {reading.at.timestamp() for reading in ordered}
    drawn: list[Stretch] = []
    latest: Reading | None = None
    night_began = float("-inf")
    place = 0
    opens = {a.timestamp() for a, _ in open_spans}
    shuts = {b.timestamp() for _, b in open_spans}
    inside = False
    for edge in sorted(edges):
        if edge in shuts:
            inside, night_began = False, edge
        if edge in opens:
            inside = True
        while place < len(ordered) and ordered[place].at.timestamp() <= edge:
            latest = ordered[place]
            place += 1
        temp_c = latest.paint_c if latest else hours.day_c
        if not inside and (latest is None or latest.at.timestamp() < night_began):
            temp_c = min(temp_c, hours.night_c)
        if edge >= since.timestamp():
            drawn.append(Stretch(edge, temp_c))
    return tuple(drawn)
