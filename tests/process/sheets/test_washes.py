"""A cleaner or wash is made ready: parts of water, how warm, and acid into water."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.sheets.product import BadSheet, Bath, Dilution, Product
from bench.process.sheets.product_rules import check_product
from bench.process.sheets.washes import ACID_INTO_WATER, acid_cautions, ready_words, wash_words
from bench.process.stock.mixing import MixStart, mix_for
from bench.process.wording.display_units import ShopUnits
from bench.screens.bench.cautions import own_cautions
from bench.shop.seeds.seed_files import folder, load

ACID = Product("a", "Phosphoric", "wash", hazards=("acid",), dilution=Dilution(1, 3))


def test_one_in_ten_and_one_to_ten_are_told_apart_by_the_bucket() -> None:
    """1 to 9 of water is 1 l in 10 l, 1 to 10 is 0.91 l: arithmetic."""
    told = [wash_words(replace(ACID, dilution=Dilution(n, n), source="sheet")) for n in (9, 10)]
    assert told == [
        "9 of water to 1 of it: 1 l in a bucket of 10 l",
        "10 of water to 1 of it: 0.91 l in a bucket of 10 l",
    ]


def test_figures_that_nobody_read_off_a_tin_wear_a_question_mark() -> None:
    warm = replace(ACID, bath=Bath(10, 40))
    told = "1-3? of water to 1 of it: 2.5-5? l in a bucket of 10 l; 10-40? C warm"
    assert wash_words(warm) == told
    assert "?" not in wash_words(replace(warm, source="sheet"))
    assert wash_words(warm, ShopUnits("F")).endswith("50-104? F warm")


def test_a_mordant_is_used_as_supplied() -> None:
    assert wash_words(replace(ACID, dilution=Dilution(0, 0))) == "as supplied?"


def test_acid_that_is_diluted_goes_into_water() -> None:
    """Common practice, no source."""
    assert acid_cautions(ACID) == (ACID_INTO_WATER,)
    assert ACID_INTO_WATER in own_cautions(None, ACID)
    assert acid_cautions(replace(ACID, dilution=Dilution(0, 0))) == ()
    assert acid_cautions(replace(ACID, hazards=("alkali",))) == ()


def test_ready_wash_is_water_first_then_the_concentrate() -> None:
    """By hand: 20 l at 1:1 is 10 + 10 l, at 1:3 a quarter of 20 l, so 15 + 5 l."""
    assert ready_words(ACID, 20) == (
        "strong, 1? of water to 1: first 10? l of water, then 10? l of Phosphoric into it",
        "weak, 3? of water to 1: first 15? l of water, then 5? l of Phosphoric into it",
    )
    nine = replace(ACID, dilution=Dilution(9, 9), source="sheet")
    assert ready_words(nine, 25) == (
        "9 of water to 1: first 22.5 l of water, then 2.5 l of Phosphoric into it",
    )
    assert ready_words(replace(ACID, dilution=None), 20) == ()


@pytest.mark.parametrize("litres", [0.0, -1.0, 1001.0, float("nan")])
def test_an_amount_of_wash_that_nobody_makes_is_refused(litres: float) -> None:
    with pytest.raises(ValueError, match="must be over 0, up to 1000 l"):
        ready_words(ACID, litres)


def test_a_pot_of_a_wash_is_refused_with_its_dilution() -> None:
    told = str(mix_for(ACID, MixStart(need_ml=500)))
    assert "Phosphoric is not mixed" in told
    assert "1-3? of water to 1 of it: 2.5-5? l in a bucket of 10 l" in told


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"dilution": Dilution(3, 1)}, "least first"),
        ({"dilution": Dilution(-1, 1)}, "from 0 to 1000"),
        ({"bath": Bath(20, 140)}, "from 0 to 100 C"),
        ({"kind": "thinner"}, "is for a cleaner or a wash"),
    ],
)
def test_a_wash_that_cannot_be_is_refused(change: dict[str, object], told: str) -> None:
    with pytest.raises(BadSheet, match=told):
        check_product(replace(ACID, **change))  # type: ignore[arg-type]


def test_every_wash_and_cleaner_that_is_shipped_says_how_warm_it_is() -> None:
    products = load(folder()).products.values()
    washes = [each for each in products if each.kind in ("cleaner", "wash")]
    assert len(washes) == 5
    assert all(each.bath is not None and each.source == "placeholder" for each in washes)
    assert {each.key for each in washes if acid_cautions(each)} == {"phosphoric-wash"}
