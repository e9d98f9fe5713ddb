"""A shop as an earlier version wrote it opens, is brought forward and tells the same story."""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine, create_engine, inspect, text

from bench.process.refusals.refusal import Refusal
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.parts import holds_and_rework
from bench.store.copies.backup import contents, every_copy, folder_beside
from bench.store.databases.database import Store, open_store
from bench.store.databases.postgresql import engine_at as postgresql_engine_at
from bench.store.databases.sqlite import engine_at
from bench.store.schema.migrations import MIGRATIONS, newest, upgrade, version_of
from bench.testing import ManualClock
from tests.databases import Schemas

DUMPS = Path(__file__).parent
EARLIER = range(1, newest())
WRITTEN_AT = datetime(2025, 6, 11, 9, tzinfo=UTC)
"""When the dumps say it was: their pots and coats are some hours old."""


def restored(version: int, place: Path) -> Path:
    """The dump of a version as the file it was made from."""
    raw = sqlite3.connect(place)
    raw.executescript((DUMPS / f"version{version}.sql").read_text(encoding="utf-8"))
    raw.close()
    return place


@pytest.mark.parametrize("version", EARLIER)
def test_a_shop_of_an_earlier_version_opens_and_checks_clean(tmp_path: Path, version: int) -> None:
    store = open_store(str(restored(version, tmp_path / "shop.db")))
    shop = Shop(store, ManualClock(WRITTEN_AT), "test")
    with store.reading() as session:
        assert version_of(session.connection()) == newest()
    assert check(shop).faults == ()
    view = bench_view.read_bench(shop)
    cradle, spindles, sent_back = view.find("5"), view.find("4"), view.find("4b")
    assert cradle is not None
    assert cradle.state(WRITTEN_AT).word == "WORKING"
    assert spindles is not None
    assert spindles.part.count == 4
    assert sent_back is not None
    assert sent_back.part.rework == "fish-eye"
    assert [pot.letter for pot in view.pots] == ["A", "B", "C", "D", "E"]
    store.close()


@pytest.mark.parametrize("version", EARLIER)
def test_the_pots_of_an_earlier_shop_end_to_the_minute_when_they_were_said_to(
    tmp_path: Path, version: int
) -> None:
    place = restored(version, tmp_path / "shop.db")
    with sqlite3.connect(place) as raw:
        said = dict(raw.execute("SELECT letter, bin_by FROM mix WHERE binned_at IS NULL"))
    shop = Shop(open_store(str(place)), ManualClock(WRITTEN_AT), "test")
    ends = {pot.letter: pot.bin_by for pot in bench_view.read_bench(shop).pots}
    shop.store.close()
    assert ends == {
        letter: datetime.fromisoformat(at).replace(tzinfo=UTC) for letter, at in said.items()
    }


def schema(engine: Engine) -> dict[str, tuple[dict[str, tuple[str, bool]], set[tuple[str, ...]]]]:
    """Columns with type and whether they may be empty, and what is indexed, by table."""
    looked = inspect(engine)
    return {
        table: (
            {
                column["name"]: (str(column["type"]), bool(column["nullable"]))
                for column in looked.get_columns(table)
            },
            {tuple(map(str, index["column_names"])) for index in looked.get_indexes(table)},
        )
        for table in looked.get_table_names()
    }


@pytest.mark.parametrize("version", EARLIER)
def test_an_earlier_shop_gets_the_very_schema_of_a_new_one(tmp_path: Path, version: int) -> None:
    earlier, new = restored(version, tmp_path / "shop.db"), tmp_path / "new.db"
    open_store(str(earlier)).close()
    open_store(str(new)).close()
    assert schema(create_engine(f"sqlite:///{earlier}")) == schema(
        create_engine(f"sqlite:///{new}")
    )


@pytest.mark.parametrize("version", EARLIER)
def test_an_earlier_shop_goes_on_and_what_was_done_before_can_be_undone(
    tmp_path: Path, version: int
) -> None:
    clock = ManualClock(WRITTEN_AT)
    shop = Shop(open_store(str(restored(version, tmp_path / "shop.db"))), clock, "test")
    assert not isinstance(undo.undo(shop, "Una"), Refusal)
    assert not isinstance(holds_and_rework.hold(shop, "4", "Bo", "damaged: look at it"), Refusal)
    assert not isinstance(undo.undo(shop, "Una"), Refusal)
    assert check(shop).faults == ()
    shop.store.close()


