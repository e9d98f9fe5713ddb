"""Times and numbers as painters say them. Pure: the zone is in the instants handed in."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import datetime, timedelta

MINUTE = 60
HOUR = 3600
DAY = 86400
FEW_MINUTES = 10 * MINUTE
"""From here on a number is in whole minutes: nobody acts on the seconds."""

FEW_HOURS = 100 * HOUR
"""From here on a number is in days: it must still fit six big digits."""


def doubt_mark(unconfirmed: bool) -> str:
    """Mark a figure that nobody took from a data sheet, measured or typed: ``?``, else nothing."""
    return "?" if unconfirmed else ""


DECIMALS = 6
"""What lies behind these is the rounding of floats."""


def countdown(seconds: float) -> str:
    """Return the big number with its unit, never with a colon. Overrun wears a plus.

    Seconds below ten minutes, whole minutes within the hour, then hours, then days.

    >>> countdown(125), countdown(5 * 3600 + 420), countdown(-2520), countdown(8 * 86400)
    ('2 min 05', '5 h 07', '+42 min', '8 d 00')
    """
    if seconds < 0:
        return "+" + _digits(math.floor(-seconds))
    return _digits(math.ceil(seconds))


def _digits(seconds: int) -> str:
    if seconds < FEW_MINUTES:
        return f"{seconds // MINUTE} min {seconds % MINUTE:02d}"
    if seconds < HOUR:
        return f"{seconds // MINUTE} min"
    if seconds < FEW_HOURS:
        return f"{seconds // HOUR} h {seconds % HOUR // MINUTE:02d}"
    return f"{min(seconds // DAY, 999)} d {seconds % DAY // HOUR:02d}"


def short_countdown(seconds: float) -> str:
    """Return the same in whole minutes, where nobody is near enough to act on the seconds.

    >>> short_countdown(125), short_countdown(-45), short_countdown(5 * 3600 + 420)
    ('2 min', '+0 min', '5 h 07')
    """
    whole, minutes, _ = countdown(seconds).partition(" min")
    return f"{whole}{minutes}" if minutes else whole


def bounded_countdown(number: str, *, up: bool) -> str:
    """Return the big number while the clock is wrong: over at least so much, left at most so much.

    >>> bounded_countdown("+42 min", up=True), bounded_countdown("2 min 05", up=False)
    ('>+42 min', '<2 min 05')
    """
    return f">{number}" if up else f"<{number}"


def format_duration(seconds: float) -> str:
    """Return a length of time in words, minutes rounded up.

    >>> format_duration(700), format_duration(12_000), format_duration(187_200)
    ('12 min', '3 h 20 min', '2 d 4 h')
    """
    minutes = max(math.ceil(seconds / MINUTE), 0)
    if minutes < 60:
        return f"{minutes} min"
    hours, minutes = divmod(minutes, 60)
    if hours < 48:
        return f"{hours} h {minutes:02d} min" if minutes else f"{hours} h"
    days, hours = divmod(hours, 24)
    return f"{days} d {hours} h" if hours else f"{days} d"


def format_clock(at: datetime, now: datetime, *, weekday: bool = True) -> str:
    """Return the hour of the day, with its day, and its date beyond tomorrow or before yesterday.

    weekday: beside a date; without it that takes less room. In the zone of ``now``.

    >>> from datetime import UTC
    >>> now = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
    >>> [format_clock(now + timedelta(days=n), now) for n in (0, 1, 3, -4)]
    ['08:00', 'Tue 08:00', 'Thu 12 Mar 08:00', 'Thu 05 Mar 08:00']
    """
    local = at.astimezone(now.tzinfo)
    days = abs((local.date() - now.date()).days)
    if days > 1:
        return local.strftime("%a %d %b %H:%M" if weekday else "%d %b %H:%M")
    return local.strftime("%a %H:%M" if days else "%H:%M")


def day_words(at: datetime) -> str:
    """Return an instant with its whole day, in the zone it is in.

    >>> from datetime import UTC
    >>> day_words(datetime(2026, 3, 12, 14, 30, tzinfo=UTC))
    '14:30 on Thu 12 Mar 2026'
    """
    return at.strftime("%H:%M on %a %d %b %Y")


def date_words(at: datetime) -> str:
    """Return an instant with its date in figures, in the zone it is in, to stand in a list.

    >>> from datetime import UTC
    >>> date_words(datetime(2025, 6, 9, 8, 40, 30, tzinfo=UTC))
    '2025-06-09 08:40'
    """
    return at.strftime("%Y-%m-%d %H:%M")


def join_names(names: Iterable[str]) -> str:
    """Return names one after the other.

    >>> join_names(["Kit", "Mo", "Una"])
    'Kit, Mo and Una'
    """
    every = list(names)
    if len(every) < 2:
        return "".join(every)
    return f"{', '.join(every[:-1])} and {every[-1]}"


def round_up(at: datetime, minutes: int = 5) -> datetime:
    """Return the next full five minutes: how the opening hour of an estimate is shown.

    >>> from datetime import UTC
    >>> f"{round_up(datetime(2026, 3, 9, 8, 1, tzinfo=UTC)):%H:%M}"
    '08:05'
    """
    step = minutes * MINUTE
    return at + timedelta(seconds=(-at.timestamp()) % step)


def round_down(at: datetime, minutes: int = 5) -> datetime:
    """Return the full five minutes before: how the closing hour of an estimate is shown.

    >>> from datetime import UTC
    >>> f"{round_down(datetime(2026, 3, 9, 8, 9, tzinfo=UTC)):%H:%M}"
    '08:05'
    """
    step = minutes * MINUTE
    return at - timedelta(seconds=at.timestamp() % step)


def format_number(value: float, digits: int = 3) -> str:
    """Return a number with so many digits, without an exponent and without zeros at its end.

    >>> format_number(153.33), format_number(0.15174), format_number(1148.5), format_number(70.0)
    ('153', '0.152', '1148', '70')
    """
    value = round(value, DECIMALS)
    if value == 0:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
