"""Copies of the shop's file, made while it is in use. A copy gets its name once it is checked.

A copy is written under a temporary name, brought to the disk, read back from there, checked, and
only then renamed. The shop's own file is never opened but through SQLite: closing any other handle
on it would let go of SQLite's locks.
"""

from __future__ import annotations

import json
import os
import re
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from bench import disk
from bench.disk import OWNERS_FILE, bring_to_disk, make_file, sync_folder
from bench.store.databases import writer_turns
from bench.store.log import checksum_chain
from bench.store.log.checksum_chain import Break
from bench.store.schema.migrations import newer_words, newest
from bench.store.schema.tables import BY_ITSELF

FOLDER = "backups"
"""Beside the shop's file."""

STAMP = "%Y%m%dT%H%M%SZ"
BUSY_TRIES, BUSY_SLEEP_S = 20, 0.25
"""How often and how long a copy waits for another program that holds the data."""

PROGRESS_STEPS = 1000
"""So many steps of SQLite's machine pass between two looks at the time."""

SIDE_FILES = ("-wal", "-shm", "-journal")

UNFINISHED = ".paintbench-part"
"""Ends the temporary name of a file: what is left of one is swept up, and nobody else's file."""


class BackupFault(RuntimeError):
    """A copy could not be made or read; the message is for a painter.

    damaged: because what is in the file is damaged.
    """

    def __init__(self, message: str, *, damaged: bool = False) -> None:
        super().__init__(message)
        self.damaged = damaged


@dataclass(frozen=True)
class CopiedEntry:
    """A line of the journal: its number, when it was written, what it says, and its checksum.

    One of a version before ``checksum_chain.SINCE`` has no checksum.
    """

    number: int
    at: datetime
    text: str
    checksum: str = ""

    def is_same(self, other: CopiedEntry | None) -> bool:
        """Say whether this is the same line of the same log, in another file."""
        if other is None or self.number != other.number:
            return False
        if self.checksum and other.checksum:
            return self.checksum == other.checksum
        return (self.at, self.text) == (other.at, other.text)


@dataclass(frozen=True)
class Contents:
    """What is in a copy: its schema's version, and the last line of its journal.

    broken: the first entry of its log that is not as it was written.
    """

    version: int
    last: CopiedEntry | None
    broken: Break | None


def folder_beside(place: str) -> Path:
    """Find where the copies of the shop's file at ``place`` are kept."""
    return folder_of(place) / FOLDER


def folder_of(place: str) -> Path:
    """Find the folder of the shop's file."""
    return Path(place).absolute().parent


def file_name(place: str, what: str) -> str:
    """Make a name that belongs to the shop's file."""
    path = Path(place)
    return f"{path.stem}-{what}{path.suffix or '.db'}"


def dated_name(place: str, at: datetime, why: str = "") -> str:
    """Name a copy: the shop's file, why it was made if not by the hour, and when (UTC)."""
    stamp = at.astimezone(UTC).strftime(STAMP)
    return file_name(place, f"{why}-{stamp}" if why else stamp)


def unused_path(path: Path) -> Path:
    """Give the path, or with a number the first one like it that is free."""
    number, free = 1, path
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem}-{number}{path.suffix}")
    return free


def hourly(folder: Path, place: str) -> dict[datetime, Path]:
    """List the copies made by the hour, oldest first: those that may be let go."""
    return {at: path for at, path in _ours(folder, place) if at is not None}


def every_copy(folder: Path, place: str) -> list[Path]:
    """List all copies of the shop's file in a folder, those made before a migration too."""
    return [path for _, path in _ours(folder, place)]


def copies_of(place: str) -> list[Path]:
    """Find the copies of the shop's file in their folder, and those a restore left beside it."""
    return [*every_copy(folder_beside(place), place), *every_copy(folder_of(place), place)]


