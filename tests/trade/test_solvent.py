"""Solvent: VOC of a mix, dilution air, clearance, and the cautions that belong to them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade.solvent import (
    AIR_CAUTIONS,
    CLEARANCE_CAUTIONS,
    CLOSED_CAUTIONS,
    SOLVENTS,
    VOC_CAUTIONS,
    Portion,
    clearance_min,
    dilution_air_m3,
    dilution_flow_m3_h,
    lel_g_m3,
    solvent_named,
    vapour_m3,
    voc_of_mix,
)

portions = st.lists(
    st.builds(Portion, st.floats(0.01, 100), st.floats(0, 1400)), min_size=1, max_size=4
)
fractions = st.floats(0.001, 0.25)


@given(portions)
def test_the_mix_lies_between_its_parts(mix: list[Portion]) -> None:
    each = [portion.voc_g_l for portion in mix]
    found = voc_of_mix(mix).whole_g_l
    assert min(each) - 1e-6 <= found <= max(each) + 1e-6


@given(portions, st.floats(0, 0.9))
def test_less_water_is_never_less_voc(mix: list[Portion], share: float) -> None:
    found = voc_of_mix(mix, share * sum(portion.litres for portion in mix))
    assert found.less_water_g_l >= found.whole_g_l


@pytest.mark.parametrize("cautions", [VOC_CAUTIONS, AIR_CAUTIONS, CLOSED_CAUTIONS])
def test_every_figure_is_an_estimate_and_not_a_permit(cautions: tuple[str, ...]) -> None:
    assert cautions[0].startswith("An estimate, not a permit")


def test_a_clearance_is_no_measurement_and_no_leave_to_unmask() -> None:
    assert CLEARANCE_CAUTIONS[0] == (
        "An estimate is no measurement: keep the air-fed mask on until the measured clearance time "
        "is over and the room is checked."
    )


@pytest.mark.parametrize(
    ("mix", "water_l", "said"),
    [
        ([], 0, "mix: read no portion"),
        ([Portion(0, 420)], 0, "portion 1 0 l: must be at least 0.001"),
        ([Portion(1, 420), Portion(1, 1500)], 0, "VOC of portion 2 1500 g/l"),
        ([Portion(1, -1)], 0, "VOC of portion 1 -1 g/l"),
        ([Portion(math.nan, 420)], 0, "portion 1 nan l"),
        ([Portion(1, 420)], 1, "water: read 1 l in a mix of 1 l; wanted 0 or more, less than"),
        ([Portion(1, 420)], -0.1, "water: read -0.1 l"),
    ],
)
def test_a_mix_that_cannot_be_is_refused(mix: list[Portion], water_l: float, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        voc_of_mix(mix, water_l)


@pytest.mark.parametrize(
    ("molar_mass", "fits"), [(15.9, False), (16, True), (500, True), (501, False)]
)
def test_vapour_is_of_something_between_methane_and_a_heavy_plasticiser(
    molar_mass: float, fits: bool
) -> None:
    """Methane, 16.04 g/mol, is the lightest vapour of carbon (from memory)."""
    if fits:
        assert vapour_m3(500, molar_mass) == pytest.approx(500 / molar_mass * 0.024055, rel=1e-3)
        return
    with pytest.raises(ValueError, match="molar mass"):
        vapour_m3(500, molar_mass)


def test_an_unknown_solvent_is_refused_with_those_known() -> None:
    with pytest.raises(ValueError, match="or the molar mass and explosive limit from its SDS"):
        solvent_named("thinner")


@given(st.sampled_from(list(SOLVENTS.values())), st.floats(1, 5000), fractions)
def test_the_air_holds_the_vapour_at_its_fraction(solvent: object, grams: float, of: float) -> None:
    """The way round: the grams spread over the air are that fraction of the limit in g/m3."""
    mass, lel = solvent.molar_mass_g_mol, solvent.lel_pct  # type: ignore[attr-defined]
    air_m3 = dilution_air_m3(grams, mass, lel, of)
    assert grams / air_m3 == pytest.approx(of * lel_g_m3(lel, mass))


@given(st.floats(1, 5000), st.floats(1, 5000), fractions, fractions)
def test_more_vapour_or_a_smaller_fraction_never_takes_less_air(
    one_g: float, other_g: float, one: float, other: float
) -> None:
    (little, much), (strict, loose) = sorted((one_g, other_g)), sorted((one, other))
    assert dilution_air_m3(little, 106.17, 1, loose) <= dilution_air_m3(much, 106.17, 1, strict)


def test_flow_is_the_air_of_a_minute_for_an_hour() -> None:
    one = dilution_air_m3(20, 106.17, 1.0, 0.1)
    assert dilution_flow_m3_h(20, 106.17, 1.0, 0.1) == pytest.approx(60 * one)
    assert dilution_flow_m3_h(20, 106.17, 1.0, 0.1, mixing_factor=3) == pytest.approx(180 * one)


@pytest.mark.parametrize("fraction", [0, -0.1, 0.26, 1, 10, math.nan])
def test_a_fraction_over_a_quarter_of_the_limit_is_refused(fraction: float) -> None:
    with pytest.raises(ValueError, match=r"dangerous; wanted 0\.001 to 0\.25"):
        dilution_air_m3(500, 106.17, 1.0, fraction)


@given(st.floats(0.5, 200), st.floats(0.5, 200), st.floats(0.01, 50))
def test_more_air_never_clears_later(one: float, other: float, left_pct: float) -> None:
    slow, fast = sorted((one, other))
    assert clearance_min(fast, left_pct) <= clearance_min(slow, left_pct)


@given(st.floats(0.5, 200), st.floats(1, 50), st.floats(1, 50))
def test_clearing_twice_takes_the_sum_of_both(changes: float, one: float, other: float) -> None:
    both = clearance_min(changes, one * other / 100)
    assert both == pytest.approx(clearance_min(changes, one) + clearance_min(changes, other))


def test_the_air_is_taken_for_clear_when_one_percent_of_the_mist_is_left() -> None:
    """House rule: nobody who asks for a clearance time without saying more gets a shorter one."""
    assert clearance_min(20) == pytest.approx(3 * math.log(100))


def test_clearance_of_the_shop_from_its_volume_and_fan() -> None:
    """120 m3, 2400 m3/h: 20 changes, 13.8 min to 1 % (closed form); poor mixing triples it."""
    changes = 2400 / 120
    assert clearance_min(changes, 1) == pytest.approx(13.8, abs=0.05)
    assert clearance_min(changes, 1, mixing_factor=3) == pytest.approx(3 * 13.8, abs=0.1)


@pytest.mark.parametrize(
    ("changes", "left_pct", "factor"),
    [(0, 1, 1), (-6, 1, 1), (math.inf, 1, 1), (6, 0, 1), (6, 51, 1), (6, 1, 0.5), (6, 1, 11)],
)
def test_a_room_that_cannot_be_is_refused(changes: float, left_pct: float, factor: float) -> None:
    with pytest.raises(ValueError, match="must be at least"):
        clearance_min(changes, left_pct, mixing_factor=factor)


ATOMS_G_MOL = {"C": 12.011, "H": 1.008, "O": 15.999}
"""IUPAC, abridged standard atomic weights."""


@pytest.mark.parametrize(
    ("name", "formula"),
    [
        ("xylene", "C8 H10"),
        ("butyl acetate", "C6 H12 O2"),
        ("butanone", "C4 H8 O1"),
        ("ethanol", "C2 H6 O1"),
        ("isopropanol", "C3 H8 O1"),
        ("acetone", "C3 H6 O1"),
        ("ethylbenzene", "C8 H10"),
        ("toluene", "C7 H8"),
        ("mibk", "C6 H12 O1"),
        ("butanol", "C4 H10 O1"),
    ],
)
def test_a_solvents_molar_mass_is_that_of_its_formula(name: str, formula: str) -> None:
    mass = sum(ATOMS_G_MOL[atom[0]] * int(atom[1:]) for atom in formula.split())
    assert SOLVENTS[name].molar_mass_g_mol == pytest.approx(mass, abs=0.006)
