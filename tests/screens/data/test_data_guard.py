"""What the painter sees when the data cannot be read or written, and when it can again."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import NoReturn

import pytest
from sqlalchemy import event
from textual.widgets import Input

from bench.shop.core.transaction import Shop
from bench.shop.data import background
from bench.shop.data.background import FIRST_LOOK_S, LOOK_EVERY_S, THIN_AFTER_S, TRY_EVERY_S
from bench.shop.data.backups import back_up
from bench.shop.data.opening import check, open_for_screen
from bench.shop.environment import readings
from bench.shop.parts import placement
from bench.shop.settings.settings_change import set_settings
from bench.store.copies import backup
from bench.store.databases import sqlite
from bench.store.databases.database import open_store
from bench.store.databases.faults import StoreFault
from bench.testing import ManualClock
from tests.commands.subjects.test_missing_entries import fall_behind
from tests.shop.doing import done
from tests.store.databases.test_faults import fill, small_disk  # noqa: F401
from tests.store.databases.test_write_ahead_log import SPOILED, remove_both, remove_log, working

from ..driving import Hands, at_once, at_the_bench

RED = "NOTHING IS BEING SAVED: "


def lines_of(shop: Shop) -> int:
    found = check(shop)
    assert found.faults == ()
    return found.lines


@pytest.fixture
def placed(shop: Shop) -> Shop:
    """A part on stand 1, whose first step may begin."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    return shop