def _ours(folder: Path, place: str) -> list[tuple[datetime | None, Path]]:
    path = Path(place)
    name = re.compile(
        rf"{re.escape(path.stem)}-(?P<why>before-[a-z0-9-]+?)?(?P<stamp>\d{{8}}T\d{{6}}Z)?"
        rf"(?(why)(-\d+)?){re.escape(path.suffix or '.db')}"
    )
    files: list[tuple[datetime | None, Path]] = []
    with as_backup_faults():
        names = sorted(os.listdir(folder)) if folder.is_dir() else []
    for match in filter(None, map(name.fullmatch, names)):
        if match["why"]:
            files.append((None, folder / match.string))
        elif match["stamp"]:
            with suppress(ValueError):
                at = datetime.strptime(match["stamp"], STAMP).replace(tzinfo=UTC)
                files.append((at, folder / match.string))
    return files


def copy(
    source: str | Path,
    target: Path,
    busy_tries: int = BUSY_TRIES,
    clean: Callable[[sqlite3.Connection], None] | None = None,
) -> Contents:
    """Copy the data at ``source`` to a new file, whole or not at all. Raises BackupFault.

    The folder of ``target`` has to be there. Nobody who writes waits meanwhile, nor do we for them:
    the copy is of one moment. clean: what is done to the copy before it has its name.
    """
    with as_backup_faults(), closing(connect(source, "ro")) as data:
        return copy_from(data, target, busy_tries, clean)


def copy_from(
    data: sqlite3.Connection,
    target: Path,
    busy_tries: int = BUSY_TRIES,
    clean: Callable[[sqlite3.Connection], None] | None = None,
) -> Contents:
    """Copy what a connection reads, as ``copy``. Raises BackupFault."""
    with made_whole(target) as part:
        _write(data, part, busy_tries, clean)
        bring_to_disk(part)
        return contents(part)


@contextmanager
def made_whole(target: Path, rights: int = OWNERS_FILE) -> Iterator[Path]:
    """Open an empty file to write; it gets its good name once its content is on the disk.

    Else nothing of it stays. Raises BackupFault.
    """
    part = target.with_name(f".{target.name}.{os.getpid()}{UNFINISHED}")
    try:
        with as_backup_faults():
            _sweep(target.parent)
            make_file(part, rights)
            yield part
            _refuse_a_log(part)
            bring_to_disk(part)
            os.replace(part, target)
            _remove(part)
            sync_folder(target.parent)
    except BaseException:
        _remove(part)
        raise


def _write(
    data: sqlite3.Connection,
    part: Path,
    busy_tries: int,
    clean: Callable[[sqlite3.Connection], None] | None,
) -> None:
    tries = 0

    def waiting(status: int, _remaining: int, _pages: int) -> None:
        nonlocal tries
        tries += status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
        if tries >= busy_tries:
            raise BackupFault("another program holds the data")

    with closing(sqlite3.connect(part)) as new:
        # We bring it to the disk ourselves, once; without this each page would be journaled first.
        new.execute("PRAGMA synchronous = OFF")
        data.backup(new, progress=waiting, sleep=BUSY_SLEEP_S)
        # One plain file, to be read wherever it lies: no log beside it.
        new.execute("PRAGMA journal_mode = DELETE")
        if clean is not None:
            clean(new)


def contents(path: Path) -> Contents:
    """Look through a whole copy. Raises BackupFault if it is damaged, not ours, or too new."""
    log = path.with_name(path.name + "-wal")
    with (
        as_backup_faults(),
        closing(connect(path, "ro" if log.exists() else "ro&immutable=1")) as copy,
    ):
        lines = [line for (line,) in copy.execute("PRAGMA integrity_check(3)")]
        if lines != ["ok"]:
            raise BackupFault(f"it is damaged: {lines[0]}", damaged=True)
        return _contents(copy)


def _contents(copy: sqlite3.Connection) -> Contents:
    tables = {name for (name,) in copy.execute("SELECT name FROM sqlite_master")}
    if not {"schema_version", "journal"} <= tables:
        raise BackupFault("it is no copy of a shop's data")
    version = copy.execute("SELECT version FROM schema_version").fetchone()
    if version is None:
        raise BackupFault("it is no copy of a shop's data")
    if version[0] > newest():
        raise BackupFault(f"it {newer_words(version[0], newest())}")
    break_point = checksum_chain.break_in(copy) if version[0] >= checksum_chain.SINCE else None
    return Contents(version[0], _newest(copy), break_point)


