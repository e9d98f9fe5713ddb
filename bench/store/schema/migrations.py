"""Forward migrations: a short ordered list. A new database starts at the newest version."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Sequence

from sqlalchemy import (
    JSON,
    Connection,
    Engine,
    Text,
    cast,
    column,
    inspect,
    select,
    table,
    text,
    update,
)
from sqlmodel import SQLModel

from bench.store.log.checksum_chain import chain
from bench.store.log.pin_marks import changes_without_hash
from bench.store.log.sheet_versions import keep_as_of_the_upgrade
from bench.store.schema import tables

BASELINE = 1
"""The version of the first release."""

Migration = Callable[[Connection], None]

TO_2 = (
    "ALTER TABLE painter ADD COLUMN pin VARCHAR NOT NULL DEFAULT ''",
    "ALTER TABLE painter ADD COLUMN left_at DATETIME",
    "ALTER TABLE painter ADD COLUMN left_line INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE part ADD COLUMN taken_by JSON NOT NULL DEFAULT '[]'",
    "ALTER TABLE part ADD COLUMN split_from VARCHAR NOT NULL DEFAULT ''",
    "ALTER TABLE part ADD COLUMN merged_into VARCHAR NOT NULL DEFAULT ''",
    "ALTER TABLE part ADD COLUMN bungs_in INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE part ADD COLUMN bungs_out INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE part ADD COLUMN contacts INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE part ADD COLUMN contacts_done INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE part ADD COLUMN left_at DATETIME",
    "CREATE INDEX ix_part_job ON part (job)",
    "CREATE INDEX ix_part_owner ON part (owner)",
    "ALTER TABLE step ADD COLUMN tins JSON NOT NULL DEFAULT '[]'",
    "CREATE INDEX ix_step_first_at ON step (first_at)",
    "DROP INDEX ix_step_sprayed",
    "CREATE INDEX ix_step_trigger ON step (sprayed, status, last_at)",
    "ALTER TABLE mix ADD COLUMN tins JSON NOT NULL DEFAULT '[]'",
    "CREATE INDEX ix_journal_at ON journal (at)",
    "CREATE INDEX ix_journal_action ON journal (action)",
    """CREATE TABLE equipment (
        key VARCHAR NOT NULL PRIMARY KEY, position INTEGER NOT NULL, name VARCHAR NOT NULL,
        kind VARCHAR NOT NULL, needs_l_min FLOAT, gives_l_min FLOAT, holder VARCHAR NOT NULL,
        held_at DATETIME, held_for VARCHAR NOT NULL, queue JSON NOT NULL
    )""",
    """CREATE TABLE tin (
        id INTEGER NOT NULL PRIMARY KEY, product VARCHAR NOT NULL, role VARCHAR NOT NULL,
        batch VARCHAR NOT NULL, size_ml FLOAT NOT NULL, left_ml FLOAT NOT NULL,
        came_at DATETIME NOT NULL, use_by DATETIME, opened_at DATETIME, empty_at DATETIME,
        price FLOAT
    )""",
    "CREATE INDEX ix_tin_product ON tin (product)",
    "CREATE INDEX ix_tin_batch ON tin (batch)",
    "CREATE INDEX ix_tin_empty_at ON tin (empty_at)",
    """CREATE TABLE note (
        id INTEGER NOT NULL PRIMARY KEY, part_id INTEGER REFERENCES part (id),
        at DATETIME NOT NULL, painter VARCHAR NOT NULL, text VARCHAR NOT NULL,
        struck BOOLEAN NOT NULL
    )""",
    "CREATE INDEX ix_note_part_id ON note (part_id)",
)
"""Equipment, tins, notes, who is on a part, split lots. Version 1 was written by SQLite alone: what
comes after version 2 has to be understood by PostgreSQL too."""

TO_3 = (
    "ALTER TABLE step ADD COLUMN in_air VARCHAR NOT NULL DEFAULT ''",
    "ALTER TABLE step ADD COLUMN weight VARCHAR NOT NULL DEFAULT 'as meant'",
    "ALTER TABLE step ADD COLUMN wet_um FLOAT",
    "ALTER TABLE step ADD COLUMN dry_um FLOAT",
    "CREATE INDEX ix_step_status ON step (status)",
    "ALTER TABLE journal ADD COLUMN released_at DATETIME",
    "ALTER TABLE journal ADD COLUMN released VARCHAR NOT NULL DEFAULT ''",
    "CREATE INDEX ix_journal_released_at ON journal (released_at)",
    "ALTER TABLE painter ADD COLUMN isocyanate_trained BOOLEAN",
    "ALTER TABLE part ADD COLUMN zinc JSON NOT NULL DEFAULT '{}'",
    "ALTER TABLE part ADD COLUMN area_m2 FLOAT",
    "ALTER TABLE mix ADD COLUMN most_s FLOAT",
    # No form of taking NOT NULL off a column is understood by both databases.
    "ALTER TABLE mix RENAME COLUMN use_from TO used_from",
    "ALTER TABLE mix ADD COLUMN use_from DATETIME",
    "UPDATE mix SET use_from = used_from",
    "ALTER TABLE mix DROP COLUMN used_from",
    "ALTER TABLE journal ADD COLUMN checksum VARCHAR NOT NULL DEFAULT ''",
    "ALTER TABLE step ADD COLUMN sheet_version VARCHAR NOT NULL DEFAULT ''",
    "ALTER TABLE mix ADD COLUMN sheet_version VARCHAR NOT NULL DEFAULT ''",
    """CREATE TABLE sheet_version (
        key VARCHAR NOT NULL PRIMARY KEY, product VARCHAR NOT NULL, sheet JSON NOT NULL,
        since DATETIME
    )""",
)
"""What was put into the air: masks stay on for it whatever is struck or undone later. Who is
trained for isocyanate. A part's area, what is known of its zinc, and how thick a coat came out. The
clock of a pot, which is only kept once it is binned. The checksums of the log, worked out last. The
versions of the data sheets: what was done before has the one as of the upgrade."""


TO_4 = (
    """CREATE TABLE job (
        name VARCHAR NOT NULL PRIMARY KEY, owner VARCHAR NOT NULL, order_number VARCHAR NOT NULL,
        received JSON NOT NULL, promised VARCHAR NOT NULL, promise VARCHAR NOT NULL,
        priority INTEGER NOT NULL, system JSON NOT NULL, photos JSON NOT NULL
    )""",
    """CREATE TABLE instrument (
        name VARCHAR NOT NULL PRIMARY KEY, kind VARCHAR NOT NULL, number VARCHAR NOT NULL,
        error FLOAT, calibrated VARCHAR NOT NULL, check_by VARCHAR NOT NULL, gone BOOLEAN NOT NULL
    )""",
    """CREATE TABLE measurement (
        id ROW_NUMBER NOT NULL PRIMARY KEY, part_id INTEGER NOT NULL REFERENCES part (id),
        step_id INTEGER REFERENCES step (id), kind VARCHAR NOT NULL, face VARCHAR NOT NULL,
        readings JSON NOT NULL, grade VARCHAR NOT NULL, instrument VARCHAR NOT NULL,
        surface VARCHAR NOT NULL, less_um FLOAT NOT NULL, at DATETIME NOT NULL,
        painter VARCHAR NOT NULL, struck BOOLEAN NOT NULL
    )""",
    "CREATE INDEX ix_measurement_part_id ON measurement (part_id)",
    "CREATE INDEX ix_measurement_step_id ON measurement (step_id)",
)
"""Jobs, what was measured on a part, and with which instrument."""


TO_5 = (
    """CREATE TABLE away (
        id ROW_NUMBER NOT NULL PRIMARY KEY, painter VARCHAR NOT NULL, begins VARCHAR NOT NULL,
        ends VARCHAR NOT NULL
    )""",
    """CREATE TABLE plan (
        id ROW_NUMBER NOT NULL PRIMARY KEY, made_at DATETIME NOT NULL, line INTEGER NOT NULL,
        until DATETIME NOT NULL, agreed BOOLEAN NOT NULL, planner VARCHAR NOT NULL,
        seed INTEGER NOT NULL, limits JSON NOT NULL, price FLOAT NOT NULL, bound FLOAT,
        proven BOOLEAN NOT NULL
    )""",
    "CREATE INDEX ix_plan_agreed ON plan (agreed)",
    """CREATE TABLE plan_step (
        id ROW_NUMBER NOT NULL PRIMARY KEY, plan_id INTEGER NOT NULL REFERENCES plan (id),
        step_id INTEGER NOT NULL REFERENCES step (id), begins DATETIME NOT NULL,
        ends DATETIME NOT NULL, painters JSON NOT NULL, share INTEGER NOT NULL,
        shares INTEGER NOT NULL, abrading_from DATETIME, closes DATETIME, pot INTEGER,
        mixes_at DATETIME, open_pot VARCHAR NOT NULL, doubt BOOLEAN NOT NULL
    )""",
    "CREATE INDEX ix_plan_step_plan_id ON plan_step (plan_id)",
    "CREATE INDEX ix_plan_step_step_id ON plan_step (step_id)",
    "CREATE INDEX ix_journal_doubtful ON journal (doubtful)",
)
"""When painters are away, and the plan. What was written down by a doubted clock is found soon."""


TO_6 = ("ALTER TABLE plan_step ADD COLUMN moved_at DATETIME",)
"""When a wet part is carried out of the spray space."""


PIN_HASH = '"pin": "scrypt '
"""How a PIN's hash begins in the row images of versions 1 and 2."""

