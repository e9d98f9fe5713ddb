"""Pictures of the sums at two sizes, kept as text beside the others of the screens."""

from __future__ import annotations

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.testing import ManualClock
from tests.screens.driving import at_the_bench
from tests.screens.pictures import compare_at_both_sizes

SCREENS = {
    "sum-groups": "s",
    "sum-list": "s 1",
    "sum-numbers": "s 3 1",
    "sum-choices": "s 5 1",
    "sum-round": "s 1 2 3 enter enter 2 5 0 enter enter",
    "sum-pour-too-many": "s 1 5 1 enter 4 0 0 enter 1 3 0 enter 6 0 0 enter",
    "sum-litres": "s 2 2 4 enter 7 . 5 enter enter enter enter enter enter enter enter enter enter",
    "sum-dew-point": "s 3 1 enter enter 8 8 enter 1 3 enter",
    "sum-readings": "s 6 5 1 enter enter enter enter enter enter 6 2 enter 5 8 enter 6 5 enter enter",
    "sum-voc": "s 7 1 enter 4 enter 4 2 0 enter 1 enter 3 8 0 enter enter enter",
    "sum-clear": "s 7 3 1 2 0 enter 2 4 0 0 enter enter 3 enter",
    "sum-refused": "s 5 1 2 enter 1 enter 1 0 enter",
}


@pytest.mark.parametrize("name", SCREENS)
async def test_the_sums_look_as_they_did(shop: Shop, clock: ManualClock, name: str) -> None:
    readings.take_reading(shop, "Kit", air_c=18.5, rh_pct=55, metal_c=17.5)
    async with at_the_bench(shop, clock) as hands:
        await hands.press(SCREENS[name])
        await compare_at_both_sizes(name, hands)
        assert ".." not in hands.picture()
