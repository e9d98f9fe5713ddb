"""The mix screen by keypad alone: fill lines, the cup, a pour too many, and the pot clock."""

from __future__ import annotations

from random import Random

import pytest
from sqlmodel import select

from bench.process.stock.cup import Pouring
from bench.process.stock.mixing import cup_figures
from bench.screens.setup.sheet_form import FormPage
from bench.screens.stock.mix import MixScreen
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import placement
from bench.shop.queries.menu_numbers import product_numbers
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.stock import tins
from bench.store.schema.tables import MixRow
from bench.testing import ManualClock
from bench.widgets.digits import big
from tests.process.stock.test_cup import agrees_with_the_trade
from tests.shop.doing import done, in_the_cold

from ..driving import Hands, at_the_bench


def product_key(hands: Hands, key: str) -> str:
    """The two figures that choose a product in the list of what is mixed."""
    return " ".join(str(product_numbers(hands.app.shop)[key]))


async def open_mix(hands: Hands, key: str, ml: str) -> None:
    """To the cup, past the question what the tin says."""
    await asked_for(hands, key, f"1 {' '.join(ml)}")


async def asked_for(hands: Hands, key: str, known: str) -> None:
    """The keys of what is known, and yes to the question what the tin says, if it is asked."""
    await hands.press(f"* {product_key(hands, key)} {known} enter")
    if "Does your tin say" in hands.picture():
        await hands.press("1")


async def test_etch_primer_one_to_one(shop: Shop, clock: ManualClock) -> None:
    """Equal parts by volume: 600 + 600 ml. Common practice, no source."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "etch-primer", "1200")
        picture = hands.picture()
        assert "1 base" in picture
        assert "pour 600 ml" in picture
        assert "| 1200 activator" in picture
        assert "| 600 base" in picture
        assert "200 ml more than the 1000 ml cup" in picture
        await hands.press("enter")
        pot = bench_view.read_bench(shop).pots[0]
        assert (pot.letter, pot.total_ml) == ("A", 1200)


@pytest.mark.parametrize("size", [(80, 24), (132, 40)])
async def test_an_acid_wash_is_water_first_and_no_pot_is_written(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    """By hand: 20 l at 1:1 is 10 + 10 l, at 1:3 a quarter of 20 l, so 15 + 5 l."""
    async with at_the_bench(shop, clock, size=size) as hands:
        await hands.press(f"* {product_key(hands, 'phosphoric-wash')}")
        assert "ready wash wanted" in hands.picture()
        await hands.press("2 0 enter")
        picture = " ".join(hands.picture().split())
        assert "Phosphoric wash: 20 l ready to use" in picture
        assert "1? of water to 1: first 10? l of water, then 10? l of Phosphoric" in picture
        assert "3? of water to 1: first 15? l of water, then 5? l of Phosphoric" in picture
        assert "Acid into water, never water into acid: it boils and spits." in picture
        assert "wear: " in picture
        assert "no pot is recorded" in picture
        assert "10-40? C warm" in picture
        await hands.press("0")
        assert bench_view.read_bench(shop).pots == ()


async def test_too_much_of_a_wash_is_refused(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press(f"* {product_key(hands, 'phosphoric-wash')} 2 0 0 0 enter")
        assert "must be over 0, up to 1000 l" in hands.said()


async def test_two_to_one_and_ten_percent(shop: Shop, clock: ManualClock) -> None:
    """200 base, 100 hardener, 10 % of both = 30 ml: cumulative 200, 300, 330. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        picture = hands.picture()
        assert "| 330? thinner" in picture
        assert "| 300 hardener" in picture
        assert "| 200 base" in picture


async def test_a_pour_too_many_in_three_key_presses(shop: Shop, clock: ManualClock) -> None:
    """Planned 400 of base, 420 in the cup at 1:1: new lines 420 and 840. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "etch-primer", "800")
        assert "| 400 base" in hands.picture()
        await hands.press("1 + +")
        picture = hands.picture()
        assert "base is 20 ml past its line" in picture
        assert "| 420 base" in picture
        assert "| 840 activator" in picture
        await hands.press("enter")
        assert bench_view.read_bench(shop).pots[0].total_ml == pytest.approx(840)


async def test_too_much_hardener_wants_more_base(shop: Shop, clock: ManualClock) -> None:
    """4:1 from 500: 400 + 100; 20 past makes 120, which wants 480 of base: 600 in all. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "500")
        await hands.press("2 + +")
        picture = hands.picture()
        assert "hardener is 20 ml past its line" in picture
        assert "in all 600 ml" in picture
        await hands.press("enter")
        assert bench_view.read_bench(shop).pots[0].total_ml == pytest.approx(600)


