"""Choosing by a number that stays: typed whole, the likeliest by Enter, and back by 0 or /."""

from __future__ import annotations

import pytest

from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.help import Help
from bench.screens.dialogs.numbered import ChooseByNumber, TypedNumber
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement, steps
from bench.testing import ManualClock
from tests.shop.doing import done

from ..driving import Hands, at_the_bench
from ..parts.test_assignment import build_next


@pytest.mark.parametrize(
    ("numbers", "figures", "chosen"),
    [
        ([1, 2, 7], "7", 7),
        ([11, 12, 30], "1", None),
        ([11, 12, 30], "12", 12),
        ([11, 12, 30], "3", None),  # a figure of its own is never done without the second
        ([1, 3, 31], "3", None),
        ([1, 3, 31], "31", 31),
        ([11, 110], "11", None),
        ([11, 110], "110", 110),
        ([11, 12], "9", None),
        ([11, 12], "912", 12),
    ],
)
def test_a_number_is_chosen_once_it_is_typed_whole(
    numbers: list[int], figures: str, chosen: int | None
) -> None:
    typed = TypedNumber()
    *_, last = [typed.typed(figure, numbers) for figure in figures]
    assert last == chosen


def offered(hands: Hands) -> dict[str, str]:
    """What stands beside each number."""
    rows = [row.split(None, 1) for row in hands.picture().splitlines()[:-1]]
    return {row[0]: row[1].removesuffix("   Enter") for row in rows if row and row[0].isdigit()}


async def test_a_products_number_is_the_same_whatever_is_due(
    shop: Shop, clock: ManualClock
) -> None:
    build_next(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("2 *")
        before = offered(hands)
        assert before["17"].startswith("Zinc etch primer 1:1")
        await hands.press("0 1 *")
        assert offered(hands) == before
        await hands.press("enter")
        assert "Mix Zinc etch primer 1:1: what is known?" in hands.picture(), "the likeliest"


async def test_nought_leads_back_until_a_figure_is_typed_and_then_the_slash(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        for keys, legend in (("*", "0 back"), ("* 3", "/ back")):
            await hands.press(keys)
            assert isinstance(hands.app.screen, ChooseByNumber)
            assert legend in hands.picture().splitlines()[-1]
            await hands.press(legend[0])
            assert isinstance(hands.app.screen, WholeBench)
        await hands.press("* 3 - 0")
        assert isinstance(hands.app.screen, WholeBench), "rubbed out, it leads back again"
        await hands.press("* 3 0")
        assert "Activate Two-pack aerosol now?" in hands.picture(), "a figure after another"


async def test_the_same_action_has_the_same_number_whoever_is_on_the_part(
    shop: Shop, clock: ManualClock
) -> None:
    build_next(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 6")
        alone = offered(hands)
        await hands.press("1 1 / 6")
        mine = offered(hands)
        await hands.press("0 w 1 / 6")
        theirs = offered(hands)
    assert alone == {
        "1": "Kit takes it",
        "5": "share the faces between two",
        "6": "write a note",
    }
    assert mine == {
        "2": "Mo helps",
        "3": "hand it to Mo",
        "4": "Kit returns it",
        "5": "share the faces between two",
        "6": "write a note",
    }
    assert theirs == mine | {"3": "Kit hands it to Mo"}


async def test_the_menu_says_first_what_it_is_about(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 5, "Kit", route="zinc-new", shape="bracket", tag="12"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("5 /")
        assert hands.picture().splitlines()[0] == " Stand 5: tag 12 Bracket"
        await hands.press("0")
        assert "0 let it go" in hands.picture().splitlines()[-1]
        await hands.press("0 /")
        assert hands.picture().splitlines()[0] == " The shop: no stand is chosen"
        await hands.press("0 5 enter 0 /")
        assert hands.picture().splitlines()[0] == " The shop: no stand is chosen", "home lets go"


HELPED = [
    ("", "/ *", "behind it:"),
    ("1 enter", "/ *", "all faces"),
    ("*", "*", "number"),
    ("/ 2", "*", "write one"),
    ("r", "*", "plus/minus"),
    ("/ 3 1", ". *", "one came"),
    (".", "*", "undo it"),
    ("1 -", "*", "5 min earlier"),
    ("+", "*", "back to the bench"),
]
"""The way to a screen, the keys that explain it, and what they say of it."""


async def test_the_legend_names_the_keypad_key_that_helps_on_every_kind_of_screen(
    shop: Shop, clock: ManualClock
) -> None:
    build_next(shop)
    done(steps.begin(shop, 1, "Kit"))
    async with at_the_bench(shop, clock) as hands:
        for way, key, explains in HELPED:
            await hands.home()
            hands.app.said = None
            await hands.press(way)
            assert hands.picture().splitlines()[-1].endswith(f"  {key} help"), way
            await hands.press(key)
            assert isinstance(hands.app.screen, Help), way
            assert explains in hands.picture(), way


async def test_what_has_not_happened_is_not_offered_as_earlier(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        assert "- earlier" not in hands.picture()
        await hands.press("+")
        assert "- earlier" in hands.picture()
