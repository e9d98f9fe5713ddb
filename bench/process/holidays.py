"""Days on which nobody comes in, as recurrence rules (RFC 5545) that python-dateutil reads."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from functools import lru_cache
from itertools import takewhile

LONGEST_RULE = 200
FREQUENCIES = ("YEARLY", "MONTHLY", "WEEKLY", "DAILY")
"""A holiday is a whole day; hours or seconds would also take minutes to work out."""

MOST_DAYS = 366
"""A shop that is shut for longer is not one that paints."""

_SPAN = re.compile(r"(\d{4}-\d{2}-\d{2})(?:\.\.(\d{4}-\d{2}-\d{2}))?")
_RUN_OF_DAYS = re.compile(r"DTSTART:(\d{8}) RRULE:FREQ=DAILY;COUNT=(\d+)")
_FREQUENCY = re.compile(r"FREQ=([A-Z]+)")
_BEGINNING = re.compile(r"DTSTART[^\s]*\s*")
_PHASE = re.compile(r";?\b(COUNT|UNTIL|INTERVAL)=[^;\s]*")
_DAY = re.compile(r"\bBY(DAY|MONTHDAY|YEARDAY|EASTER|WEEKNO)=")
_FAULTS = (ValueError, TypeError, LookupError, AttributeError, OverflowError)
"""What dateutil raises on a rule it cannot read."""


def run_of_days(first: date, days: int = 1) -> str:
    """The rule of so many days off from a day on, 1 to MOST_DAYS. Raises ValueError.

    >>> run_of_days(date(2026, 12, 24), 9)
    'DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9'
    """
    if not 1 <= days <= MOST_DAYS:
        raise ValueError(f"{days} days off: from 1 to {MOST_DAYS}")
    return f"DTSTART:{first:%Y%m%d} RRULE:FREQ=DAILY;COUNT={days}"


def rule_of(typed: str) -> str:
    """A holiday as people type it: a day, a run of days, or a rule as it is. Raises ValueError.

    >>> rule_of("2026-12-24..2027-01-01")
    'DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9'
    """
    text = typed.strip()
    found = _SPAN.fullmatch(text)
    if found:
        try:
            first, last = (date.fromisoformat(day or found[1]) for day in found.groups())
        except ValueError as wrong:
            raise ValueError(f"holiday {text}: {wrong}") from wrong
        if last < first:
            raise ValueError(f"holiday {text}: its end comes before its beginning")
        return run_of_days(first, (last - first).days + 1)
    if fault := fault_of(text):
        raise ValueError(fault)
    return text


def holiday_words(rule: str) -> str:
    """A rule as people read it, where it is a plain run of days.

    >>> holiday_words("DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9")
    'Thu 24 Dec 2026 to Fri 01 Jan 2027'
    """
    found = _RUN_OF_DAYS.fullmatch(rule)
    if found is None:
        return rule
    first, days = date.fromisoformat(found[1]), int(found[2])
    last = first + timedelta(days=days - 1)
    return f"{first:%a %d %b %Y}" + (f" to {last:%a %d %b %Y}" if days > 1 else "")


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
