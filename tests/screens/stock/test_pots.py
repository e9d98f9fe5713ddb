"""Pots, guns and tonight's temperature, by keypad alone."""

from __future__ import annotations

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.pot_facts import PoursOfPot
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.stock import pots
from bench.testing import ManualClock

from ..driving import Hands, at_the_bench


def ok(answer: Outcome | Refusal) -> None:
    assert isinstance(answer, Outcome), answer


def mixed(shop: Shop, product: str = "epoxy-primer") -> None:
    ok(pots.mix(shop, product, "Kit", known=MixStart(need_ml=300)))


def sprayed(shop: Shop, clock: ManualClock) -> None:
    """A bracket with epoxy on from pot A, its gun not flushed."""
    ok(readings.take_reading(shop, "Kit", air_c=20, rh_pct=55, metal_c=20))
    ok(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    mixed(shop)
    ok(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    ok(steps.finish(shop, 1, "Kit", all_faces=True))


async def shop_list(hands: Hands, text: str) -> str:
    """The keys to a choice in the list of pots and guns."""
    await hands.press("/ 3")
    digit = next(row.split()[0] for row in hands.picture().splitlines() if text in row)
    await hands.press("0")
    return f"/ 3 {digit}"


async def test_enter_alone_bins_a_pot_that_nobody_measured(shop: Shop, clock: ManualClock) -> None:
    mixed(shop)
    async with at_the_bench(shop, clock) as hands:
        keys = await shop_list(hands, "bin pot A")
        await hands.press(keys)
        assert "(Enter: not measured)" in hands.picture()
        assert "Leftovers heat up" in hands.picture()
        await hands.press("enter")
        assert hands.said() == "pot A binned"
        assert bench_view.read_bench(shop).pots == ()


async def test_a_pot_off_its_ratio_is_to_bin_with_its_reason_on_the_bench_and_in_the_list(
    shop: Shop, clock: ManualClock
) -> None:
    """4:1: of 240 and 90 ml the hardener is half as much again as 60 ml. Arithmetic."""
    mixed(shop)
    ok(correct(shop, "", "Kit", "misread", PoursOfPot(1, {2: 90.0})))
    off = "50 % too much hardener"
    async with at_the_bench(shop, clock) as hands:
        assert f"BIN       !!!  pot A Epoxy primer 4:1: bin it: {off}" in hands.picture()
        assert f" A Epoxy primer 4:1 BIN: {off}" in hands.picture()
        await hands.press("/ 3")
        assert f"bin pot A Epoxy primer 4:1: {off}" in hands.picture()


async def test_a_pot_is_topped_up_after_its_age_was_shown(shop: Shop, clock: ManualClock) -> None:
    mixed(shop)
    clock.advance(hours=2, minutes=40)
    async with at_the_bench(shop, clock) as hands:
        await hands.press(await shop_list(hands, "top up a pot"))
        assert "pot A Epoxy primer 4:1, 2 h 40 min old of 4 h?" in hands.picture()
        await hands.press("1 1 1 0 0 enter")
        assert "Does your tin say 4:1 base:hardener?" in hands.picture()
        await hands.press("1")
        told = hands.picture()
        assert "base 80 ml" in told
        assert "OLD POT, 2 h 40 min old of 4 h?: the whole mix keeps that end." in told
        await hands.press("0")
        assert bench_view.read_bench(shop).pots[0].total_ml == 300, "nothing before the second key"
        keys = await shop_list(hands, "top up a pot")
        await hands.press(f"{keys} 1 1 1 0 0 enter enter")
        assert "400 ml in all, still bin by 11:30?" in hands.said()


async def test_past_its_life_it_takes_a_reason(shop: Shop, clock: ManualClock) -> None:
    mixed(shop, "gloss")
    clock.advance(hours=3)
    async with at_the_bench(shop, clock) as hands:
        await hands.answer_all()
        keys = await shop_list(hands, "top up a pot")
        await hands.press(f"{keys} 1 1 1 0 0 enter 1 enter")
        assert "Top up pot A, reason 1 of 1: why override this?" in hands.picture()
        assert "pot A is past its life (its life ended 09:30?)" in hands.picture()
        await hands.press("1")
        assert hands.said().endswith("(its life ended 09:30?): the data sheet gives a longer life")


async def test_without_a_pot_there_is_nothing_to_top_up(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press(await shop_list(hands, "top up a pot"))
        assert "no pot is open that was mixed" in hands.said()


async def test_a_loaded_gun_stands_beside_the_pots_and_on_the_list_until_it_is_flushed(
    shop: Shop, clock: ManualClock
) -> None:
    sprayed(shop, clock)
    async with at_the_bench(shop, clock) as hands:
        assert "gun A flush by 08:50?" in hands.picture()
        assert "flush the gun" not in hands.picture()
        await hands.let_pass(minutes=46)
        assert "flush every gun of pot A Epoxy primer 4:1 by 08:50? (14 min)" in hands.picture()
        await hands.let_pass(minutes=20)
        assert "gun A FLUSH IT" in hands.picture()
        assert "NOW, it was due 08:50?" in hands.picture()
        await hands.answer_all()
        await hands.press(await shop_list(hands, "every gun of pot A"))
        assert hands.said() == "every gun of pot A flushed"
        assert "gun" not in hands.picture().replace(hands.said(), "")


async def test_no_gun_is_offered_for_flushing_while_none_is_loaded(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/")
        assert "is flushed" not in hands.picture()


async def test_of_two_loaded_guns_one_is_flushed(shop: Shop, clock: ManualClock) -> None:
    sprayed(shop, clock)
    mixed(shop)
    ok(placement.place(shop, 2, "Kit", route="steel-blasted", shape="bracket"))
    ok(holds_and_rework.skip(shop, 2, "Kit", "already done"))
    ok(holds_and_rework.skip(shop, 2, "Kit", "already done"))
    ok(steps.begin(shop, 2, "Kit"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press(await shop_list(hands, "every gun of pot B Epoxy primer 4:1 is flushed"))
        assert hands.said() == "every gun of pot B flushed"
        assert [gun.letter for gun in bench_view.read_bench(shop).guns] == ["A"]


async def test_a_night_typed_for_one_date_leaves_the_usual_nights(
    shop: Shop, clock: ManualClock
) -> None:
    sprayed(shop, clock)
    before = bench_view.read_bench(shop).state(1, clock.now()).opens.at
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("set-up", "tonight's temperature, and the week's")
        assert "1   Mon 09 Jun: night 11 C, day 18 C as usual" in hands.picture()
        await hands.press("1 + 3 . 5 enter enter")
        assert hands.said() == "forecast: Mon 09 Jun -3.5 to 18 C"
        await hands.pick("set-up", "tonight's temperature, and the week's")
        assert "1   Mon 09 Jun: night -3.5 C, day 18 C" in hands.picture()
        assert "2   Tue 10 Jun: night 11 C, day 18 C as usual" in hands.picture()
    view = bench_view.read_bench(shop)
    after = view.state(1, clock.now()).opens.at
    assert view.house.hours.night_c == 11
    assert before is not None
    assert after is not None
    assert after > before
