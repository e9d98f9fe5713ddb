"""Copies of the shop's file: whole or not at all, and what was there before is kept."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.store.copies import backup, restore
from bench.store.copies.backup import BackupFault
from bench.store.databases import writer_turns
from bench.store.databases.database import open_store
from tests.shop.doing import done

pytestmark = pytest.mark.sqlite

AT = datetime(2025, 6, 9, 6, 30, tzinfo=UTC)


@pytest.fixture
def folder(data: Path) -> Path:
    found = backup.folder_beside(str(data))
    found.mkdir()
    return found


def number(place: Path) -> int:
    """Of the newest journal line."""
    line = backup.newest_line(place)
    return line.number if line else 0


def read_the_air(shop: Shop, times: int = 1) -> None:
    for n in range(times):
        done(readings.take_reading(shop, "Kit", air_c=15.0 + n))


def test_a_copy_made_while_a_painter_writes_is_whole_and_of_one_moment(
    shop: Shop, data: Path, folder: Path
) -> None:
    read_the_air(shop, 3)
    target = folder / backup.dated_name(str(data), AT)
    with shop.store.writing():
        found = backup.copy(data, target)
    assert target.name == "shop-20250609T063000Z.db"
    assert found.last is not None
    assert found.last.number == 4
    assert os.listdir(folder) == [target.name]
    copied = Shop(open_store(str(target)), shop.clock, "test")
    assert check(copied).faults == ()
    copied.store.close()


def test_a_copy_is_one_plain_file_that_a_read_only_stick_can_show(
    shop: Shop, data: Path, folder: Path
) -> None:
    target = folder / "copy.db"
    backup.copy(data, target)
    with closing(sqlite3.connect(target)) as raw:
        assert raw.execute("PRAGMA journal_mode").fetchone() == ("delete",)


def test_a_file_that_is_damaged_gives_no_copy_and_leaves_the_good_ones_alone(
    shop: Shop, data: Path, folder: Path
) -> None:
    read_the_air(shop, 20)
    good = folder / backup.dated_name(str(data), AT)
    backup.copy(data, good)
    shop.store.close()
    held = bytearray(data.read_bytes())
    held[8192:12288] = bytes(4096)
    data.write_bytes(held)
    with pytest.raises(BackupFault) as told:
        backup.copy(data, folder / backup.dated_name(str(data), AT + timedelta(hours=1)))
    assert told.value.damaged
    assert os.listdir(folder) == [good.name]


def test_another_program_that_holds_the_data_is_not_waited_for_for_ever(
    shop: Shop, data: Path, folder: Path
) -> None:
    shop.store.close()
    with closing(sqlite3.connect(data, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(BackupFault, match=r"another program holds the data|locked"):
            backup.copy(data, folder / "copy.db", busy_tries=1)
    assert os.listdir(folder) == []


def test_where_nobody_holds_the_data_one_try_is_enough(
    shop: Shop, data: Path, folder: Path
) -> None:
    backup.copy(data, folder / "copy.db", busy_tries=1)
    assert os.listdir(folder) == ["copy.db"]


def test_what_a_copy_that_was_cut_off_left_behind_is_swept_and_bears_no_good_name(
    shop: Shop, data: Path, folder: Path
) -> None:
    gone = subprocess.run(
        [sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True
    )
    left = folder / f".shop-20250609T053000Z.db.{int(gone.stdout)}.paintbench-part"
    left.write_bytes(data.read_bytes()[:5000])
    theirs = folder / f".film.{int(gone.stdout)}.part"
    theirs.touch()
    assert backup.every_copy(folder, str(data)) == []
    backup.copy(data, folder / backup.dated_name(str(data), AT))
    assert not left.exists()
    assert theirs.exists(), "of another program"


def test_only_this_shops_copies_are_counted_and_those_before_a_migration_never_thinned(
    data: Path, folder: Path
) -> None:
    for name in (
        "shop-20250609T063000Z.db",
        "shop-before-version-2.db",
        "shop-before-restore-20250609T063000Z.db",
        "shop-20250609T073000Z.db.paintbench-part",
        "shop-20259999T073000Z.db",
        "bench-20250609T063000Z.db",
        "holiday.jpg",
    ):
        (folder / name).touch()
    assert list(backup.hourly(folder, str(data))) == [AT]
    assert [path.name for path in backup.every_copy(folder, str(data))] == [
        "shop-20250609T063000Z.db",
        "shop-before-restore-20250609T063000Z.db",
        "shop-before-version-2.db",
    ]


@pytest.mark.parametrize(
    ("held", "said"),
    [
        (b"", "no copy of a shop's data"),
        (b"not a database at all, somebody's notes\n" * 40, "not a database"),
        (bytes(8192), "not a database"),
    ],
)
def test_what_is_no_copy_is_said_and_not_touched(tmp_path: Path, held: bytes, said: str) -> None:
    file = tmp_path / "copy.db"
    file.write_bytes(held)
    with pytest.raises(BackupFault, match=said):
        backup.contents(file)
    assert file.read_bytes() == held


def test_a_copy_cut_short_is_damaged(shop: Shop, data: Path, folder: Path) -> None:
    target = folder / "copy.db"
    backup.copy(data, target)
    target.write_bytes(target.read_bytes()[:-8192])
    with pytest.raises(BackupFault) as told:
        backup.contents(target)
    assert told.value.damaged


def test_a_copy_of_a_newer_program_is_refused(shop: Shop, data: Path, folder: Path) -> None:
    target = folder / "copy.db"
    backup.copy(data, target)
    with closing(sqlite3.connect(target)) as raw, raw:
        raw.execute("UPDATE schema_version SET version = 99")
    with pytest.raises(BackupFault, match="newer program"):
        backup.contents(target)


# -- putting one in place ------------------------------------------------------------------------


def test_a_restored_copy_takes_the_place_and_what_was_there_is_kept(
    shop: Shop, data: Path, folder: Path
) -> None:
    target = folder / backup.dated_name(str(data), AT)
    backup.copy(data, target)
    read_the_air(shop)
    shop.store.close()
    kept = restore.put_in_place(target, str(data), AT, damaged=False)
    assert kept == data.with_name("shop-before-restore-20250609T063000Z.db")
    assert number(kept) == 2
    assert number(data) == 1
    files = {path.name for path in data.parent.iterdir() if path.is_file()}
    assert files - {data.name + writer_turns.ENDING} == {kept.name, data.name}


def test_nothing_is_put_aside_while_another_terminal_has_it_open(
    shop: Shop, data: Path, folder: Path
) -> None:
    target = folder / "copy.db"
    backup.copy(data, target)
    read_the_air(shop)
    with pytest.raises(BackupFault, match="close the bench on every terminal"):
        restore.put_in_place(target, str(data), AT, damaged=False)
    read_the_air(shop)
    assert number(data) == 3


def test_a_log_that_was_left_beside_the_file_does_not_spoil_the_restored_one(
    shop: Shop, data: Path, folder: Path
) -> None:
    target = folder / "copy.db"
    backup.copy(data, target)
    read_the_air(shop, 5)
    log = data.with_name("shop.db-wal").read_bytes()
    shop.store.close()
    data.write_bytes(b"")
    data.with_name("shop.db-wal").write_bytes(log)
    kept = restore.put_in_place(target, str(data), AT, damaged=True)
    assert kept is not None
    assert kept.with_name(kept.name + "-wal").read_bytes() == log
    again = Shop(open_store(str(data)), shop.clock, "test")
    assert check(again).lines == 1
    again.store.close()


def test_two_files_put_aside_in_the_same_second_are_both_kept(
    shop: Shop, data: Path, folder: Path
) -> None:
    target = folder / "copy.db"
    backup.copy(data, target)
    shop.store.close()
    kept = {restore.put_in_place(target, str(data), AT, damaged=False) for _ in range(3)}
    assert len(kept) == 3


def test_a_damaged_copy_is_not_put_in_place(shop: Shop, data: Path, folder: Path) -> None:
    target = folder / "copy.db"
    backup.copy(data, target)
    target.write_bytes(target.read_bytes()[:-8192])
    shop.store.close()
    before = data.read_bytes()
    with pytest.raises(BackupFault):
        restore.put_in_place(target, str(data), AT, damaged=False)
    assert data.read_bytes() == before
    assert [p.name for p in data.parent.iterdir() if p.is_file()] == ["shop.db"]