async def test_a_part_keeps_its_number_whatever_must_be_poured_of_it(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "gloss", "330")
        await hands.press("2 + +")
        assert "hardener is 20 ml past its line" in hands.picture()
        assert ">2 hardener" in hands.picture()
        await hands.press("4 -")
        assert "hardener is 10 ml past its line" in hands.picture()
        await hands.press("3 +")
        assert ">3 thinner" in hands.picture()
        assert "thinner is 10 ml past its line" in hands.picture()


async def test_too_big_for_the_cup_is_said_plainly(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "etch-primer", "990")
        await hands.press("1 + +")
        assert "NO: 30 ml more than the 1000 ml cup: empty it into a bigger cup" in hands.picture()


async def test_to_the_cups_lines(shop: Shop, clock: ManualClock) -> None:
    """4:1, 310 ml wanted in a cup marked every 10 ml: 350 = 280 + 70 is on the lines. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "310")
        await hands.press("*")
        levels = [line.split("| ")[-1] for line in hands.picture().splitlines() if "-| " in line]
        amounts = [float(level.split()[0]) for level in levels]
        assert all(amount % 10 == 0 for amount in amounts)
        assert amounts[0] >= 310


async def test_a_small_mix_in_a_coarse_cup_is_warned_about(shop: Shop, clock: ManualClock) -> None:
    """5 % of hardener against half a 10-ml mark: 100 ml of it at least. Common practice, no source."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "100")
        assert "half a mark is too much hardener" in hands.picture()
        await hands.press("0 enter")
        await open_mix(hands, "epoxy-primer", "600")
        assert "half a mark" not in hands.picture()


async def test_from_what_is_left_of_each_part(shop: Shop, clock: ManualClock) -> None:
    """4:1 from 340 base and 70 hardener: 280 + 70. From the rule k = least of have / part."""
    async with at_the_bench(shop, clock) as hands:
        await asked_for(hands, "epoxy-primer", "2 3 4 0 enter 7 0")
        assert "| 280 base" in hands.picture()
        assert "| 350 hardener" in hands.picture()


