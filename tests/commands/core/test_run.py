"""Starting, ending and breaking: exit codes, quiet ends, and never a traceback on the terminal."""

from __future__ import annotations

import inspect
import io
import json
import os
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import pytest
from sqlalchemy.exc import OperationalError
from sqlmodel import Session

from bench.commands.core import parser
from bench.commands.core.catalogue import COMMANDS
from bench.commands.core.fault_log import EARLIER_LOG, FAULT_LOG, MOST_BYTES
from bench.commands.core.run import run
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.seeds.first_start import is_new
from bench.store.databases import sqlite
from bench.store.databases.database import Store
from bench.store.databases.faults import InDoubt, StoreFault
from bench.testing import ManualClock
from bench.version import version_line

from ..running import Paintbench

HEAVY = ("sqlmodel", "sqlalchemy", "pydantic", "pint", "textual", "dateutil")
ROOT = Path(__file__).resolve().parents[3]


def python(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """A Python of its own, started in another directory than the program's."""
    return subprocess.run(
        [sys.executable, *words],
        cwd=tempfile.gettempdir(),
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        text=True,
        check=False,
    )


def started(
    words: list[str], start: Callable[..., int], clock: ManualClock, data: Path
) -> tuple[int, str, str]:
    """Run with another thing to start in place of the full-screen program."""
    out, err = io.StringIO(), io.StringIO()
    environment = {"PAINTBENCH_DB": str(data)}
    code = run(words, start=start, clock=clock, environment=environment, out=out, err=err)
    return code, out.getvalue(), err.getvalue()


@pytest.mark.parametrize("word", ["--version", "--help"])
def test_version_and_help_load_nothing_heavy(word: str) -> None:
    script = (
        "import sys; from bench.__main__ import main; code = main([sys.argv[1]]); "
        f"print([name for name in {HEAVY} if name in sys.modules]); sys.exit(code)"
    )
    ran = python("-c", script, word)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.endswith("[]\n")


def test_the_bench_starts_without_the_table_of_commands(tmp_path: Path) -> None:
    script = (
        "import sys; from bench.commands.core.run import run; "
        "run([], start=lambda shop, demo: print('bench.commands.core.catalogue' in sys.modules) or 0)"
    )
    ran = python("-c", script, PAINTBENCH_DB=str(tmp_path / "shop.db"))
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "False\n", "")


def test_version_is_the_programs() -> None:
    assert python("-m", "bench", "--version").stdout == f"{version_line()}\n"


def test_the_program_itself_shows_the_bench_from_any_directory(today: Path) -> None:
    ran = python("-m", "bench", "--db", str(today), "status")
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.startswith("PAINT BENCH")
    assert ran.stdout.count("EMPTY") == 6
    refused = python("-m", "bench", "begin", "1", "--by", "Kit", PAINTBENCH_DB=str(today))
    assert (refused.returncode, refused.stdout) == (1, "")
    assert refused.stderr == "stand 1 is empty: place a part on it first\n"


def test_only_a_command_that_was_typed_is_given_what_it_takes() -> None:
    """The bench starts without a command, and hundreds of options would hold its picture up."""

    def takes(words: list[str], command: str) -> set[str]:
        built = inspect.unwrap(parser.build)()
        built.parse_args(words)
        listed = built._subparsers
        assert listed is not None
        choices = listed._group_actions[0].choices
        assert isinstance(choices, dict)
        assert choices.keys() == {each.name for each in COMMANDS if " " not in each.name}
        return {action.dest for action in choices[command]._actions} - {"help"}

    assert takes(["--db", "shop.db"], "status") == set()
    assert takes(["--db", "shop.db", "status"], "status") == {"db", "json"}
    assert takes(["--db", "shop.db", "status"], "begin") == set()


