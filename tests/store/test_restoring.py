"""A restore that is killed or fails anywhere: afterwards the old data opens, or the new."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bench.clock import ManualClock
from bench.shop import readings, restore
from bench.shop.acting import Shop
from bench.shop.data import check, open_or_shut
from bench.store import backup, restoring
from bench.store.backup import BackupFault
from bench.store.database import CannotOpen, open_store
from tests.cutting import cut_at_each
from tests.shop.doing import done

pytestmark = pytest.mark.sqlite

LATER = datetime(2025, 6, 9, 7, 30, tzinfo=UTC)

OLD, NEW = 4, 3
"""Lines of the log before, and of the backup with the line that says it was restored."""


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


@pytest.fixture(params=["links", "no links"])
def links(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk with hard links, and one without, as a stick."""

    def none(*_: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    if request.param == "no links":
        monkeypatch.setattr(os, "link", none)


def test_a_restored_shop_is_one_file_again(before: Path, tmp_path: Path) -> None:
    """Nothing is left open: what was written after it is in the file itself, fit to be copied."""
    work = tmp_path / "work"
    shutil.copytree(before, work)
    file = work / "backups" / "shop-20250609T063000Z.db"
    done(restore.restore(str(work / "shop.db"), file, ManualClock(LATER), "test"))
    assert not (work / "shop.db-wal").exists()


def cut_restores(before: Path, work: Path, *, fail: bool = False) -> Iterator[Path]:
    """The data's place after restores that were cut off at their first, second .. thing, and whole."""
    data = work / "shop.db"

    def job() -> None:
        file = work / "backups" / "shop-20250609T063000Z.db"
        restore.restore(str(data), file, ManualClock(LATER), "test")

    shutil.copytree(before, work)
    for _ in cut_at_each(job, work, fail=fail):
        yield data
        shutil.rmtree(work)
        shutil.copytree(before, work)
    yield data


def lines_of(place: Path) -> int:
    """How many lines the log of the shop has that opens there; all of it is whole."""
    shop = open_or_shut(str(place), ManualClock(LATER), "test")
    assert isinstance(shop, Shop), shop
    checked = check(shop)
    shop.store.close()
    assert checked.faults == ()
    return checked.lines


def left_over(folder: Path) -> list[str]:
    """Names that only a restore under way has; what was half written is swept at the next copy."""
    names = (name for name in os.listdir(folder) if not name.endswith(backup.UNFINISHED))
    return [name for name in names if restoring.ASIDE in name or restoring.FRESH in name]


@pytest.mark.parametrize("fail", [False, True], ids=["killed", "failing"])
def test_whenever_a_restore_is_cut_off_the_old_data_opens_or_the_new(
    before: Path, tmp_path: Path, links: None, fail: bool
) -> None:
    seen = []
    for data in cut_restores(before, tmp_path / "work", fail=fail):
        seen.append(lines_of(data))
        kept = data.with_name("shop-before-restore-20250609T073000Z.db")
        assert kept.exists() == (seen[-1] != OLD)
        if kept.exists():
            assert backup.newest_line(kept).number == OLD
            assert kept in restore.offers(str(data))
        assert left_over(data.parent) == []
    assert len(seen) > 10
    assert {OLD, NEW} <= set(seen) <= {OLD, NEW - 1, NEW}
    # Once it is in place only its own line may be missing.
    assert fail or seen == sorted(seen, key=[OLD, NEW - 1, NEW].index)


@pytest.mark.parametrize("fail", [False, True], ids=["killed", "failing"])
def test_damaged_data_is_there_whole_or_kept_whole_whenever_its_restore_is_cut_off(
    before: Path, tmp_path: Path, links: None, fail: bool
) -> None:
    """What can be saved of it may lie in its log."""
    data = before / "shop.db"
    damaged = bytearray(data.read_bytes())
    damaged[100:108] = b"\xff" * 8
    held = {"": bytes(damaged), "-wal": b"the log of it"}
    for side, content in held.items():
        data.with_name(data.name + side).write_bytes(content)
    news = []
    for place in cut_restores(before, tmp_path / "work", fail=fail):
        restoring.settle(str(place))
        there = place.with_name("shop-damaged-20250609T073000Z.db")
        news.append(there.exists())
        there = there if there.exists() else place
        kept = {side: there.with_name(there.name + side).read_bytes() for side in held}
        assert kept == held
        if news[-1]:
            assert lines_of(place) in (NEW - 1, NEW)
        else:
            with pytest.raises(CannotOpen) as told:
                open_store(str(place))
            assert told.value.kind == "damaged"
    assert set(news) == {False, True}
    assert fail or news == sorted(news)


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
