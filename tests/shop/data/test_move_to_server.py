"""A shop moves from its file to a PostgreSQL server and back: nothing is lost, and it goes on there."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data import backups
from bench.shop.data.backups import Whole
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import placement
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.databases import Schemas
from tests.store.test_earlier_versions import WRITTEN_AT, restored

from ..doing import done, refused, state

pytestmark = pytest.mark.postgresql


@pytest.fixture
def on_file(tmp_path: Path) -> Iterator[Shop]:
    """A shop in the middle of its work, in a file that an earlier version wrote."""
    yield from opened(str(restored(1, tmp_path / "worked.db")))


@pytest.fixture
def on_server(postgresql: Schemas) -> Iterator[Shop]:
    """An empty place on the server."""
    yield from opened(postgresql.take(empty=True))


def opened(place: str) -> Iterator[Shop]:
    store = open_store(place)
    yield Shop(store, ManualClock(WRITTEN_AT), "test")
    store.close()


def exported(shop: Shop, *, without_names: bool = False) -> str:
    out = io.StringIO()
    backups.export_shop(shop, out, without_names=without_names)
    return out.getvalue()


def moved(here: Shop, there: Shop) -> str:
    text = exported(here)
    whole = backups.read_export(text.encode(), "it")
    assert isinstance(whole, Whole), whole
    done(backups.import_shop(there, whole))
    return text


def test_from_the_file_to_the_server_and_back_it_is_the_same_to_the_byte(
    on_file: Shop, on_server: Shop, tmp_path: Path
) -> None:
    text = moved(on_file, on_server)
    assert exported(on_server) == text
    assert state(on_server) == state(on_file)
    assert bench_view.read_bench(on_server) == bench_view.read_bench(on_file)
    assert check(on_server) == check(on_file)
    store = open_store(str(tmp_path / "back.db"))
    back = Shop(store, ManualClock(WRITTEN_AT), "test")
    assert moved(on_server, back) == text
    assert exported(back) == text
    store.close()


def test_an_export_without_names_is_the_same_from_the_server_as_from_the_file(
    on_file: Shop, on_server: Shop
) -> None:
    moved(on_file, on_server)
    from_server = exported(on_server, without_names=True)
    assert from_server == exported(on_file, without_names=True)
    assert "Una" not in from_server


def test_on_the_server_it_goes_on_with_numbers_of_its_own(on_file: Shop, on_server: Shop) -> None:
    moved(on_file, on_server)
    line = bench_view.read_bench(on_server).line
    free = next(
        number for number, placed in bench_view.read_bench(on_server).stands if placed is None
    )
    place = {"route": "steel-blasted", "shape": "bracket"}
    for shop in (on_file, on_server):
        done(placement.place(shop, free, "Una", **place))
        done(readings.take_reading(shop, "Una", air_c=18.0))
    assert state(on_server) == state(on_file)
    assert bench_view.read_bench(on_server).line == line + 2
    for _ in range(3):
        done(undo.undo(on_server, "Bo"))
    assert check(on_server).faults == ()


def test_nothing_is_brought_into_a_shop_that_is_open_on_the_server(
    on_file: Shop, on_server: Shop
) -> None:
    text = moved(on_file, on_server)
    whole = backups.read_export(text.encode(), "it")
    assert isinstance(whole, Whole)
    before = state(on_server)
    assert "there is a shop here already" in str(refused(backups.import_shop(on_server, whole)))
    assert state(on_server) == before
