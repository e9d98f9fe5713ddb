"""Putting a copy in the place of the shop's file; what was there is kept, damaged or not."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, nullcontext
from datetime import datetime
from pathlib import Path

from bench.store.backup import (
    SIDE_FILES,
    BackupFault,
    connect,
    copy,
    dated,
    plainly,
    sync_folder,
    unused,
)

HELD = "another program has the shop's data open: close the bench on every terminal first"


def put_in_place(backup: Path, place: str, at: datetime, *, damaged: bool) -> Path | None:
    """Let ``place`` be a copy of the backup; answers where the file is that was there before.

    damaged: that file cannot be read, and is moved as it lies. Otherwise nobody may have it open.
    Raises BackupFault; then nothing was changed.
    """
    target = Path(place).absolute()
    fresh = target.with_name(f"{target.name}.restored")
    copy(backup, fresh)
    try:
        with nullcontext() if damaged else _alone_with(target), plainly():
            why = "damaged" if damaged else "before-restore"
            kept = _aside(target, target.with_name(dated(place, at, why)))
            os.replace(fresh, target)
            sync_folder(target.parent)
        return kept
    finally:
        fresh.unlink(missing_ok=True)


@contextmanager
def _alone_with(target: Path) -> Iterator[None]:
    """Hold the data so that nobody can write a line that would be put aside unseen.

    SQLite gives up its log only where no other connection is open.
    """
    if not target.exists():
        yield
        return
    with plainly():
        held = connect(target, "rw")
    with closing(held):
        try:
            (mode,) = held.execute("PRAGMA journal_mode = DELETE").fetchone()
            if mode == "wal":
                raise BackupFault(HELD)
            held.execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as fault:
            if (fault.sqlite_errorcode & 0xFF) in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                raise BackupFault(HELD) from fault
            raise BackupFault(str(fault)) from fault
        yield


def _aside(target: Path, kept: Path) -> Path | None:
    """Give the file another name, and its log too: beside another file a log would spoil that."""
    names = ("", *SIDE_FILES)
    if not any(target.with_name(target.name + side).exists() for side in names):
        return None
    kept = unused(kept)
    for side in names:
        old = target.with_name(target.name + side)
        if old.exists():
            os.replace(old, kept.with_name(kept.name + side))
    return kept