async def test_from_what_is_in_the_cup_already(shop: Shop, clock: ManualClock) -> None:
    """420 of base at 4:1 takes 105 of hardener. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await asked_for(hands, "epoxy-primer", "3 4 2 0")
        assert "is in: 420 ml" in hands.picture()
        assert "pour 105 ml " in hands.picture()
        assert "| 420 base" in hands.picture()
        assert "| 525 hardener" in hands.picture()


async def test_nothing_poured_is_refused_in_words(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "0")
        assert "cannot be worked out" in hands.picture()
        await hands.press("enter")
        assert bench_view.read_bench(shop).pots == ()


async def test_a_coat_begins_with_its_three_numbers_and_any_key_takes_them_away(
    shop: Shop, clock: ManualClock
) -> None:
    placement.place(shop, 1, "Kit", route="zinc-new", shape="frame")
    readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=17)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        for _ in range(6):
            await hands.press("/ 2 + 1")
        await hands.press("+")
        picture = hands.picture()
        assert "cm off, Aerosol" in picture
        assert "um wet = 20? dry" in picture
        assert "faces in order: L-in R-in XMEM" in picture
        await hands.press("2")
        assert ">1 " in hands.picture()


# --- what the tin says ---------------------------------------------------------------------------

SIZES = ((80, 24), (132, 40))
ASKED = "Does your tin say 2:1 base:hardener?"


def came(shop: Shop, role: str, batch: str) -> None:
    done(tins.record_tin(shop, "gloss", "Kit", role=role, size_ml=1000, batch=batch))


def drawn_big(hands: Hands, *figures: str) -> list[bool]:
    """Which of some figures are drawn big: in five rows where there is room for them."""
    rows, picture = 5 if hands.app.size.height == 40 else 3, hands.picture()
    drawn = [big(figure, rows, 34) for figure in figures]
    return [all(row.rstrip() in picture for row in each) for each in drawn]


async def to_gloss(hands: Hands) -> None:
    await hands.press(f"* {product_key(hands, 'gloss')} 1 3 0 0 enter")


@pytest.mark.parametrize("size", SIZES)
async def test_before_the_first_mix_the_bench_asks_what_the_tin_says_and_then_no_more(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    async with at_the_bench(shop, clock, size) as hands:
        await hands.press("*")
        assert "Two-pack gloss 2:1? by volume" in hands.picture()
        await hands.press("0")
        await to_gloss(hands)
        assert ASKED in hands.picture()
        await hands.press("1")
        assert hands.said() == "the tin says 2:1 base:hardener: Two-pack gloss 2:1"
        assert "Mix Two-pack gloss 2:1\n" in hands.picture()
        assert "pour 182 ml " in hands.picture()
        assert "pour 27.3? ml" in hands.picture(), "of thinner the tin's figures are wanted still"
        assert "BIN BY 09:30?" in hands.picture(), "and of its life"
        await hands.press("enter")
        assert [pot.letter for pot in bench_view.read_bench(shop).pots] == ["A"]
        await to_gloss(hands)
        assert "pour 182 ml " in hands.picture(), "it is not asked twice"
        await hands.press("0 enter *")
        assert "Two-pack gloss 2:1 by volume" in hands.picture()


async def test_no_or_not_sure_leads_to_the_sheet_and_mixes_nothing(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await to_gloss(hands)
        await hands.press("2")
        assert isinstance(hands.app.screen, FormPage)
        assert hands.picture().startswith(" Two-pack gloss 2:1\n")
        await hands.press("0")
        assert "press the number of a stand" in hands.picture()
        await to_gloss(hands)
        assert ASKED in hands.picture()
        await hands.press("0 enter")
        view = bench_view.read_bench(shop)
        assert (view.pots, view.tin_ratios) == ((), {})


@pytest.mark.parametrize("size", SIZES)
async def test_a_new_batch_is_asked_about_and_every_pour_wears_the_mark_till_then(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    came(shop, "base", "B-1")
    came(shop, "hardener", "H-1")
    came(shop, "hardener", "H-2")
    async with at_the_bench(shop, clock, size) as hands:
        await to_gloss(hands)
        assert "Poured from: base B-1, hardener H-1." in hands.picture()
        await hands.press("1")
        assert drawn_big(hands, "182?", "273?", "300?") == [False, False, True]
        await hands.press(". 3")
        picture = hands.picture()
        assert "Mix Two-pack gloss 2:1?\n" in picture
        assert ("pour 182? ml" in picture, "pour 90.9? ml" in picture) == (True, True)
        assert "in all 300? ml" in picture
        assert "| 273? hardener" in picture
        assert all(drawn_big(hands, "182?", "273?", "300?"))
        await hands.press("enter")
        assert ASKED in hands.picture()
        assert "Poured from: base B-1, hardener H-2." in hands.picture()
        assert bench_view.read_bench(shop).pots == ()
        await hands.press("1")
        assert [pot.letter for pot in bench_view.read_bench(shop).pots] == ["A"]


async def test_a_typed_sheet_is_never_asked_about_and_wears_no_mark(
    shop: Shop, clock: ManualClock
) -> None:
    readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=20)
    gloss = bench_view.read_bench(shop).products["gloss"]
    text = sheet_text(gloss).replace('"placeholder"', '"sheet"\nplaceholder = []')
    done(sheet_editing.set_product(shop, "Kit", "gloss", text))
    async with at_the_bench(shop, clock) as hands:
        await to_gloss(hands)
        assert "pour 27.3 ml" in hands.picture()
        assert "?" not in hands.picture().replace("? help", "")


# --- what is in the cup --------------------------------------------------------------------------


async def test_what_is_in_the_cup_is_said_to_be_in_and_the_rest_is_poured(
    shop: Shop, clock: ManualClock
) -> None:
    """300 of base at 4:1 takes 75 of hardener; 10 past that takes 340 of base. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await asked_for(hands, "epoxy-primer", "3 3 0 0")
        assert "is in: 300 ml" in hands.picture()
        assert "pour 75 ml " in hands.picture()
        await hands.press("2 +")
        assert "is in: 85 ml" in hands.picture()
        assert "pour 40 ml more" in hands.picture()
        await hands.press("enter")
        assert bench_view.read_bench(shop).pots[0].total_ml == pytest.approx(425)


