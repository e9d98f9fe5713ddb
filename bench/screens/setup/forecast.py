"""The coming nights and days by keypad, each for its own date."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from bench.process.calendar.forecast import DayAhead, coming_days
from bench.process.wording.display_units import quantity
from bench.screens.core.menu_action import Action, menu
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.questions import ask_numbers
from bench.shop.environment.forecast import set_forecast

if TYPE_CHECKING:
    from bench.app import Paintbench

TOLD = (
    "Each counts for its own date, and only where it is stricter than usual:",
    "after a colder night it opens later, on a warmer day it closes sooner.",
)


async def forecast(bench: Paintbench) -> None:
    """The coming days, tonight first: choose one and type its low and its high."""
    days = coming_days(bench.now().date())
    actions = [Action(_words(bench, day), partial(_type, day=day)) for day in days]
    await menu(bench, "Nights and days ahead", actions, TOLD)


def _words(bench: Paintbench, day: date) -> str:
    house = bench.view.house
    low_c, high_c, typed = _known(bench, day)
    low, high = (quantity(temp_c, "C", house.units) for temp_c in (low_c, high_c))
    return f"{day:%a %d %b}: night {low}, day {high}{'' if typed else ' as usual'}"


def _known(bench: Paintbench, day: date) -> tuple[float, float, bool]:
    """The low and the high of a day as they are typed, else as usual; and whether it is typed."""
    hours = bench.view.house.hours
    estimate = hours.forecast(day, bench.now())
    if estimate is not None:
        return estimate.low_c, estimate.high_c, True
    return hours.night_c, hours.day_c, False


async def _type(bench: Paintbench, day: date) -> None:
    low_c, high_c, _ = _known(bench, day)
    questions = [
        NumberQuestion("coldest in the night after it", "C", start=low_c),
        NumberQuestion("warmest by day", "C", start=high_c),
    ]
    numbers = await ask_numbers(bench, f"In the shop on {day:%a %d %b}", questions, TOLD)
    if numbers is not None:
        low_c, high_c = (number or 0.0 for number in numbers)
        bench.do(set_forecast, bench.painter, days=(DayAhead(day, low_c, high_c),))
