"""The road through the sums: a group, a sum, its numbers, its answer, and other numbers again."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from bench.process.parts.part import Part
from bench.screens.dialogs.questions import ask_numbers, choose, choose_text
from bench.screens.sums.answer_page import SumResult
from bench.screens.sums.input_questions import follow, questions_so_far
from bench.screens.sums.known_values import ShopFacts
from bench.sums.model import Calculation
from bench.sums.table import GROUPS

if TYPE_CHECKING:
    from bench.app import Paintbench

TITLE = "Sums of the trade"


async def walk(bench: Paintbench, part: Part | None) -> None:
    """Choose a sum and do it until the painter goes home."""
    notes = ["Figures and reminders, not permission: sheet and local rules decide."]
    group = await choose_text(bench, TITLE, GROUPS, notes)
    if group is None:
        return
    titles = [(each.title, each) for each in GROUPS[group]]
    calculation = await choose(bench, f"{TITLE}: {group}", titles)
    if calculation is not None:
        await solve(bench, calculation, part)


async def solve(bench: Paintbench, calculation: Calculation, part: Part | None) -> None:
    """One sum, again and again with other numbers, until the painter goes home."""
    before: tuple[float | None, ...] = ()
    title = calculation.title[0].upper() + calculation.title[1:]
    while True:
        facts = ShopFacts(bench.view, bench.now(), next_product(part))
        numbers: tuple[float | None, ...] | None = ()
        if follow(calculation, facts, ()).end is None:
            questions = partial(questions_so_far, calculation, facts)
            numbers = await ask_numbers(bench, title, questions, calculation.notes, before)
        if numbers is None:
            return
        course = follow(calculation, facts, numbers)
        assert course.end is not None, "the numbers are asked until the road has ended"
        result = SumResult(calculation, course.asked, numbers, course.end, facts)
        if not await bench.push_screen_wait(result):
            return
        before = numbers


def next_product(part: Part | None) -> str:
    """The product of a part's next coat."""
    if part is None:
        return ""
    ahead = (record for record in part.steps if record.status in ("todo", "in hand"))
    return next((each.step.product for each in ahead if each.step.kind == "coat"), "")
