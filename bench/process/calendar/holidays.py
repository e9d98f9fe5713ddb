"""Days on which nobody comes in, as recurrence rules (RFC 5545) that python-dateutil reads."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import MAXYEAR, date, datetime, timedelta
from functools import lru_cache
from itertools import takewhile
from types import FrameType

LONGEST_RULE = 200
FREQUENCIES = ("YEARLY", "MONTHLY", "WEEKLY", "DAILY")
"""A holiday is a whole day; hours or seconds would also take minutes to work out."""

MOST_DAYS = 366
"""A shop that is shut for longer is not one that paints."""

MOST_STEPS = 50_000
"""So many of dateutil's take about a tenth of a second; forty years of single days fit in."""

_DAYS_IN = {"ydayset": 366, "mdayset": 31, "wdayset": 7}
"""The days that dateutil looks through after a call of its functions."""

_INTERVAL = re.compile(r"\bINTERVAL=([0-9]+)")
_SPAN = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:\.\.([0-9]{4}-[0-9]{2}-[0-9]{2}))?")
_RUN_OF_DAYS = re.compile(r"DTSTART:([0-9]{8}) RRULE:FREQ=DAILY;COUNT=([0-9]+)")
_FREQUENCY = re.compile(r"FREQ=([A-Z]+)")
_BEGINNING = re.compile(r"DTSTART[^\s]*\s*")
_PHASE = re.compile(r";?\b(COUNT|UNTIL|INTERVAL)=[^;\s]*")
_DAY = re.compile(r"\bBY(DAY|MONTHDAY|YEARDAY|EASTER|WEEKNO)=")
_FAULTS = (ValueError, TypeError, LookupError, AttributeError, OverflowError)
"""What dateutil raises on a rule it cannot read."""


def run_of_days(first: date, days: int = 1) -> str:
    """Return the rule of so many days off from a day on, 1 to MOST_DAYS. Raises ValueError.

    >>> run_of_days(date(2026, 12, 24), 9)
    'DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9'
    """
    if not 1 <= days <= MOST_DAYS:
        raise ValueError(f"{days} days off: from 1 to {MOST_DAYS}")
    return f"DTSTART:{first:%Y%m%d} RRULE:FREQ=DAILY;COUNT={days}"


def rule_of(holiday: str) -> str:
    """Return the rule of a holiday as typed: a day, a run of days, or a rule. Raises ValueError.

    >>> rule_of("2026-12-24..2027-01-01")
    'DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9'
    """
    text = holiday.strip()
    match = _SPAN.fullmatch(text)
    if match:
        try:
            first, last = (date.fromisoformat(day or match[1]) for day in match.groups())
        except ValueError as wrong:
            raise ValueError(f"holiday {text}: {wrong}") from wrong
        if last < first:
            raise ValueError(f"holiday {text}: its end comes before its beginning")
        return run_of_days(first, (last - first).days + 1)
    if fault := fault_of(text):
        raise ValueError(fault)
    return text


def holiday_words(rule: str) -> str:
    """Return a rule as people read it: days, a day of each year, days around Easter, a weekday.

    Any other stays as it is.

    >>> holiday_words("DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9")
    'Thu 24 Dec 2026 to Fri 01 Jan 2027'
    >>> holiday_words("FREQ=YEARLY;BYMONTH=5;BYDAY=1MO")
    'first Mon of May, every year'
    >>> holiday_words("FREQ=YEARLY;BYEASTER=-2")
    '2 days before Easter Sunday, every year'
    """
    match = _RUN_OF_DAYS.fullmatch(rule)
    if match is None:
        return _rule_words(rule)
    first, days = date.fromisoformat(match[1]), int(match[2])
    last = first + timedelta(days=days - 1)
    return f"{first:%a %d %b %Y}" + (f" to {last:%a %d %b %Y}" if days > 1 else "")


def _rule_words(rule: str) -> str:
    parts = dict(part.partition("=")[::2] for part in rule.upper().split(";"))
    match parts:
        case {"FREQ": "YEARLY", "BYMONTH": month, "BYMONTHDAY": day, **more} if not more:
            if month in _MONTHS and day.isdigit():
                return f"{int(day)} {_MONTHS[month]}, every year"
        case {"FREQ": "YEARLY", "BYMONTH": month, "BYDAY": day, **more} if not more:
            if month in _MONTHS and day[:-2] in _WHICH and day[-2:] in _WEEKDAYS:
                return f"{_WHICH[day[:-2]]} {_WEEKDAYS[day[-2:]]} of {_MONTHS[month]}, every year"
        case {"FREQ": "YEARLY", "BYEASTER": days, **more} if not more:
            if days.lstrip("+-").isdigit():
                return f"{_around_easter(int(days))}, every year"
        case {"FREQ": "WEEKLY", "BYDAY": day, **more} if not more and day in _WEEKDAYS:
            return f"every {_WEEKDAYS[day]}"
    return rule


def _around_easter(days: int) -> str:
    if days == 0:
        return "Easter Sunday"
    plural = "s" if abs(days) > 1 else ""
    return f"{abs(days)} day{plural} {'before' if days < 0 else 'after'} Easter Sunday"


_MONTHS = {str(number): f"{date(2000, number, 1):%b}" for number in range(1, 13)}
_WEEKDAYS = {
    f"{date(2001, 1, day):%a}"[:2].upper(): f"{date(2001, 1, day):%a}" for day in range(1, 8)
}
_WHICH = {"1": "first", "2": "second", "3": "third", "4": "fourth", "-1": "last"}


