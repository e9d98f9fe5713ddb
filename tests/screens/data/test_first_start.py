"""The first start, before there is a shop."""

from __future__ import annotations

import pytest

from bench.clock import Clock
from bench.process.refusals.refusal import Refusal
from bench.screens.data import first_start
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock

from ..driving import at_the_bench


async def test_while_the_demo_is_made_the_screen_says_so(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[str] = []
    async with at_the_bench(shop, clock) as hands:

        def made(_: Clock) -> Refusal:
            seen.append(hands.picture())
            return Refusal("the demo's data is broken")

        monkeypatch.setattr(first_start, "throwaway_demo", made)
        hands.app.push_screen(first_start.Opening())
        await hands.settled()
        await hands.press("2")
        assert "making the demo .." in seen[0]
        assert "NO: the demo's data is broken" in hands.picture()
