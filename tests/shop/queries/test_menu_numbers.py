"""A number in a menu belongs to a product or a route for good."""

from __future__ import annotations

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.parts import placement
from bench.shop.queries.menu_numbers import product_numbers, route_numbers, route_placed_last
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_product, set_route
from tests.shop.doing import done


def test_what_comes_later_takes_the_next_number_and_moves_none(shop: Shop) -> None:
    gloss = sheet_text(bench_view.read_bench(shop).products["gloss"])
    before = product_numbers(shop)
    assert sorted(before.values()) == list(range(11, 11 + len(before)))
    newest = max(before.values())
    done(set_product(shop, "Kit", "a-lacquer", gloss))
    done(set_product(shop, "Kit", "gloss", gloss.replace("placeholder", "sheet")))
    assert product_numbers(shop) == {**before, "a-lacquer": newest + 1}, "not by the alphabet"


def test_a_product_that_is_gone_leaves_its_number_free(shop: Shop) -> None:
    gloss = sheet_text(bench_view.read_bench(shop).products["gloss"])
    newest = max(product_numbers(shop).values())
    done(set_product(shop, "Kit", "a-lacquer", gloss))
    done(undo.undo(shop, "Kit"))
    done(set_product(shop, "Kit", "b-lacquer", gloss))
    assert product_numbers(shop)["b-lacquer"] == newest + 2


def test_routes_are_numbered_as_they_were_offered_and_then_as_they_came(shop: Shop) -> None:
    view = bench_view.read_bench(shop)
    before = route_numbers(shop)
    assert list(before) == list(view.routes)
    done(set_route(shop, "Kit", "a-way", sheet_text(view.routes["touch-up"])))
    assert route_numbers(shop) == {**before, "a-way": max(before.values()) + 1}


def test_the_likeliest_route_is_that_of_the_part_that_came_last(shop: Shop) -> None:
    assert route_placed_last(shop) is None
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    assert route_placed_last(shop) == "zinc-new"
