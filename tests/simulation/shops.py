"""Shops for the simulations: opened in memory where the computer has such a folder, and looked into."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlmodel import col, func, select

from bench.shop.core.transaction import Outcome, Shop
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.store.log import journal
from bench.store.schema.tables import (
    DefectRow,
    EquipmentRow,
    JournalRow,
    MixRow,
    NoteRow,
    Painter,
    PartRow,
    ReadingRow,
    StepRow,
    TestRow,
    TinRow,
)
from bench.testing import ManualClock

State = dict[str, dict[str, journal.Image]]

CHANGING: dict[str, Any] = {
    str(kind.__tablename__): kind
    for kind in (
        *(PartRow, StepRow, TestRow, DefectRow, MixRow, ReadingRow, TinRow),
        *(EquipmentRow, NoteRow, Painter),
    )
}
"""Products, routes and the like are written once; the check at the end of a run reads them too."""


@contextmanager
def folder_in_memory() -> Iterator[Path]:
    """A folder for a simulation's file: a real one, but no test waits for the disk."""
    shared = Path("/dev/shm")
    where = shared if os.access(shared, os.W_OK) else None
    made = Path(tempfile.mkdtemp(prefix="paintbench-simulation-", dir=where))
    try:
        yield made
    finally:
        shutil.rmtree(made, ignore_errors=True)


def open_at(file: Path, seeds: Seeds, now: datetime, stands: int, **house: Any) -> Shop:
    """A shop of Kit and Mo in London, opened at ``now``."""
    shop = Shop(open_store(str(file)), ManualClock(now), "test")
    answer = open_shop(shop, seeds, ("Kit", "Mo"), stands, {"zone": "Europe/London", **house})
    assert isinstance(answer, Outcome), answer
    return shop


def state_of(shop: Shop) -> State:
    """Every row that a painter's deed can change, as the tables hold it."""
    with shop.store.reading() as session:
        return {
            name: {_key(row): journal.image(row) for row in session.exec(select(kind)).all()}
            for name, kind in CHANGING.items()
        }


def _key(row: Any) -> str:
    return str(row.key if isinstance(row, EquipmentRow) else row.id)


def told_by_journal(shop: Shop, first: State) -> State:
    """The same rows as the journal alone tells them, from what the shop was opened with on."""
    deeds = select(JournalRow).where(JournalRow.action != "open shop").order_by(col(JournalRow.id))
    with shop.store.reading() as session:
        told = journal.replay(session.exec(deeds).all())
    return {name: {**first[name], **told[name]} for name in CHANGING}


def journal_length(shop: Shop) -> int:
    """How many lines the journal has."""
    with shop.store.reading() as session:
        return session.exec(select(func.count(col(JournalRow.id)))).one()
