"""A shop in one SQLite file on this computer."""

from __future__ import annotations

import errno
import os
import pwd
import random
import shlex
import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import suppress
from math import inf
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import Engine, QueuePool, event
from sqlalchemy.exc import DatabaseError
from sqlmodel import create_engine

from bench import disk
from bench.store.copies.backup import copies_of
from bench.store.databases.faults import (
    CannotOpen,
    FaultKind,
    LogLost,
    OnlyRead,
    StoreFault,
    kind_of,
    words_and_kind,
)
from bench.store.databases.write_ahead_log import INDEX, LOG, WriteAheadLog, which_file
from bench.store.databases.writer_turns import line_at, pause

BUSY_S = 5
"""How long anybody waits for the other terminal before giving up."""

SOONEST_S, LATEST_S = 0.0005, 0.003
"""When a writer whose turn it is not asks again."""

CHANGE_MARK = "PRAGMA data_version"
"""Changes with every commit of another connection; costs some microseconds."""


HEAD = b"SQLite format 3\0"
"""What a SQLite file begins with."""

FILE = "file"
"""Where a connection remembers which file it opened."""

RIGHTS = "check the path and its rights"


class LoggedConnection(sqlite3.Connection):
    """A connection whose commit fails if it went into a log that is not there any more."""

    log: WriteAheadLog

    def commit(self) -> None:
        """Commit, and look after the log. Raises LogLost."""
        super().commit()
        self.log.check(self, committed=True)


def engine_at(path: str) -> tuple[Engine, Callable[[], None]]:
    """Give the connections to the file at a path, each set as the store needs, and their closer.

    None of them makes the file: one made after it has gone would else begin a new shop there.
    """
    log = WriteAheadLog(path)
    engine = create_engine("sqlite://", creator=lambda: _connect(path, log), poolclass=QueuePool)
    event.listen(engine, "connect", lambda raw, record: _on_connect(raw, record, path))
    event.listen(engine, "begin", lambda connection: _on_begin(connection, path))
    return engine, lambda: _close(engine, log)


def _close(engine: Engine, log: WriteAheadLog) -> None:
    """The last connection that closes moves the log into the file: never one that is lost."""
    ways = (engine.dispose, log.let_go) if log.lost else (log.let_go, engine.dispose)
    for way in ways:
        way()


def _connect(path: str, log: WriteAheadLog) -> LoggedConnection:
    if which_file(path) is None:
        raise StoreFault(f"{path} is gone", "gone")
    if log.held:
        log.check(None)
    uri = f"{Path(path).absolute().as_uri()}?mode=rw"
    connection = sqlite3.connect(uri, uri=True, check_same_thread=False, factory=LoggedConnection)
    connection.log = log
    log.know(connection)
    return connection


def reading_engine_at(path: str) -> tuple[Engine, Callable[[], None]] | None:
    """Give connections that read a file beside which nothing can be written, and their closer.

    None where none can. SQLite takes it that nobody changes the file (``immutable``), for it wants
    to make a log and an index even to read. That is so as long as there is no log, or an empty one:
    all that was committed is in the file, and whoever writes begins a log first. Each look makes
    sure of it. A log with something in it and no index is one that nobody has open: both are read
    from a copy in a folder of our own.
    """
    before = _as_it_lies(path)
    if before is None:
        return None
    uri, let_go = f"{Path(path).absolute().as_uri()}?mode=ro&immutable=1", _nothing
    if _has_a_log(path):
        try:
            uri, let_go = _copy_to_read(path)
        except OSError:
            return None
    engine = create_engine(
        "sqlite://",
        creator=lambda: sqlite3.connect(uri, uri=True, check_same_thread=False),
        poolclass=QueuePool,
    )

    def look(connection: Any) -> None:
        connection.exec_driver_sql("BEGIN")
        if _as_it_lies(path) != before:
            raise StoreFault(f"{path} is written by another program: open it again", "locked")

    event.listen(engine, "connect", lambda raw, record: _on_connect(raw, record, path))
    event.listen(engine, "begin", look)

    def close() -> None:
        engine.dispose()
        let_go()

    return engine, close


def _nothing() -> None:
    """Let go of nothing."""


def _has_a_log(path: str) -> bool:
    log = Path(f"{path}{LOG}")
    return log.exists() and log.stat().st_size > 0


