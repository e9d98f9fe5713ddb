"""A quote by keypad, and by when it could be ready."""

from __future__ import annotations

import pytest

from bench.screens.stock import quote
from bench.screens.stock.quote import QuoteScreen
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock
from tests.same_process import SameProcess

from ..driving import Gone, at_the_bench


async def test_when_it_could_be_ready_is_asked_for_by_a_key_and_stands_on_the_quote(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(quote, "PlannerProcess", SameProcess)
    monkeypatch.setattr(SameProcess, "running", 0)
    async with at_the_bench(shop, clock, size=(132, 40)) as hands:
        await hands.press("/ 7 5 1 1 enter enter 1")
        assert isinstance(hands.app.screen, QuoteScreen)
        await hands.play(("", "1 when?", Gone("READY AT THE EARLIEST")))
        await hands.press("1")
        await hands.play(("", "Working it out"))
        for _ in range(3):
            await hands.let_pass(seconds=1)
        await hands.play(("", "READY AT THE EARLIEST, ALL LOTS", "It is in no plan: "))
        assert SameProcess.running == 0
        monkeypatch.setattr(SameProcess, "stays", True)
        await hands.press("1")
        assert SameProcess.running == 1
        await hands.press("0")
        assert SameProcess.running == 0
