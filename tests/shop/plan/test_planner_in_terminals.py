"""The planner beside a real screen: what becomes of it when the terminal is closed."""

from __future__ import annotations

import os
import select
import signal
import time
from pathlib import Path

import pytest

from bench.clock import SystemClock
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement
from bench.store.databases.database import open_store
from tests.shop.doing import done
from tests.terminal import PATIENCE_S, Terminal, terminal


def planner_of(window: Terminal) -> int:
    """The process number of the planner that the screen started, once there is one."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        children = Path(f"/proc/{window.pid}/task").glob("*/children")
        for child in " ".join(each.read_text() for each in children).split():
            if b"planner_process" in Path(f"/proc/{child}/cmdline").read_bytes():
                return int(child)
        window.catch_up()
    raise AssertionError(f"no planner was started:\n{window.picture()}")


@pytest.fixture
def six_lots(today: Path) -> Path:
    """So much to plan that it takes the planner longer than closing a window."""
    shop = Shop(open_store(str(today)), SystemClock(), "test")
    for stand in range(1, 7):
        done(placement.place(shop, stand, "Kit", route="zinc-new", shape="bracket"))
    shop.store.close()
    return today


@pytest.mark.sqlite
@pytest.mark.parametrize("how", [signal.SIGHUP, signal.SIGKILL])
def test_no_planner_stays_behind_a_terminal_that_is_closed(six_lots: Path, how: int) -> None:
    with terminal(six_lots) as window:
        window.wait_until(lambda picture: "tag 6" in picture)
        window.press("u")
        window.wait_until(lambda picture: "* makes one" in picture)
        window.press("*")
        planner = os.pidfd_open(planner_of(window))
        assert not select.select([planner], [], [], 0)[0], "it has ended before the terminal"
        os.kill(window.pid, how)
        assert select.select([planner], [], [], PATIENCE_S)[0], "it plans on for nobody"
        os.close(planner)


@pytest.mark.sqlite
def test_a_planner_that_is_killed_is_named_on_the_page_and_the_screen_goes_on(
    six_lots: Path,
) -> None:
    with terminal(six_lots, width=132, height=40) as window:
        window.wait_until(lambda picture: "tag 6" in picture)
        window.press("u")
        window.wait_until(lambda picture: "* makes one" in picture)
        window.press("*")
        os.kill(planner_of(window), signal.SIGKILL)
        shown = window.wait_until(lambda picture: "was ended from outside" in picture)
        assert "Traceback" not in shown
        window.press("0")
        window.wait_until(lambda picture: "0 0 find tag" in picture)
