"""What the tins say, changed on the screen."""

from __future__ import annotations

from textual.widgets import Input

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.testing import ManualClock

from ..driving import Hands, at_the_bench

PRODUCTS = ("set-up", "data sheets: products")


async def choose(hands: Hands, text: str) -> None:
    """The digit beside a text, on whatever page it stands."""
    for _ in range(6):
        rows = [row.split(None, 1) for row in hands.picture().splitlines()]
        digits = [row[0] for row in rows if len(row) == 2 and row[1].startswith(text)]
        if digits:
            await hands.press(" ".join(digits[0]))
            return
        await hands.press("9")
    raise AssertionError(f"no {text!r} in\n{hands.picture()}")


async def typed(hands: Hands, text: str) -> None:
    hands.app.screen.query_one(Input).value = text
    await hands.press("enter")


async def test_a_products_sheet_is_changed_line_by_line(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*PRODUCTS)
        await choose(hands, "Epoxy primer 4:1 ?")
        await choose(hands, "pot_life")
        assert hands.app.screen.query_one(Input).value == 'pot_life = { "20 C" = "4 h" }'
        await typed(hands, 'pot_life = { "10 C" = "8 h", "20 C" = "5 h" }')
        assert hands.said() == "Epoxy primer 4:1: changed pot_life"
        await choose(hands, "pot_life")
        await typed(hands, "pot_life = five hours")
        assert "not TOML" in hands.said()
        assert 'pot_life = { "10 C" = "8 h", "20 C" = "5 h" }' in hands.picture()
        await hands.press("+")
        await typed(hands, 'induction = "15 min"')
        assert hands.said() == "Epoxy primer 4:1: changed induction"
        await choose(hands, "induction")
        await typed(hands, "")
        assert hands.said() == "Epoxy primer 4:1: changed induction"
        await choose(hands, "volume_solids")
        await typed(hands, 'volume_solids = "5.5 %"')
        assert "volume solids 5.5 %: is that so?" in hands.picture()
        await hands.press("0")
        assert 'volume_solids = "45 %"' in hands.picture()
        await choose(hands, "volume_solids")
        await typed(hands, 'volume_solids = "5.5 %"')
        await hands.press("enter")
        assert hands.said() == "Epoxy primer 4:1: changed volume_solids"
        await choose(hands, "source")
        await hands.press("escape")
        await hands.press("0")
    sheet = bench_view.read_bench(shop).products["epoxy-primer"]
    assert (sheet.pot_life, sheet.induction_s) == (((10.0, 28800.0), (20.0, 18000.0)), 0.0)
    assert check(shop).faults == ()


async def test_a_step_of_a_route_is_changed(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("set-up", "the routes and their steps")
        await choose(hands, "New galvanised")
        await choose(hands, "step 3 Mordant wash")
        await choose(hands, 'most = "15 min"')
        await typed(hands, 'most = "12 min"')
        assert hands.said() == "New galvanised: changed step"
        await choose(hands, 'most = "12 min"')
        await typed(hands, 'most = "5 min"')
        assert "a dwell needs 'least' and 'most'" in hands.said()
    assert bench_view.read_bench(shop).routes["zinc-new"].steps[2].most_s == 720.0
