"""A log that is taken away beside a running program: nothing that was acknowledged is lost unseen."""

from __future__ import annotations

import io
import random
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import event

from bench.__main__ import main
from bench.clock import SystemClock
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.store.copies import backup
from bench.store.databases import sqlite
from bench.store.databases.database import open_store
from bench.store.databases.faults import LogLost
from tests.nothing_lost.kills import journal
from tests.shop.doing import done
from tests.simulation import LONG

from .writing_process import Worker, working

pytestmark = pytest.mark.sqlite


def beside(data: Path, side: str) -> Path:
    return data.with_name(data.name + side)


def remove_log(data: Path) -> None:
    beside(data, "-wal").unlink()


def remove_both(data: Path) -> None:
    remove_log(data)
    remove_index(data)


def remove_index(data: Path) -> None:
    beside(data, "-shm").unlink()


def empty_log(data: Path) -> None:
    beside(data, "-wal").write_bytes(b"")


def cut_log(data: Path) -> None:
    log = beside(data, "-wal")
    with log.open("r+b") as file:
        file.truncate(log.stat().st_size - 4096)


def replace_log(data: Path) -> None:
    other = beside(data, ".other")
    other.write_bytes(b"somebody's notes about brackets\n" * 4000)
    other.replace(beside(data, "-wal"))


def overwrite_head(data: Path) -> None:
    with beside(data, "-wal").open("r+b") as file:
        file.write(bytes(32))


def overwrite_rest(data: Path) -> None:
    log = beside(data, "-wal")
    with log.open("r+b") as file:
        file.seek(32)
        file.write(bytes(log.stat().st_size - 32))


SPOILED: dict[str, tuple[Callable[[Path], None], str]] = {
    "its log removed": (remove_log, "shop.db-wal was removed"),
    "its log and index removed": (remove_both, "shop.db-wal was removed"),
    "its index removed": (remove_index, "shop.db-shm was removed"),
    "its log emptied": (empty_log, "shop.db-wal was emptied or overwritten"),
    "its log cut short": (cut_log, "shop.db-wal was emptied or overwritten"),
    "its log replaced": (replace_log, "shop.db-wal was replaced by another file"),
    "its log's head overwritten": (overwrite_head, "shop.db-wal was emptied or overwritten"),
    "its log overwritten but for the head": (
        overwrite_rest,
        "shop.db-wal was emptied or overwritten",
    ),
}

SAVED_AS = "backups/shop-before-log-lost.db"


def is_whole(data: Path) -> None:
    out = io.StringIO()
    assert main(["--db", str(data), "check"], environment={}, out=out, err=out) == 0, out.getvalue()


def is_behind(data: Path) -> None:
    """All that is wrong with it: what was saved of the log that was lost is not in it."""
    out, err = io.StringIO(), io.StringIO()
    assert main(["--db", str(data), "check"], environment={}, out=out, err=err) == 1
    (told,) = out.getvalue().splitlines()
    assert told.startswith(Path(SAVED_AS).name)
    assert "the data" in told


KILLED = [(how, Worker.kill) for how in SPOILED]
ENDED = [
    (how, Worker.leave)
    for how in (
        "its log removed",
        "its log and index removed",
        "its log emptied",
        "its log replaced",
    )
]


@pytest.mark.parametrize(("how", "end"), KILLED + ENDED)
def test_with_its_log_gone_a_program_acknowledges_nothing_more_and_saves_what_it_had(
    shop: Shop, data: Path, how: str, end: Callable[[Worker], None]
) -> None:
    shop.store.close()
    spoil, told = SPOILED[how]
    with working(data) as worker:
        acknowledged = [worker.act(11), worker.act(12)]
        spoil(data)
        for air_c in (13, 14, 15):
            saved = data.parent / SAVED_AS
            assert worker.act(air_c) == (
                f"gone {told}, so nothing more is written; what was held is saved in {saved}"
            )
        end(worker)
    before = journal(data)
    if how == "its index removed":
        is_whole(data)  # SQLite makes it again from the log
    else:
        is_behind(data)
    backup.contents(saved)
    assert len(list(saved.parent.iterdir())) == 1
    done_in = [f"done {text}" for text in journal(saved)]
    assert done_in[-2:] == acknowledged
    assert done_in[: len(before)] == [f"done {text}" for text in before]
    out = io.StringIO()
    words = ["--db", str(data), "restore", str(saved), "--yes"]
    assert main(words, environment={}, out=out, err=out) == 0, out.getvalue()
    assert [f"done {text}" for text in journal(data)][: len(done_in)] == done_in
    is_whole(data)


def test_a_program_without_its_log_does_not_write_over_what_another_wrote_since(
    shop: Shop, data: Path
) -> None:
    """Whoever closes last moves its log into the file: an old one over newer work would spoil it."""
    shop.store.close()
    with working(data) as first:
        assert first.act(11).startswith("done")
        remove_both(data)
        with working(data) as second:
            newer = [second.act(air_c) for air_c in range(30, 40)]
            second.leave()
        assert first.act(12).startswith("gone")
        first.leave()
    is_behind(data)
    assert [f"done {text}" for text in journal(data)][-10:] == newer


def test_a_second_program_does_not_begin_a_new_log_beside_the_index_of_the_old(
    shop: Shop, data: Path
) -> None:
    shop.store.close()
    with working(data) as first:
        assert first.act(11).startswith("done")
        remove_log(data)
        out, err = io.StringIO(), io.StringIO()
        words = ["--db", str(data), "reading", "--air", "18C", "--by", "Kit"]
        assert main(words, environment={}, out=out, err=err) == 1
        assert out.getvalue() == ""
        assert len(err.getvalue().splitlines()) == 1
        first.kill()
    is_whole(data)
    assert not any("18" in text for text in journal(data))


