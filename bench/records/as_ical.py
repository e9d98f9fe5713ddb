"""Windows and pots as iCalendar (RFC 5545), so that a phone rings until they are gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import NAMESPACE_URL, uuid5

from bench.process.ahead.upcoming import WARNED, UpcomingEvent
from bench.records.plain_text import plain
from bench.shop.queries.lookahead import UpcomingEvents

MOST_OCTETS = 75
"""Of a line, its end not counted (RFC 5545, 3.1, source seen)."""

HEAD = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//paintbench//bench//EN\r\n"
"""How each calendar of ours begins."""


_INSTANT = "%Y%m%dT%H%M%SZ"


@dataclass(frozen=True)
class _Announced:
    """An event of an earlier calendar, as its lines say it."""

    start: str
    summary: str


def ical(upcoming: UpcomingEvents, earlier: str = "") -> str:
    """Write a calendar with each event ahead, in UTC; empty where there is none.

    Imported again, an event replaces the one before: its UID hangs on what it is about and not on
    its hour, and its SEQUENCE grows with the log (RFC 5545, 3.8.7.4). earlier: the text of the
    calendar that is written over. What is ahead in that and went since (a pot was binned, a part
    taken off, something undone) is CANCELLED until its hour is over.
    """
    name = f"paintbench tag {upcoming.tag}" if upcoming.tag else "paintbench"
    uids = {_uid(upcoming, event): event for event in upcoming.rings}
    gone = {
        uid: event
        for uid, event in _announced(earlier, name).items()
        if uid not in uids and event.start > _instant(upcoming.now)
    }
    if not uids and not gone:
        return ""
    lines = [
        "CALSCALE:GREGORIAN",
        f"NAME:{_text(name)}",  # RFC 7986, 5.1
        f"X-WR-CALNAME:{_text(name)}",  # what phones read instead of it
        *(line for uid, event in uids.items() for line in _event(upcoming, uid, event)),
        *(line for uid, event in gone.items() for line in _cancelled(upcoming, uid, event)),
        "END:VCALENDAR",
    ]
    return HEAD + "".join(f"{piece}\r\n" for line in lines for piece in _folded(line))


def _uid(upcoming: UpcomingEvents, event: UpcomingEvent) -> str:
    uid = uuid5(NAMESPACE_URL, f"paintbench:{upcoming.shop_key}:{event.key}:{event.kind}")
    return f"{uid}@paintbench"


def _announced(text: str, name: str) -> dict[str, _Announced]:
    """Return the events of an earlier calendar of this name by their UID; of another name, none."""
    lines = text.replace("\r\n ", "").split("\r\n")
    if f"NAME:{_text(name)}" not in lines:
        return {}
    events: dict[str, _Announced] = {}
    fields: dict[str, str] = {}
    for line in lines:
        key, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            fields = {}
        elif line == "END:VEVENT" and {"UID", "DTSTART", "SUMMARY"} <= fields.keys():
            events[fields["UID"]] = _Announced(fields["DTSTART"], fields["SUMMARY"])
        else:
            fields.setdefault(key, value)
    return events


def _event(upcoming: UpcomingEvents, uid: str, event: UpcomingEvent) -> Iterator[str]:
    least = "CLOCK WRONG, at least: " if upcoming.doubtful else ""
    # The hour itself is the calendar's own and cannot wear a mark.
    title, description = (
        _text(f"{least}{event.title} {event.edge.doubt}".rstrip()),
        _text(event.details),
    )
    yield from _head(upcoming, uid, _Announced(_instant(event.edge.shown), title))
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


def _cancelled(upcoming: UpcomingEvents, uid: str, event: _Announced) -> Iterator[str]:
    """Take back an event: without an alarm (RFC 5545, 3.8.1.11)."""
    yield from _head(upcoming, uid, event)
    yield "STATUS:CANCELLED"
    yield "END:VEVENT"


def _head(upcoming: UpcomingEvents, uid: str, event: _Announced) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{uid}"
    yield f"DTSTAMP:{_instant(upcoming.now)}"
    yield f"SEQUENCE:{upcoming.sequence}"
    yield f"DTSTART:{event.start}"
    yield f"SUMMARY:{event.summary}"


def _instant(at: datetime) -> str:
    """Write an instant in UTC (RFC 5545, 3.3.5, form 2)."""
    return at.astimezone(UTC).strftime(_INSTANT)


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
