"""Backups by the command line: made, listed, put back; and what is said when that cannot be."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment.readings import take_reading
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.store.databases.test_faults import fill, small_disk

from ..running import Paintbench, Ran, run_main

__all__ = ["small_disk"]


@pytest.fixture
def closed(paintbench: Paintbench, shop: Shop) -> Paintbench:
    """The program on the tests' shop, which no other terminal has open."""
    shop.store.close()
    return paintbench


def read_the_air(paintbench: Paintbench, air: int) -> None:
    assert paintbench("reading", "--air", f"{air}C", "--by", "Kit").code == 0


def one_line(ran: Ran) -> str:
    """The refusal, which is one line."""
    assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1)
    return ran.err


def copies(data: Path) -> list[str]:
    return sorted(os.listdir(data.parent / "backups"))


def test_a_backup_is_made_beside_the_data_while_the_bench_is_in_use(
    paintbench: Paintbench, data: Path
) -> None:
    read_the_air(paintbench, 15)
    file = data.parent / "backups" / "shop-20250609T063000Z.db"
    assert paintbench("backup").out == f"backed up: {file}, up to entry 2 of the log\n"
    assert copies(data) == [file.name]


def test_a_backup_goes_where_it_is_told_and_over_nothing(
    paintbench: Paintbench, tmp_path: Path
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    assert paintbench("backup", str(stick)).code == 0
    assert os.listdir(stick) == ["shop-20250609T063000Z.db"]
    assert "there is a file already" in one_line(paintbench("backup", str(stick)))
    assert paintbench("backup", str(tmp_path / "friday.db")).code == 0
    told = one_line(paintbench("backup", str(tmp_path / "nowhere" / "friday.db")))
    assert told.startswith("no backup could be made (")
    assert "no such file or directory" in told


def test_a_backup_goes_to_the_second_place_too_and_says_when_it_is_not_there(
    paintbench: Paintbench, tmp_path: Path, data: Path
) -> None:
    stick = tmp_path / "stick"
    told = paintbench("shop", "--backup-to", str(stick), "--by", "Kit").out
    assert told == f"from now on: backups also in {stick} (it is not there now)\n"
    ran = paintbench("backup")
    assert (ran.code, copies(data)) == (0, ["shop-20250609T063000Z.db"])
    assert f"NOT in {stick}: no such file or directory" in ran.out
    stick.mkdir()
    assert "up to entry 2 of the log" in paintbench("backup").out
    assert os.listdir(stick) == ["shop-20250609T063000Z.db"]


@pytest.mark.parametrize("path", ["\x1b[2J", "x" * 401])
def test_a_second_place_that_is_no_path_is_refused(paintbench: Paintbench, path: str) -> None:
    assert "the second place" in one_line(paintbench("shop", "--backup-to", path, "--by", "Kit"))


def test_a_file_larger_than_copies_may_be_is_not_restored_unless_it_is_a_copy_of_this_shop(
    closed: Paintbench, data: Path, tmp_path: Path
) -> None:
    closed("shop", "--backup-room", "10", "--by", "Kit")
    closed("backup", str(tmp_path / "strange.db"))
    closed("backup")
    (copy,) = (data.parent / "backups").iterdir()
    for file in (tmp_path / "strange.db", copy):
        os.truncate(file, 10_600_000)
    no = one_line(closed("restore", str(tmp_path / "strange.db"), "--yes"))
    assert "strange.db is too large (11 MB, copies take up to 10)" in no
    assert closed("restore", str(copy), "--yes").code == 0


def test_a_second_place_on_the_same_disk_is_taken_with_a_warning_and_taken_away_again(
    paintbench: Paintbench, tmp_path: Path
) -> None:
    told = paintbench("shop", "--backup-to", str(tmp_path), "--by", "Kit").out
    assert "the disk that the data is on: if it breaks, both are gone" in told
    assert "no second place" in paintbench("shop", "--backup-to", "", "--by", "Kit").out


def test_restoring_says_first_what_would_be_missing_and_keeps_what_was_there(
    closed: Paintbench, data: Path
) -> None:
    read_the_air(closed, 15)
    closed("backup")
    read_the_air(closed, 20)
    read_the_air(closed, 21)
    file = str(data.parent / "backups" / "shop-20250609T063000Z.db")
    told = one_line(closed("restore", file))
    assert "2 log entries would be lost, the first: reading 07:30: air 20 C" in told
    assert "add --yes" in told
    assert closed("journal", "--json").json()["journal"][0]["number"] == 4
    kept = data.parent / "shop-before-restore-20250609T063000Z.db"
    ran = closed("restore", file, "--yes")
    assert ran.out == (
        f"restored from shop-20250609T063000Z.db, up to entry 2 of the log; "
        f"what was there is kept as {kept}\n"
    )
    newest = closed("journal", "--json").json()["journal"][0]
    assert (newest["number"], newest["action"], newest["painter"]) == (3, "restored", "")
    assert closed("check").code == 0
    assert "air 21 C" in closed("--db", str(kept), "journal").out


def test_what_was_put_aside_can_be_put_back(closed: Paintbench, data: Path) -> None:
    closed("backup")
    read_the_air(closed, 20)
    closed("restore", str(data.parent / "backups" / "shop-20250609T063000Z.db"), "--yes")
    kept = data.parent / "shop-before-restore-20250609T063000Z.db"
    assert "its log is not that" in one_line(closed("restore", str(kept)))
    assert closed("restore", str(kept), "--yes").code == 0
    assert "air 20 C" in closed("journal").out
    assert closed("check").code == 0


def test_a_restore_that_leaves_nothing_out_needs_no_second_word(
    closed: Paintbench, data: Path
) -> None:
    closed("backup")
    assert closed("restore", str(data.parent / "backups" / "shop-20250609T063000Z.db")).code == 0


def test_undo_does_not_undo_a_restore(closed: Paintbench, data: Path) -> None:
    read_the_air(closed, 15)
    closed("backup")
    closed("restore", str(data.parent / "backups" / "shop-20250609T063000Z.db"))
    assert closed("undo", "--by", "Mo").out.startswith("undone: reading")


def test_nothing_is_restored_under_a_bench_that_is_open(
    paintbench: Paintbench, shop: Shop, data: Path
) -> None:
    paintbench("backup")
    file = data.parent / "backups" / "shop-20250609T063000Z.db"
    told = one_line(paintbench("restore", str(file)))
    assert "close the bench on every terminal first" in told
    assert "nothing was changed" in told


def test_the_backups_are_listed_newest_first_with_what_each_leaves_out(
    closed: Paintbench, data: Path, tmp_path: Path
) -> None:
    assert "there is no backup" in one_line(closed("backups"))
    closed("backup")
    folder = data.parent / "backups"
    (folder / "shop-20250609T063000Z.db").rename(folder / "shop-20250608T063000Z.db")
    read_the_air(closed, 20)
    closed("backup")
    shutil.copy(folder / "shop-20250609T063000Z.db", folder / "shop-20250607T063000Z.db")
    with open(folder / "shop-20250607T063000Z.db", "r+b") as file:
        file.truncate(9000)
    ran = closed("backups")
    names = [line for line in ran.out.splitlines() if "shop-2025" in line]
    assert [Path(name.split(" ")[0]).name[5:13] for name in names] == [
        "20250609",
        "20250608",
        "20250607",
    ]
    assert "up to entry 2, 06:30 on Mon 09 Jun 2025; nothing would be lost" in ran.out
    assert "up to entry 1, 06:30 on Mon 09 Jun 2025; 1 log entry would be lost" in ran.out
    assert "cannot be restored (" in names[2]
    took_mb = sum((folder / name).stat().st_size for name in copies(data)) / 1e6
    room = f"{took_mb:.1f} MB of backups; at most 2000 MB in each place, then the oldest go"
    assert ran.out.splitlines()[-1] == room
    listed = closed("backups", "--json").json()["backups"]
    assert [one["good"] for one in listed] == [True, True, False]
    assert [one.get("missing") for one in listed] == [0, 1, None]


def test_a_database_of_some_other_program_is_never_put_aside(
    closed: Paintbench, data: Path, tmp_path: Path
) -> None:
    closed("backup")
    file = str(data.parent / "backups" / "shop-20250609T063000Z.db")
    other = tmp_path / "photos.db"
    with closing(sqlite3.connect(other)) as raw, raw:
        raw.execute("CREATE TABLE photos (id INTEGER)")
    before = other.read_bytes()
    told = one_line(closed("--db", str(other), "restore", file, "--yes"))
    assert "no copy of a shop's data" in told
    assert other.read_bytes() == before


@pytest.mark.parametrize("command", ["backups", "restore x.db", "import x.json"])
def test_where_the_data_is_gone_the_words_still_answer_in_one_line(
    closed: Paintbench, tmp_path: Path, command: str
) -> None:
    one_line(closed("--db", str(tmp_path / "gone" / "shop.db"), *command.split()))
    assert not (tmp_path / "gone").exists()


def test_data_that_is_gone_comes_back_from_a_backup(closed: Paintbench, data: Path) -> None:
    read_the_air(closed, 15)
    closed("backup")
    data.unlink()
    file = str(data.parent / "backups" / "shop-20250609T063000Z.db")
    assert "cannot tell what would be lost" in closed("backups").out
    assert closed("restore", file, "--yes").code == 0
    assert closed("check").code == 0


@pytest.mark.parametrize("words", [("open", "--painters", "Ada", "--stands", "3"), ("demo",)])
def test_no_new_shop_is_made_where_there_are_copies_of_one(
    closed: Paintbench, data: Path, words: tuple[str, ...]
) -> None:
    closed("backup")
    data.unlink()
    told = one_line(closed(*words))
    assert "a shop was here: there are copies of it" in told
    assert "paintbench restore puts one back" in told
    assert not data.exists()


# -- damage -----------------------------------------------------------------------------------------


def spoil(data: Path) -> bytes:
    """Put rubbish where the tables are listed."""
    held = bytearray(data.read_bytes())
    held[100:108] = b"\xff" * 8
    data.write_bytes(held)
    return bytes(held)


def test_damaged_data_is_told_in_one_line_that_names_the_command_and_is_kept(
    closed: Paintbench, data: Path
) -> None:
    closed("backup")
    read_the_air(closed, 20)
    held = spoil(data)
    for words in (("status",), ("check",), ("reading", "--air", "1C", "--by", "Kit"), ("backup",)):
        told = one_line(closed(*words))
        assert "the data is damaged" in told
        assert "paintbench backups lists what can be put back" in told
    assert data.read_bytes() == held


def test_damaged_data_gives_way_to_a_backup_and_is_kept(closed: Paintbench, data: Path) -> None:
    closed("backup")
    read_the_air(closed, 20)
    held = spoil(data)
    listed = closed("backups")
    file = listed.out.split()[0]
    assert "cannot tell what would be lost" in listed.out
    assert "add --yes" in one_line(closed("restore", file))
    assert data.read_bytes() == held
    assert closed("restore", file, "--yes").code == 0
    assert data.with_name("shop-damaged-20250609T063000Z.db").read_bytes() == held
    assert closed("check").code == 0


def test_of_data_that_is_damaged_far_back_the_missing_lines_are_still_told(
    closed: Paintbench, data: Path
) -> None:
    for air in range(5, 30):
        read_the_air(closed, air)
    closed("backup")
    read_the_air(closed, 30)
    with closing(sqlite3.connect(data)) as raw:
        raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (page,) = raw.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'product'"
        ).fetchone()
    held = bytearray(data.read_bytes())
    held[(page - 1) * 4096 : page * 4096] = bytes(4096)
    data.write_bytes(held)
    assert "the data is damaged" in one_line(closed("status"))
    assert "1 log entry would be lost, the first: reading" in closed("backups").out


