"""At the keypad a zone is not rinsed early by one press, and can be wetted again.

10 to 15 min of mordant: common practice, no source.
"""

from __future__ import annotations

import pytest

from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.queries.log import log_page
from bench.testing import ManualClock
from tests.shop.doing import read_20c, state

from ..driving import Said, at_the_bench


def wash(shop: Shop) -> None:
    """A bracket on stand 2 under its mordant, wetted just now."""
    assert isinstance(placement.place(shop, 2, "Kit", route="zinc-new", shape="bracket"), Outcome)
    for _ in range(2):
        assert isinstance(holds_and_rework.skip(shop, 2, "Kit", "already done"), Outcome)
    read_20c(shop)
    assert isinstance(steps.begin(shop, 2, "Kit"), Outcome)


def word(shop: Shop) -> str:
    return read_bench(shop).state(2, shop.clock.now()).word


async def test_one_press_never_rinses_a_zone_early(shop: Shop, clock: ManualClock) -> None:
    wash(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=4)
        await hands.play(
            ("2 enter", "ALL: 4 min 00 of 10-15 min, leave it on", "+ rinse ALL early"),
            ("+", "4 min of 10-15: rinse it anyway?"),
            ("0",),
        )
        assert word(shop) == "SOAK", "0 leaves it on"
        await hands.press("1 1")
        assert word(shop) == "TEST", "the digit asks as well; 1 rinses it anyway"


@pytest.mark.parametrize("size", [(80, 24), (132, 40)])
async def test_rinsed_early_is_one_question_with_two_answers_and_the_painter_signs_one(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    wash(shop)
    async with at_the_bench(shop, clock, size) as hands:
        await hands.let_pass(minutes=4, seconds=50)
        before = state(shop)
        await hands.press("2 +")
        asked = [row.strip() for row in hands.picture().splitlines()]
        assert "4 min of 10-15: rinse it anyway?" in asked, "rounded down"
        assert "tag 1 Bracket: too early to rinse ALL; leave it on, wet, until 07:40." in asked
        choices = [row for row in asked if row[1:4] == "   "]
        assert choices == ["1   rinse it anyway", "2   leave it on"]
        await hands.press("2")
        assert state(shop) == before, "left on, nothing is written"
        assert "leave it on, wet, until 07:40" in hands.said()
        await hands.press("+ 1")
        assert hands.said().endswith(
            "override: too early to rinse ALL (4 min of 10-15): rinsed anyway"
        )
    assert log_page(shop)[-1].painter == "Kit"


async def test_a_minimum_that_passed_under_the_question_needs_no_override(
    shop: Shop, clock: ManualClock
) -> None:
    wash(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=9)
        await hands.press("2 +")
        await hands.let_pass(minutes=2)
        await hands.press("1")
        assert hands.said().endswith("Mordant wash ALL finished 07:41")


async def test_a_cleaner_taken_off_early_is_the_same_question(
    shop: Shop, clock: ManualClock
) -> None:
    """3 to 10 min of alkaline cleaner: common practice, no source."""
    assert isinstance(placement.place(shop, 2, "Kit", route="zinc-new", shape="bracket"), Outcome)
    assert isinstance(holds_and_rework.skip(shop, 2, "Kit", "already done"), Outcome)
    read_20c(shop)
    assert isinstance(steps.begin(shop, 2, "Kit"), Outcome)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=2)
        await hands.play(
            ("2 +", "2 min of 3-10: rinse it anyway?"),
            ("1", Said("..rinsed anyway..")),
        )


async def test_a_zone_rinsed_early_is_brushed_again_by_its_digit(
    shop: Shop, clock: ManualClock
) -> None:
    wash(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=4)
        await hands.press("2 enter + 1")
        assert "4 brush ALL again" in hands.picture()
        await hands.press("4 0")
        assert word(shop) == "TEST"
        await hands.press("4 enter")
        assert word(shop) == "SOAK"
