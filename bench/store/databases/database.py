"""Opening the shop's data: one engine, and sessions that either commit whole or leave no trace."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DatabaseError, SQLAlchemyError
from sqlmodel import Session

from bench.disk import shut_to_others
from bench.settings import on_a_server, place_words
from bench.store.copies import backup
from bench.store.copies.backup import BackupFault
from bench.store.copies.restore import settle
from bench.store.databases import postgresql, sqlite
from bench.store.databases.faults import (
    CannotOpen,
    InDoubt,
    NothingHere,
    StoreFault,
    as_store_faults,
    kind_of,
)
from bench.store.databases.postgresql import Hear
from bench.store.log import checksum_chain
from bench.store.schema.migrations import NotOurs, clean_log, newest, upgrade, version_of

__all__ = ["CannotOpen", "NothingHere", "Session", "Store", "StoreFault", "open_store"]


class Store:
    """The shop's data. Reads see one moment; writes take the lock at once, so none is lost.

    place: the file, None on a server; unwritable: why it can only be read; shut: why it could not
    be opened, which every use then raises; change_mark: the question whose answer changes with
    every commit, and a server's time with it; reading: what makes a reader see one moment; reopen:
    what opens the same data again; settle: what ends the doubt after a commit failed; dispose: what
    closes the engine's connections; hear: who gets a server's time.
    """

    def __init__(
        self,
        engine: Engine,
        place: str | None,
        change_mark: str,
        reading: Mapping[str, Any],
        reopen: Callable[[], Store],
        settle: Callable[[Engine], None],
        dispose: Callable[[], None],
        hear: Hear = lambda _: None,
    ) -> None:
        self.place = place
        self.shut: StoreFault | None = None
        self.unwritable: StoreFault | None = None
        self.reopen = reopen
        self._settle = settle
        self._dispose = dispose
        self._engine = engine
        self._readers = engine.execution_options(**reading)
        self._writers = engine.execution_options(writer=True)
        self._change_mark = change_mark
        self._hear = hear
        self._watch: Connection | None = None

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Open a session that sees one unchanging moment and writes nothing."""
        self._attend()
        with as_store_faults(self.place), Session(self._readers) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """Open a session with the write lock from its start. Rolled back unless it is committed."""
        self._attend()
        if self.unwritable is not None:
            raise self.unwritable
        with self._naming(), as_store_faults(self.place), Session(self._writers) as session:
            yield session

    def was_written(self, doubt: InDoubt) -> bool:
        """Say whether an entry whose commit failed is in the log, for good. Raises StoreFault.

        Asked in a writer's turn: on a server that commit has come to its end then.
        """
        with as_store_faults(self.place):
            self._settle(self._engine)
        with self.writing() as session:
            return checksum_chain.has(session, doubt.number, doubt.checksum)

    @contextmanager
    def _naming(self) -> Iterator[None]:
        """Where a file may only be read, say which, and who mends that."""
        try:
            yield
        except StoreFault as fault:
            if (
                fault.kind == "read-only"
                and self.place
                and (reason := sqlite.only_read(self.place))
            ):
                raise reason from fault
            raise

    def _attend(self) -> None:
        if self.shut is not None:
            raise self.shut

    def change_mark(self) -> int:
        """Give a figure that changes with every commit, here or on another terminal."""
        self._attend()
        with as_store_faults(self.place):
            if self._watch is None:
                self._watch = self._engine.connect()
            try:
                mark, *now = self._watch.exec_driver_sql(self._change_mark).one()
                self._watch.rollback()
            except Exception:
                # The server was restarted, say: the next look is through a new connection.
                self._watch.invalidate()
                self._watch = None
                raise
        if now:
            self._hear(now[0])
        return int(mark or 0)

    def close(self) -> None:
        """Let go of the data."""
        if self._watch is not None:
            self._watch.close()
            self._watch = None
        self._dispose()


def open_store(place: str, *, may_be_new: bool = True, hear: Hear = lambda _: None) -> Store:
    """Open, create or bring forward a shop's data: a SQLite file's path or a database's address.

    may_be_new: make it where there is none; hear: gets the time a server gives. Raises
    CannotOpen, without touching what is not ours.
    """
    if on_a_server(place):
        return _open_server(place, may_be_new, hear)
    return _open_file(place, may_be_new)


