"""The instruments by keypad, their names by keyboard."""

from __future__ import annotations

from datetime import date

from textual.widgets import Input

from bench.shop.core.transaction import Shop
from bench.shop.stock.instruments import instruments
from bench.testing import ManualClock

from ..driving import Gone, Hands, Said, at_the_bench

PLACE = ("set-up", "instruments: calibration and checks")


async def typed(hands: Hands, text: str) -> None:
    hands.app.screen.query_one(Input).value = text
    await hands.press("enter")


async def test_an_instrument_is_added_calibrated_checked_and_retired(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*PLACE)
        await hands.play(("1", "of what kind?"), ("1", "what it is called"))
        await typed(hands, "G1")
        await typed(hands, "0417")
        await hands.play(
            ("2 enter", "G1: calibrated on"),
            ("1", "G1: its next check is due on"),
            ("2 3 1 enter 6 enter enter", "no day 2025-6-31: such as"),
            ("1 5 enter 6 enter enter", Said("instrument added: G1 (film gauge, no. 0417, ..")),
        )
        await hands.let_pass(minutes=60 * 24 * 10)
        await hands.pick(*PLACE)
        await hands.play(
            ("", "G1, film gauge: CHECK IT NOW", "G1: its check was due 2025-06-15"),
            ("1 1 1 8 enter enter enter", "its next check is due on"),
            ("3", Said("instrument calibrated: G1 (..")),
        )
        found = instruments(shop)[0]
        assert (found.number, found.error) == ("0417", 2.0)
        assert (found.calibrated, found.check_by) == (date(2025, 6, 18), None)
        await hands.pick(*PLACE)
        await hands.play(
            ("1 2 2 0 enter 7 enter enter", Said("G1: its next check is due 2025-07-20"))
        )
        await hands.pick(*PLACE)
        await hands.play(("1 3", Said("instrument G1 is gone")))
        await hands.pick(*PLACE)
        await hands.play(("", Gone("G1, film gauge")))
