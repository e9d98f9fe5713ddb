"""Days nobody is in, by keypad alone."""

from __future__ import annotations

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock

from ..driving import at_the_bench

ROAD = ("set-up", "holidays: days the shop is closed")


async def test_a_run_of_days_is_four_numbers_and_goes_again(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROAD)
        await hands.press("1 2 4 enter 1 2 enter enter 9 enter enter")
        assert hands.said() == "from now on: holiday Wed 24 Dec 2025 to Thu 01 Jan 2026"
        await hands.pick(*ROAD)
        await hands.press("2")
        assert "No holiday Wed 24 Dec 2025 to Thu 01 Jan 2026?" in hands.picture()
        await hands.press("+")
        await hands.press("enter")
        assert bench_view.read_bench(shop).house.hours.holidays == ()


async def test_a_day_of_every_year(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROAD)
        await hands.press("1 1 enter 5 enter enter enter 2 enter")
        assert bench_view.read_bench(shop).house.hours.holidays == (
            "FREQ=YEARLY;BYMONTH=5;BYMONTHDAY=1",
        )


async def test_a_day_that_is_not_in_the_calendar_is_refused(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROAD)
        await hands.press("1 3 1 enter 6 enter enter enter enter")
        assert "no such day: 31.6.2025" in hands.said()
        assert bench_view.read_bench(shop).house.hours.holidays == ()
