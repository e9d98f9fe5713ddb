"""When a painter is away: days, or hours of a day, of the shop's calendar."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

MOST_DAYS = 366
"""Longer than this, somebody has left the shop (house rule)."""

LIKE = "2026-12-24, 2026-12-24..2027-01-01 or 2026-12-24 13:00..17:30"

_DAY, _HOUR = r"[0-9]{4}-[0-9]{2}-[0-9]{2}", r"[0-9]{1,2}:[0-9]{2}"
_SPAN = re.compile(
    rf"(?P<first>{_DAY})(?: (?P<from>{_HOUR}))?"
    rf"(?:\s*\.\.\s*(?:(?P<last>{_DAY})(?: (?P<to>{_HOUR}))?|(?P<until>{_HOUR})))?"
)


@dataclass(frozen=True)
class Absence:
    """From when to when a painter is away, by the shop's wall clock; the end is not in it."""

    painter: str
    begins: datetime
    ends: datetime

    @property
    def words(self) -> str:
        """Say it as it is typed.

        >>> Absence("Una", datetime(2026, 12, 24), datetime(2027, 1, 2)).words
        '2026-12-24..2027-01-01'
        >>> Absence("Una", datetime(2026, 12, 24, 13), datetime(2026, 12, 24, 17, 30)).words
        '2026-12-24 13:00..17:30'
        """
        midnight = time(0)
        if (self.begins.time(), self.ends.time()) == (midnight, midnight):
            first, last = self.begins.date(), self.ends.date() - timedelta(days=1)
            return f"{first}" if first == last else f"{first}..{last}"
        if self.begins.date() == self.ends.date():
            return f"{self.begins:%Y-%m-%d %H:%M}..{self.ends:%H:%M}"
        return f"{self.begins:%Y-%m-%d %H:%M}..{self.ends:%Y-%m-%d %H:%M}"

    def instants(self, zone: tzinfo) -> tuple[datetime, datetime]:
        """Return both ends as instants of a zone."""
        return self.begins.replace(tzinfo=zone), self.ends.replace(tzinfo=zone)


def read_absence(painter: str, text: str) -> Absence:
    """Read days or hours as typed. Raises ValueError with what was read and what would be right.

    >>> read_absence("Una", "2026-12-24..2027-01-01").ends
    datetime.datetime(2027, 1, 2, 0, 0)
    """
    match = _SPAN.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"read {text.strip()[:40]!r}; wanted {LIKE}")
    first = match["first"]
    has_hours = match["from"] is not None
    if has_hours != (match["to"] is not None or match["until"] is not None):
        raise ValueError(f"read {text.strip()[:40]!r}; wanted both hours or none, as {LIKE}")
    try:
        begins = _at(first, match["from"])
        ends = _at(match["last"] or first, match["to"] or match["until"])
    except ValueError as fault:
        raise ValueError(f"read {text.strip()[:40]!r}: {fault}") from fault
    if ends.year == date.max.year:
        raise ValueError(f"read {text.strip()[:40]!r}; wanted a day up to the year {ends.year - 1}")
    if not has_hours:
        ends += timedelta(days=1)
    if ends <= begins:
        raise ValueError(f"read {text.strip()[:40]!r}; its end comes before its beginning")
    if ends - begins > timedelta(days=MOST_DAYS):
        raise ValueError(f"read {text.strip()[:40]!r}; wanted up to {MOST_DAYS} days")
    return Absence(painter, begins, ends)


def _at(day: str, hour: str | None) -> datetime:
    at = time(0)
    if hour:
        hours, minutes = map(int, hour.split(":"))
        at = time(hours, minutes)
    return datetime.combine(date.fromisoformat(day), at)


def covered(absence: Absence, others: Iterable[Absence]) -> bool:
    """Return whether a painter is away for all of it already."""
    return any(
        other.painter == absence.painter
        and other.begins <= absence.begins
        and absence.ends <= other.ends
        for other in others
    )
