"""Ask a painter from a flow: each question is a screen of its own, and its answer comes back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from bench.screens.core.base import BenchScreen
from bench.screens.dialogs.choices import Choose, NextQuestions, NumberQuestion, Numbers, Sure
from bench.screens.dialogs.text_field import TypedLine

if TYPE_CHECKING:
    from bench.app import Paintbench

ChoiceValue = TypeVar("ChoiceValue")


async def choose(
    bench: Paintbench,
    title: str,
    choices: Mapping[str, ChoiceValue] | Iterable[tuple[str, ChoiceValue]],
    notes: Sequence[str] = (),
) -> ChoiceValue | None:
    """Ask for one of the choices, each a text and what it stands for; None for back."""
    pairs = list(choices.items() if isinstance(choices, Mapping) else choices)
    place = await bench.push_screen_wait(Choose(title, [text for text, _ in pairs], notes))
    return None if place is None else pairs[place][1]


async def choose_text(
    bench: Paintbench, title: str, texts: Iterable[str], notes: Sequence[str] = ()
) -> str | None:
    """Ask for one of some texts; None for back."""
    return await choose(bench, title, [(text, text) for text in texts], notes)


async def ask_numbers(
    bench: Paintbench,
    title: str,
    questions: Sequence[NumberQuestion] | NextQuestions,
    notes: Sequence[str] = (),
    before: Sequence[float | None] = (),
) -> tuple[float | None, ...] | None:
    """Ask for one number after the other, as ``Numbers`` does; None for back."""
    return await bench.push_screen_wait(Numbers(title, questions, notes, before))


async def ask_whole(
    bench: Paintbench, title: str, questions: Sequence[NumberQuestion], notes: Sequence[str] = ()
) -> tuple[int, ...] | None:
    """Ask for counts, days or hours, none of them a fraction; None for back."""
    numbers = await ask_numbers(bench, title, questions, notes)
    return None if numbers is None else tuple(int(number or 0) for number in numbers)


async def ask_text(
    bench: Paintbench, title: str, old: str = "", notes: Sequence[str] = ()
) -> str | None:
    """Ask for a line from a keyboard, with ``old`` to change; None for back."""
    return await bench.push_screen_wait(TypedLine(title, old, notes))


async def is_sure(
    bench: Paintbench, title: str, notes: Sequence[str], asked_by: type[Sure] = Sure
) -> bool:
    """Ask for a second, different key; False for no and for back."""
    sure = await bench.push_screen_wait(asked_by(title, notes))
    return bool(sure)


async def show(bench: Paintbench, screen: BenchScreen[None]) -> None:
    """Show a screen that answers nothing, until it is left."""
    await bench.push_screen_wait(screen)