def _lines(data: sqlite3.Connection, rest: str, number: int | None = None) -> Iterator[CopiedEntry]:
    """The lines that the rest of the question is about, which may ask for one number."""
    names = [name for _, name, *_ in data.execute("PRAGMA table_info(journal)")]
    checksum = "checksum" if "checksum" in names else "''"
    query = f"SELECT id, at, text, {checksum} FROM journal {rest}"
    for number_read, at, text, checksum_read in data.execute(
        query, () if number is None else (number,)
    ):
        yield CopiedEntry(
            number_read, datetime.fromisoformat(at).replace(tzinfo=UTC), text, checksum_read
        )


def lines_after(place: str | Path, line: int) -> tuple[list[CopiedEntry], bool]:
    """Read the log of the file at ``place`` from a line on, that line first if it is there.

    And whether that is all of it: of a damaged file only the beginning may be readable.
    """
    entries: list[CopiedEntry] = []
    if is_empty(place):
        return [], False
    try:
        with as_backup_faults(), closing(connect(place, "ro")) as data:
            for entry in _lines(data, "WHERE id >= ? ORDER BY id", line):
                entries.append(entry)
    except BackupFault:
        return entries, False
    return entries, True


def line_at(place: str | Path, number: int) -> CopiedEntry | None:
    """Give one line of the journal of the file at ``place``. Raises BackupFault."""
    with as_backup_faults(), closing(connect(place, "ro")) as data:
        return next(_lines(data, "WHERE id = ?", number), None)


def count_after(place: str | Path, number: int) -> int:
    """Count the lines after one in the journal of the file at ``place``. Raises BackupFault."""
    query = "SELECT count(*) FROM journal WHERE id > ?"
    with as_backup_faults(), closing(connect(place, "ro")) as data:
        (count,) = data.execute(query, (number,)).fetchone()
        return int(count)


def setting(place: str | Path, key: str) -> Any:
    """Give a setting in the file at ``place``, None if it is not there. Raises BackupFault."""
    query = "SELECT value FROM setting WHERE key = ?"
    with as_backup_faults(), closing(connect(place, "ro")) as data:
        row = data.execute(query, (key,)).fetchone()
        return json.loads(row[0]) if row else None


def damage(place: str | Path, most_s: float | None = None) -> str:
    """Say what is damaged in the file at ``place``, "" if it is whole or cannot be looked at.

    most_s: look no longer than so many seconds, and at so much of it; None: at all of it.
    """
    if is_empty(place):
        return "the file is empty"
    try:
        with as_backup_faults(), closing(connect(place, "ro")) as data:
            if most_s is not None:
                end = time.monotonic() + most_s
                data.set_progress_handler(lambda: time.monotonic() > end, PROGRESS_STEPS)
            (line,) = data.execute("PRAGMA quick_check(1)").fetchone()
            return _broken_json(data) if line == "ok" else str(line)
    except BackupFault as fault:
        return str(fault) if fault.damaged else ""


def broken_in(place: str | Path) -> Break | None:
    """Find the first entry that is not as it was written in the log of the file at ``place``.

    Its schema is this program's. Raises BackupFault.
    """
    with as_backup_faults(), closing(connect(place, "ro")) as data:
        return checksum_chain.break_in(data)


_JSON_COLUMNS = """SELECT t.name, c.name FROM sqlite_master t, pragma_table_info(t.name) c
    WHERE t.type = 'table' AND c.type = 'JSON'"""


def _broken_json(data: sqlite3.Connection) -> str:
    """Which row has lost its end to zeros: SQLite looks at no text on the last page of a value."""
    for table, column in data.execute(_JSON_COLUMNS).fetchall():
        query = f'SELECT rowid FROM "{table}" WHERE NOT json_valid("{column}") LIMIT 1'
        if row := data.execute(query).fetchone():
            return f"row {row[0]} of {table}: its {column} cannot be read"
    return ""


def why_unopenable(place: str) -> str:
    """Say why the file at ``place`` must not even be opened, though SQLite would: it was ours.

    A file of no length it takes for a new one: a painter would see an empty shop, and what a log
    beside it still holds would be gone.
    """
    if not is_empty(place):
        return ""
    log = Path(f"{place}-wal")
    with suppress(BackupFault, OSError):
        if copies_of(place) or (log.exists() and log.stat().st_size):
            return "the file is empty"
    return ""