_JOURNAL = table("journal", column("id"), column("changes", JSON))


def _to_3(connection: Connection) -> None:
    """Add what version 3 has, take the hashes of PINs out of the log, and give it its checksums."""
    _run(TO_3)(connection)
    keep_as_of_the_upgrade(connection)
    if connection.dialect.name == "sqlite":
        # Else what was there before stays readable between the rows.
        connection.exec_driver_sql("PRAGMA secure_delete = ON")
    with_hash = cast(_JOURNAL.c.changes, Text).contains(PIN_HASH)
    for number, changes in connection.execute(select(_JOURNAL).where(with_hash)).all():
        clean = changes_without_hash(changes)
        connection.execute(update(_JOURNAL).where(_JOURNAL.c.id == number).values(changes=clean))
    chain(connection)


def clean_log(copy: sqlite3.Connection) -> None:
    """Take the hashes of PINs out of the log of a copy made before version 3; its table keeps them.

    Such a copy is kept for good, and an earlier program cannot read a table without them.
    """
    copy.execute("PRAGMA secure_delete = ON")
    query = "SELECT changes, id FROM journal WHERE instr(changes, ?)"
    rows = copy.execute(query, (PIN_HASH,)).fetchall()
    clean = [(json.dumps(changes_without_hash(json.loads(changes))), n) for changes, n in rows]
    copy.executemany("UPDATE journal SET changes = ? WHERE id = ?", clean)
    copy.commit()


