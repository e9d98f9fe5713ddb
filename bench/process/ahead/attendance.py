"""When somebody is in: shop hours without the holidays, or always.

Instants are compared in UTC: two wall clocks of one zone compare wrongly where summer time changes.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from bench.process.calendar.holidays import days_off
from bench.process.clocks.temperature import LOOK_AHEAD_DAYS, Hours

Stay = tuple[datetime, datetime]
"""From when to when somebody is in, in UTC."""


def stays(hours: Hours, start: datetime, days: int) -> list[Stay]:
    """Return the times with somebody in from the day of ``start`` on: the hours without breaks."""
    return [
        stay
        for span in open_hours(hours, start, days)
        for stay in _without_break(hours, *span)
        if stay[0] < stay[1]
    ]


def open_hours(hours: Hours, start: datetime, days: int) -> list[Stay]:
    """Return the shop's hours from the day of ``start`` on, a break counted as open."""
    return [(a.astimezone(UTC), b.astimezone(UTC)) for a, b in hours.spans(start, days)]


def _without_break(hours: Hours, opens: datetime, closes: datetime) -> list[Stay]:
    if hours.lunch is None:
        return [(opens, closes)]
    day = opens.astimezone(hours.zone).date()
    begins, ends = (datetime.combine(day, at, hours.zone).astimezone(UTC) for at in hours.lunch)
    return [(opens, min(begins, closes)), (max(ends, opens), closes)]


def somebody_in(hours: Hours, at: datetime) -> bool:
    """Return whether somebody is in at an instant, the moments of opening and closing counted."""
    moment = at.astimezone(UTC)
    return hours.always_in or any(a <= moment <= b for a, b in stays(hours, at, 1))


def time_attended(hours: Hours, start: datetime, end: datetime) -> timedelta:
    """Return how much of a stretch somebody is in for."""
    first, last = start.astimezone(UTC), end.astimezone(UTC)
    if hours.always_in:
        return max(last - first, timedelta(0))
    inside = (
        (max(opened, first), min(closed, last))
        for opened, closed in stays(hours, first, (last - first).days + 2)
    )
    return sum((b - a for a, b in inside if a < b), timedelta(0))


def nobody_in(hours: Hours, now: datetime) -> Stay | None:
    """Return when the shop is closed next: from now or the next closing to the next opening.

    A break is not closed.

    None where somebody always is. Where the shop does not open for sixty days it ends then.
    """
    if hours.always_in:
        return None
    leaves = now.astimezone(UTC)
    for opened, closed in open_hours(hours, now, LOOK_AHEAD_DAYS):
        if opened <= leaves < closed:
            leaves = closed
        elif opened > leaves:
            return leaves, opened
    return leaves, leaves + timedelta(days=LOOK_AHEAD_DAYS)


def holidays_between(hours: Hours, start: datetime, end: datetime) -> tuple[date, ...]:
    """Return the holidays in a stretch, those on days that would else have hours."""
    first, last = (at.astimezone(hours.zone).date() for at in (start, end))
    met = days_off(hours.holidays, first, last)
    return tuple(sorted(day for day in met if hours.days[day.weekday()] is not None))
