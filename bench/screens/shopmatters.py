"""The list of what concerns no single stand, and the short roads behind it."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from functools import cache, partial
from typing import TYPE_CHECKING, Any

from bench.screens import flows, sheets
from bench.screens import pots as potting
from bench.screens.ahead import TonightPage
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.backups import BackupsPage
from bench.screens.base import BenchScreen
from bench.screens.clockwrong import ClockWrong
from bench.screens.conditions import ConditionsPage
from bench.screens.far import FarView
from bench.screens.find import FindPart
from bench.screens.helper import SprayHelper
from bench.screens.holidays import holidays
from bench.screens.journal import JournalPage
from bench.screens.lookback import look_back
from bench.screens.painters import comes, hand_over, painters
from bench.screens.pin import set_pin
from bench.screens.settings import settings
from bench.screens.shared import equipment_and_notes
from bench.screens.tins import TinsPage
from bench.shop import house

if TYPE_CHECKING:
    from bench.app import Paintbench

Road = Callable[["Paintbench"], Coroutine[Any, Any, None]]
"""Where a choice leads."""


async def shop_matters(bench: Paintbench) -> None:
    """What concerns no single stand."""
    await _one_of(bench, "The shop", matters(bench))


def matters(bench: Paintbench) -> tuple[tuple[str, Road], ...]:
    """The list of it."""
    who = f"painters: who is at the keys (now {bench.at_the_keys}), hand-over"
    return ((who, painters), *THE_SHOP)


async def the_shop(bench: Paintbench) -> None:
    """What is set once and rarely changed."""
    await _one_of(bench, "The shop itself", itself(bench))


def itself(bench: Paintbench) -> tuple[tuple[str, Road], ...]:
    """The list of it. A demo is left, and not backed up."""
    return (*ITSELF, ("leave the demo", _leave) if bench.demo else BACKUPS)


@cache
def page(screen: type[BenchScreen[None]]) -> Road:
    """A road that only shows a screen: one road for each, wherever it begins."""
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


async def next_painter(bench: Paintbench) -> None:
    """The next of the painters is at the keys."""
    names = bench.view.painters
    await comes(bench, names[(names.index(bench.at_the_keys) + 1) % len(names)])


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
    ("equipment and notes", equipment_and_notes),
    ("find a part, the journal", look_back),
    ("the shop itself", the_shop),
    ("spray helper: set-up, faces, next pass", page(SprayHelper)),
)

ITSELF: tuple[tuple[str, Road], ...] = (
    ("tonight's temperature", tonight),
    ("holidays: days nobody is in", holidays),
    ("what the tins say: products", sheets.products),
    ("the routes and their steps", sheets.routes),
    ("settings: hours, masks, cup, probes, bell", settings),
    ("a PIN that signs overrides", set_pin),
    ("the clock: say what time it is", page(ClockWrong)),
)

BACKUPS = ("backups: where and how old", page(BackupsPage))

ROADS: dict[str, Road] = {
    "w": next_painter,
    "r": flows.take_reading,
    "a": page(ConditionsPage),
    "p": pots_and_guns,
    "t": page(TinsPage),
    "f": page(FindPart),
    "j": page(JournalPage),
    "s": sums,
    "n": page(TonightPage),
    "e": equipment_and_notes,
    "h": hand_over,
    "g": page(SprayHelper),
    "c": page(ClockWrong),
    "v": page(FarView),
    "l": sheets.products,
    "o": sheets.routes,
}
"""Where each letter beside the keypad leads, on the whole bench."""
