"""The mix as really poured: graduations, the smallest measurable mix, a pour too many, cost."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade import batch, mixing
from bench.trade.mixing import Ratio, Share
from tests.trade.test_mixing import DENSITIES, ETCH, FOUR_ONE_ONE, GLOSS, ratios

FIVE = Ratio((Share("base", 5), Share("hardener", 1)))
FIVE_TEN = Ratio(FIVE.shares, thinner_pct=10)


def _amounts(mix: mixing.Mix) -> list[float]:
    return [pour.ml for pour in mix.pours]


# --- the smallest measurable mix (common practice, no source) --------------------------------------


@pytest.mark.parametrize(
    ("graduation", "at_3_pct", "at_5_pct"),
    [(1, 17, 10), (5, 83, 50), (10, 167, 100), (0.1, 1.7, 1)],
)
def test_least_amount_that_a_graduation_measures(
    graduation: float, at_3_pct: float, at_5_pct: float
) -> None:
    assert batch.smallest_measure(graduation, 3) == pytest.approx(at_3_pct, abs=0.35)
    assert batch.smallest_measure(graduation, 5) == pytest.approx(at_5_pct)


def test_hardener_22_ml_in_a_10_ml_cup_is_a_23_percent_guess() -> None:
    assert round(batch.reading_error_pct(22, 10)) == 23


def test_5_1_in_a_cup_marked_every_10_ml_wants_600_ml() -> None:
    assert batch.smallest_mix_ml(FIVE, 10) == pytest.approx(600)
    assert batch.smallest_mix_ml(FIVE, 1) == pytest.approx(60)
    assert batch.smallest_mix_ml(FIVE, 10, tolerance_pct=3) == pytest.approx(1000)


def test_an_activator_may_be_off_by_10_and_a_lone_thinner_by_20_percent() -> None:
    assert batch.smallest_mix_ml(ETCH, 10) == pytest.approx(100)
    one_pack = Ratio((Share("base", 1),), thinner_pct=25)
    assert batch.smallest_mix_ml(one_pack, 10) == pytest.approx(125)
    assert batch.smallest_mix_ml(Ratio((Share("base", 1),)), 10) == 0


def test_on_a_scale_the_smallest_batch_goes_through_the_density() -> None:
    assert batch.smallest_mix_ml(FIVE, 1, "g", DENSITIES) == pytest.approx(60)
    heavy = {**DENSITIES, "hardener": 2.0}
    assert batch.smallest_mix_ml(FIVE, 1, "g", heavy) == pytest.approx(30)
    with pytest.raises(ValueError, match="no density for base, hardener"):
        batch.smallest_mix_ml(FIVE, 1, "g")


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan])
def test_a_graduation_or_tolerance_of_nothing_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match=r"graduation .*: must be over 0"):
        batch.smallest_measure(bad, 5)
    with pytest.raises(ValueError, match=r"tolerance .* %: must be over 0"):
        batch.smallest_measure(10, bad)
    with pytest.raises(ValueError, match=r"amount .*: must be over 0"):
        batch.reading_error_pct(bad, 10)


# --- tolerances (common practice, no source) -----------------------------------------------------


@pytest.mark.parametrize(
    ("hardener_ml", "judged"),
    [(100, "within"), (103, "within"), (97, "within"), (103.1, "warn"), (105, "warn"),
     (95, "warn"), (105.1, "stop"), (94.9, "stop"), (0, "stop")],
)  # fmt: skip
def test_hardener_warns_over_3_and_stops_over_5_percent(hardener_ml: float, judged: str) -> None:
    (error,) = batch.ratio_errors(FIVE, {"base": 500, "hardener": hardener_ml})
    assert error.error_pct == pytest.approx(hardener_ml - 100)
    assert error.judged == judged


@pytest.mark.parametrize(("ml", "judged"), [(105, "within"), (106, "warn"), (111, "stop")])
def test_activator_warns_over_5_and_stops_over_10_percent(ml: float, judged: str) -> None:
    (error,) = batch.ratio_errors(ETCH, {"base": 100, "activator": ml})
    assert error.judged == judged


@pytest.mark.parametrize(("ml", "judged"), [(36.0, "within"), (37.0, "warn"), (300.0, "warn")])
def test_thinner_warns_over_20_percent(ml: float, judged: str) -> None:
    poured = {"base": 200.0, "hardener": 100.0, "thinner": ml}
    assert batch.ratio_errors(GLOSS, poured)[1].judged == judged


def test_every_part_of_the_cup_has_to_be_told() -> None:
    with pytest.raises(ValueError, match="nothing said of hardener: give ml of every part"):
        batch.ratio_errors(FIVE, {"base": 500})
    with pytest.raises(ValueError, match="'thinner' is not in this mix"):
        batch.ratio_errors(FIVE, {"base": 500, "hardener": 100, "thinner": 1})
    with pytest.raises(ValueError, match="base poured 0 ml: must be over 0"):
        batch.ratio_errors(FIVE, {"base": 0, "hardener": 100})


# --- rounding to the cup (common practice, no source) --------------------------------------------


def test_4_1_1_for_250_ml_in_a_10_ml_cup_is_240_or_300() -> None:
    choice = batch.round_to_cup(FOUR_ONE_ONE, 250, 10)
    assert choice.below is not None
    assert _amounts(choice.below.mix) == [160, 40, 40]
    assert _amounts(choice.above.mix) == [200, 50, 50]
    assert (choice.below.over_ml, choice.above.over_ml) == (-10, 50)
    assert all(error.error_pct == 0 for error in choice.above.errors)


def test_5_1_and_10_percent_for_400_ml_is_300_60_40_with_a_little_more_thinner() -> None:
    above = batch.round_to_cup(FIVE_TEN, 400, 10).above
    assert _amounts(above.mix) == [300, 60, 40]
    assert [pour.fill_to_ml for pour in above.mix.pours] == [300, 360, 400]
    hardener, thinner = above.errors
    assert hardener.error_pct == 0
    assert thinner.error_pct == pytest.approx(100 / 9)
    assert thinner.judged == "within"


def test_an_exact_need_is_its_own_step_above() -> None:
    choice = batch.round_to_cup(FOUR_ONE_ONE, 600, 10)
    assert choice.above.over_ml == pytest.approx(0)
    assert choice.below is not None
    assert choice.below.mix.total_ml == 540


def test_a_need_under_the_smallest_step_has_no_step_below() -> None:
    choice = batch.round_to_cup(FIVE, 30, 10)
    assert choice.below is None
    assert _amounts(choice.above.mix) == [50, 10]


def test_a_crooked_ratio_takes_a_small_error_rather_than_a_bucket() -> None:
    """100:33 comes out exact in a 10 ml cup only every 1330 ml."""
    crooked = Ratio((Share("base", 1), Share("hardener", 0.33)))
    above = batch.round_to_cup(crooked, 400, 10).above
    assert above.mix.total_ml < 500
    assert abs(above.errors[0].error_pct) <= batch.TOLERANCES["hardener"].aim_pct


@pytest.mark.parametrize(("need_ml", "total_ml"), [(205, 220), (210, 260)])
def test_an_exact_batch_is_mixed_up_to_a_quarter_over_the_need_and_no_further(
    need_ml: float, total_ml: float
) -> None:
    """10:3 comes out exact every 130 ml: 260 is 24 % over 210 ml, and 27 % over 205 ml."""
    crooked = Ratio((Share("base", 10), Share("hardener", 3)))
    assert batch.round_to_cup(crooked, need_ml, 10).above.mix.total_ml == total_ml


def test_a_ratio_by_weight_is_never_poured_by_cup_lines() -> None:
    by_weight = Ratio(FIVE.shares, by="weight")
    with pytest.raises(ValueError, match="never poured by cup lines: use a scale"):
        batch.round_to_cup(by_weight, 400, 10, DENSITIES)


def test_a_mix_bigger_than_the_cup_is_two_pours() -> None:
    assert batch.cups_for(1000, 1000) == 1
    assert batch.cups_for(1001, 1000) == 2


@given(
    st.integers(1, 20), st.integers(1, 4), st.floats(20, 3000), st.sampled_from([1.0, 5.0, 10.0])
)
def test_rounded_mixes_lie_on_lines_either_side_of_the_need(
    base: int, hardener: int, need_ml: float, graduation_ml: float
) -> None:
    ratio = Ratio((Share("base", base), Share("hardener", hardener)), thinner_pct=10)
    choice = batch.round_to_cup(ratio, need_ml, graduation_ml)
    assert choice.above.over_ml >= -1e-6
    assert choice.below is None or choice.below.over_ml < 0
    for found in (choice.below, choice.above):
        if found is None:
            continue
        for pour in found.mix.pours:
            assert pour.fill_to_ml / graduation_ml == pytest.approx(
                round(pour.fill_to_ml / graduation_ml), abs=1e-6
            )
        assert abs(found.errors[0].error_pct) <= 2


# --- a pour too many ----------------------------------------------------------------------------


def test_too_much_hardener_asks_for_more_base() -> None:
    again = batch.recover(FIVE, {"base": 500, "hardener": 120}, 1000)
    assert again.fits
    assert [(add.role, add.ml, add.fill_to_ml) for add in again.adds] == [("base", 100, 720)]
    assert again.total_ml == pytest.approx(720)


def test_too_much_base_with_nothing_else_in_yet_just_moves_the_lines() -> None:
    again = batch.recover(FOUR_ONE_ONE, {"base": 420}, 1000)
    assert [(add.role, add.fill_to_ml) for add in again.adds] == [
        ("hardener", pytest.approx(525)),
        ("thinner", pytest.approx(630)),
    ]


def test_a_cup_that_is_too_small_is_said_so() -> None:
    again = batch.recover(FIVE, {"base": 500, "hardener": 200}, 1000)
    assert not again.fits
    assert again.total_ml == pytest.approx(1200)
    assert again.over_cup_ml == pytest.approx(200)


def test_a_mix_that_is_right_needs_nothing() -> None:
    again = batch.recover(FIVE, {"base": 500, "hardener": 100}, 600)
    assert again == batch.Recovery((), 600.0, 0.0)


def test_on_a_scale_the_new_readings_go_on_from_what_stands_there() -> None:
    again = batch.recover(FIVE, {"base": 500, "hardener": 120}, 1000, DENSITIES)
    (add,) = again.adds
    assert add.g == pytest.approx(140)
    assert add.scale_to_g == pytest.approx(500 * 1.4 + 120 + 140)


@pytest.mark.parametrize(
    ("in_cup_ml", "told"),
    [
        ({}, r"paint in the cup 0 ml: must be over 0"),
        ({"base": 0.0}, r"paint in the cup 0 ml: must be over 0"),
        ({"base": 900.0, "hardener": 200.0}, r"paint in the cup 1100 ml: .* up to 1000 ml"),
        ({"thinner": 5.0}, r"'thinner' is not in this mix"),
        ({"base": -5.0}, r"base poured -5 ml: must be at least 0"),
    ],
)
def test_a_cup_that_cannot_be_is_refused(in_cup_ml: dict[str, float], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        batch.recover(FIVE, in_cup_ml, 1000)


@given(ratios(), st.lists(st.floats(0, 5000), min_size=4, max_size=4), st.floats(1, 20_000))
def test_the_ratio_is_restored_after_any_over_pour(
    ratio: Ratio, in_cup: list[float], spare_ml: float
) -> None:
    shares = [share for share in mixing.by_volume(ratio, DENSITIES) if share.parts > 1e-6]
    poured = {share.role: ml for share, ml in zip(shares, in_cup, strict=False)}
    if sum(poured.values()) < 1 or len(shares) < len(mixing.by_volume(ratio, DENSITIES)):
        return
    cup_ml = sum(poured.values()) + spare_ml
    again = batch.recover(ratio, poured, cup_ml, DENSITIES)
    after = {role: ml + sum(a.ml for a in again.adds if a.role == role)
             for role, ml in poured.items()}  # fmt: skip
    multiples = [after[share.role] / share.parts for share in shares]
    assert multiples == pytest.approx([multiples[0]] * len(multiples), rel=1e-6)
    assert sum(after.values()) == pytest.approx(again.total_ml)
    assert all(add.ml > 0 for add in again.adds)
    assert again.fits == (again.total_ml <= cup_ml)


# --- money --------------------------------------------------------------------------------------


def test_cost_of_a_mix_and_of_what_was_binned() -> None:
    prices = {"base": 30.0, "hardener": 50.0, "thinner": 8.0}
    mix = mixing.for_total(FOUR_ONE_ONE, 600)
    whole = batch.cost({pour.role: pour.ml for pour in mix.pours}, prices)
    assert whole == pytest.approx(0.4 * 30 + 0.1 * 50 + 0.1 * 8)
    assert batch.cost_of_waste(mix, 300, prices) == pytest.approx(whole / 2)
    assert batch.cost_of_waste(mix, 0, prices) == 0


def test_a_missing_price_gives_no_cost_rather_than_nothing() -> None:
    mix = mixing.for_total(FOUR_ONE_ONE, 600)
    assert batch.cost_of_waste(mix, 300, {"base": 30.0}) is None


def test_more_cannot_be_binned_than_was_mixed() -> None:
    mix = mixing.for_total(FOUR_ONE_ONE, 600)
    with pytest.raises(ValueError, match=r"binned 700 ml: must be at least 0, up to 600 ml"):
        batch.cost_of_waste(mix, 700, {})
    with pytest.raises(ValueError, match=r"price of base -1 a litre: must be at least 0"):
        batch.cost({"base": 1}, {"base": -1})