def _copy_to_read(path: str) -> tuple[str, Callable[[], None]]:
    """Copy a file and its log; where to read them, and what takes them away. Raises OSError."""
    folder = TemporaryDirectory(prefix="paintbench-")
    copy = Path(folder.name, Path(path).name)
    try:
        for side in ("", LOG):
            shutil.copyfile(f"{path}{side}", f"{copy}{side}")
    except OSError:
        folder.cleanup()
        raise
    return f"{copy.as_uri()}?mode=rw", folder.cleanup


def _as_it_lies(path: str) -> tuple[tuple[int, int, int], ...] | None:
    """What tells that a file and its log were not written; None where somebody has the log open."""
    try:
        with_log = _has_a_log(path)
        if with_log and Path(f"{path}{INDEX}").exists():
            return None
        files = [os.stat(f"{path}{side}") for side in (("", LOG) if with_log else ("",))]
    except OSError:
        return None
    return tuple((each.st_ino, each.st_size, each.st_mtime_ns) for each in files)


def only_read(path: str) -> OnlyRead | None:
    """Say what of a shop in a file cannot be written by this user, and who mends it."""
    here = Path(path).absolute()
    for place in (here.parent, here, *(here.with_name(here.name + side) for side in (LOG, INDEX))):
        if not place.exists() or os.access(place, os.W_OK):
            continue
        if os.statvfs(place).f_flag & os.ST_RDONLY:
            words = f"the disk of {here.parent} is mounted read-only: mount it for writing"
            return OnlyRead(words, "the disk is mounted read-only")
        there, me = place.stat(), os.geteuid()
        if there.st_uid == me:
            who, mend = _user(me), f"chmod u+rw{'x' if place.is_dir() else ''}"
        else:
            who, mend = "root", f"as root: chown {_user(me)}"
        rights = f"owner {_user(there.st_uid)}, rights {there.st_mode & 0o777:o}"
        words = f"{place.name} can only be read ({rights}): {mend} {shlex.quote(str(place))}"
        return OnlyRead(words, f"{place.name} can only be read: {who} mends that")
    return None


def _user(number: int) -> str:
    try:
        return pwd.getpwuid(number).pw_name
    except KeyError:
        return str(number)


def make_file(path: str) -> None:
    """Make the file if there is none, of no length. Raises CannotOpen."""
    try:
        disk.make_file(path)
        disk.sync_folder(Path(path).parent)
    except FileExistsError:
        return
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        raise CannotOpen(f"{path}: cannot be opened or written: {why}; {RIGHTS}") from fault


def check_same_file(opened: Any, path: str) -> None:
    """Check that the file that was opened is still at the path. Raises StoreFault.

    What is written into a file that has gone, or that another has replaced, is lost.
    """
    now = which_file(path)
    if now is None:
        raise StoreFault(f"{path} is gone", "gone")
    if now != opened:
        raise StoreFault(f"{path} was replaced by another file", "gone")


def keep_a_write_ahead_log(engine: Engine) -> None:
    """Switch to a write-ahead log, so that readers and the writer do not wait for each other."""
    raw = engine.raw_connection()
    try:
        raw.execute("PRAGMA journal_mode = WAL")
    finally:
        raw.close()


def settle(engine: Engine) -> None:
    """End the doubt about a commit that failed. Raises sqlite3.Error, StoreFault.

    What could not be brought to the disk lies behind the end of the log, and SQLite would take it
    for written when it next reads the log from its beginning. All before it is moved into the file
    and the log emptied: only then is it gone for good.
    """
    raw = engine.raw_connection()
    try:
        (busy, *_) = raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    finally:
        raw.close()
    if busy:
        raise StoreFault("another program reads the data", "locked")