def unopened_store(place: str, fault: StoreFault, *, hear: Hear = lambda _: None) -> Store:
    """Give a store for data that cannot be opened, to say so and to try again."""
    store = _on_server(place, hear) if on_a_server(place) else _in_file(place)
    store.shut = fault
    return store


def _open_file(path: str, may_be_new: bool) -> Store:
    try:
        settle(path)
    except BackupFault as fault:
        raise CannotOpen(f"{path}: {fault}", "locked") from fault
    if not may_be_new and not Path(path).exists():
        raise NothingHere(path)
    is_empty = backup.is_empty(path)
    if spoilt := backup.why_unopenable(path):
        raise CannotOpen(f"{path}: the data is damaged: {spoilt}", "damaged")
    if is_empty and not may_be_new:
        raise NothingHere(f"{path}: the file is empty")
    _make_folder(Path(path).parent)
    sqlite.make_file(path)
    store = _in_file(path)
    try:
        upgrade(store._engine, before=partial(_copy_first, path))
        sqlite.keep_a_write_ahead_log(store._engine)
    except (NotOurs, DatabaseError, sqlite3.Error, StoreFault) as fault:
        store.close()
        why = sqlite.cannot_open(path, fault)
        if why.kind in WITHOUT_WRITING and (store_to_read := _only_to_read(path, why)):
            return store_to_read
        raise why from fault
    return store


WITHOUT_WRITING = ("full", "read-only", "failed")
"""Faults at the opening with which the data may still be read."""


def _only_to_read(path: str, why: CannotOpen) -> Store | None:
    """Data beside which nothing can be written, of this program's version; None where it is not."""
    reading = sqlite.reading_engine_at(path)
    if reading is None:
        return None
    engine, close = reading
    try:
        with engine.connect() as connection:
            ours = version_of(connection) == newest()
    except (NotOurs, DatabaseError, sqlite3.Error, StoreFault):
        ours = False
    if not ours:
        close()
        return None
    again = partial(open_store, path, may_be_new=False)
    store = Store(engine, path, sqlite.CHANGE_MARK, {}, again, sqlite.settle, close)
    store.unwritable = sqlite.only_read(path) or StoreFault(str(why), why.kind or "failed")
    return store


def _copy_first(path: str, version: int) -> None:
    """A copy of what is brought forward, as it was; under a name that is never thinned out.

    Its log is rid of the hashes of PINs. Earlier versions left the file readable to everybody.
    """
    folder = backup.folder_beside(path)
    for side in ("", *backup.SIDE_FILES):
        shut_to_others(Path(path + side))
    try:
        backup.make_folder(folder)
        target = backup.unused_path(folder / backup.file_name(path, f"before-version-{version}"))
        backup.copy(path, target, clean=clean_log)
    except BackupFault as fault:
        raise NotOurs(
            f"before this shop's data is brought to version {version} it is copied into {folder}, "
            f"and that cannot be done ({fault}); nothing was changed"
        ) from fault


def _open_server(place: str, may_be_new: bool, hear: Hear) -> Store:
    store = _on_server(place, hear)
    try:
        if not upgrade(store._engine, may_be_new=may_be_new):
            raise NothingHere(place_words(place))
    except NothingHere:
        store.close()
        raise
    except (NotOurs, SQLAlchemyError, CannotOpen) as fault:
        store.close()
        kind = kind_of(fault) if isinstance(fault, SQLAlchemyError) else None
        raise CannotOpen(f"{place_words(place)}: {postgresql.why(fault)}", kind) from fault
    return store


def _make_folder(folder: Path) -> None:
    try:
        backup.make_folder(folder)
    except BackupFault as fault:
        raise CannotOpen(
            f"{folder}: this folder cannot be made: {fault}; choose another with --db PATH"
        ) from fault


def _in_file(path: str) -> Store:
    engine, dispose = sqlite.engine_at(path)
    again = partial(open_store, path, may_be_new=False)
    return Store(engine, path, sqlite.CHANGE_MARK, {}, again, sqlite.settle, dispose)


def _on_server(place: str, hear: Hear) -> Store:
    engine, again = postgresql.engine_at(place, hear), partial(open_store, place, hear=hear)
    mark, reading = postgresql.CHANGE_MARK, postgresql.READING
    return Store(engine, None, mark, reading, again, postgresql.settle, engine.dispose, hear)
