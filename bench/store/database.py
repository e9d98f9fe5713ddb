"""Opening the shop's data: one engine, and sessions that either commit whole or leave no trace."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Engine, event
from sqlalchemy.exc import DatabaseError, DBAPIError, OperationalError
from sqlmodel import Session, create_engine

from bench.store.migrations import NotOurs, upgrade

__all__ = ["CannotOpen", "Session", "Store", "StoreFault", "open_store"]

BUSY_S = 5
"""How long a writer waits for the other terminal before it gives up."""


class CannotOpen(RuntimeError):
    """The data cannot be opened; the message is for a painter."""


class StoreFault(RuntimeError):
    """The data could not be read or written just now; nothing was half-written."""


class Store:
    """The shop's data. Reads see one moment; writes take the lock at once, so none is lost."""

    def __init__(self, engine: Engine, place: str | None = None) -> None:
        self.place = place
        self._engine = engine
        self._watch: Any = None

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one unchanging moment and writes nothing."""
        with _told_plainly(), Session(self._engine) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session holding the write lock from its start. Rolled back unless it is committed."""
        with _told_plainly(), Session(self._engine.execution_options(writer=True)) as session:
            yield session

    def change_mark(self) -> int:
        """A figure that changes with every commit, here or on another terminal (data_version)."""
        with _told_plainly():
            if self._watch is None:
                self._watch = self._engine.raw_connection()
            return int(self._watch.execute("PRAGMA data_version").fetchone()[0])

    def close(self) -> None:
        """Let go of the file."""
        if self._watch is not None:
            self._watch.close()
        self._engine.dispose()


@contextmanager
def _told_plainly() -> Iterator[None]:
    try:
        yield
    except (DBAPIError, sqlite3.Error) as fault:
        raise StoreFault(str(getattr(fault, "orig", None) or fault)) from fault


def open_store(path: str) -> Store:
    """Open, create or bring forward the SQLite file at a path. Raises CannotOpen."""
    if "://" in path:
        raise CannotOpen(f"{path}: this is no path; the data is one file on this computer")
    _make_folder(Path(path).parent)
    engine = engine_at(path)
    try:
        upgrade(engine)
        _keep_a_write_ahead_log(engine)
    except (NotOurs, DatabaseError) as fault:
        engine.dispose()
        raise CannotOpen(f"{path}: {_why(fault)}") from fault
    return Store(engine, path)


def engine_at(path: str) -> Engine:
    """The connections to the SQLite file at a path, each set as the store relies on."""
    engine = create_engine(URL.create("sqlite", database=path))
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def _why(fault: Exception) -> str:
    if isinstance(fault, OperationalError):
        return f"cannot be opened or written: {fault.orig}; check the path and its rights"
    if isinstance(fault, DatabaseError):
        return f"this file is not paintbench data ({fault.orig}); give another path"
    return str(fault)


def _keep_a_write_ahead_log(engine: Engine) -> None:
    """Readers and the writer do not wait for each other. Set once it is known to be our file."""
    raw = engine.raw_connection()
    try:
        raw.execute("PRAGMA journal_mode = WAL")
    finally:
        raw.close()


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise CannotOpen(
            f"{folder}: this folder cannot be made: {fault.strerror}; choose another with --db PATH"
        ) from fault


def _on_connect(connection: Any, _record: Any) -> None:
    """SQLite's own defaults lose updates and ignore foreign keys: set what we rely on."""
    connection.isolation_level = None
    # SQLite's own knows A to Z only, and a tag may be of any alphabet.
    connection.create_function("lower", 1, _lower, deterministic=True)
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {BUSY_S * 1000}")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.close()


def _lower(text: object) -> object:
    return text.lower() if isinstance(text, str) else text


def _on_begin(connection: Any) -> None:
    writer = connection.get_execution_options().get("writer", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writer else "BEGIN")
