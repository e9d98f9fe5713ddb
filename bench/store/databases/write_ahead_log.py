"""The write-ahead log beside the shop's file: whether it is still the one that is written to.

What is committed stands in the log (``-wal``) until SQLite moves it into the file; the index
(``-shm``) says how far the log goes. SQLite does not notice when another program removes, empties
or replaces one of them: it writes on into a file without a name, and all of that is lost with it.
Another terminal may write, move pages into the file and begin the log again: the index says so.
Their forms: the comments of SQLite's wal.c and sqlite.org/walformat.html (seen in part).
"""

from __future__ import annotations

import os
import sqlite3
import struct
import threading
from dataclasses import dataclass
from pathlib import Path
from weakref import WeakSet

from bench.store.copies.backup import (
    BackupFault,
    connect,
    copy_from,
    file_name,
    folder_beside,
    make_folder,
    unused_path,
)
from bench.store.databases.faults import LogLost

LOG, INDEX = "-wal", "-shm"

INDEX_HEAD = struct.Struct("=12xBxHI4xII8s8x")
"""Of the index, twice: initialised, page size, last frame, its checksum (two), the log's salts."""

LOG_HEAD_BYTES, FRAME_HEAD_BYTES = 32, 24
SALTS = slice(16, 24)
FRAME_SALTS, FRAME_SUM = slice(8, 16), slice(16, 24)

STABLE_LOOKS = 5
"""So often the index is looked at while another terminal writes it."""

SAVED_AS = "before-log-lost"
"""In the name of the copy that is saved: such a copy is offered, and never thinned out."""

FileId = tuple[int, int]


def which_file(path: str) -> FileId | None:
    """Identify the file at a path; None where there is none."""
    try:
        status = os.stat(path)
    except OSError:
        return None
    return status.st_dev, status.st_ino


@dataclass
class _Loss:
    """What happened to the log, and where what was held is saved or why it is not."""

    what: str
    emptied: bool
    saved: Path | None = None
    why_not: str = ""


