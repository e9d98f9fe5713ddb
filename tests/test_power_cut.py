"""kill -9 between any two key presses: the next start shows the same bench. In a real terminal."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.clock import SystemClock
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import open_shop
from bench.store.databases.database import open_store
from tests.simulation import LONG

from .terminal import Terminal, terminal

PRESSES = [
    ("1", lambda p: ">1 " in p),
    ("+", lambda p: "what is it made of" in p),
    ("15", lambda p: "what shape is it" in p),
    ("1", lambda p: "how many, and which tag" in p),
    ("\r", lambda p: "(Enter: the next free one)" in p),
    ("\r", lambda p: "its zinc" in p),
    ("0", lambda p: "OPEN" in p and "Frame" in p),
    ("+", lambda p: "WORKING" in p),
    ("+", lambda p: "2/9" in p),
    ("/", lambda p: "menu" in p and "hold it" in p),
    ("1", lambda p: "why?" in p),
    ("1", lambda p: "HOLD" in p),
]
"""What a painter presses, and what then is on the screen."""

WRITTEN = {6: 7, 8: 8, 9: 9, 12: 12}
"""After so many presses something was written down; the press after which a new start shows it."""

UPTO = range(len(PRESSES) + 1) if LONG else (4, 9)
"""Presses before the kill: in the normal run one that writes, and one in the middle of questions.
What a kill loses of what was written is tried far more often, and sooner, in tests.nothing_lost."""


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A shop on the computer's own clock."""
    file = tmp_path / "shop.db"
    shop = Shop(open_store(str(file)), SystemClock(), "test")
    opened = open_shop(shop, seed_files.load(seed_files.folder()), ("Kit", "Mo"), 6)
    assert not isinstance(opened, Refusal)
    shop.store.close()
    return file


def press_through(window: Terminal, upto: int) -> str:
    """Press so many keys, each after the picture of the one before."""
    picture = window.wait_until(lambda p: "6  EMPTY" in p)
    for keys, seen in PRESSES[:upto]:
        window.press(keys)
        picture = window.wait_until(seen)
    return picture


@pytest.mark.parametrize("upto", UPTO)
def test_after_a_power_cut_the_bench_is_as_it_was(data: Path, upto: int) -> None:
    with terminal(data) as window:
        press_through(window, upto)
        window.kill()
    committed = [n for n in WRITTEN if n <= upto]
    with terminal(data) as window:
        picture = window.wait_until(lambda p: "painter: " in p and "6  EMPTY" in p)
        if committed:
            seen = PRESSES[WRITTEN[max(committed)] - 1][1]
            assert seen(picture)
        else:
            assert "1  EMPTY" in picture
    shop = Shop(open_store(str(data)), SystemClock(), "test")
    found = check(shop)
    shop.store.close()
    assert found.faults == ()
    assert found.lines == 1 + len(committed)
