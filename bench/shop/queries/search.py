"""Finding a part among all that ever stood here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from bench.process.parts.search import DateSpan, read_query
from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import of_columns, settings_of
from bench.shop.core.transaction import Shop
from bench.shop.queries.log import instants
from bench.shop.records.gathering import in_zone
from bench.store.queries import history_rows

MOST_SHOWN = 1000


@dataclass(frozen=True)
class FoundPart:
    """One part that fits. begun_at, ended_at: the first and the last thing done to it."""

    tag: str
    name: str
    count: int
    job: str
    owner: str
    substrate: str
    stand: int | None
    away: bool
    left_at: datetime | None
    merged_into: str
    begun_at: datetime | None
    ended_at: datetime | None


@dataclass(frozen=True)
class SearchPage:
    """A page of what fits, and how many fit in all."""

    parts: tuple[FoundPart, ...]
    total: int


def find_parts(
    shop: Shop,
    words: str = "",
    *,
    job: str = "",
    owner: str = "",
    since: date | None = None,
    until: date | None = None,
    most: int = 50,
    skip: int = 0,
) -> SearchPage | Refusal:
    """Find the parts that fit all the words, on the bench or long gone; the newest first.

    since, until: days in the shop's zone on which something was begun on it or it left, both
    included.
    """
    query = read_query(words, job, owner)
    if isinstance(query, Refusal):
        return query
    if not 1 <= most <= MOST_SHOWN or skip < 0:
        return Refusal(f"{most} parts at a time", "", f"from 1 to {MOST_SHOWN}")
    if since is not None and until is not None and until < since:
        return Refusal(f"from {since} to {until}", "", "the earlier day comes first")
    days: tuple[DateSpan, ...] = ()
    if since is not None or until is not None:
        days = ((since or date.min, until or date.max),)
    with shop.store.reading() as session:
        zone = settings_of(session).hours.zone
        rows, total = history_rows.parts_like(
            session,
            [(text, span and instants(*span, zone)) for text, span in query.texts],
            [instants(*span, zone) for span in (*query.spans, *days)],
            query.job,
            query.owner,
            query.whole,
            most,
            skip,
        )
        hours = history_rows.worked_between(session, rows)
        parts = []
        for row in rows:
            first, last = hours.get(row.id or 0, (None, None))
            parts.append(of_columns(FoundPart, row, begun_at=first, ended_at=last))
    return SearchPage(in_zone(tuple(parts), zone), total)
