"""Put a copy in place of the shop's file; the old file is kept, damaged or not.

A file is at the shop's place at every moment. What is there gets a second name, under which nobody
takes it for a backup; the copy takes the place in one step; then what was there gets its good name.
What a kill leaves in between is undone or finished at the next start (``settle``).
"""

from __future__ import annotations

import fcntl
import os
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, nullcontext, suppress
from datetime import datetime
from pathlib import Path

from bench.disk import owners_rights, sync_folder
from bench.store.copies.backup import (
    SIDE_FILES,
    BackupFault,
    as_backup_faults,
    connect,
    copy,
    dated_name,
    file_name,
    made_whole,
    unused_path,
)

HELD = "another program has the shop's data open: close the bench on every terminal first"
UNDER_WAY = "a backup is being put in its place just now: try again"

FRESH, ASIDE = ".restored", ".aside"
"""End the names of a copy before it is in place, and of what was there until it has a good name."""


def put_in_place(backup: Path, place: str, at: datetime, *, damaged: bool) -> Path | None:
    """Let ``place`` be a copy of the backup; answers where the file is that was there before.

    damaged: that file cannot be read, and is kept as it lies. Otherwise nobody may have it open.
    Raises BackupFault; then nothing was changed.
    """
    target = Path(place).absolute()
    with as_backup_faults(), _turn(target.parent):
        _settle(target)
        why = "damaged" if damaged else "before-restore"
        aside = unused_path(target.with_name(dated_name(place, at, why)))
        try:
            copy(backup, _fresh_path(target))
            _give_owner(_fresh_path(target), target)
            with nullcontext() if damaged else _alone_with(target) as lock:
                anything = _set_aside(target, aside, lock)
                os.replace(_fresh_path(target), target)
        finally:
            # What the disk does not let be undone or finished now, it is at the next start.
            with suppress(OSError):
                sync_folder(target.parent)
                _settle(target)
    return aside if anything else None


def settle(place: str) -> None:
    """Undo or finish a restore that was cut off. Raises BackupFault where one is under way."""
    target = Path(place).absolute()
    with as_backup_faults():
        if not target.parent.is_dir() or not (_fresh_path(target).exists() or _asides(target)):
            return
        with _turn(target.parent):
            _settle(target)


def _settle(target: Path) -> None:
    """As long as the copy is not in place all is as it was, and else as it was to be."""
    in_place = not _fresh_path(target).exists()
    for aside, good, side in _asides(target):
        before = target.with_name(target.name + side)
        if in_place:
            os.replace(aside, good)
        elif before.exists():
            aside.unlink()
        else:
            os.replace(aside, before)
    sync_folder(target.parent)
    _fresh_path(target).unlink(missing_ok=True)


def _fresh_path(target: Path) -> Path:
    return target.with_name(f".{target.name}{FRESH}")


def _asides(target: Path) -> list[tuple[Path, Path, str]]:
    """What was set aside: each file, its good name, and which of the data's files it was.

    The data itself is last, so that its log is never without it.
    """
    good = re.escape(file_name(str(target), "WHEN")).replace(
        "WHEN", "(?:damaged|before-restore)-[^.]+"
    )
    name = re.compile(rf"\.({good}){re.escape(ASIDE)}({'|'.join(SIDE_FILES)})?")
    files = [
        (target.with_name(match[0]), target.with_name(match[1] + (match[2] or "")), match[2] or "")
        for match in filter(None, map(name.fullmatch, os.listdir(target.parent)))
    ]
    return sorted(files, key=lambda each: each[2], reverse=True)


@contextmanager
def _turn(folder: Path) -> Iterator[None]:
    """Keep every other program from restoring or settling in a folder meanwhile."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as fault:
            raise BackupFault(UNDER_WAY) from fault
        except OSError:
            pass  # a file system without locks
        yield
    finally:
        os.close(handle)


@contextmanager
def _alone_with(target: Path) -> Iterator[sqlite3.Connection | None]:
    """Hold the data so that nobody can write a line that would be put aside unseen.

    SQLite gives up its log only where no other connection is open.
    """
    if not target.exists():
        yield None
        return
    with closing(connect(target, "rw")) as lock:
        try:
            (mode,) = lock.execute("PRAGMA journal_mode = DELETE").fetchone()
            if mode == "wal":
                raise BackupFault(HELD)
            lock.execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as fault:
            if (fault.sqlite_errorcode & 0xFF) in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                raise BackupFault(HELD) from fault
            raise BackupFault(str(fault)) from fault
        yield lock


def _set_aside(target: Path, dated_file: Path, lock: sqlite3.Connection | None) -> bool:
    """Give what is there a second name, and take its log away, which would spoil another file.

    Answers whether there was anything.
    """
    there = [side for side in (*SIDE_FILES, "") if target.with_name(target.name + side).exists()]
    for side in there:
        aside = dated_file.with_name(f".{dated_file.name}{ASIDE}{side}")
        _second_name(target.with_name(target.name + side), aside, lock)
    sync_folder(target.parent)
    for side in filter(None, there):
        target.with_name(target.name + side).unlink()
    sync_folder(target.parent)
    return bool(there)


def _second_name(file: Path, name: Path, lock: sqlite3.Connection | None) -> None:
    """Link it, or copy it where the file system has no links, as on sticks.

    lock: the connection that holds the file: to read it by another would let go of the lock.
    """
    try:
        os.link(file, name)
    except OSError:
        with made_whole(name) as part:
            if lock is None:
                shutil.copyfile(file, part)
            else:
                part.write_bytes(lock.serialize())


def _give_owner(fresh: Path, target: Path) -> None:
    """Whoever restores, the data stays with who had it."""
    if target.exists():
        before = target.stat()
        with suppress(PermissionError):
            os.chmod(fresh, owners_rights(before.st_mode))
            os.chown(fresh, before.st_uid, before.st_gid)