def test_a_second_place_on_a_stick_is_searched_too_when_the_data_cannot_say_where_it_is(
    closed: Paintbench, data: Path, tmp_path: Path
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    closed("shop", "--backup-to", str(stick), "--by", "Kit")
    closed("backup")
    read_the_air(closed, 20)
    closed("backup", str(stick / "shop-20250609T073000Z.db"))
    spoil(data)
    first = closed("backups").out.splitlines()[0]
    assert first == str(stick / "shop-20250609T073000Z.db")


def test_a_demo_that_the_disk_has_no_room_for_is_refused_in_one_line(
    clock: ManualClock, small_disk: Path
) -> None:
    (small_disk / "photos").write_bytes(bytes(1_800_000))
    told = one_line(run_main(clock, "--db", str(small_disk / "demo.db"), "demo"))
    assert "full" in told


@pytest.fixture
def others(shop: Shop, clock: ManualClock, data: Path) -> Iterator[tuple[Path, Paintbench]]:
    """A shop in a folder of another user's, and the program as that user runs it.

    As root the rights of a folder say nothing.
    """
    if os.getuid() != 0:
        pytest.skip("only root can be somebody else")

    def run(*words: str) -> Ran:
        here, there = os.pipe()
        other = os.fork()
        if other == 0:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
            ran = run_main(clock, *words, PAINTBENCH_DB=str(place))
            os.write(there, json.dumps([ran.code, ran.out[:2000], ran.err]).encode())
            os._exit(0)
        os.close(there)
        with open(here, encoding="utf-8") as pipe:
            told = pipe.read()
        os.waitpid(other, 0)
        return Ran(*json.loads(told))

    shop.store.close()
    # Not in pytest's own folder: another run that starts meanwhile shuts it to all others.
    with TemporaryDirectory() as folder:
        place = Path(folder, "shop.db")
        shutil.copyfile(data, place)
        for path in (place.parent, place):
            os.chown(path, NOBODY, NOBODY)
        yield place, run


NOBODY = 65534


def read_only_works(paintbench: Paintbench, named: list[Path], mended: str) -> None:
    """It is read as ever; what writes says in a line which file it is, and who mends it."""
    for words in ("status", "check", "export -", "journal"):
        ran = paintbench(*words.split())
        assert (ran.code, ran.err) == (0, ""), words
    told = one_line(paintbench("reading", "--air", "1C", "--by", "Kit"))
    (file,) = [path for path in named if f"{path.name} can only be read (owner " in told]
    assert f"{mended} {file}" in told


def test_in_a_folder_where_nobody_may_write_the_shop_is_read_and_who_mends_it_is_said(
    others: tuple[Path, Paintbench],
) -> None:
    place, run = others
    place.parent.chmod(0o555)
    before = place.read_bytes()
    read_only_works(run, [place.parent], "chmod u+rwx")
    assert place.read_bytes() == before
    assert [path.name for path in place.parent.iterdir()] == ["shop.db"]
    os.chown(place.parent, 0, 0)
    place.parent.chmod(0o755)
    read_only_works(run, [place.parent], "as root: chown nobody")


def test_a_log_without_its_index_is_read_too_where_nobody_may_write(
    others: tuple[Path, Paintbench], clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    place, run = others
    work = Shop(open_store(str(place)), clock, "test")
    answer = take_reading(work, "Kit", air_c=13.5)
    assert isinstance(answer, Outcome)
    held = {path: path.read_bytes() for path in (place, Path(f"{place}-wal"))}
    work.store.close()
    for path, what in held.items():
        path.write_bytes(what)
        os.chown(path, NOBODY, NOBODY)
    Path(f"{place}-shm").unlink(missing_ok=True)
    place.parent.chmod(0o555)
    with TemporaryDirectory() as copies_in:
        os.chmod(copies_in, 0o777)
        monkeypatch.setattr("tempfile.tempdir", copies_in)
        assert "13.5 C" in run("status").out
        read_only_works(run, [place.parent], "chmod u+rwx")
        assert os.listdir(copies_in) == []
    assert {path: path.read_bytes() for path in held} == held


def test_where_a_reader_left_its_log_read_only_the_shop_is_read_and_the_log_is_named(
    others: tuple[Path, Paintbench],
) -> None:
    place, run = others
    sides = [Path(f"{place}{side}") for side in ("-wal", "-shm")]
    with closing(sqlite3.connect(place)) as other:
        other.execute("UPDATE setting SET value = value")
        other.commit()
        held = [side.read_bytes() for side in sides]
    for owner, mended in ((NOBODY, "chmod u+rw"), (0, "as root: chown nobody")):
        for side, content in zip(sides, held, strict=True):
            side.write_bytes(content)
            side.chmod(0o444)
            os.chown(side, owner, owner)
        read_only_works(run, sides, mended)


def test_on_a_full_disk_the_shop_is_read_and_nothing_is_written(
    shop: Shop, clock: ManualClock, data: Path, small_disk: Path
) -> None:
    shop.store.close()
    place = shutil.copy(data, small_disk / "shop.db")
    fill(small_disk)
    for words in ("status", "check", "export -"):
        ran = run_main(clock, "--db", str(place), *words.split())
        assert (ran.code, ran.err) == (0, ""), words
    told = one_line(run_main(clock, "--db", str(place), "reading", "--air", "1C", "--by", "Kit"))
    assert "the disk is full: make room on the disk of" in told


def test_a_backup_with_a_damaged_entry_says_so_and_is_put_back_only_with_a_second_word(
    closed: Paintbench, data: Path
) -> None:
    read_the_air(closed, 15)
    with closing(sqlite3.connect(data)) as raw, raw:
        raw.execute("UPDATE journal SET text = 'x' WHERE id = 2")
    made = closed("backup")
    damaged = "log entry 2 (written 06:30 on Mon 09 Jun 2025) is not as it was written"
    assert made.code == 0
    assert made.out.splitlines()[1].strip().startswith(damaged)
    assert f"; {damaged}; nothing would be lost" in closed("backups").out
    file = str(data.parent / "backups" / "shop-20250609T063000Z.db")
    assert damaged in one_line(closed("restore", file))
    assert closed("restore", file, "--yes").code == 0
    assert damaged in closed("check").out
    assert damaged in one_line(closed("export", "-"))
    out = closed("export", "-", "--damaged-too")
    assert (out.code, json.loads(out.out)["form"]) == (0, "paintbench shop")
