"""Whether the data is whole: the file, what its rows point at, and state against journal."""

from __future__ import annotations

import json

from sqlmodel import col, func, select, text

from bench.store.databases.database import Store, StoreFault
from bench.store.databases.faults import in_one_line
from bench.store.log import checksum_chain, sheet_versions
from bench.store.log.checksum_chain import Break
from bench.store.log.journal import Image, NotReplayable, present, replay
from bench.store.schema.tables import JournalRow

MOST_FAULTS = 100
"""A damaged file can have one a row; more than these help nobody."""


def faults(store: Store) -> tuple[str, ...]:
    """List what is wrong with the data, empty when all is well. Nothing is changed."""
    problems: list[str] = []
    try:
        problems += _in_file(store)
        problems += _against_journal(store)
        problems += _sheet_versions(store)
    except NotReplayable as fault:
        problems.append(str(fault))
    except (StoreFault, ValueError, TypeError, LookupError, AttributeError) as fault:
        # Whatever a row holds that nobody wrote: this look never ends without an answer.
        problems.append(f"the data cannot be read to its end: {in_one_line(fault)}")
    return tuple(problems[:MOST_FAULTS])


def first_break(store: Store) -> Break | None:
    """Find the first entry of the log that is not as it was written. Raises StoreFault."""
    with store.reading() as session:
        return checksum_chain.break_of(session)


def journal_lines(store: Store) -> int:
    """Count the entries of the log."""
    with store.reading() as session:
        return session.exec(select(func.count(col(JournalRow.id)))).one()


def _in_file(store: Store) -> list[str]:
    """SQLite's own look at the file. Another database looks after its own."""
    with store.reading() as session:
        if session.get_bind().dialect.name != "sqlite":
            return []
        lines = session.connection().execute(text("PRAGMA integrity_check")).scalars().all()
        faults = [f"the file: {line}" for line in lines if line != "ok"]
        orphans = session.connection().execute(text("PRAGMA foreign_key_check")).all()
        return faults + [
            f"{row[0]} row {row[1]} points at a {row[2]} that is not there" for row in orphans
        ]


def _against_journal(store: Store) -> list[str]:
    with store.reading() as session:
        journal = replay(session.exec(select(JournalRow).order_by(col(JournalRow.id))))
        state = present(session)
    return [
        _differs(f"{table} {key}", journal[table].get(key), state[table].get(key))
        for table in state
        for key in sorted(journal[table].keys() | state[table].keys())
        if journal[table].get(key) != state[table].get(key)
    ]


def _sheet_versions(store: Store) -> list[str]:
    with store.reading() as session:
        return sheet_versions.faults(session)


def _differs(row: str, journal: Image | None, state: Image | None) -> str:
    if journal is None:
        return f"{row}: it is there, but the journal knows nothing of it"
    if state is None:
        return f"{row}: the journal knows it, but it is gone"
    strange = journal.keys() ^ state.keys()
    if strange:
        return f"{row}: {min(strange)} is no name of a column, or one is missing in the log"
    name = min(name for name in journal if journal[name] != state[name])
    return f"{row}: {name} is {_short(state[name])}, the journal says {_short(journal[name])}"


def _short(value: object) -> str:
    return json.dumps(value, default=str)[:60]
