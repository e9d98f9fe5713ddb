"""Tins by keypad alone: the list, one that comes, one out of date at the mix, costs and trace.

90 days for an opened isocyanate hardener: a shipped placeholder, common practice, no source.
Prices are invented.
"""

from __future__ import annotations

from collections.abc import Callable
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

from ..driving import Gone, Said, at_the_bench
from .test_mix import open_mix

SIZES = ((80, 24), (132, 40), (60, 20))


async def test_the_tins_are_three_key_presses_from_the_bench(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=84)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 3 1", "Tins: 3 listed"),
            ("", "2 Two-pack gloss 2:1, hardener open 84 d 500 of 500 ml"),
            ("", "tin 2 batch H-204 good until 07 Sep 2025? (6 d)"),
        )


async def test_on_a_later_page_zero_leads_one_page_back(shop: Shop, clock: ManualClock) -> None:
    for n in range(9):
        batch = f"B-{n}"
        done(tins.record_tin(shop, "etch-primer", "Kit", role="base", size_ml=1000, batch=batch))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 3 1", "batch B-0", Gone("batch B-8")),
            ("enter", "batch B-8", Gone("batch B-0")),
            ("0", "batch B-0"),
            ("0", Gone("Tins: 9 listed")),
        )


def tins_with(**more: object) -> Callable[[Shop], bool]:
    """Whether the tins that are listed have these values, in their order."""
    return lambda shop: all(
        [getattr(tin, name) for tin in listed(shop).tins] == values for name, values in more.items()
    )


async def test_tins_come_by_figures_alone_and_what_cannot_be_is_refused(
    shop: Shop, clock: ManualClock
) -> None:
    came = "tins 1 to 2, hardener of Two-pack gloss 2:1 came: 500 ml, 4-20, use by 31 Mar 2027"
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 3 1", "No tin is listed. + writes one down as it comes.", Gone("1-8 tin")),
            ("1 9", "No tin is listed"),
            ("home",),
            ("/ 3 1 + 1 4 enter enter 1 3 2 7 enter", "read '1327'; there is no such month"),
            ("- - - - 3 1 0 2 2 7 enter", "that month has 28 days"),
            ("- - - - - - 2 2 7 enter", "28 Feb 2027"),
            ("home",),
            ("/ 3 1 + 1 8 2", "A tin came: Two-pack gloss 2:1, hardener"),
            ("5 0 0 enter 2 enter 3 2 7 enter 2 9 . 5 enter", "(Enter: it follows later)"),
            ("4 - 2 0 enter", Said(came), "2 sealed   500 of 500 ml each"),
            ("+ 1 8 2 /", "tins 1, 2  batch 4-20  good until 31 Mar 2027"),
        )
    assert tins_with(price=[29.5, 29.5])(shop)


async def test_a_batch_number_holds_nothing_up_and_may_have_letters(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 3 1 + 1 4 enter enter enter enter enter", Said("..1000 ml, no batch number yet")),
            ("1 4 1", "batch number   _   (Enter: none)"),
            ("H H - 2 0 + 7 enter", Said("..batch HH-27 (was none)")),
            ("1 4 1 backspace backspace 9 /", tins_with(batch=["HH-27"])),
        )


async def test_its_lid_is_lifted_put_back_counted_priced_and_it_is_gone(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 3 1 2 1", Said("tin 2, hardener of Two-pack gloss 2:1 opened 07:30")),
            ("2", Gone("open it")),
            ("4 5", Said("..not opened yet")),
            ("2 4 3 3 1 enter", Said("..price 31.00 (was not known)")),
            ("2 1 2", Gone("open it")),
            ("2 4 2 0 enter", Said("..420 ml left in it (the figures said 500)..")),
            ("2 3", "(Enter: 420, by the figures)"),
            ("0 enter", Said("..: empty"), "Tins: 2 listed"),
        )


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


def left_ml(shop: Shop) -> dict[int, float]:
    """What is left in each tin, by its number."""
    return {tin.number: tin.left_ml for tin in listed(shop).tins}


