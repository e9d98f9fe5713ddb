"""Signing with a PIN, by keypad alone."""

from __future__ import annotations

from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, placement
from bench.testing import ManualClock
from tests.shop.doing import done, part

from ..driving import Hands, at_the_bench


async def gives_a_pin(hands: Hands, figures: str) -> None:
    await hands.pick("set-up", "a PIN that signs overrides")
    await hands.press(f"{figures} enter {figures} enter")


async def test_an_override_asks_for_the_pin_of_who_is_at_the_keys(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    async with at_the_bench(shop, clock) as hands:
        await gives_a_pin(hands, "4 7 1 1")
        assert hands.said() == "Kit has a new PIN"
        await hands.press("1 / 7 enter 1 1 4 7 1")
        assert "PIN * * * ." in hands.picture()
        assert "471" not in hands.picture()
        await hands.press("2 enter")
        assert "wrong PIN of Kit" in hands.said()
        await hands.press("/ 7 enter 1 1 4 7 1 1 enter")
        assert part(shop).current().status == "in hand"  # type: ignore[union-attr]


async def test_two_different_pins_are_none(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("set-up", "a PIN that signs overrides")
        await hands.press("4 7 1 1 enter 4 7 1 2 enter")
        assert hands.said() == "the two PINs are not the same: try again"
        assert hands.app.view.with_pin == frozenset()
