"""Who writes to one file takes turns in the order of coming, and nobody waits for one who was killed."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Thread

import pytest
from sqlmodel import col, select

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.store.databases import writer_turns
from bench.store.databases.database import open_store
from bench.store.databases.writer_turns import line_at
from bench.store.schema.tables import JournalRow
from tests.shop.doing import done

pytestmark = pytest.mark.sqlite


def drawn(path: Path) -> int:
    """The number that was drawn last."""
    return int.from_bytes(Path(f"{path}-turn").read_bytes(), "little")


def lined_up(path: Path, work: Callable[[], object]) -> Thread:
    """Somebody who waits for a turn by now."""
    before = drawn(path)
    thread = Thread(target=work, daemon=True)
    thread.start()
    while drawn(path) == before:
        assert thread.is_alive(), "wrote out of turn"
        writer_turns.pause(0.001)
    return thread


def test_the_line_goes_on_in_the_order_in_which_it_was_joined(tmp_path: Path) -> None:
    path, order = tmp_path / "shop.db", list[int]()

    def take(place: int) -> None:
        with line_at(str(path)) as line:
            assert line is not None
            line.wait()
            order.append(place)

    with line_at(str(path)) as first:
        assert first is not None
        assert first.is_empty()
        first.wait()
        waiting = [lined_up(path, lambda place=place: take(place)) for place in range(6)]  # type: ignore[misc]
        assert order == []
    for thread in waiting:
        thread.join()
    assert order == [0, 1, 2, 3, 4, 5]


def test_writers_write_in_the_order_in_which_they_came(shop: Shop, data: Path) -> None:
    path = data
    others = [Shop(open_store(str(path)), shop.clock, f"terminal {n}") for n in range(5)]
    with shop.store.writing(), line_at(str(path)) as line:
        assert line is not None
        line.wait()  # as if there had been others before
        waiting = [
            lined_up(path, lambda other=other: readings.take_reading(other, "Kit", air_c=18))  # type: ignore[misc]
            for other in others
        ]
    for thread in waiting:
        thread.join()
    with shop.store.reading() as session:
        wanted = select(JournalRow.terminal).order_by(col(JournalRow.id))
        assert list(session.exec(wanted))[1:] == [f"terminal {n}" for n in range(5)]
    for other in others:
        other.store.close()


WAITS = """
import sys
from bench.store.databases.writer_turns import line_at
with line_at(sys.argv[1]) as line:
    line.wait()
    print("here", flush=True)
    sys.stdin.read()
"""


def test_nobody_waits_for_one_who_was_killed(
    shop: Shop, data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writer_turns, "WAIT_S", 1e9)
    held = subprocess.Popen(
        [sys.executable, "-c", WAITS, str(data)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=Path(writer_turns.__file__).parents[3],
    )
    assert held.stdout is not None
    assert held.stdout.readline() == b"here\n"
    waiting = lined_up(data, lambda: readings.take_reading(shop, "Kit", air_c=18))
    assert waiting.is_alive()
    held.kill()
    held.wait()
    waiting.join()
    assert bench_view.read_bench(shop).line == 2


@pytest.mark.parametrize("held", [b"", b"\xff" * 8, b"\xff" * 7 + b"\x7f", b"notes"])
def test_whatever_stands_in_its_file_the_line_goes_on(tmp_path: Path, held: bytes) -> None:
    (tmp_path / "shop.db-turn").write_bytes(held)
    with line_at(str(tmp_path / "shop.db")) as line:
        assert line is not None
        line.wait()
        assert not other_is_empty(tmp_path / "shop.db")


def other_is_empty(path: Path) -> bool:
    """Whether somebody else sees a line without anybody in it."""
    with line_at(str(path)) as line:
        return line is not None and line.is_empty()


def test_where_no_line_can_be_made_writers_still_write(shop: Shop, data: Path) -> None:
    turn = Path(f"{data}-turn")
    turn.unlink(missing_ok=True)
    turn.mkdir()
    done(readings.take_reading(shop, "Kit", air_c=18))


def test_who_writes_alone_draws_no_number(shop: Shop, data: Path) -> None:
    done(readings.take_reading(shop, "Kit", air_c=18))
    assert os.path.getsize(f"{data}-turn") == 0
