"""Driving the full-screen program as a painter does: keypad keys, and looking at the picture."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from typing import Any

from textual import events
from textual.pilot import Pilot

from bench.app import Paintbench
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.alarm_watch import READ_S
from bench.screens.core.base import BenchScreen
from bench.shop.core.transaction import Shop
from bench.shop.settings.kiosk_limits import ANYTHING, NOTHING
from bench.testing import ManualClock
from tests.conftest import WEDNESDAY as WEDNESDAY

from .on_demand import draw_on_demand
from .stylesheets import read_once

read_once()
draw_on_demand()

NAMES = {"+": "plus", "-": "minus", "*": "asterisk", "/": "slash", ".": "full_stop"}
PATIENCE_S = 60.0
"""How long something may take that is done beside the screen, on a busy computer."""

TURNS_AT_REST = 10
"""So many turns of the event loop without a message: nothing more is coming."""

BETWEEN_PRESSES_S = 0.8
"""Further apart than a double press, and than a held key begins to repeat."""


class Hands:
    """One painter at one terminal."""

    def __init__(self, pilot: Pilot[int], clock: ManualClock) -> None:
        self.pilot, self.clock = pilot, clock

    @property
    def app(self) -> Paintbench:
        app = self.pilot.app
        assert isinstance(app, Paintbench)
        return app

    async def press(self, keys: str) -> None:
        """Keys by the caps, apart by spaces where a name is longer than one: ``1 + enter``."""
        for key in keys.split():
            self.clock.hold(BETWEEN_PRESSES_S)
            self.app.simulate_key(NAMES.get(key, key))
            await self.settled()

    async def scan(self, code: str) -> None:
        """A code and its Enter, all at once, as a scanner sends them."""
        self.clock.hold(BETWEEN_PRESSES_S)
        for sign in code:
            self.app.post_message(events.Key(sign, sign))
        self.app.post_message(events.Key("enter", "\r"))
        await self.settled()

    async def play(self, *rows: Sequence[Look]) -> None:
        """In each row keys, and what is looked for after them; "home" goes back to the bench."""
        for keys, *looks in rows:
            assert isinstance(keys, str)
            await (self.home() if keys == "home" else self.press(keys))
            for look in looks:
                _check(self, look, keys)

    async def read_alarms(self) -> None:
        """What is up has stood long enough to be read."""
        self.clock.hold(READ_S)
        await self.let_pass(seconds=0)

    async def answer(self) -> None:
        """Enter, once the alarms were read."""
        self.clock.hold(READ_S)
        await self.press("enter")

    async def answer_all(self) -> None:
        """As many times as it takes until no alarm is up."""
        while self.app.alarms.known.up:
            await self.answer()

    async def home(self) -> None:
        """The bench as it is at first: its first page, nothing chosen and nothing asked."""
        self.app.go_home()
        assert isinstance(self.app.screen, WholeBench)
        await self.settled()

    async def pick(self, *choices: str) -> None:
        """From the bench through lists: the digit beside each choice, wherever it stands."""
        await self.press("/")
        for choice in choices:
            first = self.picture()
            while not (digits := self._beside(choice)):
                await self.press("9")
                assert self.picture() != first, f"no choice {choice!r} in\n{first}"
            await self.press(" ".join(digits[0]))

    def _beside(self, choice: str) -> list[str]:
        rows = [row.removesuffix("   Enter").split(None, 1) for row in self.picture().splitlines()]
        return [row[0] for row in rows if len(row) == 2 and row[0].isdigit() and row[1] == choice]

    async def settled(self) -> None:
        """Wait until no message is under way and every road of questions stands at a question."""
        quiet = 0
        for turn in range(60_000):
            # Soon it may be a thread that is waited for, which needs time, not turns.
            await asyncio.sleep(0 if turn < 2_000 else 0.001)
            quiet = quiet + 1 if self._at_rest() else 0
            if quiet > TURNS_AT_REST and self.app.holds_keys:
                self.app.call_later(self.app.give_held)  # a hand waits until no other key comes
                quiet = 0
            if quiet > TURNS_AT_REST:
                if not self._only_lines():  # widgets are laid out when nothing else is to be done
                    await self.pilot.pause()
                return
        stack, asking = self.app.screen_stack, getattr(self.app.screen, "asking", False)
        raise AssertionError(f"it never came to rest: {stack}, {asking=}, {self.app.ahead}")

    def _at_rest(self) -> bool:
        screen = self.app.screen
        pumps = [self.app, screen, *screen.walk_children()]
        return (
            screen.is_mounted
            and not self._looking_up()
            and not getattr(screen, "asking", False)
            and not self.app.ahead
            and all(pump.message_queue_size == 0 for pump in pumps)
        )

    def _looking_up(self) -> bool:
        """Whether the palette is still finding what fits."""
        screen, workers = self.app.screen, self.app.workers
        palette = not isinstance(screen, BenchScreen)
        return palette and any(each.node is screen and not each.is_finished for each in workers)

    def _only_lines(self) -> bool:
        """Whether the screen is our canvas and nothing else: no palette, no field to type in."""
        screen = self.app.screen
        return isinstance(screen, BenchScreen) and not screen.TYPES_LETTERS

    async def wait_until(self, what: Callable[[], bool]) -> None:
        """Wait for a condition, not for a time."""
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline:
            if what():
                return
            self.app.call_later(self.app.give_held)  # the clock stands still
            await self.pilot.pause()
        raise AssertionError("it never came to that")

    async def let_pass(self, **span: float) -> None:
        """Time goes by and the bench ticks."""
        self.clock.advance(**span)
        self.app.tick()
        await self.settled()

    def picture(self) -> str:
        """The screen as text."""
        screen = self.app.screen
        if isinstance(screen, BenchScreen) and self._only_lines():
            return "\n".join(row.rstrip() for row in screen.canvas.lines)
        return self.drawn()

    def drawn(self) -> str:
        """The screen as text, as Textual puts it together for a terminal."""
        strips = self.app.screen._compositor.render_strips()
        return "\n".join(row.text.rstrip() for row in strips)

    def said(self) -> str:
        """The last answer, whole."""
        said = self.app.said
        return "" if said is None else getattr(said, "text", str(said))


class Said(str):
    """What the last answer is; ``..`` at an end stands for any words."""

    def is_so(self, hands: Hands) -> bool:
        said = hands.said()
        if self.startswith(".."):
            words = self.removeprefix("..").removesuffix("..")
            return words in said if self.endswith("..") else said.endswith(words)
        return said.startswith(self[:-2]) if self.endswith("..") else said == self


class Gone(str):
    """What is nowhere on the screen."""

    def is_so(self, hands: Hands) -> bool:
        return self not in hands.picture()


Look = str | Callable[[Shop], object]
"""On the screen, however its lines are broken; or an answer; or what has to be so of the shop."""


def _check(hands: Hands, look: Look, keys: str) -> None:
    where = f"after {keys!r}: {hands.said()!r} in\n{hands.picture()}"
    if isinstance(look, Said | Gone):
        assert look.is_so(hands), f"{look!r} {where}"
    elif isinstance(look, str):
        picture = hands.picture()
        assert look in picture or look in " ".join(picture.split()), f"no {look!r} {where}"
    else:
        assert look(hands.app.shop), where


def at_once(job: Callable[[], None]) -> None:
    """A thread that is done before anybody looks."""
    job()


@asynccontextmanager
async def at_the_bench(
    shop: Shop,
    clock: ManualClock,
    size: tuple[int, int] = (80, 24),
    *,
    kiosk: bool = False,
    **more: Any,
) -> AsyncIterator[Hands]:
    """The program on a fake terminal. What it has done in the background is done at once.

    kiosk: one of which root's files say nothing.
    """
    allowed = NOTHING if kiosk else ANYTHING
    app = Paintbench(shop, **{"start": at_once, "allowed": allowed, **more})
    async with app.run_test(size=size) as pilot:
        hands = Hands(pilot, clock)
        await hands.settled()
        yield hands
