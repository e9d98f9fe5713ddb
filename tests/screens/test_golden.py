"""Pictures of the demo shop, screen by screen, at the two sizes that must work."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from bench.settings import Profile
from bench.shop.core.transaction import Shop
from bench.store.databases.database import open_store
from bench.testing import ManualClock

from .driving import WEDNESDAY, Hands, at_the_bench
from .pictures import SIZES, compare, compare_at_both_sizes, fits

BENCH = {"bench": "", "bench-page-2": "enter", "bench-page-3": "enter enter", "bench-chosen": "1"}
SCREENS = {
    "stand-test": "1 enter",
    "stand-soaking": "2 enter",
    "stand-working": "5 enter",
    "stand-waiting": "4 enter",
    "stand-all-faces": "5 enter +",
    "stand-all-faces-by-enter": "5 enter enter",
    "earlier": "5 - - -",
    "trouble": "1 / ",
    "rework": "3 / 3",
    "place": "6 +",
    "place-numbers": "6 + 1 1 5 1",
    "shop": "/",
    "painters": "/ 1",
    "hand-over": "/ 1 3",
    "hand-over-page-2": "/ 1 3 9",
    "equipment": "/ 6",
    "equipment-held": "/ 6 2",
    "notes": "/ 6 1",
    "note-phrases": "/ 6 1 1",
    "who-is-on-it": "5 / 6",
    "share-faces": "5 / 6 5",
    "reading": "r 1 8 . 5",
    "mix-known": "5 * enter",
    "mix-tin-says": "* 1 8 1 3 3 0 enter",
    "last": ".",
    "help": "?",
    "far": "+",
    "find-tag": "0 0 1 2",
    "pots-guns-tins": "/ 3",
    "tins": "/ 3 1",
    "tin": "/ 3 1 2",
    "tin-came": "/ 3 1 + 1 7 2 5 0 0 enter enter",
    "batch-number": "/ 3 1 2 4 1",
    "to-buy": "/ 3 1 *",
    "costs": "/ 3 1 -",
    "batch-went": "/ 3 1 2 5",
    "mix-what": "5 *",
    "stand-closing": "3 enter",
    "stand-rinse-now": "7 enter",
    "stand-abrade": "8 enter",
    "stand-keep-off": "9 enter",
    "stand-open": "1 0 enter",
    "stand-hold": "1 1 enter",
    "stand-soak": "1 2 enter",
    "stand-wet": "1 3 enter",
    "stand-flash": "1 4 enter",
    "how-thick": "1 4 enter 9",
    "stand-drying": "1 5 enter",
    "stand-cure": "1 6 enter",
    "stand-cured": "1 7 enter",
    "all-of-the-step": "4 / 9 5",
    "who-tested": "1 enter 2",
    "trouble-page-2": "3 / 9",
    "hold-why": "1 / 1",
    "skip-why": "1 / 2",
    "move": "1 / 4",
    "take-off": "1 7 +",
    "override": "4 / 7",
    "override-reason": "4 / 7 enter",
    "override-air": "/ 1 2 4 / 7 enter",
    "override-second": "/ 1 2 4 / 7 enter 1",
    "split": "3 / 9 2",
    "put-with": "4 / 9 3",
    "put-with-sure": "4 / 9 3 4",
    "bungs": "3 / 9 4",
    "write-a-note": "1 / 6 6",
    "air": "a",
    "air-week": "a - -",
    "with-nobody-in": "n",
    "helper": "g",
    "helper-page-2": "g enter",
    "helper-page-3": "g enter enter",
    "helper-page-5": "g enter enter enter enter",
    "clock-asked": "c",
    "clock-typed": "c 1",
    "tin-counted": "/ 3 1 2 2",
    "batch-asked": "/ 3 1 .",
    "top-up": "pots, guns and tins>top up a pot>enter",
    "equipment-figures": "/ 6 4 6",
    "set-up": "set-up>",
    "tonight": "set-up>tonight's temperature, and the week's>",
    "tonight-asked": "set-up>tonight's temperature, and the week's>1",
    "holidays": "set-up>holidays: days the shop is closed>",
    "holiday-asked": "set-up>holidays: days the shop is closed>1",
    "products": "set-up>data sheets: products>",
    "product": "set-up>data sheets: products>1 7",
    "product-line": "set-up>data sheets: products>1 7 1",
    "routes": "set-up>the routes and their steps>",
    "route": "set-up>the routes and their steps>1 5",
    "route-steps": "set-up>the routes and their steps>1 5 3 1",
    "route-step": "set-up>the routes and their steps>1 5 3 1 3 1",
    "settings": "set-up>settings: hours, masks, cup, probes, bell>",
    "settings-hours": "set-up>settings: hours, masks, cup, probes, bell>1",
    "settings-masks": "set-up>settings: hours, masks, cup, probes, bell>4",
    "settings-cup": "set-up>settings: hours, masks, cup, probes, bell>5",
    "settings-screens": "set-up>settings: hours, masks, cup, probes, bell>6",
    "settings-probes": "set-up>settings: hours, masks, cup, probes, bell>7",
    "settings-alarm": "set-up>settings: hours, masks, cup, probes, bell>8",
    "pin-asked": "set-up>a PIN that signs overrides>1 2",
    "palette": "ctrl+p",
    "palette-found": "ctrl+p d e w",
    "help-page-2": "? 9",
    "help-stand": "5 enter ?",
    "help-number": "r ?",
    "help-list": "/ ?",
    "sheet": "1 enter enter",
    "sheet-page-3": "1 enter enter 9 9",
    "correct": "1 enter enter 1",
    "correct-step": "1 enter enter 1 6",
    "look-back": "find a part, the log>",
    "find-part": "find a part, the log>find a part, on the bench or long gone>1 2",
    "found-parts": "find a part, the log>find a part, on the bench or long gone>t r o enter",
    "journal": "find a part, the log>the log: look back, undo, correct>",
    "journal-line": "find a part, the log>the log: look back, undo, correct>4",
    "jobs": "find a part, the log>jobs: how far, promised, hours and cost>",
    "job-page": "find a part, the log>jobs: how far, promised, hours and cost>1",
    "quote": "find a part, the log>a quote: paint, tins and hours before the work>1 1 enter enter 1",
}
SMALL = ("bench", "bench-chosen", "stand-test", "stand-working", "tins")
"""Looked at where the terminal is smaller than it should be, too."""


@pytest.fixture
def demo(demo_file: Path) -> Iterator[Shop]:
    """The demo shop; these tests only look."""
    shop = Shop(open_store(str(demo_file)), ManualClock(WEDNESDAY), "demo")
    yield shop
    shop.store.close()


AT_A_TIME = 12
"""Screens that one program shows one after the other: before the first alarm comes back."""

NAMES = list(SCREENS)
SOME = [NAMES[first : first + AT_A_TIME] for first in range(0, len(NAMES), AT_A_TIME)]


@asynccontextmanager
async def at(
    demo: Shop, size: tuple[int, int], road: str = "", *, answered: bool = True
) -> AsyncIterator[Hands]:
    """The bench after a road was taken; the alarms are answered before it."""
    clock = demo.clock.computer
    assert isinstance(clock, ManualClock)
    async with at_the_bench(demo, clock, size, demo=True) as hands:
        if answered:
            await hands.answer_all()
        await hands.read_alarms()
        await take(hands, road)
        fits(hands, size)
        yield hands


async def take(hands: Hands, road: str) -> None:
    """Choices of the list on /, each by its words with > after it, then keys."""
    *choices, keys = road.split(">")
    if choices:
        await hands.pick(*choices)
    await hands.press(keys)


@pytest.mark.parametrize("name", BENCH)
@pytest.mark.parametrize("size", [*SIZES, "200x50"])
async def test_the_bench_looks_as_it_did(demo: Shop, name: str, size: str) -> None:
    width, height = map(int, size.split("x"))
    async with at(demo, (width, height), BENCH[name], answered="page" in name) as hands:
        compare(f"{name}-{size}", hands)


@pytest.mark.parametrize("some", SOME, ids=" ".join)
async def test_the_screens_look_as_they_did(demo: Shop, some: list[str]) -> None:
    wrong = []
    async with at(demo, SIZES["80x24"]) as hands:
        at_first = hands.app.said
        for name in some:
            try:
                await take(hands, SCREENS[name])
                await compare_at_both_sizes(name, hands)
            except AssertionError as told:
                wrong.append(f"{name}: {told}")
            hands.app.said = at_first
            await hands.home()
    assert not wrong, "\n\n".join(wrong)


@pytest.mark.parametrize("name", SMALL)
async def test_smaller_than_it_should_be_it_looks_as_it_did(demo: Shop, name: str) -> None:
    async with at(demo, (60, 20), (BENCH | SCREENS)[name]) as hands:
        compare(f"{name}-60x20", hands)


async def test_without_utf_8_only_ascii_is_drawn(demo: Shop) -> None:
    clock = demo.clock.computer
    assert isinstance(clock, ManualClock)
    async with at_the_bench(demo, clock, (80, 24), demo=True, profile=Profile(0, "ascii")) as hands:
        await hands.read_alarms()
        compare("bench-ascii-80x24", hands)
        assert hands.picture().isascii()
