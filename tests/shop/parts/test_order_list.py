"""A list of parts placed: all of it or nothing, and each part with an entry of its own."""

from __future__ import annotations

import pytest

from bench.process.parts.order_list import OrderList, read_orders
from bench.shop.core.transaction import Shop
from bench.shop.corrections.undo import undo
from bench.shop.data.opening import check
from bench.shop.parts import placement
from bench.shop.parts.order_list import place_orders
from bench.shop.queries.log import log_page

from ..doing import done, part, refused, state, told

pytestmark = pytest.mark.sqlite


def orders(*rows: str) -> OrderList:
    found = read_orders("\n".join(("name,count,job,route,shape,area m2,stand", *rows)))
    assert isinstance(found, OrderList), found
    return found


def test_a_list_is_placed_whole_or_not_at_all(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    before = state(shop)
    wrong = orders(
        "Rail,2,Gate,zinc-new,frame,,2", "Clip,0,Gate,zink,bracket,0,1", "A,x,,zinc-new,b,,"
    )
    first = refused(place_orders(shop, "Kit", wrong))
    assert [each.rule for each in (first, *first.also)] == [
        "line 3: stand 1 is occupied",
        "line 3: no route 'zink'",
        "line 3: a lot of 0",
        "line 3: an area of 0 m2",
        "line 4: count 'x' is no number",
        "line 4: no shape 'b'",
    ]

    right = orders(*["Clip,40,Gate,zinc-new,bracket,0.03,"] * 5, "Rail,1,Gate,zinc-new,frame,,4")
    dry = done(place_orders(shop, "Kit", right, dry_run=True))
    assert dry.text == "6 parts would be placed"
    assert state(shop) == before

    placed = done(place_orders(shop, "Kit", right))
    assert placed.notes == dry.notes
    assert placed.notes[-1] == "no stand is free for 1 part: move them to one later"
    assert [part(shop, tag).stand for tag in "234567"] == [2, 3, 5, 6, None, 4]
    assert (part(shop, "2").area_m2, part(shop, "2").job, part(shop, "7").count) == (
        0.03,
        "Gate",
        1,
    )
    assert [line.tag for line in log_page(shop, 6)] == list("765432")
    assert told(shop) == state(shop)
    assert check(shop).faults == ()
    for _ in range(6):
        done(undo(shop, "Mo"))
    assert state(shop) == before