@pytest.fixture
def held(data: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[sqlite3.Connection]:
    """Another program that holds the data, until it is rolled back."""
    monkeypatch.setattr(sqlite, "BUSY_S", 0.05)
    with closing(sqlite3.connect(data, isolation_level=None)) as other:
        yield other


async def tried_again(hands: Hands) -> None:
    """As long as until the next try; then the bench has looked at how it went."""
    await hands.let_pass(seconds=TRY_EVERY_S)
    await hands.let_pass(seconds=1)


async def test_while_another_program_holds_the_data_the_bench_says_so_and_stays_readable(
    placed: Shop, clock: ManualClock, data: Path, held: sqlite3.Connection
) -> None:
    placed.store.close()
    async with at_the_bench(placed, clock) as hands:
        held.execute("BEGIN IMMEDIATE")
        await hands.press("1 +")
        assert RED + "another program holds the data" in hands.picture()
        assert "NOT SAVED" in hands.said()
        assert "Frame" in hands.picture()
        await hands.press("1 enter")
        assert "Frame" in hands.picture()
        assert RED in hands.picture()
        await hands.press("0")
        for _ in range(3):
            await tried_again(hands)
            assert RED in hands.picture()
        held.execute("ROLLBACK")
        await tried_again(hands)
        assert RED not in hands.picture()
        assert hands.said() == "the data can be read and written again"
        assert "WORKING" not in hands.picture()  # the key that was refused is not pressed again
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
    assert lines_of(placed) == 3


async def test_on_a_full_disk_the_bench_says_so_until_there_is_room(
    placed: Shop,
    clock: ManualClock,
    data: Path,
    small_disk: Path,  # noqa: F811
) -> None:
    placed.store.close()
    file = small_disk / "shop.db"
    shutil.copy(data, file)
    moved = Shop(open_store(str(file)), clock, "test")
    async with at_the_bench(moved, clock) as hands:
        rest = fill(small_disk)
        await hands.press("1 +")
        assert RED + "the disk is full" in hands.picture()
        assert "Frame" in hands.picture()
        await tried_again(hands)
        assert RED + "the disk is full" in hands.picture()
        rest.unlink()
        await tried_again(hands)
        assert RED not in hands.picture()
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
    assert [name for name in os.listdir(small_disk) if "trial" in name] == []
    assert lines_of(moved) == 3
    moved.store.close()


async def test_a_disk_that_can_only_be_read_is_said_over_the_bench_until_it_can_be_written(
    placed: Shop,
    clock: ManualClock,
    data: Path,
    small_disk: Path,  # noqa: F811
) -> None:
    placed.store.close()
    file = small_disk / "shop.db"
    shutil.copy(data, file)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    shop = open_for_screen(str(file), clock, "test")
    assert isinstance(shop, Shop)
    async with at_the_bench(shop, clock) as hands:
        for _ in range(2):
            await tried_again(hands)
            assert "Frame" in hands.picture()
            assert RED + "the disk is mounted read-only" in hands.picture()
        subprocess.run(["mount", "-o", "remount,rw", str(small_disk)], check=True)
        await tried_again(hands)
        assert RED not in hands.picture()
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        hands.app.shop.store.close()


async def test_data_that_another_program_holds_at_the_start_is_waited_for(
    placed: Shop, clock: ManualClock, data: Path, held: sqlite3.Connection
) -> None:
    placed.store.close()
    held.execute("PRAGMA locking_mode = EXCLUSIVE")
    held.execute("BEGIN EXCLUSIVE")
    held.execute("COMMIT")
    shop = open_for_screen(str(data), clock, "test")
    assert isinstance(shop, Shop)
    async with at_the_bench(shop, clock) as hands:
        assert "THE DATA: another program holds the data" in hands.picture()
        assert "Stop work that needs the clock" in hands.picture()
        await tried_again(hands)
        assert "THE DATA: another program holds the data" in hands.picture()
        held.close()
        await tried_again(hands)
        assert "Frame" in hands.picture()
        hands.app.shop.store.close()


@pytest.mark.parametrize("written", [True, False])
async def test_where_the_disk_fails_as_it_is_written_the_bench_says_truly_whether_it_was(
    placed: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch, written: bool
) -> None:
    commit = sqlite.LoggedConnection.commit

    def fails(self: sqlite.LoggedConnection) -> None:
        monkeypatch.setattr(sqlite.LoggedConnection, "commit", commit)
        commit(self) if written else self.rollback()
        fault = sqlite3.OperationalError("disk I/O error")
        fault.sqlite_errorcode = sqlite3.SQLITE_IOERR_FSYNC
        raise fault

    def unsettled(engine: object) -> NoReturn:
        raise StoreFault("disk I/O error")

    monkeypatch.setattr(placed.store, "_settle", unsettled)
    async with at_the_bench(placed, clock) as hands:
        monkeypatch.setattr(sqlite.LoggedConnection, "commit", fails)
        await hands.press("1 +")
        assert RED + "the disk or the server failed in that very moment" in hands.picture()
        assert "SAVED OR NOT" in hands.said()
        await hands.press("1 +")
        assert "NOT SAVED" in hands.said()
        await tried_again(hands)
        assert RED in hands.picture()
        monkeypatch.setattr(placed.store, "_settle", sqlite.settle)
        await tried_again(hands)
        assert RED not in hands.picture()
        done_last = "IS saved" if written else "was NOT saved: press it again"
        assert hands.said().endswith(f"; what was done last {done_last}")
        assert ("WORKING" in hands.picture()) == written
    assert lines_of(placed) == (3 if written else 2)


async def test_a_file_that_has_gone_is_said_and_when_it_is_back_so_is_the_bench(
    placed: Shop, clock: ManualClock, data: Path
) -> None:
    async with at_the_bench(placed, clock) as hands:
        away = data.with_name("elsewhere.db")
        data.rename(away)
        await hands.press("1 +")
        assert "THE DATA: the data file is gone from its place" in hands.picture() or RED in (
            hands.picture()
        )
        await hands.let_pass(seconds=1)
        assert "THE DATA: the data file is gone from its place" in hands.picture()
        assert "There is no good backup" in hands.picture()
        await hands.press("0")
        assert RED + "the data file is gone from its place" in hands.picture()
        assert "Frame" in hands.picture()
        assert not data.exists()
        away.rename(data)
        await tried_again(hands)
        assert RED not in hands.picture()
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        assert lines_of(hands.app.shop) == 3


@pytest.mark.parametrize(
    "how", ["its log and index removed", "its log emptied", "its log replaced"]
)
async def test_a_log_that_is_lost_is_said_and_the_bench_goes_on_from_what_was_saved(
    placed: Shop, clock: ManualClock, data: Path, how: str
) -> None:
    spoil, told = SPOILED[how]
    placed.store.close()  # of an emptied log only what was written since is still in memory
    async with at_the_bench(placed, clock) as hands:
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        spoil(data)
        await hands.let_pass(seconds=1)
        assert "THE DATA: the log beside the data is gone" in hands.picture()
        assert told in hands.picture()
        await hands.press("0")
        assert RED + "the log beside the data is gone" in hands.picture()
        assert "WORKING" in hands.picture()
        await hands.press("1 +")
        assert "NOT SAVED" in hands.said()
        for _ in range(2):
            await tried_again(hands)
            assert "the log beside the data is gone" in hands.picture()
        await hands.wait_until(lambda: "newest good backup, up to entry 3" in hands.picture())
        await hands.press("1 enter")
        assert "restored from shop-before-log-lost.db, up to entry 3" in hands.said()
        assert "WORKING" in hands.picture()
        await hands.press("1 +")
        assert "2/9" in hands.picture()
        assert lines_of(hands.app.shop) == 5
        hands.app.shop.store.close()


async def test_what_a_lost_log_held_is_saved_once_however_often_it_is_tried_again(
    placed: Shop, clock: ManualClock, data: Path
) -> None:
    async with at_the_bench(placed, clock) as hands:
        with closing(sqlite3.connect(data)) as other:
            other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        remove_both(data)
        for _ in range(3):
            await tried_again(hands)
            assert "the log beside the data is gone" in hands.picture()
    assert len(backup.every_copy(backup.folder_beside(str(data)), str(data))) == 1


async def test_before_what_was_saved_is_put_in_place_it_is_said_what_another_terminal_wrote_since(
    placed: Shop, clock: ManualClock, data: Path
) -> None:
    async with at_the_bench(placed, clock) as hands:
        with closing(sqlite3.connect(data)) as other:
            other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        remove_both(data)
        await hands.let_pass(seconds=1)
        await hands.wait_until(lambda: "nothing would be lost" in hands.picture())
        with working(data) as second:
            assert second.act(23).startswith("done")
            second.kill()
        await hands.press("1")
        assert "Restore this backup over the data?" in hands.picture()
        assert "nothing would be lost" not in hands.picture()
        assert "would be lost" in hands.picture()
        await hands.press("0")
        for _ in range(2):
            await tried_again(hands)
            assert "the log beside the data is gone" in hands.picture()


async def test_an_action_in_whose_middle_the_log_was_lost_is_to_be_looked_for(
    placed: Shop, clock: ManualClock, data: Path
) -> None:
    async with at_the_bench(placed, clock) as hands:
        event.listen(placed.store._engine, "commit", lambda _: remove_log(data))
        await hands.press("1 +")
        assert "SAVED OR NOT" in hands.said()
        assert RED + "the log beside the data is gone" in hands.picture()


async def test_a_backup_put_in_place_by_the_command_line_is_taken_up_by_the_bench_that_runs(
    placed: Shop, clock: ManualClock, data: Path, tmp_path: Path
) -> None:
    async with at_the_bench(placed, clock) as hands:
        backup.copy(data, tmp_path / "copy.db")
        await hands.press("1 +")
        (tmp_path / "copy.db").replace(data)
        data.with_name("shop.db-wal").unlink()
        await hands.let_pass(seconds=1)
        await tried_again(hands)
        assert RED not in hands.picture()
        assert "WORKING" not in hands.picture()
        assert "Frame" in hands.picture()


# -- damage -----------------------------------------------------------------------------------------


def zeroed(held: bytearray) -> None:
    held[:] = bytes(len(held))


def cut_short(held: bytearray) -> None:
    del held[len(held) // 2 :]


def flipped(held: bytearray) -> None:
    held[100:110] = bytes(byte ^ 0xFF for byte in held[100:110])


def no_database(held: bytearray) -> None:
    held[:] = b"somebody's notes about brackets\n" * 300


def empty(held: bytearray) -> None:
    held.clear()


DAMAGE = [zeroed, cut_short, flipped, no_database, empty]


def spoil(data: Path, how: Callable[[bytearray], None]) -> bytes:
    spoilt = bytearray(data.read_bytes())
    how(spoilt)
    data.write_bytes(spoilt)
    return bytes(spoilt)


@pytest.mark.parametrize("how", DAMAGE)
async def test_damaged_data_is_said_at_the_start_kept_and_a_backup_takes_its_place(
    placed: Shop, clock: ManualClock, data: Path, how: Callable[[bytearray], None]
) -> None:
    done(back_up(placed, "", None))
    done(readings.take_reading(placed, "Kit", air_c=15.0))
    placed.store.close()
    spoilt = spoil(data, how)
    shop = open_for_screen(str(data), clock, "test")
    assert isinstance(shop, Shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.wait_until(lambda: "newest good backup, up to entry 2" in hands.picture())
        picture = hands.picture()
        assert "THE DATA: the data is damaged" in picture
        assert "Stop work that needs the clock" in picture
        assert "cannot tell what would be lost" in picture or "would be lost" in picture
        assert data.read_bytes() == spoilt
        await hands.press("1 0")
        assert data.read_bytes() == spoilt
        await hands.press("1 enter")
        assert "restored from shop-20250609T063000Z.db, up to entry 2" in hands.said()
        assert "Frame" in hands.picture()
        kept = data.with_name("shop-damaged-20250609T063000Z.db")
        assert kept.read_bytes() == spoilt
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        assert lines_of(hands.app.shop) == 4
        hands.app.shop.store.close()


async def test_without_a_good_backup_the_damaged_file_is_left_as_it_lies(
    placed: Shop, clock: ManualClock, data: Path
) -> None:
    done(back_up(placed, "", None))
    (copy,) = backup.folder_beside(str(data)).iterdir()
    spoil(copy, cut_short)
    placed.store.close()
    spoilt = spoil(data, flipped)
    shop = open_for_screen(str(data), clock, "test")
    assert isinstance(shop, Shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(seconds=1)
        assert "There is no good backup" in hands.picture()
        await hands.press("1 enter 2 enter")
        assert data.read_bytes() == spoilt
        await hands.press("0")
        assert hands.app.return_code == 0


async def test_damage_found_while_the_bench_runs_stops_the_writing_and_offers_a_backup(
    placed: Shop, clock: ManualClock, data: Path
) -> None:
    for _ in range(40):
        done(readings.take_reading(placed, "Kit", air_c=15.0))
    done(back_up(placed, "", None))
    done(readings.take_reading(placed, "Kit", air_c=16.0))
    async with at_the_bench(placed, clock) as hands:
        with closing(sqlite3.connect(data)) as other:
            other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        held = bytearray(data.read_bytes())
        last = len(held) // 4096 - 1
        with open(data, "r+b") as file:
            file.seek(last * 4096)
            file.write(b"\xa5" * 4096)
        await hands.let_pass(seconds=1)
        await hands.let_pass(seconds=FIRST_LOOK_S)
        await hands.let_pass(seconds=1)
        assert "THE DATA: the data is damaged" in hands.picture()
        await hands.press("0")
        assert RED + "the data is damaged" in hands.picture()
        assert "Frame" in hands.picture()
        await hands.press("1 +")
        assert "NOT SAVED" in hands.said()


async def test_where_the_data_has_gone_at_the_start_a_backup_is_offered_and_no_empty_shop(
    placed: Shop, clock: ManualClock, data: Path
) -> None:
    done(back_up(placed, "", None))
    placed.store.close()
    data.unlink()
    shop = open_for_screen(str(data), clock, "test")
    assert isinstance(shop, Shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(seconds=1)
        assert "the newest good backup" in hands.picture().lower()
        assert "move the copies of this one away first" in hands.picture()
        assert "start empty" not in hands.picture()
        await hands.press("2 enter")
        assert not data.exists()
        await hands.press("1 enter")
        assert "Frame" in hands.picture()
        hands.app.shop.store.close()


@pytest.fixture
def shut_behind(placed: Shop, clock: ManualClock, data: Path) -> Shop:
    """The shop at the start of a program, three entries behind its backup."""
    fall_behind(placed, data)
    shut = open_for_screen(str(data), clock, "test")
    assert isinstance(shut, Shop)
    return shut


async def test_data_behind_its_backup_is_asked_about_and_the_backup_takes_its_place(
    shut_behind: Shop, clock: ManualClock, data: Path
) -> None:
    before = data.read_bytes()
    async with at_the_bench(shut_behind, clock) as hands:
        await hands.wait_until(lambda: "newest good backup, up to entry 5" in hands.picture())
        assert "THE DATA: a backup goes further than the data" in hands.picture()
        assert "shop-20250609T063000Z.db goes 3 entries further" in hands.picture()
        assert "nothing would be lost" in hands.picture()
        for _ in range(3):
            await tried_again(hands)
        await hands.press("1 0 2 0")
        assert "THE DATA: a backup goes further than the data" in hands.picture()
        assert data.read_bytes() == before
        await hands.press("1 enter")
        assert "restored from shop-20250609T063000Z.db, up to entry 5" in hands.said()
        assert "Frame" in hands.picture()
        assert lines_of(hands.app.shop) == 6
        hands.app.shop.store.close()


async def test_data_behind_its_backup_is_kept_if_somebody_says_so(
    shut_behind: Shop, clock: ManualClock, data: Path
) -> None:
    async with at_the_bench(shut_behind, clock) as hands:
        await hands.wait_until(lambda: "newest good backup, up to entry 5" in hands.picture())
        await hands.press("2 enter")
        assert "the data is kept as it is, though shop-20250609T063000Z.db goes" in hands.said()
        assert "Frame" in hands.picture()
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        assert lines_of(hands.app.shop) == 4
        hands.app.shop.store.close()
    again = open_for_screen(str(data), clock, "test")
    assert isinstance(again, Shop)
    assert again.store.shut is None
    again.store.close()


async def test_data_beside_which_nothing_can_be_written_is_shown_and_comes_right_by_itself(
    placed: Shop,
    clock: ManualClock,
    small_disk: Path,  # noqa: F811
    data: Path,
) -> None:
    placed.store.close()
    place = shutil.copy(data, small_disk / "shop.db")
    rest = fill(small_disk)
    shop = open_for_screen(str(place), clock, "test")
    assert isinstance(shop, Shop)
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        await hands.let_pass(seconds=1)
        assert "Frame" in hands.picture()
        assert RED + "the disk is full" in hands.picture()
        await hands.press("1 +")
        assert "NOT SAVED" in hands.said()
        await tried_again(hands)
        assert RED in hands.picture()
        rest.unlink()
        await tried_again(hands)
        assert RED not in hands.picture()
        await hands.press("+")
        assert "WORKING" in hands.picture()
        hands.app.shop.store.close()


# -- backups ----------------------------------------------------------------------------------------


async def test_a_stick_that_is_not_there_is_said_on_the_bench_and_work_goes_on(
    placed: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    stick = tmp_path / "stick"
    done(set_settings(placed, "Kit", backup_to=str(stick)))
    async with at_the_bench(placed, clock, (132, 40)) as hands:
        await hands.let_pass(seconds=1)
        await hands.let_pass(seconds=FIRST_LOOK_S)
        assert f"BACKUP {stick}: it is not there" in hands.picture()
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        assert f"BACKUP {stick}: it is not there" in hands.picture()
        done(set_settings(placed, "Kit", backup_to=""))
        await hands.let_pass(seconds=LOOK_EVERY_S)
        assert "BACKUP" not in hands.picture()


async def test_old_readings_of_probes_go_a_minute_after_the_start_and_once_a_day(
    placed: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    thinned: list[datetime] = []
    monkeypatch.setattr(background, "thin", lambda shop: thinned.append(shop.clock.now()))
    async with at_the_bench(placed, clock) as hands:
        start = clock.now()
        await hands.let_pass(seconds=1)
        await hands.let_pass(seconds=THIN_AFTER_S)
        await hands.let_pass(hours=23)
        assert len(thinned) == 1
        await hands.let_pass(hours=1)
    assert len(thinned) == 2
    assert thinned[0] - start < timedelta(minutes=2)


async def test_no_key_waits_for_a_backup(placed: Shop, clock: ManualClock) -> None:
    jobs: list[Callable[[], None]] = []
    async with at_the_bench(placed, clock, start=jobs.append) as hands:
        await hands.let_pass(seconds=1)
        await hands.let_pass(seconds=FIRST_LOOK_S)
        assert len(jobs) == 1
        await hands.press("1 +")
        assert "WORKING" in hands.picture()
        at_once(jobs[0])
        await hands.let_pass(seconds=1)
        assert hands.app.data.keeping.newest() is not None


async def test_a_demo_makes_no_backups(placed: Shop, clock: ManualClock, data: Path) -> None:
    async with at_the_bench(placed, clock, demo=True) as hands:
        await hands.let_pass(seconds=1)
        await hands.let_pass(hours=1)
    assert not backup.folder_beside(str(data)).exists()


async def test_the_backups_page_says_where_they_are_and_makes_one_now(
    placed: Shop, clock: ManualClock, data: Path, tmp_path: Path
) -> None:
    async with at_the_bench(placed, clock, (132, 40)) as hands:
        await hands.let_pass(seconds=1)
        await hands.let_pass(seconds=FIRST_LOOK_S)
        await hands.pick("set-up", "backups: where and how old")
        assert "beside the data: the newest there is" in hands.picture()
        assert str(backup.folder_beside(str(data))) in hands.picture()
        assert "no second place" in hands.picture()
        await hands.let_pass(minutes=1)
        await hands.press("1")
        await hands.let_pass(seconds=1)
        assert hands.said().startswith("backed up: ")
        assert len(backup.hourly(backup.folder_beside(str(data)), str(data))) == 2
        await hands.press("2")
        await hands.press("s t i c k enter")
        assert "a folder's whole path" in hands.said()
        await hands.press("2")
        hands.app.screen.query_one(Input).value = "/mnt/stick"
        await hands.press("enter")
        assert "backups also in /mnt/stick (it is not there now)" in hands.said()
        await hands.press("0")
