"""Backups by the hour in the background: beside the data, on a stick, and what is said of them."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data import background
from bench.shop.data.background import (
    FIRST_LOOK_S,
    LOOK_EVERY_S,
    NO_ANSWER_S,
    BackgroundJob,
    BackupScheduler,
)
from bench.shop.data.backup_retention import SecondPlace
from bench.shop.data.backups import BackupPlace
from bench.shop.environment import readings
from bench.shop.settings.settings_change import set_settings
from bench.store.copies import backup
from bench.store.databases.faults import StoreFault
from bench.store.schema.tables import PROBE
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.store.databases.test_faults import small_disk

from ..doing import done

__all__ = ["small_disk"]

pytestmark = pytest.mark.sqlite


def at_once(job: BackgroundJob) -> None:
    """A thread that is done before anybody looks."""
    job()


class Bench:
    """A bench that ticks."""

    def __init__(
        self, shop: Shop, clock: ManualClock, start: Callable[[BackgroundJob], object]
    ) -> None:
        self.shop, self.clock, self.keeping = shop, clock, BackupScheduler(start)
        self.doubtful = False

    def let_pass(self, **span: float) -> None:
        """Time goes by, and at its end the bench ticks."""
        self.clock.advance(**span)
        house = bench_view.read_bench(self.shop).house
        self.keeping.tick(self.shop, house, doubtful=self.doubtful)

    def write(self) -> None:
        """Something that wants keeping."""
        done(readings.take_reading(self.shop, "Kit", air_c=15.0))

    def faults(self) -> list[str]:
        return self.keeping.faults(self.shop.clock.now())


@pytest.fixture
def bench(shop: Shop, clock: ManualClock) -> Bench:
    """Ticks once, so that its first look is FIRST_LOOK_S away."""
    found = Bench(shop, clock, at_once)
    found.let_pass(seconds=0)
    return found


@pytest.fixture
def stick(data: Path) -> Iterator[Path]:
    """A folder on another disk than the data, as a stick is."""
    here = data.parent.stat().st_dev
    there = (Path(folder) for folder in ("/dev/shm", "/tmp", "/var/tmp"))
    disks = [each for each in there if os.access(each, os.W_OK) and each.stat().st_dev != here]
    if not disks:
        pytest.skip("there is no second disk here")
    other = disks[0] / f"paintbench-stick-{os.getpid()}"
    other.mkdir()
    yield other
    shutil.rmtree(other, ignore_errors=True)


def taken(data: Path) -> list[datetime]:
    return list(backup.hourly(backup.folder_beside(str(data)), str(data)))


def test_a_backup_is_made_soon_after_the_start_and_not_before_the_first_picture(
    bench: Bench, data: Path
) -> None:
    assert taken(data) == []
    bench.let_pass(seconds=FIRST_LOOK_S)
    assert len(taken(data)) == 1


def test_it_looks_3_s_after_the_start_and_then_once_a_minute(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks: list[float] = []
    began_s = bench.clock.monotonic()

    def looked(*_given: object, **_more: object) -> list[BackupPlace]:
        looks.append(round(bench.clock.monotonic() - began_s, 1))
        return []

    monkeypatch.setattr(background, "backup_places", looked)
    for seconds in (2.9, 0.1, 59.9, 0.1, 59.9, 0.1):
        bench.let_pass(seconds=seconds)
    assert looks == [3.0, 63.0, 123.0]


def test_a_copy_that_takes_over_ten_minutes_hangs(
    shop: Shop, clock: ManualClock, data: Path
) -> None:
    bench = Bench(shop, clock, lambda _: None)
    bench.let_pass(seconds=0)
    bench.let_pass(seconds=3)
    bench.let_pass(seconds=599.9)
    assert bench.faults() == []
    bench.let_pass(seconds=0.1)
    assert bench.faults() == ["beside the data: it does not answer"]


def test_data_that_is_away_is_tried_again_every_3_s(shop: Shop, clock: ManualClock) -> None:
    tries: list[BackgroundJob] = []
    again, away = background.Reconnector(tries.append), StoreFault("away", "gone")
    again.begin(shop)
    for seconds, tried in ((2.9, 0), (0.1, 1), (2.9, 1), (0.1, 2)):
        clock.advance(seconds=seconds)
        again.tick(shop, away)
        assert len(tries) == tried
        again._busy = False  # it came to nothing


def test_while_painters_work_there_is_one_every_hour(bench: Bench, data: Path) -> None:
    for _ in range(5 * 6):
        bench.write()
        bench.let_pass(minutes=10)
    made = taken(data)
    assert len(made) == 5
    assert {later - sooner for sooner, later in pairwise(made)} == {timedelta(hours=1)}
    assert bench.keeping.newest() == made[-1]


def test_an_idle_bench_makes_one_a_day(bench: Bench, data: Path) -> None:
    for _ in range(3 * 24):
        bench.let_pass(hours=1)
    assert len(taken(data)) == 3


def test_what_a_probe_reads_with_nobody_there_is_no_work(bench: Bench, data: Path) -> None:
    bench.write()
    for _ in range(4 * 24):
        done(readings.take_reading(bench.shop, PROBE, air_c=15.0))
        bench.let_pass(hours=1)
    assert len(taken(data)) == 4, "one a day, as on any day without work"
    bench.write()
    bench.let_pass(hours=1)
    assert len(taken(data)) == 5


def test_copies_past_their_room_are_let_go_the_oldest_first_and_that_is_said(
    bench: Bench, data: Path
) -> None:
    folder = backup.folder_beside(str(data))
    bench.let_pass(minutes=5)
    (first,) = taken(data)
    before_update = folder / backup.dated_name(str(data), MONDAY - timedelta(days=900), "before-2")
    before_update.write_bytes((folder / backup.dated_name(str(data), first)).read_bytes())
    copy_mb = before_update.stat().st_size / 1e6
    done(set_settings(bench.shop, "Kit", backup_mb=10))
    (folder / backup.dated_name(str(data), MONDAY - timedelta(hours=2))).write_bytes(
        b" " * 9_000_000
    )
    bench.write()
    bench.let_pass(hours=1, minutes=1)
    assert first in taken(data)
    assert len(taken(data)) == 2, "the oldest by the hour went, as large as it was"
    assert before_update.exists()
    ((_, _, room),) = bench.keeping.places(bench.clock.now())
    assert room.startswith(f"{3 * copy_mb:.1f} MB of backups; at most 10 MB in each place")


def test_a_bench_started_again_within_the_hour_makes_no_second_one(
    bench: Bench, shop: Shop, clock: ManualClock, data: Path
) -> None:
    bench.let_pass(minutes=5)
    again = Bench(shop, clock, at_once)
    again.write()
    again.let_pass(seconds=0)
    again.let_pass(minutes=5)
    assert len(taken(data)) == 1


def test_old_ones_are_thinned_but_not_while_the_clock_is_wrong(bench: Bench, data: Path) -> None:
    bench.let_pass(minutes=5)
    folder = backup.folder_beside(str(data))
    (first,) = folder.iterdir()
    for hours in range(1, 72):
        name = backup.dated_name(str(data), MONDAY - timedelta(hours=hours))
        (folder / name).write_bytes(first.read_bytes())
    bench.doubtful = True
    bench.write()
    bench.let_pass(hours=1, minutes=1)
    assert len(taken(data)) == 73
    bench.doubtful = False
    bench.let_pass(minutes=2)
    assert 24 < len(taken(data)) < 30


def test_a_stick_that_is_not_there_is_said_and_the_backup_beside_the_data_is_made(
    bench: Bench, shop: Shop, data: Path, stick: Path
) -> None:
    done(set_settings(shop, "Kit", backup_to=str(stick)))
    bench.let_pass(seconds=FIRST_LOOK_S)
    assert (len(os.listdir(stick)), bench.faults()) == (1, [])
    shutil.rmtree(stick)
    bench.let_pass(hours=2)
    assert bench.faults() == [f"{stick}: it is not there, the newest there is 2 h old"]
    assert len(taken(data)) == 1
    bench.write()
    bench.let_pass(minutes=2)
    assert len(taken(data)) == 2
    stick.mkdir()
    bench.let_pass(seconds=LOOK_EVERY_S)
    assert (len(os.listdir(stick)), bench.faults()) == (1, [])


def test_the_empty_folder_of_a_stick_that_was_pulled_out_is_not_taken_for_the_stick(
    bench: Bench, shop: Shop, tmp_path: Path
) -> None:
    mount = tmp_path / "stick"
    done(set_settings(shop, "Kit", backup_to=str(mount)))  # it is not there now: another disk
    assert bench_view.read_bench(shop).house.second_place == SecondPlace(
        str(mount), other_disk=True
    )
    mount.mkdir()
    bench.let_pass(minutes=1)
    assert bench.faults() == [f"{mount}: it is not there, only its empty folder"]
    assert os.listdir(mount) == []


def test_a_folder_on_the_datas_own_disk_that_the_shop_chose_is_used(
    bench: Bench, shop: Shop, tmp_path: Path
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    told = done(set_settings(shop, "Kit", backup_to=str(other)))
    assert "if it breaks, both are gone" in told.text
    bench.let_pass(minutes=1)
    assert (len(os.listdir(other)), bench.faults()) == (1, [])


def test_a_stick_that_hangs_holds_nothing_up_and_is_said(
    shop: Shop, clock: ManualClock, data: Path, stick: Path
) -> None:
    done(set_settings(shop, "Kit", backup_to=str(stick)))
    waiting: list[BackgroundJob] = []
    bench = Bench(shop, clock, waiting.append)
    bench.let_pass(seconds=0)
    bench.let_pass(seconds=FIRST_LOOK_S)
    assert len(waiting) == 2
    waiting[0]()
    assert len(taken(data)) == 1
    for _ in range(round(NO_ANSWER_S / LOOK_EVERY_S)):
        bench.let_pass(seconds=LOOK_EVERY_S)
        if len(waiting) > 2:
            waiting.pop()()  # beside the data it is looked again; the stick is not asked twice
    assert bench.faults() == [f"{stick}: it does not answer"]
    waiting[1]()
    bench.let_pass(seconds=LOOK_EVERY_S)
    assert bench.faults() == []


def test_damage_in_the_data_is_found_at_the_first_look_though_no_copy_is_due(
    bench: Bench, shop: Shop, clock: ManualClock, data: Path
) -> None:
    for _ in range(30):
        bench.write()
    bench.let_pass(minutes=5)
    good = taken(data)
    again = Bench(shop, clock, at_once)
    again.let_pass(seconds=0)
    house = bench_view.read_bench(shop).house
    shop.store.close()
    held = bytearray(data.read_bytes())
    held[3 * 4096 : 4 * 4096] = bytes(4096)
    data.write_bytes(held)
    clock.advance(seconds=FIRST_LOOK_S)
    again.keeping.tick(shop, house, doubtful=False)
    assert again.keeping.damaged
    clock.advance(hours=25)
    again.keeping.tick(shop, house, doubtful=False)
    assert again.keeping.damaged
    assert taken(data) == good


def test_a_fault_of_ours_in_the_background_is_a_line_and_no_traceback(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: object) -> None:
        raise KeyError("ours")

    monkeypatch.setattr("bench.shop.data.background.back_up_if_due", broken)
    bench.let_pass(minutes=1)
    assert bench.faults() == ["beside the data: KeyError: 'ours'"]


# -- sticks that fail in the middle -----------------------------------------------------------------


def test_a_stick_too_small_for_the_copy_is_said_and_bears_no_half_one(
    bench: Bench, shop: Shop, data: Path, small_disk: Path
) -> None:
    (small_disk / "photos").write_bytes(bytes(1_900_000))
    done(set_settings(shop, "Kit", backup_to=str(small_disk)))
    bench.let_pass(seconds=FIRST_LOOK_S)
    (told,) = bench.faults()
    assert told.startswith(f"{small_disk}: ")
    assert "full" in told
    assert os.listdir(small_disk) == ["photos"]
    assert len(taken(data)) == 1
    (small_disk / "photos").unlink()
    bench.let_pass(seconds=LOOK_EVERY_S)
    assert bench.faults() == []
    assert len(os.listdir(small_disk)) == 1


@pytest.mark.parametrize("when", ["fsync", "replace"])
def test_a_stick_pulled_out_in_the_middle_bears_no_half_copy_under_a_good_name(
    bench: Bench,
    shop: Shop,
    data: Path,
    stick: Path,
    monkeypatch: pytest.MonkeyPatch,
    when: str,
) -> None:
    """As the kernel tells it: what was being written gives an input/output error."""
    done(set_settings(shop, "Kit", backup_to=str(stick)))
    real = getattr(os, when)

    def pulled(what: object, *more: object) -> object:
        on_stick = str(what).startswith(str(stick)) or (
            isinstance(what, int) and str(stick) in os.readlink(f"/proc/self/fd/{what}")
        )
        if on_stick:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return real(what, *more)

    with monkeypatch.context() as out:
        out.setattr(os, when, pulled)
        bench.let_pass(seconds=FIRST_LOOK_S)
        assert bench.faults() == [f"{stick}: input/output error"]
        assert backup.every_copy(stick, str(data)) == []
        assert len(taken(data)) == 1
    bench.let_pass(seconds=LOOK_EVERY_S)
    assert bench.faults() == []
    assert len(os.listdir(stick)) == 1


def test_a_stick_that_can_only_be_read_is_said(
    bench: Bench, shop: Shop, data: Path, small_disk: Path
) -> None:
    done(set_settings(shop, "Kit", backup_to=str(small_disk)))
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    bench.let_pass(seconds=FIRST_LOOK_S)
    (told,) = bench.faults()
    assert told.startswith(f"{small_disk}: ")
    assert os.listdir(small_disk) == []
    assert len(taken(data)) == 1


def test_while_an_entry_of_the_log_is_damaged_it_is_said_and_no_backup_is_let_go(
    bench: Bench, shop: Shop, data: Path
) -> None:
    bench.write()
    bench.let_pass(minutes=5)
    folder = backup.folder_beside(str(data))
    (first,) = folder.iterdir()
    for hours in range(1, 72):
        name = backup.dated_name(str(data), MONDAY - timedelta(hours=hours))
        (folder / name).write_bytes(first.read_bytes())
    with closing(sqlite3.connect(data)) as other, other:
        other.execute("UPDATE journal SET text = 'x' WHERE id = 2")
    bench.let_pass(hours=1, minutes=1)
    bench.let_pass(minutes=2)
    assert len(taken(data)) == 73
    (fault,) = bench.faults()
    assert fault.startswith("beside the data: log entry 2 (written 06:30 on Mon 09 Jun 2025) is")
    again = Bench(shop, bench.clock, at_once)
    again.let_pass(seconds=0)
    again.let_pass(seconds=FIRST_LOOK_S)
    assert len(taken(data)) == 73
    assert again.faults() == bench.faults()
