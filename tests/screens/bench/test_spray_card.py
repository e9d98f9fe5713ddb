"""The card at the trigger: time to read it, and when it goes is said."""

from __future__ import annotations

import pytest

from bench.screens.bench.stand_page import StandPage
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock

from ..driving import at_the_bench
from ..invariants import holds
from ..parts.test_assignment import build_next


@pytest.mark.parametrize("size", [(80, 24), (132, 40)])
async def test_the_card_says_when_it_goes_and_stays_till_then(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    build_next(shop)
    async with at_the_bench(shop, clock, size) as hands:
        await hands.press("1 enter +")
        assert "um wet = 12? dry" in hands.picture()
        assert "goes by itself in 120 s" in hands.picture()
        await hands.let_pass(seconds=119)
        assert "goes by itself in 1 s" in hands.picture()
        holds(hands)
        await hands.let_pass(seconds=1)
        assert isinstance(hands.app.screen, StandPage)
