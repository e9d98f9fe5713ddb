"""Disks that fail under a running bench: nothing half-written, and each told from the others."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.store.databases import sqlite
from bench.store.databases.database import CannotOpen, open_store
from bench.store.databases.faults import StoreFault
from tests.shop.doing import done

pytestmark = pytest.mark.sqlite


def write(shop: Shop, air_c: float = 15.0) -> None:
    done(readings.take_reading(shop, "Kit", air_c=air_c))


def kind_of(deed: Callable[[], object]) -> str:
    """What kind of fault a deed meets."""
    with pytest.raises(StoreFault) as told:
        deed()
    assert "\n" not in str(told.value)
    return told.value.kind


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Another program is waited for for a moment only."""
    monkeypatch.setattr(sqlite, "BUSY_S", 0.05)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of two megabytes."""
    mount = tmp_path / "disk"
    mount.mkdir()
    ran = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(mount)], capture_output=True
    )
    if ran.returncode:
        pytest.skip("no disk can be mounted here")
    yield mount
    subprocess.run(["umount", "-l", str(mount)], check=True)


def fill(disk: Path) -> Path:
    """Leave no room on it; answers what takes the room."""
    rest = disk / "rest"
    with open(rest, "wb", buffering=0) as file:
        try:
            while True:
                file.write(bytes(4096))
        except OSError:
            return rest


@pytest.fixture
def on_small_disk(shop: Shop, data: Path, small_disk: Path) -> Iterator[Shop]:
    """The shop, moved there."""
    write(shop)
    shop.store.close()
    shutil.copy(data, small_disk / "shop.db")
    moved = Shop(open_store(str(small_disk / "shop.db")), shop.clock, "test")
    yield moved
    moved.store.close()


def test_on_a_full_disk_nothing_is_half_written_and_the_bench_is_still_read(
    on_small_disk: Shop, small_disk: Path
) -> None:
    rest = fill(small_disk)
    for _ in range(3):
        assert kind_of(lambda: write(on_small_disk)) == "full"
    assert bench_view.read_bench(on_small_disk).painters == ("Kit", "Mo")
    assert check(on_small_disk).faults == ()
    rest.unlink()
    write(on_small_disk)
    assert check(on_small_disk).lines == 3


def test_on_a_disk_that_became_read_only_nothing_is_written_and_the_bench_is_still_read(
    on_small_disk: Shop, small_disk: Path
) -> None:
    write(on_small_disk)
    on_small_disk.store.close()
    before = {path.name: path.read_bytes() for path in small_disk.iterdir()}
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    opened = Shop(open_store(str(small_disk / "shop.db")), on_small_disk.clock, "test")
    assert bench_view.read_bench(opened).painters == ("Kit", "Mo")
    with pytest.raises(StoreFault, match=f"{small_disk} is mounted read-only: mount it") as told:
        write(opened)
    assert told.value.kind == "read-only"
    opened.store.close()
    assert {path.name: path.read_bytes() for path in small_disk.iterdir()} == before


def test_a_file_that_cannot_grow_fails_whole(shop: Shop, data: Path) -> None:
    """As where no disk can be mounted: the system lets the file grow no further."""
    write(shop)
    script = (
        "import resource, sys\n"
        "from bench.clock import SystemClock\n"
        "from bench.shop.core.transaction import Shop, StoreFault\n"
        "from bench.shop.environment import readings\n"
        "from bench.store.databases.database import open_store\n"
        "shop = Shop(open_store(sys.argv[1]), SystemClock(), 'test')\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "try:\n    readings.take_reading(shop, 'Kit', air_c=15.0)\n"
        "except StoreFault as fault:\n    print(fault.kind)\n"
    )
    ran = subprocess.run([sys.executable, "-c", script, str(data)], capture_output=True, text=True)
    assert (ran.stdout, ran.stderr) == ("failed\n", "")
    assert check(shop).faults == ()
    assert check(shop).lines == 2


def test_while_another_program_holds_the_data_nothing_is_written_and_it_is_read(
    shop: Shop, data: Path, quick: None
) -> None:
    shop.store.close()
    with closing(sqlite3.connect(data, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert kind_of(lambda: write(shop)) == "locked"
        assert bench_view.read_bench(shop).painters == ("Kit", "Mo")
        other.execute("ROLLBACK")
        write(shop)
    assert check(shop).lines == 2


def test_a_file_that_has_gone_is_not_written_and_no_new_one_is_begun(
    shop: Shop, data: Path
) -> None:
    write(shop)
    shop.store.change_mark()
    away = data.with_name("elsewhere.db")
    data.rename(away)
    for deed in (lambda: write(shop), lambda: bench_view.read_bench(shop), shop.store.change_mark):
        assert kind_of(deed) == "gone"
    assert not data.exists()
    away.rename(data)
    write(shop)
    assert check(shop).lines == 3


def test_a_file_that_another_was_put_in_the_place_of_is_not_written(shop: Shop, data: Path) -> None:
    write(shop)
    other = data.with_name("other.db")
    open_store(str(other)).close()
    other.replace(data)
    for deed in (lambda: write(shop), lambda: bench_view.read_bench(shop)):
        assert kind_of(deed) == "gone"


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE step SET plan = substr(plan, 2)",
        "UPDATE step SET plan = '{}'",
        "UPDATE reading SET at = 'yesterday'",
        "UPDATE part SET name = CAST(x'ff' AS TEXT)",
    ],
)
def test_a_row_that_nobody_wrote_so_is_damage_and_no_fault_of_the_program(
    shop: Shop, data: Path, change: str
) -> None:
    from bench.shop.parts import placement

    write(shop)
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    with closing(sqlite3.connect(data)) as other, other:
        other.execute(change)
    assert kind_of(lambda: bench_view.read_bench(shop)) == "damaged"


def test_a_broken_page_is_damage(shop: Shop, data: Path) -> None:
    for _ in range(30):
        write(shop)
    shop.store.close()
    held = bytearray(data.read_bytes())
    for page in range(2, len(held) // 4096):
        held[page * 4096 : page * 4096 + 64] = b"\xa5" * 64
    data.write_bytes(held)
    assert kind_of(lambda: bench_view.read_bench(shop)) == "damaged"


# -- at the start -----------------------------------------------------------------------------------


def spoil_head(held: bytearray) -> None:
    held[40] ^= 0xFF
    held[100:108] = b"\xff" * 8


DAMAGE: dict[str, Callable[[bytearray], None]] = {
    "zeroed": lambda held: held.__setitem__(slice(None), bytes(len(held))),
    "its first page zeroed": lambda held: held.__setitem__(slice(4096), bytes(4096)),
    "cut off in its first page": lambda held: held.__delitem__(slice(700, None)),
    "bits flipped in its head": spoil_head,
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_file_is_told_from_a_foreign_one_and_left_as_it_lies(
    shop: Shop, data: Path, damage: str
) -> None:
    shop.store.close()
    held = bytearray(data.read_bytes())
    DAMAGE[damage](held)
    data.write_bytes(held)
    with pytest.raises(CannotOpen, match="the data is damaged") as told:
        open_store(str(data))
    assert told.value.kind == "damaged"
    assert data.read_bytes() == held


def test_an_empty_file_with_a_log_beside_it_is_damage_and_the_log_is_not_dropped(
    shop: Shop, data: Path
) -> None:
    write(shop)
    log = data.with_name("shop.db-wal")
    held = log.read_bytes()
    shop.store.close()
    data.write_bytes(b"")
    log.write_bytes(held)
    with pytest.raises(CannotOpen, match="the file is empty"):
        open_store(str(data))
    assert (data.read_bytes(), log.read_bytes()) == (b"", held)


def test_an_empty_file_alone_is_a_new_shop(tmp_path: Path) -> None:
    file = tmp_path / "shop.db"
    file.touch()
    open_store(str(file)).close()


def test_what_a_killed_program_left_locked_and_unfinished_is_taken_up_at_the_next_start(
    shop: Shop, data: Path
) -> None:
    """A lock is the kernel's and goes with its process; the log and its index stay and are read."""
    script = (
        "import os, sqlite3, sys\n"
        "other = sqlite3.connect(sys.argv[1], isolation_level=None)\n"
        "other.execute('BEGIN IMMEDIATE')\n"
        "other.execute(\"UPDATE painter SET name = 'Nobody'\")\n"
        "os.kill(os.getpid(), 9)\n"
    )
    write(shop)
    subprocess.run([sys.executable, "-c", script, str(data)], check=False)
    write(shop)
    assert bench_view.read_bench(shop).painters == ("Kit", "Mo")
    assert check(shop).faults == ()


