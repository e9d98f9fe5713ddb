"""Every key that a screen's legend or help names does something there, on every screen there is."""

from __future__ import annotations

import importlib
import pkgutil
import re
import shutil
from collections import Counter, deque
from collections.abc import AsyncIterator, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import bench.screens
from bench.process.refusals.refusal import Refusal
from bench.screens.bench.stand_page import StandPage
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.menus.palette import Palette
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock
from tests.conftest import open_copy
from tests.simulation import LONG

from .driving import WEDNESDAY, Hands, at_the_bench
from .pictures import every_screen

FARTHEST = 3
"""Key presses from the bench to any screen there is to look at."""

BEGUN = ("", *"1256")
"""Where the walk begins: the bench with nothing chosen, and with stands to test, to rinse, with
faces to tick, and an empty one."""

FARTHER = (
    "?",  # which every legend ends with
    "0 0",  # a tag to find
    "0 0 4",
    "5 * enter 1 6 0 0 enter",  # what the tin says
    *(
        f"5 * enter 1 6 0 0 enter 1{then}"  # the cup, what was poured past its line, more thinner
        for then in (("", " 1", " 1 +", " +") if LONG else (" 1 +",))
    ),
    "3 +",  # distance and wet film, as a coat begins
    "s 3 3 2 0 enter 6 5 enter",  # the answer of a sum
    "5 - +",  # earlier by nothing
    "r 1 k P a",  # a number with its unit, and the next number
    "r 1 8",
    "r 1 8 enter",
    "l 1 1",  # a sheet
    "/ 6 6 1",  # a PIN
    "/ 6 6 1 2 3 4",
    "1 6 enter 9 5",  # readings of a coat
    "1 6 enter 9 5 6 0 enter 6 k",
    "d 1",  # a job
    "/ 7 5 1 1 enter enter 1",  # a quote
)
"""Screens behind questions and deeds, and what a question shows once something was typed."""

NOT_LOOKED_AT = {
    **dict.fromkeys(
        (
            "Choose",
            "ChooseByNumber",
            "Numbers",
            "Sure",
            "SureAfterEnter",
            "Earlier",
            "PinPad",
            "TypedLine",
            "TagNumber",
        ),
        "asks",
    ),
    "ReadingsPage": "asks",
    **dict.fromkeys(("MixScreen", "SumResult", "QuoteScreen"), "answers"),
    "JobScreen": "two keys away, behind the list",
    "SprayCard": "comes by itself with a coat",
    **dict.fromkeys(("FormPage", "RowPage", "KeepOrChoose", "Rows"), "asks"),
}
"""What nobody opens for itself, so that it may be farther away."""

ELSEWHERE = {
    "Opening": "before there is a bench",
    "Names": "before there is a bench; it says in words what Enter and Escape do",
    "NoData": "where the data cannot be opened: test_data",
    "BackupsPage": "the demo is not kept: test_data",
    "ShareFaces": "with a step in hand by two: test_sharing",
    "RulesInTheWay": "with more than one rule in the way: test_overriding",
    "NoSuchTag": "after a scan of no tag: test_scanner",
    "SinceYouLeft": "with a painter who has left: test_sharing",
    "RowPage": "inside the form of a data sheet: test_data_sheets",
    "Rows": "inside the form of a data sheet: test_data_sheets",
}
"""Screens that this walk does not come to, each with why and where its keys are tried."""

ALIKE = 2 if LONG else 1
"""So many questions of a kind, and pages of stands in one state, are tried key by key."""


NEVER_REFUSED = WholeBench, StandPage
"""Screens whose named keys start work; on others a refusal is the answer to what was typed."""

Place = tuple[str, str]
"""A screen's kind, and what tells it from others of its kind."""

PALETTE: Place = "Palette", ""
"""Its keys are Textual's, and all that it leads to is three keys away without it: test_palette."""


