"""Opening the data: new, ours, somebody else's, newer, unwritable; and two writers at once."""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import Connection, create_engine, inspect, text
from sqlmodel import select

from bench.store.databases import sqlite
from bench.store.databases.database import CannotOpen, open_store
from bench.store.queries import bench_rows
from bench.store.schema.migrations import MIGRATIONS, NotOurs, newest, upgrade, version_of
from bench.store.schema.tables import JournalRow, Painter, PartRow, ReadingRow, SettingRow
from tests.forks import forking


def test_a_new_shop_is_made_with_its_folder_and_written_ahead(tmp_path: Path) -> None:
    file = tmp_path / "a" / "b" / "shop.db"
    open_store(str(file)).close()
    with sqlite3.connect(file) as raw:
        assert raw.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_a_question_for_columns_sees_what_the_session_has_not_written_yet(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "shop.db"))
    with store.writing() as session:
        session.add(Painter(name="Kit"))
        assert bench_rows.painters(session) == ["Kit"]
    with store.reading() as session:
        assert bench_rows.painters(session) == [], "nothing was committed"


def test_every_connection_has_the_pragmas_that_keep_data(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "shop.db"))
    with store.reading() as session:
        found = {
            name: session.connection().exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("foreign_keys", "synchronous", "busy_timeout")
        }
    assert found == {"foreign_keys": 1, "synchronous": 2, "busy_timeout": 5000}


def test_a_text_file_is_refused_and_not_touched(tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.write_bytes(b"not a database, but somebody's notes about brackets\n" * 40)
    before = file.read_bytes()
    with pytest.raises(CannotOpen, match="not paintbench data"):
        open_store(str(file))
    assert file.read_bytes() == before


def test_another_programs_database_is_refused_and_not_touched(tmp_path: Path) -> None:
    file = tmp_path / "other.db"
    with sqlite3.connect(file) as raw:
        raw.execute("CREATE TABLE photos (id INTEGER)")
    before = file.read_bytes()
    with pytest.raises(CannotOpen, match="some other program"):
        open_store(str(file))
    assert file.read_bytes() == before


def test_a_newer_programs_database_is_refused_and_not_touched(tmp_path: Path) -> None:
    file = tmp_path / "shop.db"
    open_store(str(file)).close()
    with sqlite3.connect(file) as raw:
        raw.execute("UPDATE schema_version SET version = 99")
        raw.execute("PRAGMA journal_mode = DELETE")
    raw.close()
    before = file.read_bytes()
    with pytest.raises(CannotOpen, match="newer program"):
        open_store(str(file))
    assert file.read_bytes() == before


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CannotOpen, match="cannot be made"):
        open_store(str(tmp_path / "file" / "data" / "shop.db"))


def test_migrations_run_in_order_once_and_all_or_nothing(tmp_path: Path) -> None:
    file = tmp_path / "shop.db"
    open_store(str(file)).close()
    engine = create_engine(f"sqlite:///{file}")

    def second(connection: Connection) -> None:
        connection.execute(text("ALTER TABLE stand ADD COLUMN colour TEXT"))

    def broken(connection: Connection) -> None:
        connection.execute(text("UPDATE stand SET colour = 'red'"))
        raise RuntimeError("power cut")

    released = MIGRATIONS
    upgrade(engine, (*released, second))
    upgrade(engine, (*released, second))
    assert "colour" in {column["name"] for column in inspect(engine).get_columns("stand")}
    with pytest.raises(RuntimeError):
        upgrade(engine, (*released, second, broken))
    with engine.connect() as connection:
        assert version_of(connection) == newest((*released, second))
    with pytest.raises(NotOurs):
        upgrade(engine)


def _count_up(file: str, times: int) -> None:
    store = open_store(file)
    for _ in range(times):
        with store.writing() as session:
            row = session.get_one(SettingRow, "count")
            row.value = row.value + 1
            session.add(row)
            session.commit()
    store.close()


