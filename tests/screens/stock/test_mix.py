"""The mix screen by keypad alone: fill lines, the cup, a pour too many, and the pot clock."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from bench.process.sheets.washes import is_diluted
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import placement
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.stock import tins
from bench.testing import ManualClock
from tests.shop.doing import done, in_the_cold

from ..driving import Gone, Hands, Look, Said, at_the_bench


def product_key(hands: Hands, key: str) -> str:
    """The digits that choose a product in the list of what is mixed."""
    view = hands.app.view
    mixed = [p.key for p in view.products.values() if p.ratio is not None or p.keeps_a_pot_clock]
    mixed += [p.key for p in view.products.values() if is_diluted(p)]
    place = mixed.index(key)
    return "9 " * (place // 8) + str(place % 8 + 1)


async def open_mix(hands: Hands, key: str, ml: str) -> None:
    """To the cup, past the question what the tin says."""
    await asked_for(hands, key, f"1 {' '.join(ml)}")


async def asked_for(hands: Hands, key: str, known: str) -> None:
    """The keys of what is known, and yes to the question what the tin says, if it is asked."""
    await hands.press(f"* {product_key(hands, key)} {known} enter")
    if "Does your tin say" in hands.picture():
        await hands.press("1")


MIXES: dict[str, tuple[str, str, tuple[Sequence[Look], ...], float]] = {
    # Figures: arithmetic, where nothing else is said.
    "one to one: 600 + 600 ml (common practice, no source)": (
        "etch-primer",
        "1 1 2 0 0",
        (
            ("", "1 base", "pour 600 ml", "| 1200 activator", "| 600 base"),
            ("", "200 ml more than the 1000 ml cup"),
        ),
        1200,
    ),
    "two to one and ten percent of both: 200, 300, 330": (
        "gloss",
        "1 3 3 0",
        (("", "| 330? thinner", "| 300 hardener", "| 200 base"),),
        0,
    ),
    "20 of base past its line of 400: new lines 420 and 840": (
        "etch-primer",
        "1 8 0 0",
        (
            ("", "| 400 base"),
            ("1 + +", "base is 20 ml past its line", "| 420 base", "| 840 activator"),
        ),
        840,
    ),
    "20 of hardener past 100 takes 480 of base: 600 in all": (
        "epoxy-primer",
        "1 5 0 0",
        (("2 + +", "hardener is 20 ml past its line", "in all 600 ml"),),
        600,
    ),
    "what is to be added for a pour too many is no pour to choose": (
        "gloss",
        "1 3 3 0",
        (
            ("2 + +", "hardener is 20 ml past its line"),
            ("4 -", "hardener is 10 ml past its line"),
            ("1 +", "base is 10 ml past its line"),
        ),
        0,
    ),
    "too big for the cup": ("etch-primer", "1 9 9 0", (("1 + +", "a bigger cup"),), 0),
    # 5 % of hardener against half a 10-ml mark: 100 ml of it at least. Common practice, no source.
    "a small mix in a coarse cup": (
        "epoxy-primer",
        "1 1 0 0",
        (("", "half a mark is too much hardener"),),
        0,
    ),
    "half a mark of a larger mix": ("epoxy-primer", "1 6 0 0", (("", Gone("half a mark")),), 0),
    "340 base and 70 hardener are left: 280 + 70": (
        "epoxy-primer",
        "2 3 4 0 enter 7 0",
        (("", "| 280 base", "| 350 hardener"),),
        0,
    ),
    "420 of base in the cup takes 105 of hardener": (
        "epoxy-primer",
        "3 4 2 0",
        (("", "is in: 420 ml", "pour 105 ml ", "| 420 base", "| 525 hardener"),),
        0,
    ),
    "300 of base takes 75 of hardener; 10 past that takes 340 of base": (
        "epoxy-primer",
        "3 3 0 0",
        (
            ("", "is in: 300 ml", "pour 75 ml "),
            ("2 +", "is in: 85 ml", "pour 40 ml more"),
        ),
        425,
    ),
    "460 of base and 125 of hardener take 40 of base more, and lines do not wipe it": (
        "epoxy-primer",
        "1 5 0 0",
        (
            ("1 + + + + + + 2 +", "base is 60 ml past its line", "hardener is 10 ml past its line"),
            ("", "is in: 460 ml", "is in: 125 ml", "pour 40 ml more", "in all 625 ml"),
            ("", Gone("* lines")),
            (
                "*",
                Said("..paint is in the cup already: pour to the lines shown.."),
                "in all 625 ml",
            ),
            ("-", Gone("hardener is 10"), "is in: 460 ml"),
        ),
        0,
    ),
    "nothing poured": ("epoxy-primer", "1 0", (("", "cannot be worked out"), ("enter",)), 0),
}
"""By what is mixed: paint, keys of what is known, rows, and the ml that Enter makes a pot of."""


async def test_each_mix_is_worked_out_in_the_cup(shop: Shop, clock: ManualClock) -> None:
    made: list[float] = []
    async with at_the_bench(shop, clock) as hands:
        for paint, known, rows, total_ml in MIXES.values():
            await hands.home()
            await asked_for(hands, paint, known)
            await hands.play(*rows)
            if total_ml:
                await hands.press("enter")
                made.append(total_ml)
            pots = sorted(bench_view.read_bench(shop).pots, key=lambda pot: pot.letter)
            assert [pot.total_ml for pot in pots] == [pytest.approx(ml) for ml in made]


@pytest.mark.parametrize("size", [(80, 24), (132, 40)])
async def test_an_acid_wash_is_water_first_and_no_pot_is_written(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    """By hand: 20 l at 1:1 is 10 + 10 l, at 1:3 a quarter of 20 l, so 15 + 5 l."""
    async with at_the_bench(shop, clock, size=size) as hands:
        wash = f"* {product_key(hands, 'phosphoric-wash')}"
        await hands.play(
            (wash, "ready wash wanted"),
            ("2 0 enter", "Phosphoric wash: 20 l ready to use", "10-40? C warm"),
            ("", "1? of water to 1: first 10? l of water, then 10? l of Phosphoric"),
            ("", "3? of water to 1: first 15? l of water, then 5? l of Phosphoric"),
            ("", "Acid into water, never water into acid: it boils and spits."),
            ("", "wear: ", "no pot is recorded"),
            ("home",),
            (f"{wash} 2 0 0 0 enter", Said("..must be over 0, up to 1000 l..")),
        )
    assert bench_view.read_bench(shop).pots == ()


async def test_to_the_cups_lines(shop: Shop, clock: ManualClock) -> None:
    """4:1, 310 ml wanted in a cup marked every 10 ml: 350 = 280 + 70 is on the lines. Arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await open_mix(hands, "epoxy-primer", "310")
        await hands.press("*")
        levels = [line.split("| ")[-1] for line in hands.picture().splitlines() if "-| " in line]
        amounts = [float(level.split()[0]) for level in levels]
        assert all(amount % 10 == 0 for amount in amounts)
        assert amounts[0] >= 310


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


