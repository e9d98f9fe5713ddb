"""The whole shop as one JSON text that any program can read, and back: ``paintbench help files``.

``version`` in it is the schema's. What an older version did not have yet is filled with the
columns' own defaults, as replaying its journal does.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from math import isfinite
from typing import Annotated, Any, Literal, TextIO

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError, create_model
from sqlalchemy import Table, insert, select, text
from sqlalchemy.exc import DataError, DBAPIError, IntegrityError
from sqlmodel import Session, SQLModel

from bench.store.copies.stand_ins import StandIns
from bench.store.databases.database import Store
from bench.store.databases.faults import StoreFault, in_one_line
from bench.store.log.checksum_chain import SINCE, chain, checksum_of, content_of
from bench.store.log.journal import as_plain, blank
from bench.store.log.pin_marks import PAINTERS, changes_without_hash, without_hash
from bench.store.log.sheet_versions import keep_as_of_the_upgrade
from bench.store.schema.migrations import BASELINE, newer_words, newest
from bench.store.schema.tables import KEPT, JournalRow, Painter, SheetVersionRow

FORM: Literal["paintbench shop"] = "paintbench shop"
JOURNAL = str(JournalRow.__tablename__)
VERSIONS = str(SheetVersionRow.__tablename__)
STAND_INS = "stand-ins for painters, owners and jobs; the log's checksums are those of this export"
"""What an export without names says of itself."""

LIKE_OURS = 200
"""So far into a text its form stands: what has it there was ours, and is damaged."""

MOST_NUMBER = 1_000_000_000
"""Of a row's number or a count. PostgreSQL holds up to 2,147,483,647, and there is a next row."""

MOST_EXACT = 2**53
"""A whole number up to this is the same in every program that reads JSON (RFC 7493)."""

MOST_SHOWN = 40
"""So much of what was read is shown."""

MOST_DEEP = 40
"""Nested deeper than this is nothing that the program writes."""

WholeNumber = Annotated[int, Field(ge=-MOST_NUMBER, le=MOST_NUMBER)]

NARROWER: dict[Any, Any] = {
    datetime: AwareDatetime,
    datetime | None: AwareDatetime | None,
    int: WholeNumber,
    int | None: WholeNumber | None,
}
"""An instant without a zone is none, and a number that no database holds is none."""

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
    """List every table that holds something of the shop, parents before children."""
    kinds_by_name: dict[str, type[SQLModel]] = {
        **KEPT,
        VERSIONS: SheetVersionRow,
        JOURNAL: JournalRow,
    }
    order = [table.name for table in SQLModel.metadata.sorted_tables]
    return {
        name: kinds_by_name[name] for name in (*(n for n in order if n in KEPT), VERSIONS, JOURNAL)
    }


def write(store: Store, out: TextIO, *, without_names: bool = False) -> int:
    """Write the whole shop as it is at one moment; answers how many journal lines it has.

    without_names: with stand-ins for people, owners and jobs, and checksums to match.
    """
    digest = hashlib.sha256()
    lines = 0

    def put(text: str) -> None:
        out.write(text)
        # The sum is of the tables as compact JSON: of all that is written, without the line ends.
        digest.update(text.replace("\n", "").encode("ascii"))

    out.write(f'{{\n"form":{_compact(FORM)},\n"version":{newest()},\n')
    if without_names:
        out.write(f'"names":{_compact(STAND_INS)},\n')
    out.write('"tables":')
    with store.reading() as session:
        stand_ins = StandIns(session) if without_names else None
        before = "{\n"
        for name, kind in kinds().items():
            put(f"{before}{_compact(name)}:[")
            before, lines = ",\n", 0
            for row in _rows(session, kind, stand_ins):
                put(f"{',' if lines else ''}\n{_compact(row)}")
                lines += 1
            put("\n]")
        put("\n}")
    out.write(f',\n"sum":"{digest.hexdigest()}"\n}}\n')
    return lines


