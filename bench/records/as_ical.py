"""Windows and pots as iCalendar (RFC 5545), so that a phone rings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from uuid import NAMESPACE_URL, uuid5

from bench.process.ahead.upcoming import WARNED, UpcomingEvent
from bench.records.plain_text import plain
from bench.shop.queries.lookahead import UpcomingEvents

MOST_OCTETS = 75
"""Of a line, its end not counted (RFC 5545, 3.1, source seen)."""

HEAD = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//paintbench//bench//EN\r\n"
"""How each calendar of ours begins."""


def ical(upcoming: UpcomingEvents) -> str:
    """Write a calendar with each event ahead, in UTC. Imported again, an event replaces the
    one before: its UID hangs on what it is about and not on its hour."""
    lines = [
        "CALSCALE:GREGORIAN",
        *(line for event in upcoming.rings for line in _event(upcoming, event)),
        "END:VCALENDAR",
    ]
    return HEAD + "".join(f"{piece}\r\n" for line in lines for piece in _folded(line))


def _event(upcoming: UpcomingEvents, event: UpcomingEvent) -> Iterator[str]:
    uid = uuid5(NAMESPACE_URL, f"paintbench:{upcoming.shop_key}:{event.key}:{event.kind}")
    least = "CLOCK WRONG, at least: " if upcoming.doubtful else ""
    # The hour itself is the calendar's own and cannot wear a mark.
    title, description = (
        _text(f"{least}{event.title} {event.edge.doubt}".rstrip()),
        _text(event.told),
    )
    yield "BEGIN:VEVENT"
    yield f"UID:{uid}@paintbench"
    yield f"DTSTAMP:{_instant(upcoming.now)}"
    yield f"DTSTART:{_instant(event.edge.shown)}"
    yield f"SUMMARY:{title}"
    yield f"DESCRIPTION:{description}"
    yield f"CATEGORIES:{_text(event.kind.upper())}"
    yield "TRANSP:TRANSPARENT"
    for before in WARNED[event.kind]:
        yield "BEGIN:VALARM"
        yield "ACTION:DISPLAY"
        yield f"TRIGGER:{_before(before)}"
        yield f"DESCRIPTION:{title}"
        yield "END:VALARM"
    yield "END:VEVENT"


def _instant(at: datetime) -> str:
    """Write an instant in UTC (RFC 5545, 3.3.5, form 2)."""
    return at.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")


def _before(span: timedelta) -> str:
    """Write a length of time before the event's start (RFC 5545, 3.3.6)."""
    minutes = int(span.total_seconds()) // 60
    return f"-PT{minutes}M" if minutes else "PT0S"


def _text(text: str) -> str:
    """Write a backslash before what has a meaning (RFC 5545, 3.3.11).

    >>> _text("a;b,c")
    'a\\\\;b\\\\,c'
    """
    escaped = plain(text).replace("\\", "\\\\")
    return escaped.replace(";", "\\;").replace(",", "\\,")


def _folded(line: str) -> Iterator[str]:
    """Cut the line into pieces of at most 75 octets, letters kept whole, later ones indented."""
    piece, octets = "", 0
    for letter in line:
        size = len(letter.encode())
        if octets + size > MOST_OCTETS:
            yield piece
            piece, octets = " ", 1
        piece += letter
        octets += size
    yield piece