def _run(statements: Sequence[str]) -> Migration:
    def run(connection: Connection) -> None:
        is_sqlite = connection.dialect.name == "sqlite"
        instant = "DATETIME" if is_sqlite else "TIMESTAMP WITH TIME ZONE"
        number = "INTEGER" if is_sqlite else "SERIAL"
        for statement in statements:
            own_text = statement.replace("DATETIME", instant).replace("ROW_NUMBER", number)
            connection.execute(text(own_text))

    return run


MIGRATIONS: tuple[Migration, ...] = (_run(TO_2), _to_3, _run(TO_4), _run(TO_5), _run(TO_6))
"""The n-th brings a database from version n to n + 1. A released one is never edited."""


def newer_words(version: int, own_version: int) -> str:
    """Say that data is of a newer program, and what to do."""
    return (
        f"was written by a newer program (its version {version}, this program knows up to "
        f"{own_version}); update this program"
    )


class NotOurs(RuntimeError):
    """The database cannot be opened by this program; the message says why. It was not touched."""


def newest(migrations: Sequence[Migration] = MIGRATIONS) -> int:
    """Give the version this program writes."""
    return BASELINE + len(migrations)


def upgrade(
    engine: Engine,
    migrations: Sequence[Migration] = MIGRATIONS,
    *,
    may_be_new: bool = True,
    before: Callable[[int], None] | None = None,
) -> bool:
    """Create an empty database or bring an older one forward, all or nothing.

    may_be_new: fill an empty one; else it is left so, and the answer is False. before: is called
    with the version an older one is brought to, under the lock. Raises NotOurs for a database of
    something else or of a newer program, without touching it, and where a step fails.
    """
    own_version = newest(migrations)
    with engine.connect() as connection:
        stored_version = _version_to_leave(version_of(connection), own_version)
    if stored_version == own_version or not (stored_version or may_be_new):
        return stored_version == own_version
    with engine.execution_options(writer=True).begin() as connection:
        # Read again under the lock: another terminal may have been first.
        version = _version_to_leave(version_of(connection), own_version)
        if version == 0:
            SQLModel.metadata.create_all(connection)
            connection.execute(
                text("INSERT INTO schema_version (id, version) VALUES (1, :v)"), {"v": own_version}
            )
        elif version < own_version:
            if before is not None:
                before(own_version)
            try:
                for step in migrations[version - BASELINE :]:
                    step(connection)
            except Exception as fault:
                raise NotOurs(
                    f"bringing this shop's data to version {own_version} failed ({fault}); it is "
                    f"as it was, of version {version}"
                ) from fault
            connection.execute(text("UPDATE schema_version SET version = :v"), {"v": own_version})
    return True


def _version_to_leave(version: int, own_version: int) -> int:
    if version > own_version:
        raise NotOurs(f"this shop's data {newer_words(version, own_version)}")
    return version


def version_of(connection: Connection) -> int:
    """Give the database's version, 0 when it is empty. Raises NotOurs when it is another's."""
    names = set(inspect(connection).get_table_names())
    if not names:
        return 0
    if tables.SchemaVersion.__tablename__ not in names:
        raise NotOurs("this is a database of some other program; give another path")
    version = connection.execute(text("SELECT version FROM schema_version")).scalar()
    if version is None:
        raise NotOurs("this database has no version in it; it is damaged or of some other program")
    return int(version)
