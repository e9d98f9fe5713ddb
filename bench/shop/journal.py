"""Reading the journal: what was done, by whom, the newest first."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime, time, timedelta, tzinfo

from bench.process.partsheet import JournalLine
from bench.shop.acting import Shop
from bench.shop.rows import settings_of
from bench.store import past
from bench.store.database import Session
from bench.store.tables import JournalRow

EARLIEST, LATEST = date(1, 1, 2), date(9999, 12, 30)
"""Days that a midnight in any zone can still be reckoned for."""


def lines(
    shop: Shop,
    newest: int = 50,
    tag: str = "",
    *,
    since: date | None = None,
    until: date | None = None,
    before: int | None = None,
) -> tuple[JournalLine, ...]:
    """The newest lines, newest first.

    tag: of one part. since, until: days in the shop's zone, both included. before: older than a
    line, by its number.
    """
    with shop.store.reading() as session:
        span = None
        if since is not None or until is not None:
            zone = settings_of(session).hours.zone
            span = instants(since or EARLIEST, until or LATEST, zone)
        return told(session, past.journal_page(session, newest, tag.strip(), span, before))


def last_line_at(shop: Shop, painters: Collection[str], back: int) -> datetime | None:
    """Find when one of some painters wrote the newest line, among so many newest ones."""
    with shop.store.reading() as session:
        return past.last_line_at(session, painters, back)


def line_at(shop: Shop, number: int) -> JournalLine | None:
    """One line by its number."""
    with shop.store.reading() as session:
        row = past.line_numbered(session, number)
        return told(session, [row])[0] if row is not None else None


def told(session: Session, rows: list[JournalRow]) -> tuple[JournalLine, ...]:
    """Rows of the journal as they are read."""
    undone = past.undone_by(session, [row.id or 0 for row in rows])
    return tuple(line_of(row, undone=row.id in undone) for row in rows)


def line_of(row: JournalRow, *, undone: bool = False) -> JournalLine:
    """One row of the journal as it is read."""
    return JournalLine(
        number=row.id or 0,
        at=row.at,
        action=row.action,
        painter=row.painter,
        terminal=row.terminal,
        tag=row.tag,
        text=row.text,
        undone=undone,
        doubtful=row.doubtful,
        undoes=row.undoes,
    )


def instants(first: date, last: date, zone: tzinfo) -> past.Instants:
    """From the midnight before a day to the midnight after another, in a zone."""
    start = datetime.combine(max(first, EARLIEST), time(), zone)
    end = datetime.combine(min(last, LATEST) + timedelta(days=1), time(), zone)
    return start, end
