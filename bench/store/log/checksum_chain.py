"""The chain of checksums through the log: each entry carries one over the entry before and itself.

It is over what is stored, so that a bit that flipped on the disk is seen where SQLite sees nothing,
and so is an entry that was taken out, put in or changed. An entry is never changed once written.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, text
from sqlmodel import Session

CONTENT = (
    *("at", "action", "painter", "terminal", "tag", "text", "changes"),
    *("undoes", "doubtful", "released_at", "released"),
)
"""What of an entry its checksum is over, in this order: all but its number, which places it."""

SINCE = 3
"""The version of the schema that first had checksums in its log."""

NEWEST = "SELECT checksum FROM journal ORDER BY id DESC LIMIT 1"

Stored = Iterable[tuple[Any, ...]]
"""Entries oldest first: number, checksum, and their content as SQLite stores it."""


@dataclass(frozen=True)
class Break:
    """The first entry whose checksum does not agree; at: None where its hour cannot be read."""

    number: int
    at: datetime | None


def checksum_of(before: str, content: Iterable[object]) -> str:
    """Work out an entry's checksum, SHA-256 in hex, from that of the entry before and its content.

    Raises TypeError for bytes: no entry holds any.
    """
    text = json.dumps([before, *content], separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def content_of(entry: Mapping[str, Any]) -> list[object]:
    """Give what an entry says as SQLite stores it: instants and rows as text, a yes as 1."""
    return [_plain(entry[name]) for name in CONTENT]


def _plain(value: Any) -> object:
    if isinstance(value, datetime):
        return value.astimezone(UTC).replace(tzinfo=None).isoformat(" ", "microseconds")
    if isinstance(value, bool):
        return int(value)
    return json.dumps(value) if isinstance(value, list) else value


def newest(session: Session) -> str:
    """Give the checksum of the newest entry, empty where there is none."""
    return session.connection().exec_driver_sql(NEWEST).scalar() or ""


def has(session: Session, number: int, checksum: str) -> bool:
    """Say whether an entry stands in the log."""
    query = text("SELECT 1 FROM journal WHERE id = :number AND checksum = :checksum")
    rows = session.connection().execute(query, {"number": number, "checksum": checksum})
    return rows.first() is not None


def first_break(entries: Stored) -> Break | None:
    """Find the first entry that is not as it was written, None where all are."""
    before = ""
    for number, checksum, *content in entries:
        if not _agrees(before, content, checksum):
            return Break(number, _instant(content[0]))
        before = checksum
    return None


def _agrees(before: str, content: list[object], checksum: object) -> bool:
    try:
        return checksum_of(before, content) == checksum
    except TypeError:
        return False


def _instant(value: object) -> datetime | None:
    try:
        return datetime.fromisoformat(str(value)).replace(tzinfo=UTC)
    except ValueError:
        return None


def break_of(session: Session) -> Break | None:
    """Find the first entry in the data that is not as it was written."""
    return first_break(_entries(session.connection()))


def break_in(raw: sqlite3.Connection) -> Break | None:
    """Find the first entry in a SQLite file that is not as it was written."""
    return first_break(_in_file(raw))


def _entries(connection: Connection, checksum: str = "checksum") -> Iterator[tuple[Any, ...]]:
    """The log of either database."""
    if connection.dialect.name == "sqlite":
        raw: Any = connection.connection.driver_connection
        yield from _in_file(raw, checksum)
        return
    names = [f"{name}::text" if name == "changes" else name for name in CONTENT]
    for number, checksum_read, *content in connection.execute(text(_query(names, checksum))):
        yield number, checksum_read, *map(_plain, content)


def _in_file(raw: sqlite3.Connection, checksum: str = "checksum") -> Iterator[tuple[Any, ...]]:
    raw.text_factory = _letters
    try:
        yield from raw.execute(_query(CONTENT, checksum))
    finally:
        raw.text_factory = str


def _letters(value: bytes) -> str:
    """Text that is no UTF-8 any more is text still, and none that was written."""
    return value.decode("utf-8", errors="surrogateescape")


def _query(names: Iterable[str], checksum: str) -> str:
    return f"SELECT id, {checksum}, {', '.join(names)} FROM journal ORDER BY id"


def chain(connection: Connection) -> None:
    """Give every entry of a log its checksum, in order, as one of an earlier version has none."""
    before, links = "", []
    for number, _, *content in _entries(connection, checksum="''"):
        before = checksum_of(before, content)
        links.append({"number": number, "checksum": before})
    if links:
        change = text("UPDATE journal SET checksum = :checksum WHERE id = :number")
        connection.execute(change, links)
