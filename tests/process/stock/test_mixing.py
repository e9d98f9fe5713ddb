"""What the tins say of a ratio."""

from __future__ import annotations

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product, Thinner
from bench.process.stock.mixing import (
    MixStart,
    TinRatio,
    cup_figures,
    differs_from,
    mix_for,
    off_ratio,
    ratio_doubt,
    ratio_with_roles,
    ratio_words,
)
from bench.trade.mixing import Mix, Ratio, Share

FOUR = Ratio((Share("base", 4), Share("hardener", 1)))
TWO = Ratio((Share("base", 2), Share("hardener", 1)))
GLOSS = Product("gloss", "Gloss", "top coat", ratio=TWO, thinner=Thinner(10, 15, "mixed"))
BY_WEIGHT = Product("putty", "Putty", "primer", ratio=Ratio(TWO.shares, by="weight"))


def test_a_ratio_is_in_doubt_until_it_was_read_off_these_tins() -> None:
    read = TinRatio(ratio_words(TWO), ("base B-1",))
    assert ratio_doubt(GLOSS, None) == "?"
    assert ratio_doubt(GLOSS, read) == ""
    assert ratio_doubt(GLOSS, read, ["base B-1"]) == ""
    assert ratio_doubt(GLOSS, read, ["base B-1", "hardener H-1"]) == "?"
    assert ratio_doubt(GLOSS, TinRatio(ratio_words(FOUR))) == "?", "it was another ratio"


def test_a_typed_sheet_is_in_no_doubt() -> None:
    typed = Product("gloss", "Gloss", "top coat", "sheet", ratio=TWO)
    assert (typed.doubt, ratio_doubt(typed, None)) == ("", "")


@pytest.mark.parametrize("says", ["2:1", "4:2", "2 : 1", "2:1 by volume"])
def test_the_same_ratio_however_the_tin_prints_it(says: str) -> None:
    assert differs_from(GLOSS, says) is None


@pytest.mark.parametrize("says", ["3:1", "1:2", "2:1:1", "2:1 by weight", "2:1+10%"])
def test_another_ratio_on_the_tin_is_refused(says: str) -> None:
    told = differs_from(GLOSS, says)
    assert told is not None
    assert str(told) == (
        f"the tin does not say the ratio of Gloss (the tin says {says}, the bench "
        "2:1 base:hardener): type the tin's own figures first, then mix"
    )


def test_by_weight_and_by_volume_are_two_ratios() -> None:
    assert ratio_with_roles(BY_WEIGHT.ratio or TWO) == "2:1 base:hardener by weight"
    assert differs_from(BY_WEIGHT, "2:1 by weight") is None
    assert differs_from(BY_WEIGHT, "2:1 by volume") is not None


def test_what_is_no_ratio_is_refused_with_how_to_write_it() -> None:
    told = differs_from(GLOSS, "two to one")
    assert told is not None
    assert "write 4:1" in str(told)


def test_a_pot_is_20_litres_at_the_most() -> None:
    assert isinstance(mix_for(GLOSS, MixStart(need_ml=20_000)), Mix)
    much = mix_for(GLOSS, MixStart(need_ml=20_001))
    assert isinstance(much, Refusal)
    assert str(much) == "too much for one pot (20001 ml): at most 20000 ml"


def test_a_cup_is_read_to_tenths_under_100_ml() -> None:
    assert (cup_figures(99.7), cup_figures(100.4)) == ("99.7", "100")


@pytest.mark.parametrize(
    ("poured_ml", "off"),
    [
        ({"base": 200, "hardener": 105}, ""),
        ({"base": 200, "hardener": 106, "thinner": 90}, "6 % too much hardener"),
        ({"base": 200}, "100 % too little hardener"),
        ({"hardener": 100}, "no base in it"),
        ({}, ""),
    ],
)
def test_a_pot_is_off_its_ratio_past_the_error_at_which_to_stop(
    poured_ml: dict[str, float], off: str
) -> None:
    """5 % of hardener (common practice, no source); how much thinner is too much says the sheet."""
    assert off_ratio(GLOSS, poured_ml) == off


def test_a_mix_with_more_thinner_than_the_sheet_allows_is_refused() -> None:
    no = mix_for(GLOSS, MixStart(need_ml=300), 20)
    assert isinstance(no, Refusal)
    assert (no.rule, no.read) == ("thinner outside what the product allows", "20 %")
