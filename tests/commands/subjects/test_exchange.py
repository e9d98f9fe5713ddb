"""Moving a whole shop by the command line: paintbench export and import."""

from __future__ import annotations

import io
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data.backups import MOST_EXPORT_BYTES
from bench.shop.data.opening import fill_new, open_for_screen
from bench.testing import ManualClock

from ..running import Paintbench, Ran, run_main


@pytest.fixture
def at_new(clock: ManualClock, tmp_path: Path) -> Paintbench:
    """The program where there is no shop yet."""

    def run(*words: str) -> Ran:
        return run_main(clock, "--db", str(tmp_path / "new" / "shop.db"), *words)

    return run


def test_a_shop_moves_over_by_a_file(
    paintbench: Paintbench, at_new: Paintbench, tmp_path: Path
) -> None:
    file = tmp_path / "moved.json"
    paintbench("reading", "--air", "15C", "--by", "Kit")
    assert paintbench("export", str(file)).out == (f"the whole shop is in {file}: 2 log entries\n")
    assert at_new("import", str(file)).out == "the shop is brought in: 2 log entries\n"
    assert at_new("check").code == 0
    assert at_new("status").out == paintbench("status").out
    assert at_new("export", "-").out == file.read_text(encoding="ascii")


def test_a_shop_moves_over_by_a_pipe(
    paintbench: Paintbench, at_new: Paintbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = paintbench("export", "-").out
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    assert at_new("import", "-").code == 0
    assert at_new("export", "-").out == text


def test_what_cannot_be_read_is_refused_in_one_line_and_makes_nothing(
    at_new: Paintbench, tmp_path: Path
) -> None:
    file = tmp_path / "notes.txt"
    file.write_text("fourteen brackets, mordant on Tuesday")
    for words in (("import", str(file)), ("import", str(tmp_path / "gone.json"))):
        ran = at_new(*words)
        assert ran.code == 1
        assert ran.err.count("\n") == 1
        assert "nothing was changed" in ran.err
    assert not (tmp_path / "new").exists()


def test_nothing_is_brought_into_a_shop_that_is_there(
    paintbench: Paintbench, tmp_path: Path
) -> None:
    file = tmp_path / "moved.json"
    paintbench("export", str(file))
    before = paintbench("export", "-").out
    ran = paintbench("import", str(file))
    assert ran.code == 1
    assert ran.err.startswith("there is a shop here already")
    assert paintbench("export", "-").out == before


@pytest.fixture
def pipe(tmp_path: Path) -> Path:
    """A pipe into which nobody writes."""
    os.mkfifo(tmp_path / "pipe")
    return tmp_path / "pipe"


def test_a_pipe_is_refused_at_once_by_import_and_restore(
    paintbench: Paintbench, at_new: Paintbench, pipe: Path
) -> None:
    for ran in (at_new("import", str(pipe)), paintbench("restore", str(pipe))):
        assert ran.code == 1
        assert f"{pipe.name} cannot be read (it is a pipe or a device): name a regular" in ran.err


@pytest.mark.parametrize(
    ("file", "why"),
    [("/dev/zero", "it is a pipe or a device"), ("/", "it is a folder"), ("a" * 300, "too long")],
)
def test_what_is_no_regular_file_is_refused_in_one_line(
    paintbench: Paintbench, at_new: Paintbench, file: str, why: str
) -> None:
    for ran in (at_new("import", file), paintbench("restore", file)):
        assert ran.code == 1
        assert why in ran.err
        assert ran.err.count("\n") == 1


class Endless(io.RawIOBase):
    """Zeros without end."""

    given = 0

    def readable(self) -> bool:
        return True

    def readinto(self, into: bytearray) -> int:  # type: ignore[override]
        self.given += len(into)
        assert self.given < 10_000_000, "it reads on"
        into[:] = bytes(len(into))
        return len(into)


def test_input_that_is_no_export_is_read_no_further_than_its_beginning(
    at_new: Paintbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BufferedReader(Endless())))
    ran = at_new("import", "-")
    assert ran.code == 1
    assert ran.err.startswith("what came in cannot be brought in")


