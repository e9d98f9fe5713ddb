"""Two opinions on the stand's page, by keypad alone; and what a figure rests on, in words."""

from __future__ import annotations

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.stock import pots
from bench.testing import ManualClock

from ..driving import Gone, Said, at_the_bench


def ok(answer: Outcome | Refusal) -> None:
    assert isinstance(answer, Outcome), answer


@pytest.fixture
def primed(shop: Shop, clock: ManualClock) -> Shop:
    """A bracket with epoxy on: 16 h at 20 C, 24 h at 10 C (source seen)."""
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=17.5))
    ok(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    ok(pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=300)))
    ok(steps.begin(shop, 1, "Kit"))
    ok(steps.finish(shop, 1, "Kit", all_faces=True))
    return shop


def dry(shop: Shop, clock: ManualClock) -> None:
    opens = bench_view.read_bench(shop).state(1, clock.now()).opens.at
    assert opens is not None
    clock.set(opens)


async def test_the_page_says_what_its_hours_rest_on(primed: Shop, clock: ManualClock) -> None:
    clock.advance(minutes=36)
    async with at_the_bench(primed, clock, (132, 40)) as hands:
        await hands.press("1 enter")
        told = " ".join(row[36:].strip() for row in hands.picture().splitlines())
        assert (
            "~ estimated from surface 17.5 C read 36 min ago, then 11? C nights: "
            "an estimate between two figures of the data sheet"
        ) in " ".join(told.split())


async def test_a_test_of_the_wash_says_what_to_do_where_it_is_not_passed(
    shop: Shop, clock: ManualClock
) -> None:
    ok(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    ok(steps.begin(shop, 1, "Kit"))
    ok(steps.finish(shop, 1, "Kit"))
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        await hands.press("1 enter")
        assert "not passed: filed through to steel: zinc-rich touch-up first" in hands.picture()
        await hands.press("2 1")
        assert "not passed:" not in hands.picture()


async def test_an_old_reading_is_marked_on_the_bench_until_there_is_a_new_one(
    primed: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(primed, clock) as hands:
        assert "opens ~Tue" in hands.picture()
        await hands.let_pass(hours=4, minutes=1)
        assert "opens ~old Tue" in hands.picture()
        await hands.answer_all()
        await hands.press("r 1 7 enter 6 0 enter enter")
        assert "opens ~Tue" in hands.picture()
        assert "~old" not in hands.picture()


async def test_two_opinions_are_seen_and_waiting_wins(primed: Shop, clock: ManualClock) -> None:
    dry(primed, clock)
    async with at_the_bench(primed, clock) as hands:
        await hands.press("1 enter 1")
        said_at = bench_view.read_bench(primed).local(clock.now())
        assert f"Kit: not yet {said_at:%H:%M}, wait until" in hands.picture()
        await hands.play(
            ("2 2", "Mo: passed", "WAIT ---", Said("..written down, but Kit said not yet..")),
            ("2 1", "OPEN"),
        )


async def test_a_passed_test_is_put_back_from_the_page(primed: Shop, clock: ManualClock) -> None:
    dry(primed, clock)
    async with at_the_bench(primed, clock) as hands:
        await hands.play(
            (
                "1 enter 2 2",
                "OPEN",
                "Mo: passed",
                Gone("2 passed (asks who)"),
            ),  # it is passed already
            ("2", "OPEN"),
            ("3", "WAIT ---", Said("..not yet, says Kit, though Mo passed it..")),
        )
