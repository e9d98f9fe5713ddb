"""Forward migrations: a short ordered list. A new database starts at the newest version."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sqlalchemy import Connection, Engine, inspect, text
from sqlmodel import SQLModel

from bench.store import tables

BASELINE = 1
"""The version of the first release."""

Migration = Callable[[Connection], None]

MIGRATIONS: tuple[Migration, ...] = ()
"""The n-th brings a database from version n to n + 1. A released one is never edited."""


class NotOurs(RuntimeError):
    """The database cannot be opened by this program; the message says why. It was not touched."""


def newest(migrations: Sequence[Migration] = MIGRATIONS) -> int:
    """The version this program writes."""
    return BASELINE + len(migrations)


def upgrade(engine: Engine, migrations: Sequence[Migration] = MIGRATIONS) -> None:
    """Create an empty database or bring an older one forward, all or nothing.

    Raises NotOurs for a database of something else or of a newer program, without touching it.
    """
    known = newest(migrations)
    with engine.connect() as connection:
        if _version_to_leave(version_of(connection), known) == known:
            return
    with engine.execution_options(writer=True).begin() as connection:
        # Read again under the lock: another terminal may have been first.
        version = _version_to_leave(version_of(connection), known)
        if version == 0:
            SQLModel.metadata.create_all(connection)
            connection.execute(
                text("INSERT INTO schema_version (id, version) VALUES (1, :v)"), {"v": known}
            )
        elif version < known:
            for step in migrations[version - BASELINE :]:
                step(connection)
            connection.execute(text("UPDATE schema_version SET version = :v"), {"v": known})


def _version_to_leave(version: int, known: int) -> int:
    if version > known:
        raise NotOurs(
            f"this shop's data was written by a newer program (its version {version}, this program "
            f"knows up to {known}); update this program"
        )
    return version


def version_of(connection: Connection) -> int:
    """The database's version, 0 when it is empty. Raises NotOurs when it holds something else."""
    names = set(inspect(connection).get_table_names())
    if not names:
        return 0
    if tables.SchemaVersion.__tablename__ not in names:
        raise NotOurs("this file is a database of some other program; give another path")
    version = connection.execute(text("SELECT version FROM schema_version")).scalar()
    if version is None:
        raise NotOurs("this database has no version in it; it is damaged or of some other program")
    return int(version)
