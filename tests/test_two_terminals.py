"""Two windows with the real program on one bench, as on the console and over SSH."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.clock import SystemClock
from bench.process.refusal import Refusal
from bench.shop import seeds
from bench.shop.acting import Shop
from bench.shop.check import check
from bench.shop.opening import open_shop
from bench.store.database import open_store

from .databases import pytest_generate_tests
from .terminal import terminal
from .test_power_cut import press_through

__all__ = ["pytest_generate_tests"]


@pytest.fixture
def today(data: Path) -> Path:
    """A shop on the computer's own clock."""
    shop = Shop(open_store(str(data)), SystemClock(), "test")
    opened = open_shop(shop, seeds.load(seeds.folder()), ("Kit", "Mo"), 6)
    assert not isinstance(opened, Refusal)
    shop.store.close()
    return data


def test_each_window_shows_what_is_done_at_the_other(today: Path) -> None:
    with terminal(today) as here, terminal(today) as there:
        there.wait_until(lambda p: "6  EMPTY" in p)
        press_through(here, 7)
        there.wait_until(lambda p: "IN HAND" in p and "Frame" in p)
        # Looked at for long enough: what changes under the finger is refused.
        for key in ("1", "0", "1"):
            there.press(key)
        there.wait_until(lambda p: ">1 " in p)
        there.press("+")
        there.wait_until(lambda p: "2/9" in p)
        here.wait_until(lambda p: "2/9" in p)
    shop = Shop(open_store(str(today)), SystemClock(), "test")
    found = check(shop)
    shop.store.close()
    assert (found.faults, found.lines) == ((), 4)
