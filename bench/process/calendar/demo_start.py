"""When the demo's clock starts: the same working morning for everybody, or what somebody chose."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from bench.process.calendar.week import DAYS

MORNING = datetime(2025, 6, 11, 9, 0)  # noqa: DTZ001
"""A Wednesday morning in the shop's hours, by the wall clock of wherever the demo is looked at."""

YEARS = range(2000, 2101)

LIKE = "a day and an hour, such as 'Mon 10:00', 10:00 or 2026-03-16T10:00"

_DAY_AND_HOUR = re.compile(r"(?:([A-Za-z]{3})[a-z]* +)?(\d{1,2}):(\d\d)", re.ASCII)


def demo_start(text: str) -> datetime:
    """Return when the demo starts by its wall clock: a day of its week, an hour, or an ISO time.

    Without a zone unless the text names one. Raises ValueError with what would be right.

    >>> demo_start("Mon 10:00").isoformat(), demo_start("7:40").isoformat()
    ('2025-06-09T10:00:00', '2025-06-11T07:40:00')
    """
    match = _DAY_AND_HOUR.fullmatch(text.strip())
    try:
        if match is None:
            starts = datetime.fromisoformat(text.strip())
        else:
            day = DAYS.index(match[1].title()) if match[1] else MORNING.weekday()
            starts = MORNING + timedelta(days=day - MORNING.weekday())
            starts = starts.replace(hour=int(match[2]), minute=int(match[3]))
    except ValueError:
        raise ValueError(LIKE) from None
    if starts.year not in YEARS:
        raise ValueError(f"a year from {YEARS[0]} to {YEARS[-1]}")
    return starts