def cannot_open(path: str, fault: Exception) -> CannotOpen:
    """Say why the file cannot be opened, and what to do."""
    if not isinstance(fault, (DatabaseError, sqlite3.Error, StoreFault)):
        return CannotOpen(f"{path}: {fault}")
    if isinstance(fault, LogLost):
        return CannotOpen(f"{fault}; {fault.remedy}", fault.kind)
    words, kind = words_and_kind(fault, path)
    if isinstance(fault, StoreFault) and fault.kind != "failed":
        kind = fault.kind
    if kind == "damaged":
        if not _was_ours(path):
            words = f"this file is not paintbench data ({words}); give another path"
            return CannotOpen(f"{path}: {words}")
        return CannotOpen(f"{path}: the data is damaged: {words}", kind)
    if kind in ("failed", "read-only") and (reason := only_read(path)):
        kind, words = "read-only", str(reason)
    elif kind == "full":
        words = f"the disk is full: make room on the disk of {Path(path).parent}"
    else:
        words = f"{words}; {RIGHTS}"
    return CannotOpen(f"{path}: cannot be opened or written: {words}", kind)


def _was_ours(path: str) -> bool:
    """Whether what SQLite cannot read was a database, or there are copies of one."""
    try:
        with open(path, "rb") as file:
            head = file.read(len(HEAD))
    except OSError:
        return False
    return head in (HEAD, bytes(len(HEAD))) or bool(copies_of(path))


def _on_connect(connection: Any, record: Any, path: str) -> None:
    """SQLite's own defaults lose updates and ignore foreign keys: set what we rely on."""
    record.info[FILE] = which_file(path)
    connection.isolation_level = None
    # SQLite's own knows A to Z only, and a tag may be of any alphabet.
    connection.create_function("lower", 1, _lower, deterministic=True)
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {round(BUSY_S * 1000)}")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = FULL")
    # What is written over, such as an old PIN's hash, does not stay readable between the rows.
    cursor.execute("PRAGMA secure_delete = FAST")
    cursor.close()


def _lower(text: object) -> object:
    return text.lower() if isinstance(text, str) else text


def _on_begin(connection: Any, path: str) -> None:
    raw: LoggedConnection = connection.connection.driver_connection
    if connection.get_execution_options().get("writer", False):
        _take_a_turn(raw, path)
    else:
        connection.exec_driver_sql("BEGIN")
    try:
        # Not before the lock is held: whoever puts another file in the place holds it meanwhile.
        check_same_file(connection.info.get(FILE), path)
        raw.log.check(raw)
    except StoreFault:
        raw.rollback()
        raise


def _take_a_turn(raw: sqlite3.Connection, path: str) -> None:
    """Begin to write as soon as nobody else does, in the order in which writers came.

    SQLite's own wait asks ten times a second and gives no turns. Where there is no line, asked
    often and at random moments the lock is had too.
    """
    raw.execute("PRAGMA busy_timeout = 0")
    try:
        with line_at(path) as line:
            if line is not None and not (line.is_empty() and _has_begun(raw)):
                line.wait()
            last = time.monotonic() + BUSY_S
            while not raw.in_transaction and not _has_begun(raw, last):
                pause(random.uniform(SOONEST_S, LATEST_S))
    finally:
        raw.execute(f"PRAGMA busy_timeout = {round(BUSY_S * 1000)}")


def _has_begun(raw: sqlite3.Connection, last: float = inf) -> bool:
    """Begin to write, or answer that somebody else does. From ``last`` on that is raised."""
    try:
        raw.execute("BEGIN IMMEDIATE")
    except sqlite3.OperationalError as fault:
        if kind_of(fault) != "locked" or time.monotonic() >= last:
            raise
        return False
    return True


ROOM = 1 << 20
"""Bytes: a good deal more than any one action writes."""

_KINDS: dict[int, FaultKind] = {
    errno.ENOSPC: "full",
    errno.EDQUOT: "full",
    errno.EFBIG: "full",
    errno.EROFS: "read-only",
    errno.EACCES: "read-only",
    errno.EPERM: "read-only",
    errno.ENOENT: "gone",
}


def has_room(place: str) -> None:
    """Write so much beside the shop's file, bring it to the disk and take it away again.

    Raises StoreFault.
    """
    path = Path(place).absolute()
    trial = path.with_name(f".{path.name}.{os.getpid()}.trial")
    try:
        with open(trial, "wb", buffering=0) as file:
            rest = ROOM
            while rest:
                rest -= file.write(bytes(rest))
            os.fsync(file.fileno())
    except OSError as fault:
        raise StoreFault(str(fault.strerror), _KINDS.get(fault.errno or 0, "failed")) from fault
    finally:
        with suppress(OSError):
            trial.unlink()
