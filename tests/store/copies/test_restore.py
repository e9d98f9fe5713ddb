"""A restore: whose the data is then, under which name what was there is kept, and one at a time.

Killed or refused by the disk anywhere: ``tests.nothing_lost.scenarios``.
"""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.data import restore
from bench.shop.data.opening import check, open_for_screen
from bench.shop.environment import readings
from bench.store.copies import backup
from bench.store.copies import restore as restoring
from bench.store.copies.backup import BackupFault
from bench.store.databases.database import CannotOpen, open_store
from bench.testing import ManualClock
from tests.shop.doing import done

pytestmark = pytest.mark.sqlite

LATER = datetime(2025, 6, 9, 7, 30, tzinfo=UTC)

OLD = 4
"""Lines of the log before."""


@pytest.fixture
def before(shop: Shop, data: Path, tmp_path: Path) -> Path:
    """A folder with data that goes further than the backup in it; copied for each restore."""
    done(readings.take_reading(shop, "Kit", air_c=15.0))
    folder = backup.folder_beside(str(data))
    folder.mkdir()
    backup.copy(data, folder / "shop-20250609T063000Z.db")
    for air_c in (16.0, 17.0):
        done(readings.take_reading(shop, "Kit", air_c=air_c))
    shop.store.close()
    kept = tmp_path / "before"
    kept.mkdir()
    shutil.move(data, kept / data.name)
    shutil.move(folder, kept / folder.name)
    return kept


def test_a_restored_shop_is_one_file_again(before: Path, tmp_path: Path) -> None:
    """Nothing is left open: what was written after it is in the file itself, fit to be copied."""
    work = tmp_path / "work"
    shutil.copytree(before, work)
    file = work / "backups" / "shop-20250609T063000Z.db"
    done(restore.restore(str(work / "shop.db"), file, ManualClock(LATER), "test"))
    assert not (work / "shop.db-wal").exists()


def lines_of(place: Path) -> int:
    """How many lines the log of the shop has that opens there; all of it is whole."""
    shop = open_for_screen(str(place), ManualClock(LATER), "test")
    assert isinstance(shop, Shop), shop
    checked = check(shop)
    shop.store.close()
    assert checked.faults == ()
    return checked.lines


def left_over(folder: Path) -> list[str]:
    """Names that only a restore under way has; what was half written is swept at the next copy."""
    names = (name for name in os.listdir(folder) if not name.endswith(backup.UNFINISHED))
    return [name for name in names if restoring.ASIDE in name or restoring.FRESH in name]


def test_while_one_restores_another_neither_restores_nor_opens(before: Path) -> None:
    data = before / "shop.db"
    with restoring._turn(before):
        (before / ".shop.db.restored").touch()
        with pytest.raises(CannotOpen, match="try again") as told:
            open_store(str(data))
        assert told.value.kind == "locked"
        with pytest.raises(BackupFault, match="try again"):
            restoring.put_in_place(data, str(data), LATER, damaged=False)
    assert lines_of(data) == OLD
    assert left_over(before) == []


@pytest.mark.skipif(os.getuid() != 0, reason="only root can be somebody else")
def test_who_restores_for_a_painter_leaves_it_the_painters(before: Path) -> None:
    data = before / "shop.db"
    os.chown(data, 65534, 65534)
    data.chmod(0o664)
    file = before / "backups" / "shop-20250609T063000Z.db"
    restoring.put_in_place(file, str(data), LATER, damaged=False)
    now = data.stat()
    assert (now.st_uid, now.st_gid, oct(now.st_mode & 0o777)) == (65534, 65534, "0o660")


def test_of_two_kept_in_the_same_second_both_are_offered(before: Path) -> None:
    data = before / "shop.db"
    file = before / "backups" / "shop-20250609T063000Z.db"
    for _ in range(2):
        assert restoring.put_in_place(file, str(data), LATER, damaged=False)
    names = [path.name for path in restore.offers(str(data))]
    assert "shop-before-restore-20250609T073000Z.db" in names
    assert "shop-before-restore-20250609T073000Z-2.db" in names