def test_a_log_index_full_of_rubbish_does_no_harm(shop: Shop, data: Path) -> None:
    write(shop)
    log = data.with_name("shop.db-wal").read_bytes()
    shop.store.close()
    data.with_name("shop.db-wal").write_bytes(log)
    data.with_name("shop.db-shm").write_bytes(b"\xa5" * 32768)
    again = Shop(open_store(str(data)), shop.clock, "test")
    write(again)
    assert check(again).faults == ()
    assert check(again).lines == 3
    again.store.close()


class Full:
    """A disk without room."""

    f_bavail, f_frsize = 0, 4096


class NearlyFull:
    """A disk with 60 KiB of room: for the index of a log, but not for a file to grow."""

    f_bavail, f_frsize = 15, 4096


class Enough:
    """A disk with room for a file to grow once more, 64 KiB."""

    f_bavail, f_frsize = 16, 4096


def not_there(place: object) -> object:
    """Answer as a disk that nobody can ask."""
    raise OSError(place)


@pytest.mark.parametrize(
    ("asked", "kind", "says"),
    [
        (lambda _: Full, "full", "the disk is full: make room"),
        (lambda _: NearlyFull, "full", "the disk is full: make room"),
        (lambda _: Enough, "failed", "disk I/O error"),
        (not_there, "failed", "disk I/O error"),
    ],
)
def test_data_that_cannot_be_opened_on_a_disk_without_room_says_to_make_room(
    data: Path,
    monkeypatch: pytest.MonkeyPatch,
    asked: Callable[[object], object],
    kind: str,
    says: str,
) -> None:
    data.touch()
    fault = sqlite3.OperationalError("disk I/O error")
    fault.sqlite_errorcode = sqlite3.SQLITE_IOERR_SHMSIZE
    monkeypatch.setattr(sqlite, "only_read", lambda _: None)
    monkeypatch.setattr("os.statvfs", asked)
    why = sqlite.cannot_open(str(data), fault)
    assert why.kind == kind
    assert says in str(why)
    assert sqlite.cannot_open(str(data), StoreFault("no more is known", "failed")).kind == kind
    assert sqlite.cannot_open(str(data), StoreFault("it is in use", "locked")).kind == "locked"


@pytest.mark.parametrize(("disk", "kind"), [(Full, "full"), (None, "failed")])
def test_an_error_of_the_disk_says_that_the_disk_is_full_where_it_is(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, disk: object, kind: str
) -> None:
    if disk is not None:
        monkeypatch.setattr("os.statvfs", lambda _: disk)
    fault = sqlite3.OperationalError("disk I/O error")
    fault.sqlite_errorcode = sqlite3.SQLITE_IOERR_FSYNC
    with pytest.raises(StoreFault) as raised, shop.store.writing():
        raise fault
    assert raised.value.kind == kind
    assert str(raised.value) == ("the disk is full: " if disk else "") + "disk I/O error"