def test_two_terminals_that_read_then_write_lose_no_update(data: Path) -> None:
    store = open_store(str(data))
    with store.writing() as session:
        session.add(SettingRow(key="count", value=0))
        session.commit()
    both = [forking.Process(target=_count_up, args=(str(data), 100)) for _ in range(2)]
    for process in both:
        process.start()
    for process in both:
        process.join()
    with store.reading() as session:
        assert session.exec(select(SettingRow.value)).one() == 200


def test_the_other_terminals_commit_is_noticed_and_ones_own_is_not_missed(data: Path) -> None:
    here, there = (open_store(str(data)) for _ in range(2))
    seen = here.change_mark()
    assert here.change_mark() == seen
    with there.writing() as session:
        session.add(_line("there"))
        session.commit()
    assert here.change_mark() != seen


def test_what_is_not_committed_is_rolled_back(data: Path) -> None:
    store = open_store(str(data))
    with store.writing() as session:
        session.add(SettingRow(key="x", value=1))
        session.flush()
    with store.reading() as session:
        assert session.exec(select(SettingRow)).first() is None


def test_a_reader_sees_one_moment_though_another_terminal_writes_meanwhile(data: Path) -> None:
    store = open_store(str(data))
    with store.reading() as session:
        assert bench_rows.painters(session) == []
        with store.writing() as other:
            other.add(Painter(name="Kit"))
            other.commit()
        assert bench_rows.painters(session) == []
    with store.reading() as session:
        assert bench_rows.painters(session) == ["Kit"]


def test_what_is_written_is_read_back_equal_to_the_microsecond(data: Path) -> None:
    summer = datetime(2025, 6, 9, 7, 30, 0, 123456, tzinfo=ZoneInfo("Europe/London"))
    value = {"b": [1, 2.5, None, True], "a": {"deep": "Zo\u00eb \u6868 'x' \"y\" \\ %s :z"}}
    store = open_store(str(data))
    with store.writing() as session:
        session.add(SettingRow(key="x", value=value))
        session.add(ReadingRow(at=summer, air_c=0.1 + 0.2, painter="Kit"))
        session.add(_line("there", at=summer, changes=[{"table": "x", "after": value}]))
        session.commit()
    with store.reading() as session:
        setting, reading, line = (
            session.exec(select(kind)).one() for kind in (SettingRow, ReadingRow, JournalRow)
        )
    assert reading.at == line.at == summer
    assert reading.at.utcoffset() == line.at.utcoffset() == timedelta(0)
    assert reading.air_c == 0.1 + 0.2
    assert (reading.rh_pct, setting.value) == (None, value)
    assert list(setting.value) == ["b", "a"], "and in the order it was written"
    assert line.changes == [{"table": "x", "after": value}]


@pytest.mark.parametrize("typed", ["\u017bUBR", "\u017cubr", " \u017bubr "])
def test_a_tag_is_found_whatever_its_capitals_and_alphabet(data: Path, typed: str) -> None:
    store = open_store(str(data))
    with store.writing() as session:
        part = {"name": "frame", "count": 1, "substrate": "zinc", "shape": "x", "route": "y"}
        session.add(PartRow(tag="\u017bubr", **part))
        session.commit()
    with store.reading() as session:
        assert bench_rows.part_tagged(session, typed) is not None


def _line(terminal: str, **more: Any) -> JournalRow:
    at = datetime(2025, 6, 9, tzinfo=UTC)
    values = {"at": at, "action": "note", "painter": "Kit", "text": "x", **more}
    return JournalRow(terminal=terminal, **values)


@pytest.mark.sqlite
def test_a_file_that_another_program_holds_is_waited_for_and_then_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sqlite, "BUSY_S", 0.05)
    file = tmp_path / "shop.db"
    with sqlite3.connect(file, isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(CannotOpen, match="database is locked"):
            open_store(str(file))
        other.execute("ROLLBACK")
    open_store(str(file)).close()