def is_empty(place: str | Path) -> bool:
    """Say whether the file is of no length. SQLite takes that for a new one and drops its log."""
    return Path(place).exists() and Path(place).stat().st_size == 0


def newest_line(place: str | Path) -> CopiedEntry | None:
    """Find the newest line of the journal of the file at ``place``. Raises BackupFault."""
    with as_backup_faults(), closing(connect(place, "ro")) as data:
        return _newest(data)


def newest_work(place: str | Path) -> CopiedEntry | None:
    """Find the newest line that a painter wrote in the file at ``place``. Raises BackupFault."""
    by_itself = ", ".join(f"'{name}'" for name in BY_ITSELF)
    with as_backup_faults(), closing(connect(place, "ro")) as data:
        rest = f"WHERE painter NOT IN ({by_itself}) ORDER BY id DESC LIMIT 1"
        return next(_lines(data, rest), None)


def _newest(data: sqlite3.Connection) -> CopiedEntry | None:
    return next(_lines(data, "ORDER BY id DESC LIMIT 1"), None)


def make_folder(folder: Path) -> None:
    """Make a folder of the shop's, of the data or of its copies. Raises BackupFault."""
    with as_backup_faults():
        disk.make_folder(folder)


def size(path: Path) -> int:
    """Say how many bytes a copy takes; 0 where it was deleted meanwhile. Raises BackupFault."""
    with as_backup_faults(), suppress(FileNotFoundError):
        return path.stat().st_size
    return 0


def delete_copy(path: Path) -> None:
    """Remove a copy that is no longer wanted. Raises BackupFault."""
    with as_backup_faults():
        path.unlink(missing_ok=True)


def connect(path: str | Path, mode: str) -> sqlite3.Connection:
    """Connect to a file, never making one. mode: ``rw``, ``ro``, ``ro&immutable=1``."""
    if Path(path).exists() and not Path(path).is_file():
        raise BackupFault("it is a folder, a pipe or a device")
    uri = f"{Path(path).absolute().as_uri()}?mode={mode}"
    return sqlite3.connect(uri, uri=True, timeout=1.0, check_same_thread=False)


def _sweep(folder: Path) -> None:
    """What a copy left behind that was cut off: by a power cut, a stick pulled out, a kill."""
    for path in _cut_off(folder, ".+"):
        with suppress(OSError):
            path.unlink()


def unfinished_file(path: Path) -> Path | None:
    """Find what was to be a file, and was cut off before it was whole."""
    with suppress(OSError):
        return next(_cut_off(path.absolute().parent, re.escape(path.name)), None)
    return None


def _cut_off(folder: Path, name: str) -> Iterator[Path]:
    """The temporary files of programs that are gone. name: a pattern of what they were to be."""
    pattern = re.compile(rf"\.{name}\.(\d+){re.escape(UNFINISHED)}(-wal|-shm|-journal|-turn)?")
    for match in filter(None, map(pattern.fullmatch, os.listdir(folder))):
        if not _is_alive(int(match[1])):
            yield folder / match[0]


def _is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return pid != os.getpid()


def _refuse_a_log(part: Path) -> None:
    """Raise BackupFault while some of a file stands only in the log beside it.

    SQLite moves it there when the last connection closes, and does not say so where that fails.
    """
    if part.with_name(part.name + "-wal").exists():
        raise BackupFault("not all of it could be written into the file: is the disk full?")


def _remove(part: Path) -> None:
    for name in (part.name, *(part.name + side for side in (*SIDE_FILES, writer_turns.ENDING))):
        with suppress(OSError):
            part.with_name(name).unlink()


@contextmanager
def as_backup_faults() -> Iterator[None]:
    """Turn whatever the disk or SQLite says into a BackupFault of one line."""
    try:
        yield
    except sqlite3.Error as fault:
        code = getattr(fault, "sqlite_errorcode", 0) & 0xFF
        damaged = code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
        raise BackupFault(str(fault).splitlines()[0], damaged=damaged) from fault
    except OSError as fault:
        words = os.strerror(fault.errno) if fault.errno else str(fault)
        raise BackupFault(words.lower()) from fault
    except ValueError as fault:
        raise BackupFault(f"it cannot be read: {fault}", damaged=True) from fault
