"""The film of a whole route on zinc. ISO 12944-5, zinc in C3: 80 / 120 / 160 um, from memory."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.sheets.system_film import system_um, system_words, too_much_on_route
from bench.shop.seeds.seed_files import folder, load

SHIPPED = load(folder())


@pytest.mark.parametrize(
    ("key", "um"),
    [
        ("zinc-new", 12 + 20 + 20),  # etch once for mist and build, two aerosol coats
        ("zinc-swept", 50 + 50),  # the stripe coat is on the edges only
        ("zinc-t-wash", 50 + 50),
        ("zinc-bare-spots", 120 + 120),
    ],
)
def test_the_film_of_a_route_is_that_of_its_whole_coats(key: str, um: float) -> None:
    assert system_um(SHIPPED.routes[key], SHIPPED.products) == um


def test_a_route_on_zinc_says_its_film_beside_what_the_standard_asks_for() -> None:
    told = system_words(SHIPPED.routes["zinc-new"], SHIPPED.products)
    assert told.startswith("Film in all 52? um. On zinc in C3, ISO 12944-5 asks for 80 medium, ")
    assert "120 high, 160 very high" in told
    assert "from memory" in told
    typed = {key: replace(p, source="sheet") for key, p in SHIPPED.products.items()}
    assert "52 um" in system_words(SHIPPED.routes["zinc-new"], typed)
    assert system_words(SHIPPED.routes["steel-blasted"], SHIPPED.products) == ""


def test_coats_of_a_product_beyond_its_film_in_all_are_named_and_others_not() -> None:
    route, products = SHIPPED.routes["zinc-new"], SHIPPED.products
    assert all(too_much_on_route(each, products) == () for each in SHIPPED.routes.values())
    build = next(n for n, step in enumerate(route.steps) if step.continues)
    again = replace(route.steps[build], continues=False)
    twice = replace(route, steps=(*route.steps[: build + 1], again, *route.steps[build + 1 :]))
    told = ("Zinc etch primer 1:1: 24? um DFT in all, its maximum is 15? um",)
    assert too_much_on_route(twice, products) == told
