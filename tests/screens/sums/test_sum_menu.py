"""The way to the sums and back: keys from the whole bench, refusals, other numbers, home."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.help import Help
from bench.screens.dialogs.choices import Numbers
from bench.screens.sums.answer_page import SumResult
from bench.screens.sums.input_questions import Refused
from bench.settings import Profile
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import placement
from bench.sums.table import GROUPS
from bench.testing import ManualClock
from tests.screens.driving import at_the_bench

from .pressing import SUMS, go_to, keys_for, place_of, reckon


async def test_every_sum_is_three_keys_from_the_bench(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        for group, sums in enumerate(GROUPS.values(), start=1):
            for place, sum_ in enumerate(sums, start=1):
                await hands.press(f"s {group} {place}")
                assert isinstance(hands.app.screen, Numbers)
                assert sum_.title[1:] in hands.picture()
                await hands.press("escape")
                assert isinstance(hands.app.screen, WholeBench)


async def test_the_list_of_the_shop_leads_there_by_keypad(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await go_to(hands, "pot life")
        assert isinstance(hands.app.screen, Numbers)
        assert "Pot life" in hands.picture()
        await hands.press("/")
        assert isinstance(hands.app.screen, WholeBench)


async def test_nought_or_escape_leads_home_from_an_answer(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        for key in ("0", "escape", "/"):
            await reckon(hands, "water in the air", ("20", "65"))
            await hands.press(key)
            assert isinstance(hands.app.screen, WholeBench)


async def test_a_second_enter_does_not_throw_the_answer_away(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await reckon(hands, "water in the air", ("20", "65"))
        await hands.press("enter enter")
        assert hands.app.screen is screen
        assert "Enter" not in hands.picture()


async def test_minus_asks_for_other_numbers_and_keeps_those_that_were_typed(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await reckon(hands, "water in the air", ("20", "65"))
        await hands.play(
            ("-", "(Enter: 20, as before)"),
            ("enter", "(Enter: 65, as before)"),
            ("enter",),
        )
        assert isinstance(hands.app.screen, SumResult)
        await hands.press("- 2 1 enter")
        assert "as before" not in hands.picture(), "what follows a change is asked anew"


REFUSED = [
    (
        "dew point, and is it fit",
        ("other", "20", "120"),
        "humidity 120 %: must be at least 1",
    ),
    (
        "seconds and viscosity",
        ("2", "1", "10"),
        "read 10 s, outside the times it measures; wanted 30",
    ),
    ("wet and dry film", ("other", "1", "60", "0"), "no thinner 0 %: must be over 0"),
    (
        "accept a set of film readings",
        ("other", "12"),
        "ISO 19840 does not judge thinner films",
    ),
    ("paint on zinc", ("118", "", "110", ""), "wanted the zinc measured again, unpainted"),
    ("cross-cut", ("300",), "wants an X-cut (ISO 16276-2) or a pull-off"),
    ("a pour too many", ("other", "4", "1", "1", "1", "0", "0"), "must be over 0"),
    (
        "round to the cup's lines",
        ("other", "4", "1", "1", "2", "0", "1.3", "1.05", "300", "10"),
        "a ratio by weight is never poured by cup lines: use a scale",
    ),
    ("round to the cup's lines", ("=Two-pack gloss 2:1", "30"), "from 10? to 15? %"),
    (
        "air to dilute vapour",
        ("1", "1", "1", "500", "30"),
        "vapour over a quarter of it is held dangerous",
    ),
    ("area of pieces", ("2", "40", "40", "30", "1"), "it must be under half; the wall comes last"),
    (
        "a sheet's time at today's temperature",
        ("other", "1", "10", "10", "20", "24", ""),
        "warmer cannot be slower; are the two swapped?",
    ),
    ("how far a coat or a pot has come", ("other", "1", "20", "16", "", "+1"), "must be over 0"),
]


@pytest.mark.parametrize(("title", "typed", "why"), REFUSED)
async def test_what_cannot_be_is_refused_in_the_sums_own_words(
    title: str, typed: tuple[str, ...], why: str, shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await reckon(hands, title, typed)
        assert isinstance(screen.end, Refused)
        shown = " ".join(hands.picture().split())
        assert f"NO: {screen.end.why}" in shown
        assert why in shown
        assert ".." not in shown
        await hands.press("-")
        assert isinstance(hands.app.screen, Numbers), "the numbers may be put right"


async def test_the_chosen_stands_product_is_what_enter_takes(
    shop: Shop, clock: ManualClock
) -> None:
    placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", name="Frame")
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("1 s 2 4", "Zinc etch primer 1:1)"),
            ("enter enter", "(Enter: 12, placeholder)"),
            ("enter enter enter",),
        )
        assert isinstance(hands.app.screen, SumResult)
        assert "? placeholder figures: the tin's own sheet decides" in hands.picture()


async def test_the_newest_reading_is_what_enter_takes_and_an_old_one_is_called_old(
    shop: Shop, clock: ManualClock
) -> None:
    readings.take_reading(shop, "Kit", air_c=18.5, rh_pct=55, metal_c=17)
    async with at_the_bench(shop, clock) as hands:
        await go_to(hands, "dew point, and is it fit")
        await hands.press("enter")
        assert "(Enter: 18.5, read 07:30)" in hands.picture()
        await hands.press("escape")
        await hands.let_pass(hours=5)
        await go_to(hands, "dew point, and is it fit")
        await hands.play(
            ("enter", "(Enter: 18.5, OLD, read 07:30)"),
            ("enter enter enter", "[ ] FIT TO COAT IN"),
        )


async def test_a_shop_without_a_spray_tool_is_told_so(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        hands.app._view = replace(hands.app.view, tools={})
        await hands.press(f"s {place_of('set-up of a tool')}")
        assert "NO: no tool that sprays among the shop's" in hands.picture()
        await hands.press("0")
        assert isinstance(hands.app.screen, WholeBench)


async def test_help_tells_what_the_keys_do_here(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await reckon(hands, "water in the air", ("20", "65"))
        await hands.press("?")
        assert isinstance(hands.app.screen, Help)
        assert "other numbers" in hands.picture()
        assert "more" not in hands.picture().split("other numbers")[0]


async def test_without_utf_8_the_answers_are_plain_ascii(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock, profile=Profile(0, "ascii")) as hands:
        await reckon(hands, "water in the air", ("20", "65"))
        assert hands.picture().isascii()


@pytest.mark.parametrize("size", [(60, 20), (40, 10), (20, 5), (200, 50)])
async def test_every_size_draws_an_answer(
    size: tuple[int, int], shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock, size) as hands:
        await reckon(hands, "dew point, and is it fit", ("other", "20", "65", "15"))
        rows = hands.picture().splitlines()
        assert len(rows) <= size[1]
        assert max(len(row) for row in rows) <= size[0]


def test_no_sum_is_called_by_a_word_that_means_two_things() -> None:
    """Ambiguous or belonging to other trades: the words that are kept out."""
    out = ("recipe", "formula", "ready", "complete", "workflow", "scan", "batch report", "user")
    told = [text for sum_ in SUMS.values() for text in (sum_.title, *sum_.notes)]
    assert not [text for text in told for word in out if word in text.lower()]
    assert keys_for("") == "enter"
