"""Pictures of what the demo shop does not show by looking: beginnings, deeds, alarms, faults."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from bench.screens.dialogs.choices import Sure
from bench.screens.plan import plan_page
from bench.shop.core.transaction import Shop
from bench.shop.data.background import FIRST_LOOK_S
from bench.shop.data.backups import back_up
from bench.shop.data.opening import open_for_screen
from bench.shop.parts import placement
from bench.shop.people import handover
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock.tins import record_tin
from bench.store.databases.database import open_store
from bench.store.databases.faults import StoreFault
from bench.testing import ManualClock
from tests.commands.subjects.test_missing_entries import fall_behind
from tests.same_process import SameProcess
from tests.shop.doing import done

from .core.test_alarm_watch import wash
from .data.test_clock_wrong import OLD, after_a_power_cut, busy  # noqa: F401 - a fixture
from .data.test_data_guard import cut_short, spoil
from .driving import WEDNESDAY, Hands, at_the_bench
from .parts.test_assignment import build_next
from .pictures import (
    GOLDEN,
    SIZES,
    compare,
    compare_at_both_sizes,
    every_screen,
    name_of,
    shown,
)


@pytest.fixture
def folder(monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """Where the data is that a picture names."""
    with TemporaryDirectory(prefix="shop-", dir="/tmp") as made:
        monkeypatch.chdir(made)
        yield made


@pytest.fixture
def demo(demo_file: Path, tmp_path: Path) -> Iterator[Shop]:
    """A demo shop of the test's own, to do something in."""
    copy = shutil.copy(demo_file, tmp_path / "demo.db")
    shop = Shop(open_store(str(copy)), ManualClock(WEDNESDAY), "demo")
    yield shop
    shop.store.close()


DEEDS = {
    "place-zinc": "6 + 1 1 5 1 enter enter",
    "place-zinc-how": "6 + 1 1 5 1 enter enter 2",
    "stand-zinc": "6 + 1 1 5 1 enter enter 2 enter 1 enter enter 6 enter",
    "not-yet": "1 enter 1",
    "passed": "1 enter 2 1",
    "stand-heavy": "1 4 enter 9 3",
    "readings": "1 4 enter 9 5 6 0 enter 7 2 enter",
    "refused": "4 +",
    "refused-on-its-page": "4 enter +",
    "mixed": "8 * enter 1 3 0 0 enter 1 enter",
    "handed-over": "/ 1 3 +",
    "mix": "5 * enter 1 6 0 0 enter 1",
    "mix-too-much": "5 * enter 1 6 0 0 enter 1 1 + +",
    "mix-in-the-cup": "5 * enter 3 3 0 0 enter 1",
    "mix-from-tins": "* 1 8 1 3 3 0 enter 1",
    "mix-other-tin": "* 1 8 1 3 3 0 enter 1 .",
    "mix-rest": "* 1 8 1 3 3 0 enter 1 9",
    "help-mix": "5 * enter 1 6 0 0 enter 1 ?",
}


@asynccontextmanager
async def at_the_demo(demo: Shop, size: tuple[int, int], keys: str) -> AsyncIterator[Hands]:
    """The bench after some keys; the alarms are answered before them."""
    clock = demo.clock.computer
    assert isinstance(clock, ManualClock)
    async with at_the_bench(demo, clock, size, demo=True) as hands:
        await hands.answer_all()
        await hands.press(keys)
        yield hands


@pytest.mark.parametrize("name", DEEDS)
async def test_what_was_done_looks_as_it_did(demo: Shop, name: str) -> None:
    async with at_the_demo(demo, SIZES["80x24"], DEEDS[name]) as hands:
        await compare_at_both_sizes(name, hands)


async def test_a_cup_whose_ratio_nobody_read_looks_as_it_did(demo: Shop) -> None:
    """Another batch of hardener is taken than the one whose tin was read."""
    done(record_tin(demo, "gloss", "Una", role="hardener", size_ml=500, batch="GH-0500"))
    async with at_the_demo(demo, SIZES["80x24"], "* 1 8 1 3 3 0 enter 1 . 3") as hands:
        await compare_at_both_sizes("mix-unread", hands)


@pytest.mark.parametrize("name", ["mix", "mix-from-tins"])
async def test_a_smaller_cup_looks_as_it_did(demo: Shop, name: str) -> None:
    async with at_the_demo(demo, (60, 20), DEEDS[name]) as hands:
        compare(f"{name}-60x20", hands)


async def test_a_first_start_looks_as_it_did(tmp_path: Path) -> None:
    clock = ManualClock(WEDNESDAY)
    fresh = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    async with at_the_bench(fresh, clock) as hands:
        await compare_at_both_sizes("first-start", hands)
        await hands.press("1")
        await compare_at_both_sizes("first-names", hands)
        await hands.press("enter enter")
        await compare_at_both_sizes("first-stands", hands)
        await hands.press("enter")
        await compare_at_both_sizes("first-bench", hands)
    fresh.store.close()


