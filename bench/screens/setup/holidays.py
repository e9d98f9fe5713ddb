"""The days the shop is closed, by keypad."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from bench.process.calendar.holidays import holiday_words, run_of_days
from bench.process.refusals.refusal import Refusal
from bench.screens.core.menu_action import Action, menu
from bench.screens.dialogs.choices import NumberQuestion, date_questions
from bench.screens.dialogs.questions import ask_whole, is_sure
from bench.shop.settings.settings_change import set_settings

if TYPE_CHECKING:
    from bench.app import Paintbench

EVERY_YEAR = ("once", "every year")


async def holidays(bench: Paintbench) -> None:
    """The list of days off: one more, or take one away."""
    notes = ["The shop is closed on these days: let no window open or close then."]
    actions = [Action("another day, or days in a row", _another)]
    for rule in bench.view.house.hours.holidays:
        actions.append(Action(f"not {holiday_words(rule)}", partial(_not, rule=rule)))
    await menu(bench, "Holidays", actions, notes)


async def _another(bench: Paintbench) -> None:
    questions = [
        NumberQuestion("day", "", whole=True),
        *date_questions(bench.now(), "month", "year"),
        NumberQuestion("for how many days", "", start=1.0, whole=True),
        NumberQuestion("once, or every year", "", start=1.0, choices=EVERY_YEAR),
    ]
    numbers = await ask_whole(bench, "Holidays: which day is the shop closed?", questions)
    if numbers is None:
        return
    day, month, year, days, yearly = numbers
    rule = _rule(day, month, year, days, yearly=yearly == 2)
    if isinstance(rule, Refusal):
        bench.tell(rule)
        return
    bench.do(set_settings, bench.painter, holidays=(rule,))


def _rule(day: int, month: int, year: int, days: int, *, yearly: bool) -> str | Refusal:
    try:
        first = date(year, month, day)
        if not yearly:
            return run_of_days(first, days)
    except ValueError as fault:
        return Refusal(f"no such day: {day}.{month}.{year}", str(fault), "day, month, year")
    if days > 1:
        return Refusal(f"{days} days every year", "", "give each of them as a day of its own")
    return f"FREQ=YEARLY;BYMONTH={month};BYMONTHDAY={day}"


async def _not(bench: Paintbench, rule: str) -> None:
    notes = ["Somebody is in again then, as on any other day of the week."]
    if await is_sure(bench, f"No holiday {holiday_words(rule)}?", notes):
        bench.do(set_settings, bench.painter, no_holidays=(rule,))