async def test_the_mix_says_from_which_tins_before_it_is_poured(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        await hands.play(
            ("9", "from tins: base 1 (B-12), hardener 2 (H-204), thinner 3 (T-7)"),
            ("enter", Said("pot A: 330 ml.."), lambda at: left_ml(at) == {1: 800, 2: 400, 3: 970}),
        )


async def test_another_tin_is_taken_with_the_point(shop: Shop, clock: ManualClock) -> None:
    gloss_tins(shop)
    done(tins.record_tin(shop, "gloss", "Kit", role="hardener", size_ml=500, batch="H-300"))
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        await hands.play(
            (".", "hardener 4 (H-300), sealed, 500 of 500 ml"),
            # Nobody read that tin.
            ("3", "Mix Two-pack gloss 2:1?"),
            ("9", "hardener 4 (H-300)"),
            ("enter", "Does your tin say 2:1 base:hardener?", "hardener H-300"),
            ("1", lambda at: left_ml(at)[4] == 400),
        )


async def test_without_tins_the_point_says_so_and_the_mix_goes_on(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        await hands.play(
            ("", Gone("tin of")),
            (".", "no tin of it is listed: mixing goes on without"),
            ("enter", Said("pot A: 330 ml..")),
        )


async def test_a_dead_hardener_is_asked_about_and_its_pot_wears_it(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=214)
    dead = (
        "NO: tin 2, hardener of Two-pack gloss 2:1, is out of date (opened 214 d ago, keeps 90 d? "
        "once open)"
    )
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        await hands.play(
            ("", dead),
            ("enter", "Mix it, reason 1 of 1: why override this?"),
            ("", "Cloudy, skinned, gelled or full of crystals"),
            ("0", lambda at: not bench_view.read_bench(at).pots),  # back is not a reason
            ("enter 2", Said("..; override: tin 2.."), Said("..looked at it: clear and thin")),
            ("", "A Two-pack gloss 2:1 USE by 08:30? OLD TIN"),
        )


async def test_a_can_past_its_use_by_is_asked_about_when_it_is_activated(
    shop: Shop, clock: ManualClock
) -> None:
    old = date(2025, 5, 31)
    done(tins.record_tin(shop, "two-pack-aerosol", "Kit", size_ml=400, use_by=old))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("* 3 0 enter", "tin 1, Two-pack aerosol, is out of date (its use-by"),
            ("2", Said("..; override: tin 1, Two-pack aerosol..")),
        )


async def test_topping_up_from_a_dead_tin_asks_too(shop: Shop, clock: ManualClock) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=89, hours=23, minutes=30)
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=330)))
    clock.advance(hours=1)
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("pots, guns and tins", "top up a pot")
        await hands.play(
            ("1 1 1 6 5 enter 1 enter", "Top up pot A, reason 1 of 1: why override this?"),
            ("", "tin 2, hardener of Two-pack gloss 2:1, is out of date"),
            ("1", Said("..; override: tin 2..")),
        )


# --- what to buy, what it cost, where it went ----------------------------------------------------


async def test_what_to_buy_says_what_cannot_be_reckoned(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-weathered", shape="frame"))
    done(placement.place(shop, 2, "Kit", route="cast-iron", shape="plain"))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 3 1 *", "Chassis enamel, aerosol: BUY about 17? x 400 ml"),
            ("", "tag 2: not counted: its area is not known: type it"),
            ("0", "No tin is listed"),
        )


async def test_costs_turn_by_the_month_and_a_batch_is_traced_by_tin_and_by_number(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    done(tins.correct_tin(shop, 2, "Kit", price=25.0))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=330)))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 3 1 -", "Paint and waste in 2025-06", "at least: 230 ml without a price"),
            ("-", "Paint and waste in 2025-05", "Nothing was used."),
            ("+ +", "Paint and waste in 2025-06"),  # no month ahead of this one
            ("0 2 5", "Batch H-204", "pot A: Two-pack gloss 2:1, mixed 07:30 by Mo"),
            ("", "It is on no part."),
            ("0 . 2 - 7 enter", Said("..no tin of batch '2-7'..")),
        )


async def test_amounts_are_shown_in_the_shops_units(shop: Shop, clock: ManualClock) -> None:
    done(set_settings(shop, "Kit", units="US fl oz"))
    gloss_tins(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(("/ 3 1", "16.9 of 16.9 US fl oz"))