async def test_a_second_part_past_its_line_keeps_the_first_and_lines_do_not_wipe_it(
    shop: Shop, clock: ManualClock
) -> None:
    """460 of base and 125 of hardener at 4:1 take 40 of base more, to 625; to the line at 630 it is
    505, and the hardener 1 % short. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "500")
        await hands.press("1 + + + + + + 2 +")
        picture = hands.picture()
        assert "base is 60 ml past its line; hardener is 10 ml past its line: new" in picture
        assert ("is in: 460 ml" in picture, "is in: 125 ml" in picture) == (True, True)
        assert "pour 40 ml more" in picture
        assert "in all 625 ml" in picture
        await hands.press("*")
        picture = hands.picture()
        assert ("is in: 460 ml" in picture, "is in: 125 ml" in picture) == (True, True)
        assert "in all 630 ml" in picture
        assert "* exact" in picture
        await hands.press("* -")
        assert "hardener is 10" not in hands.picture()
        assert "is in: 460 ml" in hands.picture()
        await hands.press("enter")
        (pot,) = bench_view.read_bench(shop).pots
        assert pot.total_ml == pytest.approx(575)


KEYS_AT_THE_CUP = (*"12+++++-*", "3")


async def test_whatever_is_pressed_the_pot_written_is_what_is_in_the_cup(
    shop: Shop, clock: ManualClock
) -> None:
    draw = Random(7)
    async with at_the_bench(shop, clock) as hands:
        for product in ("epoxy-primer", "gloss", "etch-primer"):
            await open_mix(hands, product, "310")
            for key in draw.choices(KEYS_AT_THE_CUP, k=12):
                await hands.press(key)
            screen = hands.app.screen
            assert isinstance(screen, MixScreen)
            agrees_with_the_trade(screen.cup)
            pouring, picture = screen.pouring, hands.picture()
            assert isinstance(pouring, Pouring)
            for ml in screen.cup.contents.values():
                assert f"is in: {cup_figures(ml)} ml" in picture
            await hands.press("enter")
            with shop.store.reading() as session:
                row = session.exec(select(MixRow)).all()[-1]
                assert {pour["role"]: pour["ml"] for pour in row.pours} == pouring.by_role()
                assert row.total_ml == pytest.approx(pouring.total_ml)
            assert not any(pot.off for pot in bench_view.read_bench(shop).pots)


async def test_a_mix_is_thrown_away_after_a_second_key_only(shop: Shop, clock: ManualClock) -> None:
    asked = "Throw this mix away?"
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "500")
        await hands.press("1 + .")
        for leave in ("0", "/", "escape"):
            await hands.press(leave)
            assert asked in hands.picture()
            assert "In the cup: 410 ml base." in hands.picture()
            await hands.press("0")
            assert "is in: 410 ml" in hands.picture()
        await hands.press("escape escape enter")
        assert "1-6 stand" in hands.picture()
        await asked_for(hands, "epoxy-primer", "1")
        await hands.press("0")
        assert asked not in hands.picture(), "nothing was poured or typed"
        await open_mix(hands, "epoxy-primer", "500")
        hands.app.call_later(hands.app.action_quit)
        await hands.settled()
        assert asked in hands.picture()
        await hands.press("0")
        assert "1 base" in hands.picture()
        await hands.press("0 enter")
        assert "1-6 stand" in hands.picture()
        assert bench_view.read_bench(shop).pots == ()


@pytest.mark.parametrize("size", [(80, 24), (132, 40)])
async def test_before_anything_is_mixed_the_cup_says_that_there_would_be_no_window(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    in_the_cold(shop)
    async with at_the_bench(shop, clock, size=size) as hands:
        await open_mix(hands, "etch-primer", "300")
        picture = " ".join(hands.picture().split())
        no = "No window at this temperature: warm the shop or type the sheet's figures"
        assert f"NO: {no}" in picture
        await hands.press("enter")
        assert no in " ".join(hands.picture().split())
        assert bench_view.read_bench(shop).pots == ()
        await hands.press("1")
        assert len(bench_view.read_bench(shop).pots) == 1
