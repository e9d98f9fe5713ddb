"""Data that a backup goes further than: said, and nothing is written until somebody answers."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.data.backups import back_up
from bench.shop.environment import readings
from bench.store.copies import backup
from bench.testing import ManualClock
from tests.shop.doing import done

from ..running import Paintbench

WORDS = (
    "shop-20250609T063000Z.db goes 3 entries further than the data, up to 06:30 on Mon 09 Jun 2025"
)


def entries(data: Path) -> list[str]:
    with closing(sqlite3.connect(data)) as raw:
        return [text for (text,) in raw.execute("SELECT text FROM journal ORDER BY id")]


def fall_behind(shop: Shop, data: Path) -> Path:
    """Three readings are in a backup, and the data is as it was before them. Answers the backup."""
    shop.store.close()
    before = data.with_name("before")
    with closing(sqlite3.connect(data)) as raw:
        raw.execute("PRAGMA journal_mode = DELETE")
    shutil.copy(data, before)
    for air_c in (11.0, 12.0, 13.0):
        done(readings.take_reading(shop, "Kit", air_c=air_c))
    done(back_up(shop, "", None))
    shop.store.close()
    before.replace(data)
    (file,) = backup.folder_beside(str(data)).iterdir()
    return file


@pytest.fixture
def copied(shop: Shop, data: Path) -> Path:
    return fall_behind(shop, data)


@pytest.mark.parametrize(
    "words", ["reading --air 18C --by Kit", "backup", "set-clock 2025-06-09T08:00 --by Kit"]
)
def test_nothing_is_written_and_both_ways_out_are_named(
    paintbench: Paintbench, copied: Path, data: Path, words: str
) -> None:
    ran = paintbench(*words.split())
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == (
        f"{WORDS}: paintbench restore {copied}, or to go on without them: paintbench keep-data\n"
    )
    assert entries(data) == ["shop opened with 6 stands"]
    assert list(copied.parent.iterdir()) == [copied]


def test_what_reads_says_it_beside_the_answer(paintbench: Paintbench, copied: Path) -> None:
    ran = paintbench("status")
    assert ran.code == 0
    assert ran.err.startswith(WORDS)
    checked = paintbench("check")
    assert checked.code == 1
    assert checked.out.startswith(WORDS)
    assert paintbench("export", "-").code == 0


def test_the_list_of_backups_says_it_first_and_which_goes_how_far(
    paintbench: Paintbench, copied: Path
) -> None:
    ran = paintbench("backups")
    assert ran.out.startswith(WORDS)
    assert "up to entry 4, 06:30 on Mon 09 Jun 2025, 3 further than the data" in ran.out
    (listed,) = paintbench("backups", "--json").json()["backups"]
    assert (listed["further"], listed["missing"]) == (3, 0)


def test_the_backup_is_put_back_and_the_work_goes_on(
    paintbench: Paintbench, copied: Path, data: Path
) -> None:
    assert paintbench("restore", str(copied)).code == 0
    assert paintbench("reading", "--air", "18C", "--by", "Kit").code == 0
    assert len(entries(data)) == 6
    assert paintbench("check").code == 0


def test_the_data_is_kept_as_it_is_and_nobody_is_asked_again(
    paintbench: Paintbench, copied: Path, data: Path
) -> None:
    ran = paintbench("keep-data")
    assert (ran.code, ran.out) == (0, f"the data is kept as it is, though {WORDS}\n")
    assert paintbench("reading", "--air", "18C", "--by", "Kit").err == ""
    assert paintbench("check").code == 0
    assert "no backup goes further" in paintbench("keep-data").err
    assert paintbench("undo", "--by", "Kit").code == 0
    assert paintbench("undo", "--by", "Kit").err == "there is nothing to undo\n"


def test_a_backup_of_another_story_is_asked_about_too(
    paintbench: Paintbench, copied: Path, data: Path
) -> None:
    assert paintbench("keep-data").code == 0
    with closing(sqlite3.connect(data)) as raw, raw:
        raw.execute("DELETE FROM setting WHERE key = 'backups answered'")
    ran = paintbench("reading", "--air", "18C", "--by", "Kit")
    assert ran.code == 1
    assert "shop-20250609T063000Z.db has entries that the data has not, up to 06:30" in ran.err


def test_after_an_older_backup_was_restored_the_newer_one_asks_nothing(
    paintbench: Paintbench, shop: Shop, clock: ManualClock, data: Path
) -> None:
    done(back_up(shop, "", None))
    (older,) = backup.folder_beside(str(data)).iterdir()
    clock.advance(hours=1)
    done(readings.take_reading(shop, "Kit", air_c=15.0))
    done(back_up(shop, "", None))
    shop.store.close()
    assert paintbench("restore", str(older), "--yes").code == 0
    assert paintbench("reading", "--air", "18C", "--by", "Kit").err == ""
    assert paintbench("check").code == 0


def test_a_log_that_was_removed_while_the_shop_was_closed_is_noticed(
    paintbench: Paintbench, shop: Shop, data: Path
) -> None:
    shop.store.close()
    with closing(sqlite3.connect(data)) as raw:
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    kept = data.read_bytes()
    for air_c in (11.0, 12.0, 13.0):
        done(readings.take_reading(shop, "Kit", air_c=air_c))
    done(back_up(shop, "", None))
    shop.store.close()
    data.write_bytes(kept)  # as a kill leaves it, and then the log is removed
    for side in backup.SIDE_FILES:
        data.with_name(data.name + side).unlink(missing_ok=True)
    assert paintbench("reading", "--air", "18C", "--by", "Kit").err.startswith(WORDS)


def test_a_backup_in_the_second_place_is_looked_at_by_check(
    paintbench: Paintbench, shop: Shop, data: Path, tmp_path: Path
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    assert paintbench("shop", "--backup-to", str(stick), "--by", "Kit").code == 0
    file = fall_behind(shop, data)
    file.rename(stick / file.name)
    assert WORDS in paintbench("check").out
    assert WORDS in paintbench("backups").out
    assert paintbench("keep-data").code == 0
    assert paintbench("check").code == 0


def test_what_was_saved_of_a_log_that_was_lost_is_asked_about(
    paintbench: Paintbench, copied: Path, data: Path
) -> None:
    copied.rename(copied.with_name("shop-before-log-lost.db"))
    ran = paintbench("reading", "--air", "18C", "--by", "Kit")
    assert "shop-before-log-lost.db goes 3 entries further" in ran.err


def test_a_backup_that_cannot_be_read_asks_nothing(
    paintbench: Paintbench, copied: Path, data: Path
) -> None:
    copied.write_bytes(b"no database")
    assert paintbench("reading", "--air", "18C", "--by", "Kit").code == 0
