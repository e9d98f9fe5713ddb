"""The list of what concerns no single stand, and the short roads behind it."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from bench.process.part import Part
from bench.screens import flows, sheets
from bench.screens import pots as potting
from bench.screens.ahead import TonightPage
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.backups import BackupsPage
from bench.screens.clockwrong import ClockWrong
from bench.screens.conditions import ConditionsPage
from bench.screens.helper import SprayHelper
from bench.screens.holidays import holidays
from bench.screens.lookback import look_back
from bench.screens.painters import painters
from bench.screens.pin import set_pin
from bench.screens.settings import settings
from bench.screens.shared import equipment_and_notes
from bench.screens.tins import TinsPage
from bench.shop import house

if TYPE_CHECKING:
    from bench.app import Paintbench

Roads = Sequence[tuple[str, Callable[[], Coroutine[Any, Any, None]]]]
"""Choices, each with where it leads."""


async def shop_matters(bench: Paintbench) -> None:
    """What concerns no single stand."""
    await _one_of(
        bench,
        "The shop",
        [
            (
                f"painters: who is at the keys (now {bench.at_the_keys}), hand-over",
                lambda: painters(bench),
            ),
            ("the air: how it went, write a reading", lambda: flows.show(bench, ConditionsPage())),
            ("pots, guns and tins", lambda: pots_and_guns(bench)),
            ("sums of the trade", lambda: sums(bench, None)),
            ("what will be missed with nobody in", lambda: flows.show(bench, TonightPage())),
            ("equipment and notes", lambda: equipment_and_notes(bench)),
            ("find a part, the journal", lambda: look_back(bench)),
            ("the shop itself", lambda: the_shop(bench)),
            ("spray helper: set-up, faces, next pass", lambda: flows.show(bench, SprayHelper())),
        ],
    )


async def the_shop(bench: Paintbench) -> None:
    """What is set once and rarely changed."""
    last = ("backups: where and how old", lambda: flows.show(bench, BackupsPage()))
    if bench.demo:
        last = ("leave the demo", lambda: _leave(bench))
    await _one_of(
        bench,
        "The shop itself",
        [
            ("tonight's temperature", lambda: tonight(bench)),
            ("holidays: days nobody is in", lambda: holidays(bench)),
            ("what the tins say: products", lambda: sheets.products(bench)),
            ("the routes and their steps", lambda: sheets.routes(bench)),
            ("settings: hours, masks, cup, probes, bell", lambda: settings(bench)),
            ("a PIN for going against rules", lambda: set_pin(bench)),
            ("the clock: say what time it is", lambda: flows.show(bench, ClockWrong())),
            last,
        ],
    )


async def _leave(bench: Paintbench) -> None:
    """The demo ends with the program; a kiosk comes back with the shop's own bench."""
    bench.exit(0)


async def pots_and_guns(bench: Paintbench) -> None:
    """The tins, every open pot and every loaded gun."""
    tins = ("tins: list, what came, what to buy, costs", lambda: flows.show(bench, TinsPage()))
    roads: list[tuple[str, Callable[[], Coroutine[Any, Any, None]]]] = [tins]
    for pot in bench.view.pots:
        roads.append((f"bin pot {pot.letter} {pot.name}", partial(potting.bin_one, bench, pot)))
    for gun in bench.view.guns:
        text = f"the gun of pot {gun.letter} {gun.name} is flushed"
        roads.append((text, partial(potting.flushed, bench, gun)))
    roads.append(("top up a pot", lambda: potting.top_up(bench)))
    await _one_of(bench, "Pots, guns and tins", roads)


async def _one_of(bench: Paintbench, title: str, roads: Roads) -> None:
    which = await bench.push_screen_wait(Choose(title, [text for text, _ in roads]))
    if which is not None:
        await roads[which][1]()


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


async def sums(bench: Paintbench, part: Part | None) -> None:
    """The sums of the trade; the chosen part's next product is what Enter takes."""
    from bench.screens.sums.walk import walk  # not before somebody asks for one

    await walk(bench, part)
