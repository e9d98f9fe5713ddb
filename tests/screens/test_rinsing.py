"""At the keypad a zone is not rinsed early by one press, and can be wetted again.

10 to 15 min of mordant: common practice, no source.
"""

from __future__ import annotations

from bench.clock import ManualClock
from bench.shop import parts, steps, trouble
from bench.shop.acting import Done, Shop
from bench.shop.sight import look
from tests.shop.doing import read_20c

from .driving import at_the_bench


def wash(shop: Shop) -> None:
    """A bracket on stand 2 under its mordant, wetted just now."""
    assert isinstance(parts.place(shop, 2, "Kit", route="zinc-new", shape="bracket"), Done)
    for _ in range(2):
        assert isinstance(trouble.skip(shop, 2, "Kit", "already done"), Done)
    read_20c(shop)
    assert isinstance(steps.begin(shop, 2, "Kit"), Done)


def word(shop: Shop) -> str:
    return look(shop).state(2, shop.clock.now()).word


async def test_one_press_never_rinses_a_zone_early(shop: Shop, clock: ManualClock) -> None:
    wash(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=4)
        await hands.press("2 enter")
        assert "ALL: 4:00 of 10-15 min, leave it on" in hands.picture()
        assert "+ rinse ALL early" in hands.picture()
        await hands.press("+")
        assert "too early to rinse ALL (4 min of 10-15)" in hands.picture()
        await hands.press("0")
        assert word(shop) == "SOAK", "0 leaves it on"
        await hands.press("1 1")
        assert word(shop) == "TRY IT", "the digit asks as well; 1 is the first reason"


async def test_a_zone_rinsed_early_is_brushed_again_by_its_digit(
    shop: Shop, clock: ManualClock
) -> None:
    wash(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=4)
        await hands.press("2 enter + 1")
        assert "4 brush ALL again" in hands.picture()
        await hands.press("4 0")
        assert word(shop) == "TRY IT"
        await hands.press("4 enter")
        assert word(shop) == "SOAK"