def _rows(
    session: Session, kind: type[SQLModel], stand_ins: StandIns | None
) -> Iterator[dict[str, Any]]:
    table: Table = kind.__table__  # type: ignore[attr-defined]
    (key,), names = table.primary_key.columns, [column.name for column in table.columns]
    source: Iterable[Any] = session.connection().execute(select(table).order_by(key)).mappings()
    if stand_ins is not None:
        source = map(stand_ins.row, source)
        source = _with_checksums(source) if kind is JournalRow else source
    rows = ({name: as_plain(row[name]) for name in names} for row in source)
    if kind is Painter:
        rows = (without_hash(row) for row in rows)
    # Of text each database has an order of its own.
    return (
        iter(sorted(rows, key=lambda row: row[key.name])) if key.type.python_type is str else rows
    )


def _with_checksums(entries: Iterable[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """Give the entries of a log with the checksums of what they say now."""
    before = ""
    for entry in entries:
        before = checksum_of(before, content_of(entry))
        yield {**entry, "checksum": before}


def _compact(value: Any) -> str:
    return json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"))


def read(text: str) -> Whole:
    """Parse an export's text into rows that can be written. Raises NotReadable."""
    try:
        export = json.loads(text)
    except (ValueError, RecursionError) as fault:
        if FORM in text[:LIKE_OURS]:
            raise NotReadable(f"it is damaged or cut short: {_parsing(fault)}") from fault
        raise NotReadable("it is no export of a paintbench shop") from fault
    if not isinstance(export, dict) or export.get("form") != FORM:
        raise NotReadable("it is no export of a paintbench shop")
    version, tables = export.get("version"), export.get("tables")
    if isinstance(version, int) and version > newest():
        raise NotReadable(f"it {newer_words(version, newest())}")
    if not isinstance(version, int) or version < BASELINE or not isinstance(tables, dict):
        raise NotReadable("it is damaged: its version or its tables are missing")
    if _sum_of(tables) != export.get("sum"):
        raise NotReadable("it is damaged or was changed: its sum does not agree with its tables")
    for name in tables.keys() - kinds().keys():
        raise NotReadable(f"it is damaged: no table is called '{name[:40]}'")
    return Whole(version, {name: _checked_rows(name, tables.get(name, [])) for name in kinds()})


def _parsing(fault: Exception) -> str:
    if isinstance(fault, json.JSONDecodeError):
        return str(fault)
    if isinstance(fault, RecursionError):
        return "nested too deep"
    return "a figure of thousands of digits"


def _sum_of(tables: dict[str, Any]) -> str:
    """Give the sum that was written, also over figures that no export of ours holds."""
    try:
        compact = json.dumps(tables, separators=(",", ":"))
    except RecursionError as fault:
        raise NotReadable("it is damaged: nested too deep") from fault
    return hashlib.sha256(compact.encode("ascii")).hexdigest()


def _checked_rows(name: str, rows: Any) -> list[dict[str, Any]]:
    kind = kinds()[name]
    fields = blank(kind)
    reader = reader_of(kind)
    if not isinstance(rows, list):
        raise NotReadable(f"it is damaged: '{name}' is no list of rows")
    plain_rows = []
    for number, row in enumerate(rows, start=1):
        try:
            check_plain(row)
            plain_rows.append(reader.model_validate({**fields, **row}).model_dump())
        except (ValueError, TypeError) as fault:
            raise bad_row(number, name, fault) from fault
    return plain_rows


def bad_row(number: int, name: str, fault: Exception, column: str = "") -> NotReadable:
    """Say which row of which table cannot be brought in and why. column: where the fault is in."""
    why = "it is no row" if isinstance(fault, TypeError) else str(fault)
    where = [column] if column else []
    if isinstance(fault, ValidationError):
        first = fault.errors(include_url=False)[0]
        where += map(str, first["loc"])
        why = f"read {read_short(first['input'])}; {first['msg']}"
    text = ": ".join(filter(None, (f"row {number} of {name}", ".".join(where), why)))
    return NotReadable(f"it is damaged: {text}")


def read_short(value: object) -> str:
    """Show what was read, in ASCII and cut short."""
    text = json.dumps(value, default=str)
    return text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]}.."