@asynccontextmanager
async def a_copy(file: Path, folder: Path) -> AsyncIterator[Hands]:
    """The bench on a copy of the demo, its alarms answered."""
    shop, clock = copied(file, folder)
    async with at_the_bench(shop, clock, demo=True) as hands:
        await hands.answer_all()
        yield hands
        hands.app.shop.store.close()


def copied(file: Path, folder: Path) -> tuple[Shop, ManualClock]:
    """A copy of the demo as it was, and its clock."""
    clock = ManualClock(WEDNESDAY)
    return Shop(open_copy(Path(shutil.copy(file, folder / "copy.db"))), clock, "demo"), clock


class Walk:
    """Tries the keys of one place after the other, and looks for more places behind them."""

    def __init__(self, file: Path, folder: Path) -> None:
        self.file, self.folder = file, folder
        self.lies: list[str] = []
        self.nearest: dict[str, int] = {}
        self.alike: Counter[Place] = Counter({("WholeBench", ""): ALIKE})
        self._hands: Hands | None = None
        self._copy: AbstractAsyncContextManager[Hands] | None = None
        self._mark = 0
        self._there: tuple[str, BenchScreen[object], str] | None = None

    async def begin_again(self) -> None:
        """A new copy, for the old one was changed; the program goes on, unless it has ended."""
        if self._hands is None or self.hands.app._exit:
            await self.end()
            self._copy = a_copy(self.file, self.folder)
            self._hands = await self._copy.__aenter__()
        else:
            await self.put_back()
        self._mark = self.hands.app.shop.store.change_mark()

    async def put_back(self) -> None:
        """The demo as it was, under the program that is shown, and its first painter signed in."""
        hands = self.hands
        app, counted_s = hands.app, hands.clock.monotonic()
        app.shop.store.close()
        shop, hands.clock = copied(self.file, self.folder)
        hands.clock.hold(counted_s)
        app.use(shop, demo=True)
        app.go_on()
        app.painter, app.said = app.view.painters[0], None
        await hands.home()
        await hands.let_pass(seconds=0)
        await hands.answer_all()

    @property
    def hands(self) -> Hands:
        assert self._hands is not None
        return self._hands

    async def go(self, path: str) -> BenchScreen[object]:
        """From wherever it is to the place at the end of a path."""
        changed = self._hands is None or self.hands.app._exit
        if changed or self.hands.app.shop.store.change_mark() != self._mark:
            await self.begin_again()
        elif self._there is not None and self.is_there(path):
            return self._there[1]
        self.hands.app.said = None  # else any key would change something, taking it away
        await self.hands.home()
        self.hands.clock.hold(5)
        await self.hands.press(path)
        screen = self.hands.app.screen
        assert isinstance(screen, BenchScreen)
        self._there = path, screen, self.hands.picture()
        return screen

    def is_there(self, path: str) -> bool:
        """Whether the place that was gone to last is this one, on top, and looks as it did."""
        there = path, self.hands.app.screen, self.hands.picture()
        return there == self._there and not self.hands.app.screen.asking  # type: ignore[attr-defined]

    async def back(self, screen: BenchScreen[object]) -> None:
        """Close what a key has opened over a screen: most often that is there again as it was."""
        *below, there = self.hands.app.screen_stack or [None]
        if screen in below and isinstance(there, BenchScreen):
            self.hands.clock.hold(5)
            there.dismiss(None)
            await self.hands.settled()

    def place(self, screen: BenchScreen[object]) -> Place:
        """What is there: the screen, and what tells it from others of its kind."""
        if isinstance(screen, StandPage) and screen.placed is not None:
            return "StandPage", screen.placed.state(self.hands.app.now()).word
        kind = type(screen).__name__
        told = str(getattr(screen, "heading", "")) if kind.startswith("Choose") else ""
        return kind, re.sub(r"^(Tag|Stand) [^:]*: ", "", told)

    async def tried(self, path: str, cap: str) -> Place | None:
        """What a key leads to, in the place at the end of a path; None where nothing changes."""
        screen = await self.go(path)
        try:
            return await self.led(screen, cap)
        finally:
            await self.back(screen)

    async def led(self, screen: BenchScreen[object], cap: str) -> Place | None:
        """What a key leads to on a screen."""
        before = self.hands.picture()
        await self.hands.press(cap)
        if self.hands.app._exit:
            return "out of the program", ""
        there = self.hands.app.screen
        if isinstance(there, Palette):
            await self.hands.press("escape")
            await self.hands.pilot.pause()  # its widgets are gone before the next key
            return PALETTE
        assert isinstance(there, BenchScreen)
        if isinstance(self.hands.app.said, Refusal) and isinstance(screen, NEVER_REFUSED):
            return None  # named and then refused, it would invite to what must not begin yet
        changed = there is not screen or self.hands.picture() != before
        return self.place(there) if changed else None

    async def keys_of(self, path: str) -> list[str]:
        """Try every advertised key; the ways to what was found behind them and is not known yet.

        The stands' numbers and the letters beside the keypad are tried with nothing chosen.
        """
        screen = await self.go(path)
        here, found = self.place(screen), []
        tried = path and here[0] == "WholeBench"
        for key in (*screen.keys_now(), *screen.keys_beside()):
            if tried and (key.beside or key.each is WholeBench.choose):
                continue
            leads = {cap: await self.tried(path, cap) for cap in named(key)}
            good = [cap for cap, there in leads.items() if there]
            for cap in set(leads) - set(good):
                # In a row one may be what is chosen already: it does something after another.
                if not good or not await self.tried(f"{path} {good[0]}", cap):
                    self.lies.append(f"{path}: {here}: {cap} {key.word}")
            found += [f"{path} {cap}" for cap in good if self.is_new(leads[cap], path)]
        return found

    def is_new(self, there: Place | None, path: str) -> bool:
        """Whether a place is to be tried key by key; it is noted how far away it is."""
        assert there is not None
        if there == PALETTE:
            return False
        away = len(path.split()) + 1
        self.nearest[there[0]] = min(away, self.nearest.get(there[0], away))
        self.alike[there] += 1
        return self.alike[there] <= (1 if there[1] else ALIKE)

    async def walk(self, beginnings: tuple[str, ...], farthest: int) -> None:
        """Every place that is near enough, each kind once or a few times."""
        waiting = deque(beginnings)
        while waiting:
            path = waiting.popleft()
            here = self.place(await self.go(path))
            away = len(path.split())
            self.nearest[here[0]] = min(away, self.nearest.get(here[0], away))
            if away < farthest:
                waiting.extend(await self.keys_of(path))
            elif not here[0].startswith("Choose"):
                await self.keys_of(path)

    async def end(self) -> None:
        if self._copy is not None:
            await self._copy.__aexit__(None, None, None)


def named(key: KeyWord) -> Iterator[str]:
    """The caps that an advertised key names; of the letters one."""
    digits = key.caps if key.caps[0].isdigit() and "-" in key.shown else key.caps[:1]
    yield from digits if len(key.caps) < 12 else key.caps[:1]


async def test_every_advertised_key_does_something_on_every_screen(
    demo_file: Path, tmp_path: Path
) -> None:
    for module in pkgutil.walk_packages(bench.screens.__path__, "bench.screens."):
        importlib.import_module(module.name)
    walk = Walk(demo_file, tmp_path)
    await walk.walk(BEGUN, FARTHEST)
    near = dict(walk.nearest)
    await walk.walk(FARTHER, 0)
    await walk.end()
    assert not walk.lies, "\n".join(walk.lies)
    assert {kind for kind, keys in near.items() if keys > FARTHEST} <= set(NOT_LOOKED_AT)
    unseen = {each.__name__ for each in every_screen()} - set(walk.nearest) - {"Palette"}
    assert unseen <= set(ELSEWHERE), "a screen that no key leads to"
    assert set(walk.nearest) - set(near) - {"Help"} <= set(NOT_LOOKED_AT), "farther than that"
