"""A shop as an earlier version wrote it opens, is brought forward and tells the same story."""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bench.clock import ManualClock
from bench.shop import sight
from bench.shop.acting import Shop
from bench.shop.check import check
from bench.store.database import open_store
from bench.store.migrations import newest, version_of

DUMPS = Path(__file__).parent
WRITTEN_AT = datetime(2025, 6, 11, 9, tzinfo=UTC)
"""When the dumps say it was: their pots and coats are some hours old."""


def restored(version: int, place: Path) -> Path:
    """The dump of a version as the file it was made from."""
    raw = sqlite3.connect(place)
    raw.executescript((DUMPS / f"version{version}.sql").read_text(encoding="utf-8"))
    raw.close()
    return place


@pytest.mark.parametrize("version", [1])
def test_a_shop_of_an_earlier_version_opens_and_checks_clean(tmp_path: Path, version: int) -> None:
    store = open_store(str(restored(version, tmp_path / "shop.db")))
    shop = Shop(store, ManualClock(WRITTEN_AT), "test")
    with store.reading() as session:
        assert version_of(session.connection()) == newest()
    assert check(shop).faults == ()
    view = sight.look(shop)
    cradle, spindles, sent_back = view.find("5"), view.find("4"), view.find("4b")
    assert cradle is not None
    assert cradle.state(WRITTEN_AT).word == "IN HAND"
    assert spindles is not None
    assert spindles.part.count == 4
    assert sent_back is not None
    assert sent_back.part.rework == "fish-eye"
    assert [pot.letter for pot in view.pots] == ["A", "B", "C", "D", "E"]
    store.close()
