"""Putting something new on a stand: what is asked about it, and how it is skipped."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from bench.process.parts.zinc_answers import Galvanised
from bench.shop.core.transaction import Shop
from bench.shop.queries.menu_numbers import route_numbers
from bench.testing import ManualClock
from tests.shop.doing import part

from ..driving import Gone, Hands, Said, at_the_bench

PLACE = "enter enter"
"""One piece, the next free tag."""


def route_and_shape(hands: Hands, route: str, shape: str) -> str:
    """The two figures that choose a route, and the digit of a shape."""
    figures = " ".join(str(route_numbers(hands.app.shop)[route]))
    return f"{figures} {list(hands.app.view.shapes).index(shape) + 1}"


async def placed(hands: Hands, stand: int, route: str = "zinc-new", shape: str = "frame") -> None:
    """A part put on a stand, up to the first question about it."""
    await hands.home()
    await hands.press(f"{stand} + {route_and_shape(hands, route, shape)} {PLACE}")


def zinc(tag: str, *answers: object) -> Callable[[Shop], bool]:
    """Whether this, or nothing, was answered about a part's zinc."""
    return lambda shop: part(shop, tag).zinc == (Galvanised(*answers) if answers else None)  # type: ignore[arg-type]


async def test_a_galvanised_part_is_asked_about_its_zinc_and_steel_is_not(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, 1, "steel-blasted")
        assert part(shop).substrate == "steel"
        await hands.play(("", Gone("its zinc")))
        await placed(hands, 2)
        await hands.play(("", "its zinc"), ("0", Gone("its zinc"), zinc("2")))


async def test_the_day_and_how_it_was_galvanised_are_answered_by_keypad(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, 1)
        await hands.play(
            ("1 1 0 enter enter enter enter enter enter", zinc("1")),
            ("", Said("..galvanised on 2025-06-10, which is to come..")),
        )
        await placed(hands, 2)
        await hands.play(("1 3 1 enter enter enter", "no day 2025-6-31"), ("home",))
        await placed(hands, 3)
        await hands.play(
            (
                "1 7 enter enter enter 2 enter 1 enter enter",
                zinc("3", date(2025, 6, 7), False, True),
            ),
            ("", "passivated, and its route has no sweep-blast"),
            ("3 enter", "zinc: passivated, and its route"),
        )


async def test_what_was_left_open_is_answered_later_and_only_that_is_asked(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, 1)
        await hands.play(("2 2 enter enter enter", zinc("1", None, False)), ("1 / 9",))
        digit = next(row.split()[0] for row in hands.picture().splitlines() if "its zinc" in row)
        await hands.play(
            (f"{digit} 2", "answered: galvanised not known, quenched in water no"),
            ("2 enter 1 enter", zinc("1", None, False, False, True)),
        )


def area(tag: str, m2: float | None) -> Callable[[Shop], bool]:
    """Whether the area of one piece is this."""
    return lambda shop: part(shop, tag).area_m2 == (m2 and pytest.approx(m2, abs=1e-5))


async def test_a_part_whose_shape_has_no_area_is_asked_for_it(
    shop: Shop, clock: ManualClock
) -> None:
    """Pi x 48.3 mm x 2 m is 0.30348 m2: geometry."""
    async with at_the_bench(shop, clock) as hands:
        await placed(hands, 1, "steel-blasted", "plate")
        await hands.play(
            ("", "the area of one piece"), ("0", Gone("the area of one piece"), area("1", None))
        )
        await placed(hands, 2, "zinc-new", "plate")
        await hands.play(("1 0 . 6 enter", area("2", 0.6), "its zinc"))
        await placed(hands, 4, "zinc-new", "plate")
        await hands.play(("1 enter", area("3", None), "its zinc"))
        await placed(hands, 3, "steel-blasted", "post")
        await hands.play(
            ("2 1 enter 4 8 . 3 enter 2 enter enter", area("4", 0.30348)),
            ("", Said("..round tube or rod..")),
        )
