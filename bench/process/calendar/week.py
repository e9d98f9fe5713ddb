"""The shop's week as people write it: ``Mon-Fri 07:30-17:30, Sat 08:00-12:30``."""

from __future__ import annotations

import re
from datetime import time

Week = tuple[tuple[time, time] | None, ...]
"""One (opens, closes) pair a weekday, Monday first; None where it is closed."""

Break = tuple[time, time]
"""From when to when nobody is in, on each day with hours."""

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

_PIECE = re.compile(
    r"(?P<first>[a-z]+)(?:\s*-\s*(?P<last>[a-z]+))?\s+(?P<opens>[0-9:.]+)\s*-\s*(?P<closes>[0-9:.]+)",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"([0-9]{1,2})(?:[:.]([0-9]{2}))?")


def read_week(text: str) -> Week:
    """Return the hours of each weekday, Monday first; a day that is not named has none.

    Raises ValueError with what was read and what would be right.

    >>> read_week("Mon-Fri 07:30-17:30, Sat 8-12:30")[5]
    (datetime.time(8, 0), datetime.time(12, 30))
    """
    hours_by_day: list[tuple[time, time] | None] = [None] * 7
    for piece in text.split(","):
        match = _PIECE.fullmatch(piece.strip())
        if match is None:
            raise ValueError(f"read {piece.strip()[:40]!r}; wanted days and hours, {_LIKE}")
        hours = _clock(match["opens"]), _clock(match["closes"])
        if hours[0] >= hours[1]:
            raise ValueError(
                f"read {piece.strip()[:40]!r}; it closes before it opens: split a night at midnight"
            )
        for day in _days(match["first"], match["last"] or match["first"]):
            if hours_by_day[day] is not None:
                raise ValueError(f"read {DAYS[day]} twice; wanted each day once, {_LIKE}")
            hours_by_day[day] = hours
    return tuple(hours_by_day)


def read_break(text: str) -> Break | None:
    """Return the break of each day, as in ``12:00-12:30``; None for ``none`` or nothing.

    Raises ValueError with what was read and what would be right.

    >>> read_break("12-12:30")
    (datetime.time(12, 0), datetime.time(12, 30))
    """
    typed = text.strip()
    if typed.casefold() in ("", "none"):
        return None
    begins, dash, ends = typed.partition("-")
    if not dash:
        raise ValueError(f"read {typed[:40]!r}; wanted two hours, as 12:00-12:30, or none")
    both = _clock(begins.strip()), _clock(ends.strip())
    if both[0] >= both[1]:
        raise ValueError(f"read {typed[:40]!r}; wanted the earlier hour first, as 12:00-12:30")
    return both


def break_words(lunch: Break | None) -> str:
    """Return the break as it is read."""
    return f"{_clock_words(lunch[0])}-{_clock_words(lunch[1])}" if lunch else "none"


_LIKE = 'as in "Mon-Fri 07:30-17:30, Sat 08:00-12:30"'


def _days(first: str, last: str) -> list[int]:
    begin, end = _day(first), _day(last)
    return [n % 7 for n in range(begin, end + 1 if end >= begin else end + 8)]


def _day(text: str) -> int:
    short = text[:3].title()
    if short not in DAYS:
        raise ValueError(f"read {text[:20]!r}; wanted a day: {', '.join(DAYS)}")
    return DAYS.index(short)


def _clock(text: str) -> time:
    match = _CLOCK.fullmatch(text)
    hour, minute = (int(match[1]), int(match[2] or 0)) if match else (-1, 0)
    if (hour, minute) == (24, 0):
        return time.max
    if match is None or hour > 23 or minute > 59:
        raise ValueError(f"read {text[:20]!r}; wanted an hour of the day, as 07:30")
    return time(hour, minute)


def week_words(week: Week) -> str:
    """Return the week as it is read, days with the same hours together.

    >>> week_words(read_week("Mon-Fri 07:30-17:30, Sat 08:00-12:30"))
    'Mon-Fri 07:30-17:30, Sat 08:00-12:30'
    """
    pieces: list[str] = []
    day = 0
    while day < len(week):
        last = day
        while last + 1 < len(week) and week[last + 1] == week[day]:
            last += 1
        if hours := week[day]:
            days = DAYS[day] if last == day else f"{DAYS[day]}-{DAYS[last]}"
            pieces.append(f"{days} {_clock_words(hours[0])}-{_clock_words(hours[1])}")
        day = last + 1
    return ", ".join(pieces) or "no hours at all"


def _clock_words(at: time) -> str:
    return "24:00" if at == time.max else f"{at:%H:%M}"