class WriteAheadLog:
    """Looks after the log of one file for as long as connections to it are open.

    It holds a connection of its own, which can only read. As long as that is open the log stays,
    whoever else comes and goes; through it what is in a log without a name is still read; and
    closing it last writes nothing: it does not move an old log's pages over another's work.
    """

    def __init__(self, path: str) -> None:
        self._path = path
        self._lock = threading.RLock()
        self._reader: sqlite3.Connection | None = None
        self._files: dict[str, FileId | None] = {}
        self._index = -1
        self._loss: _Loss | None = None
        self._writers: WeakSet[sqlite3.Connection] = WeakSet()

    def know(self, connection: sqlite3.Connection) -> None:
        """Remember a connection that may have in memory what it wrote."""
        self._writers.add(connection)

    @property
    def held(self) -> bool:
        """Whether it is known which log was there at the start."""
        return self._reader is not None

    @property
    def lost(self) -> bool:
        """Whether nothing may be written any more."""
        return self._loss is not None

    def check(self, using: sqlite3.Connection | None, *, committed: bool = False) -> None:
        """Raise LogLost if the log is not the one written to, once what it held is saved.

        using: the connection that wants to write, or has committed just now. Costs some
        hundredths of a millisecond. Once lost it stays lost: the data has to be opened again.
        """
        with self._lock:
            if self._loss is None:
                self._loss = self._look()
            if self._loss is None:
                return
            if self._loss.saved is None:
                self._save(self._loss, using)
            raise self._log_lost(self._loss, committed)

    def let_go(self) -> None:
        """Close the connection of its own. What was lost stays lost."""
        with self._lock:
            if self._reader is not None:
                self._reader.close()
            self._reader = None

    def _look(self) -> _Loss | None:
        if self._reader is None:
            if which_file(self._path + LOG) is None:
                return None  # a new file, before it has one
            self._hold()
        for side in (LOG, INDEX):
            now, name = which_file(self._path + side), Path(self._path + side).name
            if now is None:
                return _Loss(f"{name} was removed", emptied=False)
            if now != self._files[side]:
                return _Loss(f"{name} was replaced by another file", emptied=False)
        if not self._is_whole():
            return _Loss(f"{Path(self._path + LOG).name} was emptied or overwritten", emptied=True)
        return None

    def _hold(self) -> None:
        self._reader = connect(self._path, "ro")
        # Only once something was read is the log open.
        self._reader.execute("PRAGMA user_version").fetchone()
        self._files = {side: which_file(self._path + side) for side in (LOG, INDEX)}
        self._index = _descriptor(self._files[INDEX])

    def _is_whole(self) -> bool:
        """Whether the log goes as far as the index says.

        Only where /proc says which descriptor SQLite has the index open by: to open the index and
        to close it again would let go of SQLite's locks on it.
        """
        if self._index < 0:
            return True
        for _ in range(STABLE_LOOKS):
            head = os.pread(self._index, 2 * INDEX_HEAD.size, 0)
            if _goes_as_far(self._path + LOG, head):
                return True
            if head == os.pread(self._index, 2 * INDEX_HEAD.size, 0) and _is_stable(head):
                return False
        return True

    def _save(self, loss: _Loss, using: sqlite3.Connection | None) -> None:
        """Copy what memory and a log without a name still hold.

        Of an emptied log only a connection that wrote or read it may have in memory what was in it.
        """
        if using is not None and using.in_transaction:
            using.rollback()
        folder = folder_beside(self._path)
        for source in (self._reader, *(self._idle() if loss.emptied else ())):
            if source is None:
                continue
            try:
                make_folder(folder)
                target = unused_path(folder / file_name(self._path, SAVED_AS))
                copy_from(source, target)
                loss.saved = target
                return
            except BackupFault as fault:
                loss.why_not = str(fault)

    def _idle(self) -> list[sqlite3.Connection]:
        return [writer for writer in self._writers if not writer.in_transaction]

    def _log_lost(self, loss: _Loss, committed: bool) -> LogLost:
        saved_words = f"what was held is saved in {loss.saved}"
        if loss.saved is None:
            saved_words = f"what was held could not be saved: {loss.why_not}"
        words = f"{loss.what}, so nothing more is written; {saved_words}"
        return LogLost(words, str(loss.saved or ""), in_doubt=committed)


def _descriptor(file: FileId | None) -> int:
    """The number by which this process has a file open, -1 where that cannot be told."""
    try:
        numbers = [int(name) for name in os.listdir("/proc/self/fd")]
    except OSError:
        return -1
    return next((n for n in numbers if which_file(f"/proc/self/fd/{n}") == file), -1)


def _is_stable(head: bytes) -> bool:
    """Whether nobody was writing the index: it bears its head twice."""
    half = INDEX_HEAD.size
    return len(head) == 2 * half and head[:half] == head[half:] and bool(head[12])


def _goes_as_far(log: str, head: bytes) -> bool:
    """Whether the log's last committed frame is where the index says, and its head above it."""
    if not _is_stable(head):
        return False
    _, page, frames, sum1, sum2, salts = INDEX_HEAD.unpack_from(head)
    if frames == 0:
        return True  # all of it is in the file
    page_bytes = 65536 if page == 1 else page
    at = LOG_HEAD_BYTES + (frames - 1) * (FRAME_HEAD_BYTES + page_bytes)
    with open(log, "rb", buffering=0) as file:
        long = os.fstat(file.fileno()).st_size >= at + FRAME_HEAD_BYTES + page_bytes
        first = os.pread(file.fileno(), LOG_HEAD_BYTES, 0)
        last = os.pread(file.fileno(), FRAME_HEAD_BYTES, at)
    ends = last[FRAME_SALTS] == salts and last[FRAME_SUM] == struct.pack(">II", sum1, sum2)
    return long and ends and first[SALTS] == salts
