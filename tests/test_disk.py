"""What the program makes is there after a power cut, and nobody but its owner may read it.

A strict model of a disk: a name is there only if it stood in its folder when that folder was brought
to the disk. POSIX asks for no more, and some file systems give no more (fsync(2)).
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from bench.disk import make_folder
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import open_data
from bench.shop.seeds.first_start import is_new
from bench.testing import ManualClock
from tests.commands.running import Ran, run_main

pytestmark = pytest.mark.sqlite


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A folder in which nothing is yet."""
    made = tmp_path / "disk"
    made.mkdir(0o755)
    return made


@pytest.fixture
def on_disk(root: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], set[Path]]:
    """What would be there after a power cut."""
    names: dict[Path, set[str]] = {}
    sync = os.fsync

    def synced(handle: int) -> None:
        at = Path(os.readlink(f"/proc/self/fd/{handle}"))
        if at.is_dir():
            names[at] = set(os.listdir(at))
        sync(handle)

    def reached(folder: Path) -> set[Path]:
        there = {folder / name for name in names.get(folder, ()) if (folder / name).exists()}
        return there.union(*(reached(each) for each in there if each.is_dir()))

    monkeypatch.setattr(os, "fsync", synced)
    return lambda: reached(root)


def whole_tree(root: Path) -> set[Path]:
    return set(root.rglob("*"))


def ran(*words: str, clock: ManualClock) -> None:
    answer: Ran = run_main(clock, *words)
    assert answer.code == 0, answer.err


def test_what_the_program_makes_is_there_after_a_power_cut_and_its_owners_only(
    root: Path, on_disk: Callable[[], set[Path]], clock: ManualClock
) -> None:
    data = root / "a" / "b" / "shop.db"
    ran("--db", str(data), "open", "--painters", "Kit,Mo", "--stands", "6", clock=clock)
    ran("--db", str(data), "backup", clock=clock)
    ran("--db", str(data), "export", str(root / "shop.json"), clock=clock)
    ran("--db", str(root / "c" / "new.db"), "import", str(root / "shop.json"), clock=clock)
    ran("--db", str(root / "d" / "demo.db"), "demo", clock=clock)
    (copy,) = (data.parent / "backups").iterdir()
    ran("--db", str(data), "restore", str(copy), "--yes", clock=clock)
    made = whole_tree(root)
    assert {"shop.db", "new.db", "demo.db", "shop.json", "backups"} <= {path.name for path in made}
    assert any("before-restore" in path.name for path in made)
    assert made - on_disk() == set()
    wanted = {path: "0o700" if path.is_dir() else "0o600" for path in made}
    assert {path: oct(path.stat().st_mode & 0o777) for path in made} == wanted


def test_a_log_beside_the_data_is_its_owners_too(root: Path, clock: ManualClock) -> None:
    shop = open_data(str(root / "shop.db"), clock, "test", may_be_new=True)
    assert isinstance(shop, Shop)
    assert is_new(shop)
    rights = {path.name: oct(path.stat().st_mode & 0o777) for path in root.iterdir()}
    shop.store.close()
    assert rights == dict.fromkeys(
        ("shop.db", "shop.db-wal", "shop.db-shm", "shop.db-turn"), "0o600"
    )


def test_a_file_for_people_is_there_too_and_readable_to_others(
    root: Path, shop: Shop, data: Path, on_disk: Callable[[], set[Path]], clock: ManualClock
) -> None:
    file = root / "given" / "frame.txt"
    part = ("--route", "zinc-new", "--shape", "frame")
    ran("--db", str(data), "place", "1", *part, "--by", "Kit", clock=clock)
    ran("--db", str(data), "sheet", "1", "-o", str(file), clock=clock)
    assert on_disk() == {file.parent, file}
    mask = os.umask(0o022)
    os.umask(mask)
    assert file.stat().st_mode & 0o777 == 0o666 & ~mask


def test_a_folder_below_a_file_is_not_made(root: Path) -> None:
    (root / "file").touch()
    with pytest.raises(NotADirectoryError):
        make_folder(root / "file")
    with pytest.raises(NotADirectoryError):
        make_folder(root / "file" / "below")
