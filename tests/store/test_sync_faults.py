"""A commit that the system cannot bring to the disk: the answer is true, and nothing is done twice.

The program runs as a process of its own under a library (syncfault.c, compiled here) that lets the
sync of the shop's log fail with an error of the system's.
"""

from __future__ import annotations

import errno
import re
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from bench.clock import SystemClock
from bench.shop.acting import Shop
from bench.shop.data import check
from bench.store.database import open_store
from tests.nothing_lost.kills import journal

from .test_writeahead import Worker

pytestmark = pytest.mark.sqlite

ERRORS = [errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EROFS]
EVERY_TIME = 1000


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library, compiled."""
    compiler = shutil.which("cc")
    if compiler is None:
        pytest.skip("no C compiler here")
    made = tmp_path_factory.mktemp("library") / "syncfault.so"
    source = Path(__file__).with_name("syncfault.c")
    subprocess.run([compiler, "-shared", "-fPIC", "-o", str(made), str(source), "-ldl"], check=True)
    return made


@pytest.fixture
def faults(library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file that says how often a sync fails; processes from now on are under the library."""
    told = tmp_path / "faults"
    monkeypatch.setenv("LD_PRELOAD", str(library))
    monkeypatch.setenv("SYNCFAULT", str(told))
    return told


@contextmanager
def worker_on(data: Path) -> Iterator[Worker]:
    worker = Worker(data)
    try:
        yield worker
    finally:
        worker.process.kill()
        worker.process.wait()


def readings_in(data: Path) -> list[int]:
    """The readings that the log holds, in C, once a new process has read it."""
    found = (re.search(r"(\d+)(\.0)? C", text) for text in journal(data))
    return [int(match[1]) for match in found if match]


@pytest.mark.parametrize("error", ERRORS)
@pytest.mark.parametrize("ends", ["killed", "ended"])
def test_a_reading_that_was_refused_is_not_there_and_a_second_press_writes_it_once(
    shop: Shop, data: Path, faults: Path, error: int, ends: str
) -> None:
    shop.store.close()
    with worker_on(data) as worker:
        assert worker.act(11).startswith("done")
        faults.write_text(f"{error} 1")
        told = worker.act(12)
        assert told.startswith("failed disk I/O error; it was looked for: nothing was written")
        assert worker.act(12).startswith("done")
        assert worker.act(13).startswith("done")
        if ends == "killed":
            worker.kill()
        else:
            worker.leave()
    assert readings_in(data) == [11, 12, 13]
    assert_whole(data)


@pytest.mark.parametrize("error", ERRORS)
def test_a_reading_that_was_refused_does_not_turn_up_after_a_kill(
    shop: Shop, data: Path, faults: Path, error: int
) -> None:
    shop.store.close()
    with worker_on(data) as worker:
        assert worker.act(11).startswith("done")
        faults.write_text(f"{error} 1")
        assert worker.act(12).startswith("failed")
        worker.kill()
    assert readings_in(data) == [11]
    assert_whole(data)


@pytest.mark.parametrize("error", ERRORS)
def test_while_the_disk_goes_on_failing_nobody_says_that_it_was_not_written(
    shop: Shop, data: Path, faults: Path, error: int
) -> None:
    shop.store.close()
    with worker_on(data) as worker:
        assert worker.act(11).startswith("done")
        faults.write_text(f"{error} {EVERY_TIME}")
        assert worker.act(12).startswith("uncertain disk I/O error")
        assert worker.act(12).startswith("uncertain disk I/O error")
        faults.write_text(f"{error} 0")
        assert worker.act(12).startswith("done")
        worker.kill()
    assert readings_in(data) == [11, 12]
    assert_whole(data)


def assert_whole(data: Path) -> None:
    opened = Shop(open_store(str(data)), SystemClock(), "test")
    assert check(opened).faults == ()
    opened.store.close()