def test_no_words_start_the_full_screen_program_on_the_shops_data(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    seen: list[tuple[tuple[str, ...], bool]] = []

    def start(shop: Shop, *, demo: bool) -> int:
        seen.append((read_bench(shop).painters, demo))
        return 0

    assert started([], start, clock, data) == (0, "", "")
    assert seen == [(("Kit", "Mo"), False)]


def test_no_words_where_there_is_no_data_start_on_an_empty_store(
    clock: ManualClock, tmp_path: Path
) -> None:
    seen: list[bool] = []

    def start(shop: Shop, *, demo: bool) -> int:
        seen.append(is_new(shop))
        return 0

    place = tmp_path / "xdg" / "paintbench" / "shop.db"
    assert started([], start, clock, place) == (0, "", "")
    assert seen == [True]


def test_demo_starts_on_a_throwaway_shop_and_leaves_the_shops_own_data_alone(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    seen: list[tuple[int, str, bool]] = []

    def start(shop: Shop, *, demo: bool) -> int:
        seen.append((len(read_bench(shop).stands), f"{shop.clock.now():%a %H:%M}", demo))
        return 0

    waits = "making the demo shop: about 2 s\n"
    assert started(["demo", "--at", "Mon 10:00"], start, clock, data) == (0, "", waits)
    assert seen == [(18, "Mon 10:00", True)]
    assert len(read_bench(shop).stands) == 6
    code, out, err = started(["demo", "--at", "at noon"], start, clock, data)
    assert (code, out) == (2, "")
    assert "read 'at noon'; wanted a day and an hour, such as 'Mon 10:00', 10:00 or 2026" in err
    place = ["demo", "--at", "10:00", "--db", str(data.with_name("new.db"))]
    assert started(place, start, clock, data) == (
        *(1, ""),
        "--at is for the demo on the screen: a file goes by this computer's clock: leave out --at, or --db\n",
    )
    assert len(seen) == 1


def test_demo_with_a_path_writes_it_there_once_and_keeps_it(
    anywhere: Paintbench, tmp_path: Path
) -> None:
    place = str(tmp_path / "demo.db")
    ran = anywhere("demo", "--db", place)
    assert (ran.code, ran.err) == (0, "")
    assert f"paintbench --db {place} status" in ran.out
    status = anywhere("--db", place, "status", "--json").json()
    assert {"rinse now", "rinse", "cured", "hold"} <= {stand["state"] for stand in status["stands"]}
    again = anywhere("demo", "--db", place)
    assert (again.code, again.out) == (1, "")
    assert again.err.startswith("there is a shop here already")
    assert anywhere("--db", place, "check").code == 0


def test_a_fault_is_one_line_for_the_painter_and_a_file_for_whoever_mends_it(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    def start(shop: Shop, *, demo: bool) -> int:
        raise RuntimeError("the first line\x1b[2J\nand a second")

    code, out, err = started([], start, clock, data)
    assert (code, out) == (1, "")
    log = data.parent / FAULT_LOG
    assert err == (
        f"paintbench stopped: RuntimeError: the first line\\x1b[2J; what happened is in {log}\n"
    )
    kept = log.read_text()
    assert kept.startswith("2025-06-09T06:30:00+00:00\nTraceback")
    assert "and a second" in kept


def test_a_fault_where_the_data_cannot_be_written_is_kept_in_the_temporary_folder(
    shop: Shop, data: Path, clock: ManualClock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def start(shop: Shop, *, demo: bool) -> int:
        raise ValueError("boom")

    (data.parent / FAULT_LOG).mkdir()
    elsewhere = tmp_path / "temporary"
    elsewhere.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(elsewhere))
    _, _, err = started([], start, clock, data)
    assert err.endswith(f"ValueError: boom; what happened is in {elsewhere / FAULT_LOG}\n")
    assert "Traceback" in (elsewhere / FAULT_LOG).read_text()


def test_the_fault_log_is_its_owners_and_ends_at_a_megabyte_with_one_older_kept(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    def start(shop: Shop, *, demo: bool) -> int:
        raise ValueError("boom")

    log, earlier = data.parent / FAULT_LOG, data.parent / EARLIER_LOG
    earlier.write_text("of long ago")
    started([], start, clock, data)
    assert oct(log.stat().st_mode & 0o777) == "0o600"
    assert MOST_BYTES <= 1 << 20
    log.write_bytes(b"x" * MOST_BYTES)
    started([], start, clock, data)
    assert earlier.read_bytes() == b"x" * MOST_BYTES
    assert log.read_text().count("Traceback") == 1


def test_ctrl_c_ends_it_quietly(shop: Shop, data: Path, clock: ManualClock) -> None:
    def start(shop: Shop, *, demo: bool) -> int:
        raise KeyboardInterrupt

    assert started([], start, clock, data) == (130, "", "")


def test_a_reader_that_leaves_early_is_no_fault(today: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "w") as gone:
        ran = subprocess.run(
            [sys.executable, "-m", "bench", "--db", str(today), "status", "--json"],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=gone,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert (ran.returncode, ran.stderr) == (0, "")


def test_data_another_program_holds_is_a_refusal_not_a_fault(
    paintbench: Paintbench, data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sqlite, "BUSY_S", 0)
    holding = sqlite3.connect(data, isolation_level=None)
    holding.execute("BEGIN IMMEDIATE")
    ran = paintbench("reading", "--air", "18C", "--by", "Kit")
    holding.close()
    assert ran.code == 1
    assert ran.err.startswith("the data cannot be read or written just now (database is locked)")


@pytest.mark.parametrize("encoding", ["ascii", "utf-8"])
def test_a_name_the_terminal_cannot_show_is_written_out(today: Path, encoding: str) -> None:
    words = ["place", "1", "--route", "zinc-new", "--shape", "post", "--name", "Zoë's 桨"]
    environment = {"PYTHONIOENCODING": encoding, "PAINTBENCH_DB": str(today)}
    placed = python("-m", "bench", *words, "--by", "Kit", **environment)
    assert (placed.returncode, placed.stderr) == (0, "")
    shown = "Zo\\xeb's \\u6868" if encoding == "ascii" else "Zoë's 桨"
    assert shown in placed.stdout
    status = python("-m", "bench", "status", **environment).stdout
    assert status.isascii()
    assert "Zoe's \\u6868" in status
    as_json = python("-m", "bench", "status", "--json", **environment).stdout
    assert as_json.isascii()
    assert json.loads(as_json)["stands"][0]["part"] == "Zoë's 桨"


def test_the_sums_need_no_shop(anywhere: Paintbench, tmp_path: Path) -> None:
    ran = anywhere("sum", "dewpoint", "--air", "20C", "--rh", "65%", "--json")
    assert (ran.code, ran.err) == (0, "")
    # 13.2 C: computed with psychrolib.
    assert round(ran.json()["dew_point_c"], 1) == 13.2
    assert anywhere("sum", "dewpoint", "--air", "-5C", "--rh", "65%").code == 0
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def lost_at_the_commit(monkeypatch: pytest.MonkeyPatch) -> None:
    """A server that commits and is lost before it can say so."""
    commit = Session.commit

    def lost(self: Session) -> None:
        commit(self)
        gone = ConnectionError("server closed the connection")
        raise OperationalError("COMMIT", {}, gone, connection_invalidated=True)

    monkeypatch.setattr(Session, "commit", lost)


@pytest.mark.usefixtures("lost_at_the_commit")
def test_where_the_server_was_lost_in_the_commit_it_is_looked_for(paintbench: Paintbench) -> None:
    ran = paintbench("reading", "--air", "18C", "--by", "Kit")
    assert (ran.code, ran.err) == (0, "")
    assert "there was a fault as this was saved; it is saved" in ran.out


@pytest.mark.usefixtures("lost_at_the_commit")
def test_where_it_cannot_be_looked_for_nobody_is_told_to_do_it_again(
    paintbench: Paintbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(self: Store, doubt: InDoubt) -> NoReturn:
        raise StoreFault("no server", "away")

    monkeypatch.setattr(Store, "was_written", away)
    ran = paintbench("reading", "--air", "18C", "--by", "Kit")
    assert (ran.code, ran.err) == (
        1,
        "the disk or the server failed in that very moment (server closed the connection): "
        "it may be there: look at paintbench journal before you do it again\n",
    )
