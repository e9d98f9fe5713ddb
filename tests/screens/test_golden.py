"""Pictures of every screen, kept as text. UPDATE_GOLDEN=1 writes them anew: look at the difference."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from bench.clock import ManualClock
from bench.process.refusal import Refusal
from bench.settings import Profile
from bench.shop import seeds
from bench.shop.acting import Shop
from bench.shop.demo import open_demo
from bench.store.database import open_store
from tests.conftest import MONDAY

from .driving import Hands, at_the_bench

GOLDEN = Path(__file__).parent / "golden"

WEDNESDAY = MONDAY + timedelta(days=2, hours=2, minutes=30)
"""A Wednesday; the demo takes the computer's zone, here UTC: 09:00."""

BENCH = {"bench": "", "bench-page-2": "enter", "bench-page-3": "enter enter", "bench-chosen": "1"}
SCREENS = {
    "stand-try-it": "1 enter",
    "stand-soaking": "2 enter",
    "stand-in-hand": "5 enter",
    "stand-waiting": "4 enter",
    "stand-all-faces": "5 enter +",
    "earlier": "5 - - -",
    "trouble": "1 / ",
    "rework": "3 / 3",
    "place": "6 +",
    "place-numbers": "6 + 1 5 1",
    "shop": "/",
    "painters": "/ 1",
    "hand-over": "/ 1 3",
    "hand-over-page-2": "/ 1 3 9",
    "equipment": "/ 6",
    "equipment-held": "/ 6 2",
    "notes": "/ 6 1",
    "note-phrases": "/ 6 1 1",
    "who-is-on-it": "5 / 6",
    "share-faces": "5 / 6 2",
    "reading": "r 1 8 . 5",
    "mix-known": "5 * 1",
    "mix": "5 * 1 1 6 0 0 enter",
    "last": ".",
    "help": "?",
    "far": "+",
    "find-tag": "0 0 1 2",
    "pots-guns-tins": "/ 3",
    "tins": "/ 3 1",
    "tin": "/ 3 1 8",
    "tin-came": "/ 3 1 + 7 2 5 0 0 enter enter",
    "batch-number": "/ 3 1 8 3 1",
    "to-buy": "/ 3 1 *",
    "costs": "/ 3 1 -",
    "batch-went": "/ 3 1 8 4",
    "mix-from-tins": "* 3 1 3 3 0 enter",
    "mix-other-tin": "* 3 1 3 3 0 enter .",
}
SIZES = {"80x24": (80, 24), "132x40": (132, 40)}


@pytest.fixture(scope="module")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop that Wednesday, opened once."""
    file = tmp_path_factory.mktemp("golden") / "demo.db"
    shop = Shop(open_store(str(file)), ManualClock(WEDNESDAY), "demo")
    answer = open_demo(shop, seeds.folder())
    assert not isinstance(answer, Refusal), answer
    shop.store.close()
    return file


@pytest.fixture
def demo(demo_file: Path) -> Iterator[Shop]:
    """The demo shop; these tests only look."""
    shop = Shop(open_store(str(demo_file)), ManualClock(WEDNESDAY), "demo")
    yield shop
    shop.store.close()


def compare(name: str, picture: str) -> None:
    """The picture against the one that was kept."""
    file = GOLDEN / f"{name}.txt"
    if os.environ.get("UPDATE_GOLDEN"):
        file.parent.mkdir(exist_ok=True)
        file.write_text(picture + "\n", encoding="utf-8")
    assert file.exists(), f"no picture {file}: look at the screen, then run with UPDATE_GOLDEN=1"
    assert picture + "\n" == file.read_text(encoding="utf-8")


async def at(demo: Shop, size: tuple[int, int], keys: str, *, answered: bool = True) -> str:
    """What is on the screen after some keys; the alarms are answered before them."""
    clock = demo.clock.computer
    assert isinstance(clock, ManualClock)
    async with at_the_bench(demo, clock, size, demo=True) as hands:
        hands.clock.hold(5)
        while answered and hands.app.alarms.known.up:
            await hands.press("enter")
        await hands.press(keys)
        await hands.settled()
        fits(hands, size)
        return hands.picture()


def fits(hands: Hands, size: tuple[int, int]) -> None:
    """Nothing is wider or longer than the terminal, and every sign is on the console's font."""
    rows = hands.picture().splitlines()
    assert len(rows) <= size[1]
    assert max(len(row) for row in rows) <= size[0]
    odd = {c for row in rows for c in row if not c.isascii()} - set("━┃┏┓┗┛┣┫┻╋█")
    assert not odd


@pytest.mark.parametrize("name", BENCH)
@pytest.mark.parametrize("size", [*SIZES, "200x50"])
async def test_the_bench_looks_as_it_did(demo: Shop, name: str, size: str) -> None:
    width, height = map(int, size.split("x"))
    picture = await at(demo, (width, height), BENCH[name], answered="page" in name)
    compare(f"{name}-{size}", picture)


@pytest.mark.parametrize("name", SCREENS)
@pytest.mark.parametrize("size", SIZES)
async def test_the_screens_look_as_they_did(demo: Shop, name: str, size: str) -> None:
    compare(f"{name}-{size}", await at(demo, SIZES[size], SCREENS[name]))


async def test_the_first_start_looks_as_it_did(tmp_path: Path) -> None:
    clock = ManualClock(WEDNESDAY)
    fresh = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    async with at_the_bench(fresh, clock) as hands:
        compare("first-start-80x24", hands.picture())
    fresh.store.close()


async def test_without_utf_8_only_ascii_is_drawn(demo: Shop) -> None:
    clock = demo.clock.computer
    assert isinstance(clock, ManualClock)
    async with at_the_bench(demo, clock, (80, 24), demo=True, profile=Profile(0, "ascii")) as hands:
        compare("bench-ascii-80x24", hands.picture())
        assert hands.picture().isascii()
