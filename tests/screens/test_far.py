"""The far view: what is read from the doorway."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.clock import ManualClock
from bench.screens.bench import WholeBench
from bench.screens.far import FarView
from bench.shop import parts, steps
from bench.shop.acting import Shop
from bench.shop.house import set_house
from tests.shop.doing import done, refused

from .driving import at_the_bench


def soaking(shop: Shop, clock: ManualClock) -> None:
    """A bracket degreased two days ago, its mordant just brushed on."""
    done(parts.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    for _ in range(2):
        done(steps.begin(shop, 1, "Kit"))
        clock.advance(minutes=10)
        done(steps.finish(shop, 1, "Kit"))
    clock.advance(days=2)
    done(steps.begin(shop, 1, "Kit", override="other"))


@pytest.mark.parametrize("size", [(80, 24), (132, 40)])
async def test_plus_with_no_stand_chosen_shows_the_most_urgent_and_any_key_goes_back(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    soaking(shop, clock)
    async with at_the_bench(shop, clock, size) as hands:
        await hands.press("+")
        assert isinstance(hands.app.screen, FarView)
        rows = hands.app.screen.canvas.lines
        assert (len(rows), {len(row) for row in rows}) == (size[1], {size[0]})
        assert "~~~" in hands.picture()
        await hands.press("1")
        assert isinstance(hands.app.screen, WholeBench)
        assert hands.app.screen.chosen is None, "who pressed it had not read the stands"


async def test_it_comes_by_itself_where_the_shop_wants_that(shop: Shop, clock: ManualClock) -> None:
    answer = done(set_house(shop, "Kit", far_after_min=10))
    assert answer.text == "from now on: the far view after 10 min without a key"
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        clock.advance(minutes=9)
        hands.app.tick()
        await hands.settled()
        assert isinstance(hands.app.screen, WholeBench)
        clock.advance(minutes=2)
        hands.app.tick()
        await hands.settled()
        assert isinstance(hands.app.screen, FarView)


def test_never_is_nought_and_a_day_is_the_most(shop: Shop) -> None:
    told = refused(set_house(shop, "Kit", far_after_min=timedelta(days=2) / timedelta(minutes=1)))
    assert "from 1 min to a day; 0: never" in str(told)
