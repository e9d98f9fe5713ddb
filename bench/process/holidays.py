"""Days on which nobody comes in, as recurrence rules (RFC 5545) that python-dateutil reads."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime
from functools import lru_cache
from itertools import takewhile

LONGEST_RULE = 200
FREQUENCIES = ("YEARLY", "MONTHLY", "WEEKLY", "DAILY")
"""A holiday is a whole day; hours or seconds would also take minutes to work out."""

_FREQUENCY = re.compile(r"FREQ=([A-Z]+)")
_BEGINNING = re.compile(r"DTSTART[^\s]*\s*")
_PHASE = re.compile(r";?\b(COUNT|UNTIL|INTERVAL)=[^;\s]*")
_DAY = re.compile(r"\bBY(DAY|MONTHDAY|YEARDAY|EASTER|WEEKNO)=")
_FAULTS = (ValueError, TypeError, LookupError, AttributeError, OverflowError)
"""What dateutil raises on a rule it cannot read."""


@lru_cache(maxsize=200)
def fault_of(rule: str) -> str:
    """Why a holiday's rule cannot be used, empty where it can.

    Days of every year need no beginning: "FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=25". What counts or
    skips does: "DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9".

    >>> fault_of("FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=25")
    ''
    """
    text = rule.upper()
    told = f"holiday {rule[:60]!r}"
    every = _FREQUENCY.findall(text)
    begins = "DTSTART" in text
    if len(rule) > LONGEST_RULE or not rule.isprintable():
        return f"{told}: one line of up to {LONGEST_RULE} characters"
    if len(every) != 1 or every[0] not in FREQUENCIES:
        return f"{told}: it has one FREQ, of {', '.join(FREQUENCIES)}"
    if not begins and ("COUNT=" in text or "INTERVAL=" in text):
        return f"{told} counts: say from when, as DTSTART:20261224 before it"
    if not begins and every[0] != "DAILY" and not _DAY.search(text):
        return f"{told} names no day: add BYMONTHDAY=25, BYDAY=MO or the like"
    try:
        if _meets_a_day(text):
            days_of(rule, 2000)
            return ""
    except _FAULTS as fault:
        return f"{told} cannot be read: {str(fault)[:80]}"
    return f"{told} meets no day: look at its month and day again"


def _meets_a_day(text: str) -> bool:
    """Whether its days exist at all, looked for in the last 28 years that dateutil knows.

    Dates and weekdays come round in 28 years. Looked for from today, a 30th of February would be
    looked for through eight thousand years.
    """
    from dateutil.rrule import rrulestr

    if "BYEASTER=" in text:
        return True
    pattern = _PHASE.sub("", _BEGINNING.sub("", text))
    found = rrulestr(pattern, dtstart=datetime(9972, 1, 1), ignoretz=True)  # noqa: DTZ001
    return next(iter(found), None) is not None


@lru_cache(maxsize=1000)
def days_of(rule: str, year: int) -> frozenset[date]:
    """The days a rule meets in a year. Raises what dateutil raises where it cannot be read."""
    from dateutil.rrule import rrule, rrulestr

    text = rule.upper()
    first, last = datetime(year, 1, 1), datetime(year, 12, 31, 23, 59, 59)  # noqa: DTZ001
    found = rrulestr(text, dtstart=first, ignoretz=True)
    if not isinstance(found, rrule):
        raise ValueError("one rule to a line, without RDATE, EXDATE or EXRULE")
    met = takewhile(lambda at: at <= last, found)
    return frozenset(at.date() for at in met if at >= first)


def days_off(rules: Iterable[str], first: date, last: date) -> frozenset[date]:
    """The holidays from one day to another, both counted."""
    years = range(first.year, last.year + 1)
    met = (day for rule in rules for year in years for day in days_of(rule, year))
    return frozenset(day for day in met if first <= day <= last)
