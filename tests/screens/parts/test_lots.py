"""Lots by keypad alone."""

from __future__ import annotations

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement
from bench.testing import ManualClock

from ..driving import Hands, at_the_bench


async def trouble(hands: Hands, choice: str) -> None:
    """Stand 1, its trouble list, and the choice on whatever page it stands."""
    await hands.press("1 /")
    for _ in range(3):
        rows = [row.split(None, 1) for row in hands.picture().splitlines()]
        digits = [row[0] for row in rows if len(row) == 2 and row[1] == choice]
        if digits:
            await hands.press(digits[0])
            return
        await hands.press("9")
    raise AssertionError(f"no choice {choice!r} in\n{hands.picture()}")


async def test_a_lot_is_split_counted_and_put_together_again(
    shop: Shop, clock: ManualClock
) -> None:
    placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket", count=14)
    async with at_the_bench(shop, clock) as hands:
        await trouble(hands, "split pieces off the lot")
        await hands.press("2 enter 4 enter")
        assert hands.said() == "tag 1 Bracket split by Kit: 12 stay, 2 are tag 1b on stand 4"
        await trouble(hands, "bungs and contact points")
        await hands.press("6 enter enter 2 enter enter")
        assert "bungs 6 in, 0 out; contact points 2, 0 touched up" in hands.said()
        await hands.press("1 enter")
        assert "6 of 6 bungs are still in" in hands.picture()
        await hands.press("0")
        await trouble(hands, "put another lot with it")
        assert "tag 1b" in hands.picture()
        await hands.press("1")
        assert "14 pieces will be tag 1" in hands.picture()
        await hands.press("+ enter")
        assert "14 now, with the worse clock of the two" in hands.said()
    assert bench_view.read_bench(shop).find("1b") is None


async def test_one_piece_cannot_be_split(shop: Shop, clock: ManualClock) -> None:
    placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket")
    async with at_the_bench(shop, clock) as hands:
        await trouble(hands, "split pieces off the lot")
        assert hands.said() == "tag 1 is one piece: only a lot can be split"
        await trouble(hands, "put another lot with it")
        assert "no other lot of that shape" in hands.said()
