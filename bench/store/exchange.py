"""The whole shop as one JSON text that any program can read, and back. DEVELOPERS.md describes it.

``version`` in it is the schema's. What an older version did not have yet is filled with the
columns' own defaults, as replaying its journal does.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TextIO

from pydantic import AwareDatetime, BaseModel, ConfigDict, ValidationError, create_model
from sqlalchemy import Table, insert, select, text
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, SQLModel

from bench.store.chain import SINCE, chain
from bench.store.database import Store
from bench.store.faults import in_one_line
from bench.store.journal import as_plain, blank
from bench.store.migrations import BASELINE, newer_words, newest
from bench.store.tables import KEPT, JournalRow

FORM = "paintbench shop"
JOURNAL = str(JournalRow.__tablename__)
LIKE_OURS = 200
"""So far into a text its form stands: what has it there was ours, and is damaged."""

AWARE: dict[Any, Any] = {datetime: AwareDatetime, datetime | None: AwareDatetime | None}
"""An instant without a zone is none."""

Rows = dict[str, list[dict[str, Any]]]


class NotReadable(ValueError):
    """A text is no export that can be read; the message says why, for a painter."""


@dataclass(frozen=True)
class Whole:
    """What an export holds: for each table its rows, ready to be written."""

    version: int
    rows: Rows

    @property
    def lines(self) -> int:
        """How many lines its journal has."""
        return len(self.rows[JOURNAL])


def kinds() -> dict[str, type[SQLModel]]:
    """Every table that holds something of the shop, parents before children."""
    known: dict[str, type[SQLModel]] = {**KEPT, JOURNAL: JournalRow}
    order = [table.name for table in SQLModel.metadata.sorted_tables]
    return {name: known[name] for name in (*(n for n in order if n in KEPT), JOURNAL)}


def write(store: Store, out: TextIO) -> int:
    """Write the whole shop as it is at one moment; answers how many journal lines it has."""
    summed = hashlib.sha256()
    lines = 0

    def put(text: str) -> None:
        out.write(text)
        # The sum is of the tables as compact JSON: of all that is written, without the line ends.
        summed.update(text.replace("\n", "").encode("ascii"))

    out.write(f'{{\n"form":{_compact(FORM)},\n"version":{newest()},\n"tables":')
    with store.reading() as session:
        before = "{\n"
        for name, kind in kinds().items():
            put(f"{before}{_compact(name)}:[")
            before, lines = ",\n", 0
            for row in _rows(session, kind):
                put(f"{',' if lines else ''}\n{_compact(row)}")
                lines += 1
            put("\n]")
        put("\n}")
    out.write(f',\n"sum":"{summed.hexdigest()}"\n}}\n')
    return lines


def _rows(session: Session, kind: type[SQLModel]) -> Iterator[dict[str, Any]]:
    table: Table = kind.__table__  # type: ignore[attr-defined]
    (key,), names = table.primary_key.columns, [column.name for column in table.columns]
    found = session.connection().execute(select(table).order_by(key)).mappings()
    rows = ({name: as_plain(row[name]) for name in names} for row in found)
    # Of text each database has an order of its own.
    return (
        iter(sorted(rows, key=lambda row: row[key.name])) if key.type.python_type is str else rows
    )


def _compact(value: Any) -> str:
    return json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"))


def read(text: str) -> Whole:
    """An export's text as rows that can be written. Raises NotReadable."""
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as fault:
        if FORM in text[:LIKE_OURS]:
            raise NotReadable(f"it is damaged or cut short: {fault}") from fault
        raise NotReadable("it is no export of a paintbench shop") from fault
    if not isinstance(found, dict) or found.get("form") != FORM:
        raise NotReadable("it is no export of a paintbench shop")
    version, tables = found.get("version"), found.get("tables")
    if isinstance(version, int) and version > newest():
        raise NotReadable(f"it {newer_words(version, newest())}")
    if not isinstance(version, int) or version < BASELINE or not isinstance(tables, dict):
        raise NotReadable("it is damaged: its version or its tables are missing")
    if hashlib.sha256(_compact(tables).encode("ascii")).hexdigest() != found.get("sum"):
        raise NotReadable("it is damaged or was changed: its sum does not agree with its tables")
    for name in tables.keys() - kinds().keys():
        raise NotReadable(f"it is damaged: no table is called '{name[:40]}'")
    return Whole(version, {name: _checked(name, tables.get(name, [])) for name in kinds()})


def _checked(name: str, rows: Any) -> list[dict[str, Any]]:
    kind = kinds()[name]
    fields = blank(kind)
    reader = _reader(kind)
    if not isinstance(rows, list):
        raise NotReadable(f"it is damaged: '{name}' is no list of rows")
    checked = []
    for number, row in enumerate(rows, start=1):
        try:
            checked.append(reader.model_validate({**fields, **row}).model_dump())
        except (ValidationError, TypeError) as fault:
            told = f"it is damaged: row {number} of {name}: {_why(fault)}"
            raise NotReadable(told) from fault
    return checked


def _why(fault: ValidationError | TypeError) -> str:
    if isinstance(fault, TypeError):
        return "it is no row"
    first = fault.errors(include_url=False)[0]
    return f"{'.'.join(map(str, first['loc']))}: {first['msg']}"


def _reader(kind: type[SQLModel]) -> type[BaseModel]:
    """What checks a row's values: a table's own class does not."""
    fields: dict[str, Any] = {
        name: (AWARE.get(field.annotation, field.annotation), ...)
        for name, field in kind.model_fields.items()
    }
    return create_model(kind.__name__, __config__=ConfigDict(extra="forbid"), **fields)


def is_empty(session: Session) -> bool:
    """Whether nothing of a shop is here yet."""
    return not any(session.execute(select(kind).limit(1)).first() for kind in kinds().values())


def fill(session: Session, whole: Whole) -> None:
    """Write every row. Nothing is committed; the tables have to be empty. Raises NotReadable."""
    connection = session.connection()
    for name, kind in kinds().items():
        try:
            if rows := whole.rows[name]:
                connection.execute(insert(kind), rows)
        except IntegrityError as fault:
            raise NotReadable(
                f"it is damaged: the rows of {name} do not fit: {in_one_line(fault)}"
            ) from fault
    if whole.version < SINCE:
        chain(connection)
    if connection.dialect.name == "postgresql":
        _count_on(session)


def _count_on(session: Session) -> None:
    """PostgreSQL gives numbers by a counter of its own, which has not seen ours."""
    for name, kind in kinds().items():
        if "id" in kind.model_fields:
            session.connection().execute(
                text(
                    f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), "
                    f'coalesce(max(id), 1), max(id) IS NOT NULL) FROM "{name}"'
                )
            )
