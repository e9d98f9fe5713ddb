"""Pressing a sum's numbers on the keypad, and reading its answer."""

from __future__ import annotations

from collections.abc import Sequence

from bench.screens.dialogs.choices import Choose, Numbers
from bench.screens.sums.answer_page import SumResult
from bench.screens.sums.input_questions import Refused, Solved, follow, usual
from bench.screens.sums.known_values import ShopFacts
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.sums.model import Calculation
from bench.sums.table import CALCULATIONS, GROUPS
from tests.screens.driving import Hands

SUMS: dict[str, Calculation] = {each.title: each for each in CALCULATIONS}
KEYPAD = set("0123456789.+-*/") | {"enter"}


def facts_of(shop: Shop) -> ShopFacts:
    """What a sum knows when no stand is chosen."""
    view = read_bench(shop)
    return ShopFacts(view, view.local(shop.clock.now()))


def usual_answers(sum_: Calculation, facts: ShopFacts) -> list[float | None]:
    """What Enter takes in each line, and the example where it takes nothing."""
    return [usual(asked) for asked in follow(sum_, facts, (), ahead=True).asked]


def place_of(title: str) -> str:
    """The digits of a sum's group and of the sum in it."""
    for group, sums in enumerate(GROUPS.values(), start=1):
        titles = [sum_.title for sum_ in sums]
        if title in titles:
            return f"{group} {titles.index(title) + 1}"
    raise AssertionError(f"no sum {title}")


async def go_to(hands: Hands, title: str) -> None:
    """From the whole bench to a sum's numbers, with the keypad alone."""
    await press(hands, "0 /")
    screen = hands.app.screen
    assert isinstance(screen, Choose)
    await press(hands, str(screen.choices.index("sums of the trade") + 1))
    await press(hands, place_of(title))


def keys_for(text: str) -> str:
    """The keys that type this and take it; nothing is Enter alone."""
    return " ".join([*text, "enter"])


async def reckon(hands: Hands, title: str, typed: Sequence[str]) -> SumResult:
    """Do a sum with the keypad alone; the screen of its answer.

    typed: a text for each line; ``other`` is the last choice, ``=name`` the choice of that name.
    """
    await go_to(hands, title)
    for text in typed:
        screen = hands.app.screen
        assert isinstance(screen, Numbers), f"{text} is one too many\n{hands.picture()}"
        choices = screen.asked[len(screen.answers)].choices
        if text == "other":
            text = str(len(choices))
        elif text.startswith("="):
            text = str(choices.index(text[1:]) + 1)
        await press(hands, keys_for(text))
        assert screen.wrong == "", screen.wrong
    screen = hands.app.screen
    assert isinstance(screen, SumResult), hands.picture()
    return screen


async def press(hands: Hands, keys: str) -> None:
    """Press keys that a keypad has."""
    assert set(keys.split()) <= KEYPAD
    await hands.press(keys)


def answer_of(screen: SumResult) -> Solved:
    """What a sum answered, as it was not refused."""
    assert not isinstance(screen.end, Refused), screen.end.why
    return screen.end


def values(screen: SumResult) -> dict[str, str]:
    """Each figure by its name."""
    answer_of(screen)
    return {each.label: each.value for each in screen.rows}
