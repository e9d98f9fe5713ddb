"""Putting something new on a stand: what is asked about it, and how it is skipped."""

from __future__ import annotations

from datetime import date

import pytest

from bench.process.parts.zinc_answers import Galvanised
from bench.shop.core.transaction import Shop
from bench.shop.queries.menu_numbers import route_numbers
from bench.testing import ManualClock
from tests.shop.doing import part

from ..driving import Hands, at_the_bench

PLACE = "enter enter"
"""One piece, the next free tag."""


def route_and_shape(hands: Hands, route: str, shape: str) -> str:
    """The two figures that choose a route, and the digit of a shape."""
    figures = " ".join(str(route_numbers(hands.app.shop)[route]))
    return f"{figures} {list(hands.app.view.shapes).index(shape) + 1}"


async def placed(hands: Hands, route: str = "zinc-new", shape: str = "frame") -> None:
    """A part put on stand 1, up to the first question about it."""
    await hands.press(f"1 + {route_and_shape(hands, route, shape)} {PLACE}")


async def test_a_galvanised_part_is_asked_about_its_zinc_and_one_key_leaves_it(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands)
        assert "its zinc" in hands.picture()
        await hands.press("0")
        assert "its zinc" not in hands.picture()
        assert part(shop).zinc is None


async def test_steel_is_not_asked_about_zinc(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, "steel-blasted")
        assert part(shop).substrate == "steel"
        assert "its zinc" not in hands.picture()


async def test_the_day_and_how_it_was_galvanised_are_answered_by_keypad(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands)
        await hands.press("1 7 enter enter enter")
        await hands.press("2 enter 1 enter enter")
        assert part(shop).zinc == Galvanised(date(2025, 6, 7), False, True)
        assert "passivated, and its route has no sweep-blast" in hands.picture()
        await hands.press("1 enter")
        assert "zinc: passivated, and its route" in hands.picture()


async def test_a_day_to_come_is_refused_at_the_keys(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands)
        await hands.press("1 1 0 enter enter enter enter enter enter")
        assert "galvanised on 2025-06-10, which is to come" in hands.said()
        assert part(shop).zinc is None


async def test_a_day_that_is_none_is_refused_at_the_keys(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands)
        await hands.press("1 3 1 enter enter enter")
        assert "no day 2025-6-31" in hands.said()


async def test_what_was_left_open_is_answered_later_and_only_that_is_asked(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands)
        await hands.press("2 2 enter enter enter")
        assert part(shop).zinc == Galvanised(None, False)
        await hands.press("1 / 9")
        digit = next(row.split()[0] for row in hands.picture().splitlines() if "its zinc" in row)
        await hands.press(f"{digit} 2")
        assert "answered: galvanised not known, quenched in water no" in hands.picture()
        await hands.press("2 enter 1 enter")
        assert part(shop).zinc == Galvanised(None, False, False, True)


async def test_a_part_whose_shape_has_no_area_is_asked_for_it_and_one_key_leaves_it(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, "steel-blasted", "plate")
        assert "the area of one piece" in hands.picture()
        await hands.press("0")
        assert "the area of one piece" not in hands.picture()
        assert part(shop).area_m2 is None


async def test_an_area_is_typed_straight_and_then_the_zinc_is_asked_about(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, "zinc-new", "plate")
        await hands.press("1 0 . 6 enter")
        assert part(shop).area_m2 == 0.6
        assert "its zinc" in hands.picture()


async def test_an_area_is_worked_out_from_the_length_and_the_size_of_a_tube(
    shop: Shop, clock: ManualClock
) -> None:
    """Pi x 48.3 mm x 2 m is 0.30348 m2: geometry."""
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, "steel-blasted", "post")
        await hands.press("2 1 enter 4 8 . 3 enter 2 enter enter")
        assert part(shop).area_m2 == pytest.approx(0.30348, abs=1e-5)
        assert "round tube or rod" in hands.said()