def big_ends(hands: Hands) -> int:
    """How many of the big fill lines end in the mark, which is drawn in three rows."""
    return sum(" ━┓       |" in row for row in hands.picture().splitlines())


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
        await hands.play(
            (
                "1",
                Said("the tin says 2:1 base:hardener: Two-pack gloss 2:1"),
                "Mix Two-pack gloss 2:1\n",
                "pour 182 ml ",
                "pour 27.3? ml",
                "BIN BY 09:30?",
            ),  # of thinner the tin's figures are wanted still; and of its life
            ("enter",),
        )
        assert [pot.letter for pot in bench_view.read_bench(shop).pots] == ["A"]
        await to_gloss(hands)
        assert "pour 182 ml " in hands.picture(), "it is not asked twice"
        await hands.press("0 *")
        assert "Two-pack gloss 2:1 by volume" in hands.picture()


async def test_no_or_not_sure_leads_to_the_sheet_and_mixes_nothing(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await to_gloss(hands)
        await hands.play(
            ("2", "Two-pack gloss 2:1 (gloss)", 'source = "placeholder"'),
            ("0", "press the number of a stand"),
        )
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
        assert big_ends(hands) == 1, "that of the thinner"
        await hands.press(". 3")
        picture = hands.picture()
        assert "Mix Two-pack gloss 2:1?\n" in picture
        assert ("pour 182? ml" in picture, "pour 90.9? ml" in picture) == (True, True)
        assert "in all 300? ml" in picture
        assert "| 273? hardener" in picture
        assert big_ends(hands) == 3
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
    text = sheet_text(gloss).replace('"placeholder"', '"sheet"')
    done(sheet_editing.set_product(shop, "Kit", "gloss", text))
    async with at_the_bench(shop, clock) as hands:
        await to_gloss(hands)
        assert "pour 27.3 ml" in hands.picture()
        assert "?" not in hands.picture().replace("? help", "")


@pytest.mark.parametrize("size", [(80, 24), (132, 40)])
async def test_before_anything_is_mixed_the_cup_says_that_there_would_be_no_window(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    in_the_cold(shop)
    async with at_the_bench(shop, clock, size=size) as hands:
        await open_mix(hands, "etch-primer", "300")
        no = "No window at this temperature: warm the shop or type the sheet's figures"
        await hands.play(
            ("", f"NO: {no}"), ("enter", no, lambda at: not bench_view.read_bench(at).pots), ("1",)
        )
    assert len(bench_view.read_bench(shop).pots) == 1
