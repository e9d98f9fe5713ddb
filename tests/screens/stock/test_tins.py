"""Tins by keypad alone: the list, one that comes, one out of date at the mix, costs and trace.

90 days for an opened isocyanate hardener: a shipped placeholder, common practice, no source.
Prices are invented.
"""

from __future__ import annotations

from datetime import date

import pytest

from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import pots, tins
from bench.shop.stock.tin_list import tins as listed
from bench.testing import ManualClock
from tests.shop.doing import done
from tests.shop.stock.test_tin_usage import gloss_tins

from ..driving import at_the_bench
from .test_mix import open_mix

SIZES = ((80, 24), (132, 40), (60, 20))


async def test_the_tins_are_three_key_presses_from_the_bench(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=84)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1")
        rows = [row.split() for row in hands.picture().splitlines()]
        assert ["Tins:", "3", "listed"] in rows
        assert [
            "2",
            "Two-pack",
            "gloss",
            "2:1,",
            "hardener",
            "open",
            "84",
            "d",
            "500",
            "of",
            "500",
            "ml",
        ] in rows
        assert [
            "tin",
            "2",
            "batch",
            "H-204",
            "good",
            "until",
            "07",
            "Sep",
            "2025?",
            "(6",
            "d)",
        ] in rows


async def test_without_a_tin_the_page_says_what_that_means(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1")
        assert "No tin is listed. + writes one down as it comes." in hands.picture()
        assert "  tin  " not in hands.picture().splitlines()[-1]
        await hands.press("1 9")
        assert "No tin is listed" in hands.picture()


async def test_a_tin_comes_by_figures_alone(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 + 1 8 2")
        assert "A tin came: Two-pack gloss 2:1, hardener" in hands.picture()
        await hands.press("5 0 0 enter 2 enter 3 2 7 enter 2 9 . 5 enter")
        assert "(Enter: it follows later)" in hands.picture()
        await hands.press("4 - 2 0 enter")
        assert hands.said() == (
            "tins 1 to 2, hardener of Two-pack gloss 2:1 came: 500 ml, 4-20, use by 31 Mar 2027"
        )
        assert "2 sealed   500 of 500 ml each" in hands.picture()
        assert "tins 1, 2  batch 4-20  good until 31 Mar 2027" in hands.picture()
    assert [tin.price for tin in listed(shop).tins] == [29.5, 29.5]


async def test_a_batch_number_holds_nothing_up_and_may_have_letters(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 + 1 4 enter enter enter enter enter")
        assert hands.said().endswith("1000 ml, no batch number yet")
        await hands.press("1")
        await hands.press("4 1")
        assert "batch number   _   (Enter: none)" in hands.picture()
        await hands.press("H H - 2 0 + 7 enter")
        assert hands.said().endswith("batch HH-27 (was none)")
        await hands.press("1 4 1 backspace backspace 9 /")
        assert [tin.batch for tin in listed(shop).tins] == ["HH-27"], "left, nothing is changed"


async def test_a_use_by_that_cannot_be_is_refused_where_it_is_typed(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 + 1 4 enter enter 1 3 2 7 enter")
        assert "read '1327'; there is no such month" in hands.picture()
        await hands.press("- - - - 3 1 0 2 2 7 enter")
        assert "that month has 28 days" in hands.picture()
        await hands.press("- - - - - - 2 2 7 enter")
        assert "28 Feb 2027" in hands.picture()


async def test_its_lid_is_lifted_it_is_counted_and_it_is_gone(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 2 1")
        assert hands.said() == "tin 2, hardener of Two-pack gloss 2:1 opened 07:30"
        await hands.press("2")
        assert "open it" not in hands.picture()
        await hands.press("2 4 2 0 enter")
        assert "420 ml left in it (the figures said 500)" in hands.said()
        await hands.press("2 3")
        assert "(Enter: 420, by the figures)" in hands.picture()
        await hands.press("0 enter")
        assert hands.said().endswith(": empty")
        assert "Tins: 2 listed" in hands.picture()


async def test_a_lid_that_was_never_lifted_is_put_right(shop: Shop, clock: ManualClock) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 2 4 5")
        assert hands.said().endswith("not opened yet")
        await hands.press("2 4 3 3 1 enter")
        assert hands.said().endswith("price 31.00 (was not known)")


@pytest.mark.parametrize("size", SIZES)
async def test_more_tins_than_fit_are_turned_and_none_is_cut(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    for number in range(21):
        done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=500, batch=f"E-{number}"))
    seen: set[str] = set()
    async with at_the_bench(shop, clock, size) as hands:
        await hands.press("/ 3 1")
        for _ in range(4):
            seen |= {word for word in hands.picture().split() if word.startswith("E-")}
            await hands.press("enter")
    assert seen == {f"E-{number}" for number in range(21)}


# --- at the mix ----------------------------------------------------------------------------------


async def test_the_mix_says_from_which_tins_before_it_is_poured(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        assert "from tins: base 1 (B-12), hardener 2 (H-204), thinner 3 (T-7)" in hands.picture()
        await hands.press("enter")
        assert hands.said().startswith("pot A: 330 ml")
    assert {tin.number: tin.left_ml for tin in listed(shop).tins} == {1: 800, 2: 400, 3: 970}


async def test_another_tin_is_taken_with_the_point(shop: Shop, clock: ManualClock) -> None:
    gloss_tins(shop)
    done(tins.record_tin(shop, "gloss", "Kit", role="hardener", size_ml=500, batch="H-300"))
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        await hands.press(".")
        assert "hardener 4 (H-300), sealed, 500 of 500 ml" in hands.picture()
        await hands.press("3")
        assert "hardener 4 (H-300)" in hands.picture()
        assert "Mix Two-pack gloss 2:1?" in hands.picture(), "nobody read that tin"
        await hands.press("enter")
        assert "Does your tin say 2:1 base:hardener?" in hands.picture()
        assert "hardener H-300" in hands.picture()
        await hands.press("1")
    assert {tin.number: tin.left_ml for tin in listed(shop).tins}[4] == 400


async def test_without_tins_the_point_says_so_and_the_mix_goes_on(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        assert "tin of" not in hands.picture()
        await hands.press(".")
        assert "no tin of it is listed: mixing goes on without" in hands.picture()
        await hands.press("enter")
        assert hands.said().startswith("pot A: 330 ml")


async def test_a_dead_hardener_is_asked_about_and_its_pot_wears_it(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=214)
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        picture = " ".join(hands.picture().split())
        assert (
            "NO: tin 2, hardener of Two-pack gloss 2:1, is out of date (opened 214 d ago, keeps "
            "90 d? once open)"
        ) in picture
        await hands.press("enter")
        assert "Mix it, reason 1 of 1: why override this?" in hands.picture()
        assert "Cloudy, skinned, gelled or full of crystals" in " ".join(hands.picture().split())
        await hands.press("0")
        assert bench_view.read_bench(shop).pots == (), "back is not a reason"
        await hands.press("enter 2")
        assert "; override: tin 2" in hands.said()
        assert hands.said().endswith("looked at it: clear and thin")
        assert "A Two-pack gloss 2:1 USE by 08:30? OLD TIN" in hands.picture()


async def test_a_can_past_its_use_by_is_asked_about_when_it_is_activated(
    shop: Shop, clock: ManualClock
) -> None:
    old = date(2025, 5, 31)
    done(tins.record_tin(shop, "two-pack-aerosol", "Kit", size_ml=400, use_by=old))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("* 3 0 enter")
        assert "tin 1, Two-pack aerosol, is out of date (its use-by" in hands.picture()
        await hands.press("2")
        assert "; override: tin 1, Two-pack aerosol" in hands.said()


async def test_topping_up_from_a_dead_tin_asks_too(shop: Shop, clock: ManualClock) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=89, hours=23, minutes=30)
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=330)))
    clock.advance(hours=1)
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("pots, guns and tins", "top up a pot")
        await hands.press("1 1 1 6 5 enter 1 enter")
        assert "Top up pot A, reason 1 of 1: why override this?" in hands.picture()
        assert "tin 2, hardener of Two-pack gloss 2:1, is out of date" in hands.picture()
        await hands.press("1")
        assert "; override: tin 2" in hands.said()


# --- what to buy, what it cost, where it went ----------------------------------------------------


async def test_what_to_buy_says_what_cannot_be_reckoned(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-weathered", shape="frame"))
    done(placement.place(shop, 2, "Kit", route="cast-iron", shape="plain"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 *")
        picture = hands.picture()
        assert "Chassis enamel, aerosol: BUY 6667? ml = 17? x 400 ml" in picture
        assert "tag 2: not counted: its area is not known: type it" in " ".join(picture.split())
        await hands.press("0")
        assert "No tin is listed" in hands.picture(), "one screen back"


async def test_costs_turn_by_the_month(shop: Shop, clock: ManualClock) -> None:
    done(tins.record_tin(shop, "gloss", "Kit", role="hardener", size_ml=500, price=25.0))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=330)))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 -")
        assert "Paint and waste in 2025-06" in hands.picture()
        assert "at least: 230 ml without a price" in hands.picture()
        await hands.press("-")
        assert "Paint and waste in 2025-05" in hands.picture()
        assert "Nothing was used." in hands.picture()
        await hands.press("+ +")
        assert "Paint and waste in 2025-06" in hands.picture(), "no month ahead of this one"


async def test_a_batch_is_traced_from_the_list_and_by_its_number(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=330)))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1 2 5")
        assert "Batch H-204" in hands.picture()
        assert "pot A: Two-pack gloss 2:1, mixed 07:30 by Mo" in hands.picture()
        assert "It is on no part." in hands.picture()
        await hands.press("0 . 2 - 7 enter")
        assert "no tin of batch '2-7'" in hands.said()


async def test_amounts_are_shown_in_the_shops_units(shop: Shop, clock: ManualClock) -> None:
    done(set_settings(shop, "Kit", units="US fl oz"))
    gloss_tins(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 3 1")
        assert "16.9 of 16.9 US fl oz" in hands.picture()
