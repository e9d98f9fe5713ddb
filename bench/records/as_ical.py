"""Windows and pots as iCalendar (RFC 5545), so that a phone rings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from uuid import NAMESPACE_URL, uuid5

from bench.process.ahead.upcoming import WARNED, UpcomingEvent
from bench.records.plain_text import shown
from bench.shop.queries.lookahead import UpcomingEvents

MOST_OCTETS = 75
"""Of a line, its end not counted (RFC 5545, 3.1, source seen)."""

HEAD = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//paintbench//bench//EN\r\n"
"""How each calendar of ours begins."""


def ical(ringing: UpcomingEvents) -> str:
    """A calendar with an event for each thing ahead, in UTC. Taken in again, an event replaces the
    one before: its UID hangs on what it is about and not on its hour."""
    lines = [
        "CALSCALE:GREGORIAN",
        *(line for ring in ringing.rings for line in _event(ringing, ring)),
        "END:VCALENDAR",
    ]
    return HEAD + "".join(f"{piece}\r\n" for line in lines for piece in _folded(line))


def _event(ringing: UpcomingEvents, ring: UpcomingEvent) -> Iterator[str]:
    uid = uuid5(NAMESPACE_URL, f"paintbench:{ringing.shop_key}:{ring.key}:{ring.kind}")
    least = "CLOCK WRONG, at least: " if ringing.doubtful else ""
    # The hour itself is the calendar's own and cannot wear a mark.
    title, told = _text(f"{least}{ring.title} {ring.edge.doubt}".rstrip()), _text(ring.told)
    yield "BEGIN:VEVENT"
    yield f"UID:{uid}@paintbench"
    yield f"DTSTAMP:{_instant(ringing.now)}"
    yield f"DTSTART:{_instant(ring.edge.shown)}"
    yield f"SUMMARY:{title}"
    yield f"DESCRIPTION:{told}"
    yield f"CATEGORIES:{_text(ring.kind.upper())}"
    yield "TRANSP:TRANSPARENT"
    for before in WARNED[ring.kind]:
        yield "BEGIN:VALARM"
        yield "ACTION:DISPLAY"
        yield f"TRIGGER:{_before(before)}"
        yield f"DESCRIPTION:{title}"
        yield "END:VALARM"
    yield "END:VEVENT"


def _instant(at: datetime) -> str:
    """In UTC (RFC 5545, 3.3.5, form 2)."""
    return at.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")


def _before(span: timedelta) -> str:
    """A length of time before the event's start (RFC 5545, 3.3.6)."""
    minutes = int(span.total_seconds()) // 60
    return f"-PT{minutes}M" if minutes else "PT0S"


def _text(text: str) -> str:
    """The text with what has a meaning written with a backslash (RFC 5545, 3.3.11).

    >>> _text("a;b,c")
    'a\\\\;b\\\\,c'
    """
    escaped = shown(text).replace("\\", "\\\\")
    return escaped.replace(";", "\\;").replace(",", "\\,")


def _folded(line: str) -> Iterator[str]:
    """The line in pieces of at most 75 octets, no letter torn apart, the later ones indented."""
    piece, octets = "", 0
    for letter in line:
        size = len(letter.encode())
        if octets + size > MOST_OCTETS:
            yield piece
            piece, octets = " ", 1
        piece += letter
        octets += size
    yield piece
