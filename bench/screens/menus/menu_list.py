"""Every action that concerns no single stand: its menu, its text, its letter, what it begins."""

from __future__ import annotations

import os
from functools import partial
from typing import TYPE_CHECKING

from bench.process.parts.film_thickness import coat_to_judge
from bench.process.refusals.refusal import Refusal
from bench.records.forms import write_calendar
from bench.screens.bench.far_view import FarView
from bench.screens.core.menu_action import Action, menu, page
from bench.screens.data.backups import BackupsPage
from bench.screens.data.clock_wrong import ClockWrong
from bench.screens.dialogs.pin import set_pin
from bench.screens.parts import part_flows
from bench.screens.parts.jobs import list_jobs
from bench.screens.parts.log import JournalPage
from bench.screens.parts.search import FindPart
from bench.screens.plan.plan_page import PlanPage
from bench.screens.setup import data_sheets
from bench.screens.setup.conditions import ConditionsPage
from bench.screens.setup.equipment_and_notes import equipment_and_notes
from bench.screens.setup.forecast import forecast
from bench.screens.setup.holidays import holidays
from bench.screens.setup.instruments import instruments
from bench.screens.setup.lookahead import TonightPage
from bench.screens.setup.painters import hand_over, next_painter, painters
from bench.screens.setup.settings import settings
from bench.screens.setup.spray_helper import SprayHelper
from bench.screens.stock.pots import pots_and_guns
from bench.screens.stock.quote import ask_quote
from bench.screens.stock.tins import TinsPage
from bench.settings import sheets_folder
from bench.shop.core.transaction import Outcome
from bench.shop.data.opening import data_file
from bench.shop.data.output_files import ProtectedFiles
from bench.shop.queries.lookahead import upcoming

if TYPE_CHECKING:
    from bench.app import Paintbench

SHOP = "The shop: no stand is chosen"
"""What concerns no single stand."""

SET_UP = "Set-up"
"""What is set once and rarely changed."""

LOOK_BACK = "Find a part, the log"
"""What was, and what is ahead."""

PARTS = "find a part, on the bench or long gone"
CALENDAR = "a calendar for the phone: opens, closes, bin by"


async def open_menu(bench: Paintbench, group: str) -> None:
    """Show a menu, by its title: what stands in it just now."""
    await menu(bench, group, [action for action in ACTIONS if action.group == group])


def _painters(bench: Paintbench) -> str:
    return f"painters: sign in (now {bench.painter}), hand-over"


async def _sums(bench: Paintbench) -> None:
    """The sums of the trade; the chosen part's next product is what Enter takes."""
    from bench.screens.sums.sum_menu import walk  # not before somebody asks for one

    await walk(bench, bench.chosen_part)


async def _thickness(bench: Paintbench) -> None:
    """Say how thick the chosen part's last coat came out."""
    if (part := bench.chosen_part) is not None:
        await part_flows.how_thick(bench, part)


def _has_a_coat_to_judge(bench: Paintbench) -> bool:
    part = bench.chosen_part
    return part is not None and not isinstance(coat_to_judge(part), Refusal)


async def _leave(bench: Paintbench) -> None:
    """The demo ends with the program; a kiosk comes back with the shop's own bench."""
    bench.exit(0)


async def _write_calendar(bench: Paintbench) -> None:
    """What is ahead, into the folder beside the data."""
    events = upcoming(bench.shop)
    if isinstance(events, Refusal):
        bench.tell(events)
        return
    data = data_file(bench.shop)
    file = sheets_folder(data, os.environ) / "bench.ics"
    protected = ProtectedFiles(data, bench.view.house.second_place)
    refused = write_calendar(file, events, protected)
    bench.tell(refused or Outcome(f"{len(events.rings)} hours written into {file}"))


ACTIONS = (
    Action(_painters, painters, SHOP),
    Action("the air: how it went, write a reading", page(ConditionsPage), SHOP, "a", "the air"),
    Action("pots, guns and tins", pots_and_guns, SHOP, "p", "pots, guns, tins"),
    Action("sums of the trade", _sums, SHOP, "s"),
    Action("shop closed: what you will miss", page(TonightPage), SHOP, "n", "shop closed"),
    Action("equipment and notes", equipment_and_notes, SHOP, "e", "equipment, notes"),
    Action("find a part, the log", partial(open_menu, group=LOOK_BACK), SHOP),
    Action("set-up", partial(open_menu, group=SET_UP), SHOP),
    Action("spray helper: set-up, faces, next pass", page(SprayHelper), SHOP, "g", "spray helper"),
    Action("the plan: what when, by whom", page(PlanPage), SHOP, "u", "the plan"),
    Action("tonight's temperature, and the week's", forecast, SET_UP),
    Action("holidays: days the shop is closed", holidays, SET_UP),
    Action("data sheets: products", data_sheets.products, SET_UP, "l", "data sheets"),
    Action("the routes and their steps", data_sheets.routes, SET_UP, "o", "the routes"),
    Action("settings: hours, masks, cup, probes, bell", settings, SET_UP),
    Action("a PIN that signs overrides", set_pin, SET_UP),
    Action("the clock: say what time it is", page(ClockWrong), SET_UP, "c", "the clock"),
    Action("leave the demo", _leave, SET_UP, when=lambda bench: bench.demo),
    Action(
        "backups: where and how old",
        page(BackupsPage),
        SET_UP,
        when=lambda bench: not bench.demo,
    ),
    Action("instruments: calibration and checks", instruments, SET_UP),
    Action("the chosen part's last coat: thin or heavy", _thickness, when=_has_a_coat_to_judge),
    Action("next painter", next_painter, letter="w"),
    Action("write a reading", part_flows.take_reading, letter="r"),
    Action("tins", page(TinsPage), letter="t"),
    Action(PARTS, page(FindPart), LOOK_BACK, "f", "find a part"),
    Action("the log: look back, undo, correct", page(JournalPage), LOOK_BACK, "j", "the log"),
    Action(CALENDAR, _write_calendar, LOOK_BACK, when=lambda bench: not bench.kiosk),
    Action("jobs: how far, promised, hours and cost", list_jobs, LOOK_BACK, "d", "jobs"),
    Action("a quote: paint, tins and hours before the work", ask_quote, LOOK_BACK),
    Action("hand-over", hand_over, letter="h"),
    Action("far view", page(FarView), letter="v"),
)
"""In the order of the palette; within a menu that of its digits.

A demo is left, and not backed up; a kiosk writes no file, for nobody could fetch it.
"""

BY_LETTER = {action.letter: action for action in ACTIONS if action.letter}