@lru_cache(maxsize=200)
def fault_of(rule: str) -> str:
    """Return why a holiday's rule cannot be used, empty where it can.

    Days of every year need no beginning: "FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=25". What counts or
    skips does: "DTSTART:20261224 RRULE:FREQ=DAILY;COUNT=9".

    >>> fault_of("FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=25")
    ''
    """
    text = rule.upper()
    label = f"holiday {rule[:60]!r}"
    every = _FREQUENCY.findall(text)
    begins = "DTSTART" in text
    if len(rule) > LONGEST_RULE or not rule.isprintable():
        return f"{label}: one line of up to {LONGEST_RULE} characters"
    if len(every) != 1 or every[0] not in FREQUENCIES:
        return f"{label}: it has one FREQ, of {', '.join(FREQUENCIES)}"
    if not begins and ("COUNT=" in text or "INTERVAL=" in text):
        return f"{label} counts: say from when, as DTSTART:20261224 before it"
    if not begins and every[0] != "DAILY" and not _DAY.search(text):
        return f"{label} names no day: add BYMONTHDAY=25, BYDAY=MO or the like"
    if not text.isascii():
        return f"{label} has other signs than figures 0 to 9 and letters A to Z"
    try:
        if _meets_a_day(text):
            # What counts goes on from its beginning: looked at until it has counted to its end.
            days_of(rule, MAXYEAR if "COUNT=" in text else 2000)
            return ""
    except TooManySteps as fault:
        return f"{label} {fault}: write it with UNTIL, or as the days themselves"
    except _FAULTS as fault:
        return f"{label} cannot be read: {str(fault)[:80]}"
    return f"{label} meets no day: look at its month and day again"


def _meets_a_day(text: str) -> bool:
    """Return whether its days exist at all, looked for in the last 28 years that dateutil knows.

    Dates and weekdays come round in 28 years. Looked for from today, a 30th of February would be
    looked for through eight thousand years.
    """
    from dateutil.rrule import rrulestr

    if "BYEASTER=" in text:
        return True
    pattern = _PHASE.sub("", _BEGINNING.sub("", text))
    days = rrulestr(pattern, dtstart=datetime(9972, 1, 1), ignoretz=True)  # noqa: DTZ001
    with _count_steps():
        return next(iter(days), None) is not None


@lru_cache(maxsize=1000)
def days_of(rule: str, year: int) -> frozenset[date]:
    """Give the days a rule meets in a year. Raises what dateutil raises where it cannot be read."""
    from dateutil.rrule import rrule, rrulestr

    text = rule.upper()
    first, last = datetime(year, 1, 1), datetime(year, 12, 31, 23, 59, 59)  # noqa: DTZ001
    days = rrulestr(text, dtstart=first, ignoretz=True)
    if not isinstance(days, rrule):
        raise ValueError("one rule to a line, without RDATE, EXDATE or EXRULE")
    if "COUNT=" not in text:
        begins = days._dtstart  # type: ignore[attr-defined]
        days = days.replace(dtstart=_near(begins, text, first))
    with _count_steps():
        instants = list(takewhile(lambda at: at <= last, days))
    return frozenset(at.date() for at in instants if at >= first)


def _near(begins: datetime, text: str, first: datetime) -> datetime:
    """Return a beginning of the same days just before ``first``, to count from close by.

    Whole intervals later, and what the beginning itself says stays: its weekday, or its day of the
    year. A 29th of February comes round in 400 years.
    """
    interval = int(match[1]) if (match := _INTERVAL.search(text)) else 1
    frequency = _FREQUENCY.findall(text)[0]
    if begins >= first or interval < 1:
        return begins
    if frequency in ("DAILY", "WEEKLY"):
        every = timedelta(days=interval * (7 if frequency == "WEEKLY" else 1))
        return begins + (first - begins) // every * every
    years = interval * (400 if (begins.month, begins.day) == (2, 29) else 1)
    # A year early: what of an interval comes before the beginning's own day would be left out.
    earlier = first.year - 1 - begins.year
    return begins.replace(year=begins.year + earlier // years * years)


class TooManySteps(RuntimeError):
    """The days of a rule are too far to walk to; the message says how far it was gone."""


@contextmanager
def _count_steps() -> Iterator[None]:
    """Stop after MOST_STEPS: dateutil walks on to the last year where a rule meets nothing.

    Counted, not timed, so that a rule is refused on every computer or on none. A step is a call, or
    a day of the years, months and weeks that dateutil looks through in one.
    """
    steps, before = 0, sys.getprofile()

    def count(frame: FrameType, event: str, _argument: object) -> None:
        nonlocal steps
        if event == "call":
            steps += _DAYS_IN.get(frame.f_code.co_name, 1)
        if steps > MOST_STEPS:
            raise TooManySteps(f"takes over {MOST_STEPS} steps to work out")

    sys.setprofile(count)
    try:
        yield
    finally:
        sys.setprofile(before)


def days_off(rules: Iterable[str], first: date, last: date) -> frozenset[date]:
    """Return the holidays from one day to another, both counted."""
    years = range(first.year, last.year + 1)
    met = (day for rule in rules for year in years for day in days_of(rule, year))
    return frozenset(day for day in met if first <= day <= last)