def check_plain(value: Any, where: tuple[str, ...] = ()) -> None:
    """Raise ValueError for a figure, a text or a depth that no row of ours holds; it says where."""
    if problem := _odd(value, len(where)):
        raise ValueError(f"{'.'.join(where)}: {problem}")
    if isinstance(value, dict):
        for key, item in value.items():
            check_plain(key, where)
            check_plain(item, (*where, key))
    elif isinstance(value, list):
        for number, item in enumerate(value, start=1):
            check_plain(item, (*where, str(number)))


def _odd(value: Any, deep: int) -> str:
    """What was read and what would be right; empty where it is plain."""
    if deep > MOST_DEEP:
        return f"read what is nested {deep} deep; at most {MOST_DEEP}"
    if isinstance(value, str) and not value.isprintable():
        return f"read {read_short(value)}; wanted text without control characters"
    if isinstance(value, float) and not isfinite(value):
        return f"read {value}; wanted a finite figure"
    if isinstance(value, int) and abs(value) > MOST_EXACT:
        return f"read a figure of {len(str(value))} digits; wanted at most {MOST_EXACT}"
    return ""


def reader_of(kind: type[SQLModel]) -> type[BaseModel]:
    """Give what checks a row's values: a table's own class does not."""
    fields: dict[str, Any] = {
        name: (NARROWER.get(field.annotation, field.annotation), ...)
        for name, field in kind.model_fields.items()
    }
    return create_model(kind.__name__, __config__=ConfigDict(extra="forbid"), **fields)


def export_schema() -> dict[str, Any]:
    """Return the JSON Schema of an export of this version, as Pydantic writes it."""
    exact = ConfigDict(extra="forbid")
    rows: dict[str, Any] = {name: (list[reader_of(kind)], ...) for name, kind in kinds().items()}  # type: ignore[misc]
    fields: dict[str, Any] = {
        "form": (Literal["paintbench shop"], ...),
        "version": (Literal[newest()], ...),
        "names": (str, Field(default="", description="there if names were replaced")),
        "tables": (create_model("Tables", __config__=exact, **rows), ...),
        "sum": (str, Field(pattern="^[0-9a-f]{64}$", description="SHA-256 of the tables")),
    }
    export: type[BaseModel] = create_model("Export", __config__=exact, **fields)
    return export.model_json_schema()


def is_empty(session: Session) -> bool:
    """Say whether nothing of a shop is here yet."""
    return not any(session.execute(select(kind).limit(1)).first() for kind in kinds().values())


def fill(session: Session, whole: Whole) -> None:
    """Write every row. Nothing is committed; the tables have to be empty. Raises NotReadable."""
    connection = session.connection()
    for name, kind in kinds().items():
        try:
            if rows := _without_hashes(name, whole.rows[name]):
                connection.execute(insert(kind), rows)
        except IntegrityError as fault:
            raise NotReadable(
                f"it is damaged: the rows of {name} do not fit: {in_one_line(fault)}"
            ) from fault
    if whole.version < SINCE:
        keep_as_of_the_upgrade(connection)
        chain(connection)
    if connection.dialect.name == "postgresql":
        _count_on(session)


def is_of_the_rows(fault: Exception) -> bool:
    """Say whether the fault lies in the rows that were filled in, not in the disk or the server."""
    if isinstance(fault, DBAPIError):
        return isinstance(fault, (IntegrityError, DataError))
    return not isinstance(fault, (StoreFault, MemoryError))


def _without_hashes(name: str, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Give rows of a table without the hashes of PINs, which exports of earlier versions have."""
    if name == PAINTERS:
        return [without_hash(row) for row in rows]
    if name == JOURNAL:
        return [{**row, "changes": changes_without_hash(row["changes"])} for row in rows]
    return rows


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