def test_a_log_that_goes_in_the_middle_of_an_action_leaves_it_in_doubt_and_in_what_is_saved(
    shop: Shop, data: Path
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=11.0))
    event.listen(shop.store._engine, "commit", lambda _: remove_log(data))
    with pytest.raises(LogLost) as told:
        readings.take_reading(shop, "Kit", air_c=12.0)
    assert told.value.in_doubt
    assert told.value.remedy.endswith("and look whether what you did last is there")
    assert "air 12 C" in journal(data.parent / SAVED_AS)[-1]
    with pytest.raises(LogLost) as again:
        readings.take_reading(shop, "Kit", air_c=13.0)
    assert not again.value.in_doubt
    assert again.value.remedy == (
        f"close paintbench on every terminal, then: paintbench restore {data.parent / SAVED_AS}"
    )


def test_a_connection_that_is_opened_after_the_log_was_emptied_says_so_too(
    shop: Shop, data: Path
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=11.0))
    with shop.store.reading() as session:
        session.connection()
        empty_log(data)
        with pytest.raises(LogLost):
            readings.take_reading(shop, "Kit", air_c=12.0)


def test_what_cannot_be_saved_is_said_and_saved_as_soon_as_it_can_be(
    shop: Shop, data: Path
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=11.0))
    folder = backup.folder_beside(str(data))
    folder.write_text("in the way")
    remove_both(data)
    with pytest.raises(LogLost, match="what was held could not be saved: not a directory"):
        readings.take_reading(shop, "Kit", air_c=12.0)
    folder.unlink()
    with pytest.raises(LogLost, match="what was held is saved in"):
        readings.take_reading(shop, "Kit", air_c=12.0)
    assert "air 11 C" in journal(data.parent / SAVED_AS)[-1]


# -- what is no loss --------------------------------------------------------------------------------

LOOKER = """
import sqlite3, sys

uri = f"file:{sys.argv[1]}?mode={sys.argv[2]}"
while not sys.stdin.closed:
    with sqlite3.connect(uri, uri=True, timeout=60) as other:
        other.execute("SELECT count(*) FROM journal").fetchone()
    other.close()
    print(flush=True)
    if not sys.stdin.readline():
        break
"""
"""Opens the data, reads in it and closes it again, once for each line it is given."""


def test_terminals_that_write_and_move_the_log_into_the_file_and_come_and_go_are_no_loss(
    shop: Shop, data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sqlite, "BUSY_S", 60)
    shop = Shop(shop.store, SystemClock(), "test")
    done(readings.take_reading(shop, "Mo", air_c=15.0))
    draw, acts = random.Random(1), check(shop).lines
    with working(data) as other, closing(sqlite3.connect(data, timeout=60)) as mover:
        mover.execute("PRAGMA wal_autocheckpoint = 7")
        for _ in range(400 if LONG else 20):
            assert other.act(draw.randint(5, 30)).startswith("done")
            done(readings.take_reading(shop, "Mo", air_c=float(draw.randint(5, 30))))
            acts += 2
            if draw.random() < 0.3:
                mode = draw.choice(["PASSIVE", "FULL", "RESTART", "TRUNCATE"])
                mover.execute(f"PRAGMA wal_checkpoint({mode})").fetchone()
            if draw.random() < 0.1:
                with closing(sqlite3.connect(data, timeout=60)) as passing:
                    passing.execute("SELECT count(*) FROM journal").fetchone()
            if draw.random() < 0.1:
                Shop(open_store(str(data)), SystemClock(), "passing").store.close()
            if draw.random() < 0.05:
                shop.store.close()
        other.leave()
    assert not (data.parent / SAVED_AS).exists()
    assert check(shop).faults == ()
    assert check(shop).lines == acts


TIMES = 200 if LONG else 12


@pytest.mark.parametrize("mode", ["ro", "rw"])
def test_another_program_that_opens_and_closes_the_data_all_the_time_is_no_loss(
    shop: Shop, data: Path, mode: str
) -> None:
    words = [sys.executable, "-c", LOOKER, str(data), mode]
    pipe = subprocess.PIPE
    with subprocess.Popen(words, stdin=pipe, stdout=pipe, text=True) as looker:
        assert looker.stdin is not None
        assert looker.stdout is not None
        for number in range(TIMES):
            looker.stdin.write("\n")
            looker.stdin.flush()  # it looks while this is written
            done(readings.take_reading(shop, "Mo", air_c=float(number % 30)))
            assert looker.stdout.readline() == "\n"
        looker.stdin.close()
    assert check(shop).lines == 1 + TIMES


def test_the_last_to_close_leaves_one_plain_file(shop: Shop, data: Path) -> None:
    done(readings.take_reading(shop, "Mo", air_c=15.0))
    assert beside(data, "-wal").exists()
    shop.store.close()
    assert not beside(data, "-wal").exists()
    assert not beside(data, "-shm").exists()


def test_the_index_keeps_its_locks_however_often_the_log_is_looked_after(
    shop: Shop, data: Path
) -> None:
    """A lock that a closed handle lets go of would let another writer in (fcntl(2), POSIX locks)."""
    done(readings.take_reading(shop, "Mo", air_c=15.0))
    script = (
        "import sqlite3, sys\n"
        "other = sqlite3.connect(sys.argv[1], isolation_level=None, timeout=0)\n"
        "try:\n    other.execute('BEGIN IMMEDIATE')\n"
        "except sqlite3.OperationalError as fault:\n    print(fault)\n"
    )
    with shop.store.writing() as session:
        session.connection()
        shop.store.change_mark()
        ran = subprocess.run(
            [sys.executable, "-c", script, str(data)], capture_output=True, text=True
        )
    assert (ran.stdout, ran.stderr) == ("database is locked\n", "")