@pytest.mark.parametrize(("limit", "is_read"), [(0, True), (-1, False)])
def test_an_export_as_long_as_the_limit_is_read_and_one_byte_more_is_not(
    paintbench: Paintbench,
    at_new: Paintbench,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    limit: int,
    is_read: bool,
) -> None:
    file = tmp_path / "moved.json"
    assert paintbench("export", str(file)).code == 0
    most = file.stat().st_size + limit
    monkeypatch.setattr("bench.shop.data.backups.MOST_EXPORT_BYTES", most)
    ran = at_new("import", str(file))
    assert (ran.code == 0, "is too large" in ran.err) == (is_read, not is_read)
    assert (tmp_path / "new" / "shop.db").exists() == is_read


def test_an_export_of_up_to_a_thousand_megabytes_is_read() -> None:
    """Mega is a million (SI); the test below tries it, which takes as much memory."""
    assert MOST_EXPORT_BYTES == 1000 * 10**6


@pytest.mark.long
@pytest.mark.parametrize(("more", "why"), [(0, "damaged or cut short"), (1, "is too large")])
def test_a_thousand_megabytes_are_read_and_one_byte_more_is_not(
    at_new: Paintbench, tmp_path: Path, more: int, why: str
) -> None:
    """The file is sparse: it takes no room on the disk."""
    file = tmp_path / "long.json"
    with file.open("wb") as written:
        written.write(b'{"form":"paintbench shop","version":3')
        written.truncate(1000 * 10**6 + more)
    ran = at_new("import", str(file))
    assert ran.code == 1
    assert why in ran.err


def test_an_export_without_end_is_read_up_to_the_limit_that_is_said(
    at_new: Paintbench, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr("bench.shop.data.backups.MOST_EXPORT_BYTES", 200_000)
    file = tmp_path / "long.json"
    file.write_text('{"form":"paintbench shop","version":3' + " " * 300_000)
    ran = at_new("import", str(file))
    said = " is too large (over 200 kB): at most 200 kB; nothing was changed\n"
    assert ran.err.endswith(said), "whatever of a long path is left out"


@pytest.mark.sqlite
def test_the_screen_says_import_again_too(clock: ManualClock, tmp_path: Path) -> None:
    data, gone = tmp_path / "shop.db", subprocess.Popen(["true"])
    gone.wait()
    (tmp_path / f".shop.db.{gone.pid}.paintbench-part").touch()
    shop = open_for_screen(str(data), clock, "test")
    assert isinstance(shop, Shop)
    assert shop.store.shut is not None
    assert "import again" in str(shop.store.shut)
    assert not data.exists()


@pytest.mark.sqlite
def test_a_shop_of_which_a_part_stands_only_in_its_log_is_not_said_to_be_made(
    clock: ManualClock, tmp_path: Path
) -> None:
    """A disk that fills up at the very end keeps SQLite from moving the log into the file."""
    readers = []

    def fill(shop: Shop) -> Outcome:
        readers.append(sqlite3.connect(str(shop.store.place)))
        readers[0].execute("SELECT * FROM painter").fetchall()
        return Outcome("filled")

    answer = fill_new(str(tmp_path / "new" / "shop.db"), clock, "test", fill)
    readers[0].close()
    assert isinstance(answer, Refusal)
    assert "not all of it could be written into the file: is the disk full?" in str(answer)
    assert not (tmp_path / "new" / "shop.db").exists()


def test_a_damaged_log_goes_out_and_comes_in_only_if_that_is_said(
    paintbench: Paintbench, at_new: Paintbench, data: Path, tmp_path: Path
) -> None:
    for air in ("15C", "16C"):
        paintbench("reading", "--air", air, "--by", "Kit")
    with closing(sqlite3.connect(data)) as other, other:
        other.execute("UPDATE journal SET text = 'x' WHERE id = 2")
    file = str(tmp_path / "shop.json")
    for where in (file, "-"):
        no = paintbench("export", where)
        assert (no.code, no.out) == (1, "")
        assert "log entry 2" in no.err
        assert "--damaged-too" in no.err
    assert paintbench("export", file, "--damaged-too").code == 0
    came = at_new("import", file)
    assert (came.code, "log entry 2" in came.err) == (1, True)
    assert not (tmp_path / "new" / "shop.db").exists()
    assert at_new("import", file, "--damaged-too").code == 0
