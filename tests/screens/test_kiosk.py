"""The bench on a terminal of its own: no key leads out of the program, and nothing is cut off by that."""

from __future__ import annotations

import re
import string
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.worker import WorkerFailed

from bench.app import Paintbench
from bench.screens.data.first_start import Opening
from bench.settings import is_kiosk
from bench.shop.core.transaction import Shop
from bench.shop.settings.kiosk_limits import NOTHING
from bench.store.databases.database import open_store
from bench.testing import ManualClock

from .driving import BETWEEN_PRESSES_S, Hands, at_the_bench

WITH_CTRL = [
    *string.ascii_lowercase,
    *string.digits,
    *("at", "backslash", "circumflex_accent", "left_square_bracket", "right_square_bracket"),
    *("underscore", "space", "slash", "up", "down", "left", "right", "home", "end", "insert"),
    *("delete", "pageup", "pagedown", "tab", "backspace", "enter", "escape", "f1", "f4", "f12"),
]
EVERY_COMBINATION = [
    f"{held}+{key}"
    for held in ("ctrl", "alt", "ctrl+alt", "ctrl+shift", "super")
    for key in WITH_CTRL
]
ROADS = {"the bench": "", "a question": "/", "a number": "/ 2", "help": "?", "a page": "1 enter"}


@pytest.fixture
def empty(tmp_path: Path, clock: ManualClock) -> Iterator[Shop]:
    """A shop nobody opened yet."""
    shop = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    yield shop
    shop.store.close()


def goes_on(hands: Hands) -> bool:
    """The program neither ended nor is about to."""
    return hands.app.is_running and not hands.app._exit


@pytest.mark.parametrize("road", ROADS)
async def test_no_key_held_with_ctrl_or_alt_ends_or_suspends_a_kiosk(
    shop: Shop, clock: ManualClock, road: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.rglob("*"))
    async with at_the_bench(shop, clock, kiosk=True) as hands:
        await hands.press(ROADS[road])
        for key in EVERY_COMBINATION:
            await hands.press(key)
            assert goes_on(hands), key
        assert not hands.app._notifications, "no word of a way to quit that is not there"
        await hands.press("0 escape 0")
        assert "1  EMPTY" in hands.picture()
    made = set(tmp_path.rglob("*")) - set(before)
    own = ("shop.db", "backups", "shop-")  # the data, and copies of it that a slow run makes
    assert {p for p in made if not any(name in p.name for name in own)} == set()


@pytest.mark.parametrize("action", ["quit", "suspend_process", "help_quit", "screenshot"])
async def test_what_would_lead_out_is_shut_in_a_kiosk_whatever_asks_for_it(
    shop: Shop, clock: ManualClock, action: str
) -> None:
    async with at_the_bench(shop, clock, kiosk=True) as hands:
        assert not await hands.app.run_action(action)
        assert goes_on(hands)


async def test_elsewhere_ctrl_q_closes_the_program(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        hands.app.simulate_key("ctrl+q")
        await hands.wait_until(lambda: hands.app._exit)


async def test_the_first_start_of_a_kiosk_offers_no_way_out(
    empty: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(empty, clock, kiosk=True) as hands:
        assert "0 leave" not in hands.picture()
        await hands.press("0 ctrl+q")
        assert goes_on(hands)
        assert isinstance(hands.app.screen, Opening)
    async with at_the_bench(empty, clock) as hands:
        assert "0 leave" in hands.picture()


async def test_typing_the_painters_names_no_key_leads_out(empty: Shop, clock: ManualClock) -> None:
    async with at_the_bench(empty, clock, kiosk=True) as hands:
        await hands.press("1")
        for key in EVERY_COMBINATION:
            await hands.press(key)
            assert goes_on(hands), key
        await hands.press("escape")
        assert isinstance(hands.app.screen, Opening)


async def test_the_demo_of_a_kiosk_is_left_by_keypad(empty: Shop, clock: ManualClock) -> None:
    async with at_the_bench(empty, clock, kiosk=True) as hands:
        await hands.press("2")
        await hands.wait_until(lambda: hands.app.demo)
        await hands.settled()
        await hands.answer_all()
        await hands.pick("set-up")
        found = re.search(r"(\d)   leave the demo", hands.picture())
        assert found, "on the first page of set-up"
        hands.clock.hold(BETWEEN_PRESSES_S)  # the way here may end with the same key
        hands.app.simulate_key(found[1])
        await hands.wait_until(lambda: hands.app._exit)
        assert hands.app.return_code == 0


async def test_a_shop_of_its_own_has_no_demo_to_leave(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("set-up")
        assert "the clock" in hands.picture()
        assert "leave the demo" not in hands.picture()


def test_only_a_plain_no_leaves_the_way_out_open() -> None:
    shut = ["1", "yes", "on", "true", " 1 ", "2", "ja", "offf"]
    opened = ["", " ", "0", "no", "No", "off", "FALSE"]
    assert all(is_kiosk({"PAINTBENCH_KIOSK": word}) for word in shut)
    assert not any(is_kiosk({"PAINTBENCH_KIOSK": word}) for word in opened)
    assert not is_kiosk({})


def test_what_failed_in_a_flow_of_questions_is_what_is_told(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The line left on the console, and the log, name the fault and not the worker that it was in."""
    app = Paintbench(shop, allowed=NOTHING)
    monkeypatch.setattr(Paintbench, "is_headless", False)
    monkeypatch.setattr(app, "exit", lambda code: None)
    fault = FileNotFoundError(2, "No such file or directory", "/gone")
    app._handle_exception(WorkerFailed(fault))
    assert app.fault is fault