async def test_a_coat_that_begins_looks_as_it_did(shop: Shop, clock: ManualClock) -> None:
    build_next(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 +")
        await compare_at_both_sizes("spray-card", hands)


async def test_coming_back_after_a_shift_looks_as_it_did(shop: Shop, clock: ManualClock) -> None:
    done(handover.leave(shop, "Mo"))
    clock.advance(hours=1)
    build_next(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("w")
        await compare_at_both_sizes("since-you-left", hands)
        await hands.press("0")
        done(handover.leave(shop, "Kit"))
        await hands.let_pass(seconds=1)
        await hands.press("1")
        await compare_at_both_sizes("who-is-in", hands)


async def test_an_alarm_over_a_question_looks_as_it_did(shop: Shop, clock: ManualClock) -> None:
    """10 to 15 min for the mordant: common practice, no source."""
    wash(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 8")
        await hands.let_pass(minutes=16)
        await hands.read_alarms()
        await compare_at_both_sizes("alarm-over-a-list", hands)
        await hands.answer()
        await hands.press("escape 1 enter")
        await hands.let_pass(minutes=2)
        await hands.read_alarms()
        await compare_at_both_sizes("alarm-on-a-page", hands)
        await hands.scan("10412")
        await compare_at_both_sizes("no-such-tag", hands)


async def test_the_plan_looks_as_it_did(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plan_page, "PlannerProcess", SameProcess)
    for stand in (1, 2):
        done(placement.place(shop, stand, "Kit", route="zinc-new", shape="bracket"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("u *")
        await hands.let_pass(seconds=5)
        await compare_at_both_sizes("plan-draft", hands)
        await hands.press("+ 6")
        await compare_at_both_sizes("plan", hands)


async def test_a_wrong_clock_looks_as_it_did(busy: Shop) -> None:  # noqa: F811
    async with after_a_power_cut(busy, OLD) as hands:
        await compare_at_both_sizes("clock-wrong", hands)
        await hands.press("0")
        await compare_at_both_sizes("bench-at-least", hands)


async def test_data_at_fault_looks_as_it_did(
    clock: ManualClock, data: Path, shop: Shop, folder: str
) -> None:
    shop.store.close()
    file = shutil.copy(data, Path(folder) / "shop.db")
    here = Shop(open_store(str(file)), clock, "test")
    done(placement.place(here, 1, "Kit", route="zinc-new", shape="frame"))
    done(set_settings(here, "Kit", backup_to="/media/stick"))
    async with at_the_bench(here, clock) as hands:
        await hands.let_pass(seconds=1)
        await hands.let_pass(seconds=FIRST_LOOK_S)
        await compare_at_both_sizes("backup-missing", hands)
        await hands.pick("set-up", "backups: where and how old")
        await compare_at_both_sizes("backups", hands, folder)
        await hands.press("0")
        hands.app.data.struck(StoreFault("no room", "full"))
        hands.app.screen.redraw()  # type: ignore[attr-defined]
        await compare_at_both_sizes("data-at-fault", hands)
    done(back_up(here, "", None))
    done(placement.place(here, 2, "Kit", route="zinc-new", shape="plate"))
    here.store.close()
    spoil(file, cut_short)
    shut = open_for_screen(str(file), clock, "test")
    assert isinstance(shut, Shop)
    async with at_the_bench(shut, clock) as hands:
        await hands.wait_until(lambda: "newest good backup, up to" in hands.picture())
        await compare_at_both_sizes("no-data", hands, folder)
        await hands.press("1")
        assert isinstance(hands.app.screen, Sure)
        await compare_at_both_sizes("no-data-sure", hands)


async def test_data_behind_its_backup_looks_as_it_did(
    clock: ManualClock, data: Path, shop: Shop, folder: str
) -> None:
    shop.store.close()
    file = Path(shutil.copy(data, Path(folder) / "shop.db"))
    fall_behind(Shop(open_store(str(file)), clock, "test"), file)
    shut = open_for_screen(str(file), clock, "test")
    assert isinstance(shut, Shop)
    async with at_the_bench(shut, clock) as hands:
        await hands.wait_until(lambda: "newest good backup, up to" in hands.picture())
        await compare_at_both_sizes("data-behind", hands, folder)


@pytest.mark.parametrize("size", SIZES)
def test_every_screen_has_its_picture(size: str) -> None:
    pictured = {screen for picture, screen in shown().items() if picture.endswith(size)}
    assert {name_of(kind) for kind in every_screen()} - pictured == set()


def test_every_picture_that_is_kept_is_of_a_screen_that_is_there() -> None:
    assert {file.stem for file in GOLDEN.glob("*.txt")} == set(shown())
    assert set(shown().values()) <= {name_of(kind) for kind in every_screen()}
