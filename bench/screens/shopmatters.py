"""The list of what concerns no single stand, and the short roads behind it."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from bench.screens import flows, sheets
from bench.screens import pots as potting
from bench.screens.ahead import TonightPage
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.base import BenchScreen
from bench.screens.clockwrong import ClockWrong
from bench.screens.conditions import ConditionsPage
from bench.screens.far import FarView
from bench.screens.find import FindPart
from bench.screens.helper import SprayHelper
from bench.screens.holidays import holidays
from bench.screens.journal import JournalPage
from bench.screens.pin import set_pin
from bench.screens.settings import settings
from bench.screens.tins import TinsPage
from bench.shop import house
from bench.shop.acting import Done

if TYPE_CHECKING:
    from bench.app import Paintbench

Road = Callable[["Paintbench"], Coroutine[Any, Any, None]]
"""Where a choice leads."""


async def shop_matters(bench: Paintbench) -> None:
    """What concerns no single stand."""
    who = ((f"who is at the keys (now {bench.at_the_keys})", at_the_keys),)
    await _one_of(bench, "The shop", (*who, *THE_SHOP))


async def find_or_look_back(bench: Paintbench) -> None:
    """What was."""
    await _one_of(bench, "Find a part, the journal", WHAT_WAS)


async def the_shop(bench: Paintbench) -> None:
    """What is set once and rarely changed."""
    leave = (("leave the demo", _leave),) if bench.demo else ()
    await _one_of(bench, "The shop itself", (*ITSELF, *leave))


def page(screen: type[BenchScreen[None]]) -> Road:
    """A road that only shows a screen."""
    return lambda bench: flows.show(bench, screen())


async def _leave(bench: Paintbench) -> None:
    """The demo ends with the program; a kiosk comes back with the shop's own bench."""
    bench.exit(0)


async def pots_and_guns(bench: Paintbench) -> None:
    """The tins, every open pot and every loaded gun."""
    roads: list[tuple[str, Road]] = [
        ("tins: list, what came, what to buy, costs", page(TinsPage)),
    ]
    for pot in bench.view.pots:
        roads.append((f"bin pot {pot.letter} {pot.name}", partial(potting.bin_one, pot=pot)))
    for gun in bench.view.guns:
        text = f"the gun of pot {gun.letter} {gun.name} is flushed"
        roads.append((text, partial(potting.flushed, gun=gun)))
    roads.append(("top up a pot", potting.top_up))
    await _one_of(bench, "Pots, guns and tins", roads)


async def _one_of(bench: Paintbench, title: str, roads: Sequence[tuple[str, Road]]) -> None:
    which = await bench.push_screen_wait(Choose(title, [text for text, _ in roads]))
    if which is not None:
        await roads[which][1](bench)


async def at_the_keys(bench: Paintbench) -> None:
    """Choose who is at the keys."""
    name = await flows.who(bench, "Who is at the keys?")
    if name:
        bench.at_the_keys = name
        bench.tell(Done(f"{name} is at the keys"))


async def next_painter(bench: Paintbench) -> None:
    """The next of the painters is at the keys."""
    bench.next_painter()


async def tonight(bench: Paintbench) -> None:
    """How cold the shop gets tonight: what the hours ahead are worked out with from now on."""
    hours = bench.view.house.hours
    told = [
        f"The hours ahead are worked out with {hours.night_c:g} C for the nights.",
        "A new figure holds from now on, until it is changed again.",
    ]
    asked = [Asked("coldest in the shop tonight", "C", such_as=hours.night_c)]
    numbers = await bench.push_screen_wait(Numbers("Tonight's temperature", asked, told))
    if numbers is not None:
        night_c = numbers[0]
        bench.do(lambda shop, by: house.set_house(shop, by, night_c=night_c))


async def sums(bench: Paintbench) -> None:
    """The sums of the trade; the chosen part's next product is what Enter takes."""
    from bench.screens.sums.walk import walk  # not before somebody asks for one

    await walk(bench, bench.chosen_part)


THE_SHOP: tuple[tuple[str, Road], ...] = (
    ("the air: how it went, write a reading", page(ConditionsPage)),
    ("pots, guns and tins", pots_and_guns),
    ("sums of the trade", sums),
    ("what will be missed with nobody in", page(TonightPage)),
    ("find a part, the journal", find_or_look_back),
    ("the shop itself", the_shop),
    ("spray helper: set-up, faces, next pass", page(SprayHelper)),
)

WHAT_WAS: tuple[tuple[str, Road], ...] = (
    ("find a part, on the bench or long gone", page(FindPart)),
    ("the journal: look back, undo, put right", page(JournalPage)),
)

ITSELF: tuple[tuple[str, Road], ...] = (
    ("tonight's temperature", tonight),
    ("holidays: days nobody is in", holidays),
    ("what the tins say: products", sheets.products),
    ("the routes and their steps", sheets.routes),
    ("settings: hours, masks, cup, probes, bell", settings),
    ("a PIN for going against rules", set_pin),
    ("the clock: say what time it is", page(ClockWrong)),
)

BY_LETTER: dict[str, tuple[str, Road]] = {
    "w": ("next painter", next_painter),
    "r": ("write a reading", flows.take_reading),
    "a": ("the air", page(ConditionsPage)),
    "p": ("pots, guns, tins", pots_and_guns),
    "t": ("tins", page(TinsPage)),
    "f": ("find a part", page(FindPart)),
    "j": ("the journal", page(JournalPage)),
    "s": ("sums of the trade", sums),
    "n": ("with nobody in", page(TonightPage)),
    "h": ("spray helper", page(SprayHelper)),
    "c": ("the clock", page(ClockWrong)),
    "v": ("far view", page(FarView)),
}
"""Letters beside the keypad, on the whole bench: what the help says of each, and its road."""