@pytest.mark.parametrize("version", EARLIER)
def test_a_migration_that_fails_leaves_the_earlier_version_whole(
    tmp_path: Path, version: int
) -> None:
    engine, _ = engine_at(str(restored(version, tmp_path / "shop.db")))
    before = schema(engine)

    def breaks(connection: Connection) -> None:
        MIGRATIONS[version - 1](connection)
        connection.execute(text("DELETE FROM journal"))
        raise RuntimeError("power cut")

    with pytest.raises(RuntimeError, match="power cut"):
        upgrade(engine, (*MIGRATIONS[: version - 1], breaks))
    assert schema(engine) == before
    with engine.connect() as connection:
        assert version_of(connection) == version
        assert connection.execute(text("SELECT count(*) FROM journal")).scalar_one() > 0


ON_A_SERVER = sorted(DUMPS.glob("version*-postgresql.sql"))
"""What pg_dump --inserts wrote, without the name of the schema; the first version there was 2."""


@pytest.mark.parametrize("dump", ON_A_SERVER, ids=lambda dump: dump.stem)
def test_a_shop_of_an_earlier_version_on_a_server_opens_and_gets_the_very_schema_of_a_new_one(
    postgresql: Schemas, dump: Path
) -> None:
    place, new = postgresql.take(empty=True), postgresql.take()
    with server_at(place).connect() as connection:
        connection.exec_driver_sql(dump.read_text(encoding="utf-8").replace("%", "%%"))
        connection.commit()
    store = open_store(place)
    with store.reading() as session:
        assert version_of(session.connection()) == newest()
    assert check(Shop(store, ManualClock(WRITTEN_AT), "test")).faults == ()
    store.close()
    assert schema(server_at(place)) == schema(server_at(new))


def server_at(place: str) -> Engine:
    """The connections to a schema on the tests' server."""
    return postgresql_engine_at(place, lambda _: None)


HASHED = (
    '[{"table": "painter", "before": {"id": 1, "name": "Una", "pin": ""}, '
    '"after": {"id": 1, "name": "Una", "pin": "scrypt 16384 8 1 aa %s"}}]' % ("bb" * 32)
)
"""What version 2 wrote into the log where a painter got a PIN."""


def pin_as_written(connection: Connection) -> None:
    """The log and the table as version 2 wrote a PIN."""
    connection.execute(text("UPDATE painter SET pin = 'scrypt 16384 8 1 aa bb' WHERE id = 1"))
    cast = "" if connection.dialect.name == "sqlite" else "::json"
    connection.exec_driver_sql(f"UPDATE journal SET changes = '{HASHED}'{cast} WHERE id > 1")
    connection.commit()


def held(store: Store) -> tuple[str, str]:
    """The first painter's PIN in the table, and what the last line of the log says of it."""
    with store.reading() as session:
        pin = session.execute(text("SELECT pin FROM painter WHERE id = 1")).scalar_one()
        last = "SELECT CAST(changes AS TEXT) FROM journal ORDER BY id DESC LIMIT 1"
        return str(pin), str(session.execute(text(last)).scalar_one())


def test_the_hash_of_a_pin_leaves_the_log_of_an_earlier_shop_and_stays_in_its_table(
    tmp_path: Path,
) -> None:
    place = restored(2, tmp_path / "shop.db")
    with create_engine(f"sqlite:///{place}").connect() as connection:
        pin_as_written(connection)
    store = open_store(str(place))
    pin, line = held(store)
    store.close()
    assert pin == "scrypt 16384 8 1 aa bb"
    assert '"pin": "set"' in line
    (copied,) = every_copy(folder_beside(str(place)), str(place))
    assert contents(copied).version == 2
    for file in (place, copied):
        assert file.read_bytes().count(b"scrypt") == 1, "in the table alone"


def test_the_hash_of_a_pin_leaves_the_log_of_an_earlier_shop_on_a_server(
    postgresql: Schemas,
) -> None:
    place = postgresql.take(empty=True)
    dump = DUMPS / "version2-postgresql.sql"
    with server_at(place).connect() as connection:
        connection.exec_driver_sql(dump.read_text(encoding="utf-8").replace("%", "%%"))
        connection.commit()
        pin_as_written(connection)
    store = open_store(place)
    pin, line = held(store)
    store.close()
    assert pin == "scrypt 16384 8 1 aa bb"
    assert '"pin": "set"' in line
    assert "scrypt" not in line
