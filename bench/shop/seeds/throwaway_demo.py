"""The demo for a first look: on a clock of its own, thrown away when the program ends.

It starts on the same working morning whenever it is looked at, so its data is always the same: once
made, it is kept in the user's cache and copied.
"""

from __future__ import annotations

import atexit
import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import bench
from bench.clock import EPOCH, Clock, OffsetClock
from bench.process.calendar.demo_start import MORNING
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop, StoreFault
from bench.shop.seeds import seed_files
from bench.shop.seeds.demo import open_demo
from bench.store.copies.backup import BackupFault, copy
from bench.store.databases.database import CannotOpen, open_store
from bench.zones import computers_zone

Waits = Callable[[str], None]
"""Shows what the program is busy with, where that takes a while."""


def throwaway_demo(
    own: Clock, starts: datetime = MORNING, waits: Waits = lambda _: None
) -> Shop | Refusal:
    """Open a demo shop in a folder that is removed when the program ends. Raises BadSeed.

    own: the computer's clock, which is only counted by; starts: by the wall clock here unless it
    names a zone.
    """
    instant = (starts if starts.tzinfo else starts.replace(tzinfo=computers_zone())).astimezone(UTC)
    folder = Path(tempfile.mkdtemp(prefix="paintbench-demo-", dir=_in_memory()))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    file, kept = folder / "demo.db", _kept_file(instant) if starts == MORNING else None
    if kept is None or not _copied(kept, file):
        waits("making the demo shop: about 2 s")
        store = open_store(str(file))
        try:
            answer = open_demo(
                Shop(store, OffsetClock(instant, own), "demo"), seed_files.folder(), instant
            )
        finally:
            store.close()
        if isinstance(answer, Refusal):
            return answer
        if kept is not None:
            _keep(file, kept)
    return Shop(open_store(str(file)), OffsetClock(instant, own), "demo")


def _in_memory() -> str | None:
    """Return a folder in memory if there is one: what is thrown away need not wait for the disk."""
    shared = "/dev/shm"
    return shared if os.access(shared, os.W_OK) else None


def _kept_file(instant: datetime) -> Path:
    """Return where the demo of that instant is kept, as this very program makes it."""
    from platformdirs import user_cache_path

    roots = (Path(bench.__file__).parent, seed_files.folder())
    made_of = hashlib.sha256(f"{instant - EPOCH}".encode())
    for file in sorted(file for root in roots for file in root.rglob("*.*")):
        if file.suffix in (".py", ".toml"):
            facts = file.stat()
            made_of.update(f"{file} {facts.st_mtime_ns} {facts.st_size} ".encode())
    folder = user_cache_path("paintbench", appauthor=False)
    return folder / f"demo-{made_of.hexdigest()[:12]}.db"


def _copied(kept: Path, file: Path) -> bool:
    """Copy the demo that is kept, and say whether there was one that is whole."""
    try:
        shutil.copyfile(kept, file)
        open_store(str(file), may_be_new=False).close()
    except (OSError, CannotOpen, StoreFault):
        for part in file.parent.iterdir():
            part.unlink()
        return False
    return True


def _keep(file: Path, kept: Path) -> None:
    """Keep a demo for the next look, the only one; where it cannot be kept it is made again."""
    with suppress(OSError, BackupFault):
        kept.parent.mkdir(parents=True, exist_ok=True)
        for old in kept.parent.glob("demo-*.db"):
            old.unlink()
        copy(file, kept)
