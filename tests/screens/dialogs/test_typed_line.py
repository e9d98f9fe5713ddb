"""A number that is asked for after something was refused: why stays in sight."""

from __future__ import annotations

from bench.process.refusals.refusal import Refusal
from bench.screens.dialogs.choices import NumberQuestion, Numbers
from bench.shop.core.transaction import Outcome, Shop
from bench.testing import ManualClock

from ..driving import Gone, at_the_bench


async def test_a_refusal_is_shown_while_a_number_is_typed_and_other_answers_are_not(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        hands.app.tell(Refusal("too little hardener", "600 ml", "type less base"))
        hands.app.push_screen(Numbers("Mix", [NumberQuestion("base", "ml")]))
        await hands.settled()
        await hands.play(
            ("", "base", "NO: too little hardener (600 ml): type less base"),
            ("5", "5_", "NO: too little hardener"),
        )
        hands.app.tell(Outcome("base mixed"))
        await hands.play(("5", "55_", Gone("NO:"), Gone("base mixed")))
