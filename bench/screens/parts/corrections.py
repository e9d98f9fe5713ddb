"""Correct a fact by keypad: choose it, say what it really was, say why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.actions.correction_rules import CORRECT_REASONS
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import date_words, day_words
from bench.screens.dialogs.choices import NumberQuestion, date_questions
from bench.screens.dialogs.pin import do_signed
from bench.screens.dialogs.questions import ask_numbers, ask_text, ask_whole, choose, choose_text
from bench.shop.clock.clock_fault import EARLIEST
from bench.shop.clock.timekeeping import instant_typed
from bench.shop.core.transaction import Outcome
from bench.shop.corrections.correction import Correction, correct
from bench.shop.corrections.questions import (
    CorrectableFact,
    FiguresQuestion,
    HourQuestion,
    Menu,
    TextQuestion,
)

if TYPE_CHECKING:
    from bench.app import Paintbench

Answered = tuple[Correction, str] | None
"""What it really was, and that in words; None for back."""

STAYS = "The old value stays in the log and the job record, with who changed it and why."


async def correct_one_of(bench: Paintbench, facts: Menu | CorrectableFact, tag: str) -> str:
    """Choose a fact and correct it; answer with the part's tag, which may be another by then."""
    while isinstance(facts, Menu):
        fact = await choose(bench, facts.title, [(fact.label, fact) for fact in facts.facts])
        if fact is None:
            return tag
        facts = fact
    answered = await _ask(bench, facts)
    done = await _why(bench, facts, *answered, tag) if answered is not None else None
    return done.tag if isinstance(done, Outcome) and done.tag else tag


async def _why(
    bench: Paintbench, fact: CorrectableFact, correction: Correction, new: str, tag: str
) -> Outcome | Refusal | None:
    """Ask for the reason, signed where the painter has a PIN, and correct it."""
    notes = [f"was {fact.old}, now {new}"] if new else []
    title = f"{fact.about}: why was it wrong?"
    reason = await choose_text(bench, title, CORRECT_REASONS, [*notes, STAYS])
    if reason is None:
        return None
    return await do_signed(bench, correct, tag, bench.painter, reason, correction)


async def _ask(bench: Paintbench, fact: CorrectableFact) -> Answered:
    question, title = fact.asked, f"{fact.about}: what was it?"
    if isinstance(question, HourQuestion):
        return await _hour(bench, title, question)
    if isinstance(question, FiguresQuestion):
        return await _figures(bench, title, question)
    if isinstance(question, TextQuestion):
        typed = await ask_text(bench, title, question.old, question.notes)
        return None if typed is None else (question.right(typed), typed or "none")
    words = [] if question.choices else ["Nothing else is recorded that it could be."]
    choices = [(text, (correction, text)) for text, correction in question.choices]
    return await choose(bench, title, choices, words)


async def _hour(bench: Paintbench, title: str, question: HourQuestion) -> Answered:
    figures = date_questions(question.old, "hour", "minute", "day", "month", "year")
    numbers = await ask_whole(bench, title, figures, [f"recorded: {date_words(question.old)}"])
    if numbers is None:
        return None
    hour, minute, day, month, year = numbers
    at = instant_typed(day, month, year, hour, minute, bench.view.house.hours.zone, EARLIEST)
    if isinstance(at, Refusal):
        bench.tell(at)
        return None
    return question.right(at), day_words(bench.view.local(at))


async def _figures(bench: Paintbench, title: str, question: FiguresQuestion) -> Answered:
    """One figure in words too; several are too many for a line."""
    figures = [
        NumberQuestion(f.what, f.unit, f.old, must=f.must, empty="not read", whole=f.whole)
        for f in question.figures
    ]
    numbers = await ask_numbers(bench, title, figures)
    if numbers is None:
        return None
    return question.right(numbers), f"{numbers[0]:g}" if len(numbers) == 1 else ""
