"""An export for others to read: nobody's name is in it, and all else is."""

from __future__ import annotations

import json
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data.backups import export_shop, import_shop, read_export
from bench.shop.data.opening import check
from bench.shop.parts import holds_and_rework, notes
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.store.test_earlier_versions import WRITTEN_AT, restored

from ..doing import done


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The shop of the first version's dump, with names in a note and a reason."""
    place = restored(1, tmp_path / "shop.db")
    opened = Shop(open_store(str(place)), ManualClock(WRITTEN_AT), "test")
    done(notes.write_note(opened, "Bo", "ask Una of the rowing club, not bo", target="4"))
    done(holds_and_rework.hold(opened, "4", "Bo", "Una"))
    yield opened
    opened.store.close()


def exported(shop: Shop, *, without_names: bool = True) -> str:
    """The export as text."""
    out = StringIO()
    export_shop(shop, out, without_names=without_names)
    return out.getvalue()


def test_no_name_of_a_painter_an_owner_or_a_job_is_in_an_export_without_names(shop: Shop) -> None:
    told = json.loads(exported(shop))
    text = json.dumps(told).casefold()
    names = ('"una"', '"bo"', " una", " bo ", "by bo", "rowing club", "launching trolley")
    assert [name for name in names if name in text] == []
    assert told["tables"]["note"][0]["text"] == "ask painter 1 of the owner 1, not painter 2"
    assert told["tables"]["note"][0]["painter"] == "painter 2"
    assert {part["owner"] for part in told["tables"]["part"]} == {"owner 1"}
    assert "stand-ins" in told["names"]
    assert "names" not in json.loads(exported(shop, without_names=False))


def test_an_export_without_names_is_brought_in_and_checks_clean(shop: Shop, tmp_path: Path) -> None:
    whole = read_export(exported(shop).encode(), "others.json")
    assert not isinstance(whole, Refusal)
    other = Shop(open_store(str(tmp_path / "other.db")), ManualClock(WRITTEN_AT), "test")
    done(import_shop(other, whole))
    assert check(other).faults == ()
    ours, theirs = bench_view.read_bench(shop), bench_view.read_bench(other)
    assert [pot.bin_by for pot in theirs.pots] == [pot.bin_by for pot in ours.pots]
    assert theirs.painters == ("painter 1", "painter 2")
    other.store.close()
