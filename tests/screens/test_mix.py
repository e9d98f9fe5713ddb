"""The mix screen by keypad alone: fill lines, the cup, a pour too many, and the pot clock."""

from __future__ import annotations

import pytest

from bench.clock import ManualClock
from bench.shop import parts, readings, sight
from bench.shop.acting import Shop

from .driving import Hands, at_the_bench


def product_key(hands: Hands, key: str) -> str:
    """The digits that choose a product in the list of what is mixed."""
    view = hands.app.view
    mixed = [p.key for p in view.products.values() if p.ratio is not None or p.keeps_a_pot_clock]
    place = mixed.index(key)
    return "9 " * (place // 8) + str(place % 8 + 1)


async def open_mix(hands: Hands, key: str, ml: str) -> None:
    """To the cup, past the question what the tin says."""
    await asked_for(hands, key, f"1 {' '.join(ml)}")


async def asked_for(hands: Hands, key: str, known: str) -> None:
    """The keys of what is known, and yes to the question what the tin says, if it is asked."""
    await hands.press(f"* {product_key(hands, key)} {known} enter")
    if "Does your tin say" in hands.picture():
        await hands.press("1")


async def test_etch_primer_one_to_one(shop: Shop, clock: ManualClock) -> None:
    """Equal parts by volume: 600 + 600 ml. Common practice, no source."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "etch-primer", "1200")
        picture = hands.picture()
        assert "1 base" in picture
        assert "pour 600 ml" in picture
        assert "| 1200 activator" in picture
        assert "| 600 base" in picture
        assert "200 ml more than the 1000 ml cup" in picture
        await hands.press("enter")
        pot = sight.look(shop).pots[0]
        assert (pot.letter, pot.total_ml) == ("A", 1200)


async def test_two_to_one_and_ten_percent(shop: Shop, clock: ManualClock) -> None:
    """200 base, 100 hardener, 10 % of both = 30 ml: cumulative 200, 300, 330. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        picture = hands.picture()
        assert "| 330? thinner" in picture
        assert "| 300 hardener" in picture
        assert "| 200 base" in picture


async def test_a_pour_too_many_in_three_key_presses(shop: Shop, clock: ManualClock) -> None:
    """Planned 400 of base, 420 in the cup at 1:1: new lines 420 and 840. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "etch-primer", "800")
        assert "| 400 base" in hands.picture()
        await hands.press("1 + +")
        picture = hands.picture()
        assert "base is 20 ml past its line" in picture
        assert "| 420 base" in picture
        assert "| 840 activator" in picture
        await hands.press("enter")
        assert sight.look(shop).pots[0].total_ml == pytest.approx(840)


async def test_too_much_hardener_wants_more_base(shop: Shop, clock: ManualClock) -> None:
    """4:1 from 500: 400 + 100; 20 past makes 120, which wants 480 of base: 600 in all. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "500")
        await hands.press("2 + +")
        picture = hands.picture()
        assert "hardener is 20 ml past its line" in picture
        assert "in all 600 ml" in picture
        await hands.press("enter")
        assert sight.look(shop).pots[0].total_ml == pytest.approx(600)


async def test_what_is_to_be_added_for_a_pour_too_many_is_no_pour_to_choose(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        await hands.press("2 + +")
        assert "hardener is 20 ml past its line" in hands.picture()
        await hands.press("4 -")
        assert "hardener is 10 ml past its line" in hands.picture()
        await hands.press("1 +")
        assert "base is 10 ml past its line" in hands.picture()


async def test_too_big_for_the_cup_is_said_plainly(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "etch-primer", "990")
        await hands.press("1 + +")
        assert "a bigger cup" in hands.picture()


async def test_to_the_cups_lines(shop: Shop, clock: ManualClock) -> None:
    """4:1, 310 ml wanted in a cup marked every 10 ml: 350 = 280 + 70 is on the lines. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "310")
        await hands.press("*")
        levels = [line.split("| ")[-1] for line in hands.picture().splitlines() if "-| " in line]
        amounts = [float(level.split()[0]) for level in levels]
        assert all(amount % 10 == 0 for amount in amounts)
        assert amounts[0] >= 310


async def test_a_small_mix_in_a_coarse_cup_is_warned_about(shop: Shop, clock: ManualClock) -> None:
    """5 % of hardener against half a 10-ml mark: 100 ml of it at least. Common practice, no source."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "100")
        assert "half a mark is too much hardener" in hands.picture()
        await hands.press("0")
        await open_mix(hands, "epoxy-primer", "600")
        assert "half a mark" not in hands.picture()


async def test_from_what_is_left_of_each_part(shop: Shop, clock: ManualClock) -> None:
    """4:1 from 340 base and 70 hardener: 280 + 70. From the rule k = least of have / part."""
    async with at_the_bench(shop, clock) as hands:
        await asked_for(hands, "epoxy-primer", "2 3 4 0 enter 7 0")
        assert "| 280 base" in hands.picture()
        assert "| 350 hardener" in hands.picture()


async def test_from_what_is_in_the_cup_already(shop: Shop, clock: ManualClock) -> None:
    """420 of base at 4:1 takes 105 of hardener. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await asked_for(hands, "epoxy-primer", "3 4 2 0")
        assert "is in: 420 ml" in hands.picture()
        assert "pour 105 ml " in hands.picture()
        assert "| 420 base" in hands.picture()
        assert "| 525 hardener" in hands.picture()


async def test_nothing_poured_is_refused_in_words(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "0")
        assert "cannot be worked out" in hands.picture()
        await hands.press("enter")
        assert sight.look(shop).pots == ()


async def test_a_coat_begins_with_its_three_numbers_and_any_key_goes_on(
    shop: Shop, clock: ManualClock
) -> None:
    parts.place(shop, 1, "Kit", route="zinc-new", shape="frame")
    readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=17)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        for _ in range(6):
            await hands.press("/ 2 + 1")
        await hands.press("+")
        picture = hands.picture()
        assert "cm off, Aerosol" in picture
        assert "um wet = 20? dry" in picture
        assert "faces in order: L-in R-in XMEM" in picture
        await hands.press("2")
        assert ">2 " in hands.picture()
