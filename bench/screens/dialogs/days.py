"""A day by keypad: its figures, or today, or that nobody knows it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from bench.process.parts.zinc_answers import day_of
from bench.process.refusals.refusal import Refusal
from bench.screens.dialogs.choices import date_questions
from bench.screens.dialogs.questions import ask_whole, choose

if TYPE_CHECKING:
    from bench.app import Paintbench


async def ask_day(bench: Paintbench, title: str, start: date | None = None) -> date | None:
    """Ask for day, month and year until there is such a day; None for back.

    start: what Enter takes, today where nobody says.
    """
    figures = date_questions(start or bench.now().date(), "day", "month", "year")
    notes: list[str] = []
    while True:
        typed = await ask_whole(bench, title, figures, notes)
        if typed is None:
            return None
        day, month, year = typed
        found = day_of(year, month, day)
        if not isinstance(found, Refusal):
            return found
        notes = [str(found)]


async def ask_known_day(bench: Paintbench, title: str) -> tuple[date | None] | None:
    """Ask for a day that nobody may know: the day in a tuple, None for back."""
    ways = {"today": "today", "another day": "other", "nobody knows": "unknown"}
    way = await choose(bench, title, ways)
    if way == "other":
        day = await ask_day(bench, title)
        return None if day is None else (day,)
    if way is None:
        return None
    return (bench.now().date() if way == "today" else None,)
