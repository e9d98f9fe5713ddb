"""Solvent in the tin and in the air, against published limits and examples, and closed forms."""

from __future__ import annotations

import ast
import re

import pytest

from bench.shop.settings.setting_list import PLACEHOLDER_MIN
from bench.trade.solvent import (
    SOLVENTS,
    VOC_LIMITS,
    Portion,
    Solvent,
    Voc,
    clearance_min,
    dilution_air_m3,
    dilution_flow_m3_h,
    exposure_air_m3,
    exposure_mg_m3,
    lel_g_m3,
    molar_volume_l,
    vapour_m3,
    voc_of_mix,
)
from tests.published.rows import Row, named, unchecked

LIMITS = named("solvent", r"LIM-(prep|pre-|body|surf|wash|top|special).*")
WATER = named("solvent", "DEF5")
MIXES = named("solvent", r"MIX\d")
EXAMPLES = named("solvent", r"EX\d")
MOLAR = named("solvent", "VM")
POUND_MOLE = named("solvent", "DV-387")
VAPOUR = named("solvent", "DV-q")
LIMIT_MASS = named("solvent", r"LELg-.*")
FIRST_SOURCE = named("solvent", r"LEL-.*")
SECOND_SOURCE = named("solvent", r"LELb-.*")
FLASH = named("solvent", "LIM-n-butyl_acetate_flash_point")
AIR = named("solvent", r"VENT-.*")
FLOW = named("solvent", r"RATE-.*")
EXAMPLE_FLOW = named("solvent", "DV-Q")
ACGIH = named("solvent", r"ACGIH-\d")
OSHA = named("solvent", r"G11-.*")
DECAY = named("solvent", r"ACH-\d+")
PRINTED_DECAY = named("solvent", r"CDC-\d+")
CLEARANCE = named("solvent", r"LIM-clearance.*", "TM-30")
DANGER = named("solvent", "LIM-US_dangerous.*")
BREATHING = named("solvent", "LIM-xylene_UK_WEL")

CATEGORY = {
    "preparatory": "preparatory",
    "pre-cleaner": "pre-cleaner",
    "bodyfiller/stopper": "stopper",
    "surfacer/filler and general metal primer": "primer",
    "wash primer": "wash-primer",
    "topcoat all types": "topcoat",
    "special finishes all types": "special",
}
NAME = {
    "m-xylene": "xylene",
    "o-xylene": "xylene",
    "n-butyl_acetate": "butyl acetate",
    "n-butanol": "butanol",
    "1-butanol": "butanol",
    "4-methyl-2-pentanone": "mibk",
}
G_L_OF_LB_US_GAL = 119.826
L_OF_FT3 = 28.316847
L_OF_US_GAL = 3.785412
ML_OF_US_PINT = 473.176
C_OF_70_F = 21.11
C_OF_293_K = 19.85
MOLES_OF_LB_MOLE = 453.592


def _solvent(row: Row) -> Solvent:
    """The solvent a row's id names: "LEL-m-xylene", "VENT-m-xylene-10"."""
    name = re.sub(r"^[A-Za-z0-9]+-|-\d+(-\d+)?$", "", row.id)
    return SOLVENTS[NAME.get(name, name)]


def test_every_row_is_checked() -> None:
    tin = (LIMITS, WATER, MIXES, EXAMPLES)
    vapour = (MOLAR, POUND_MOLE, VAPOUR, FIRST_SOURCE, LIMIT_MASS, SECOND_SOURCE, FLASH)
    air = (AIR, FLOW, EXAMPLE_FLOW, ACGIH, OSHA, DANGER, BREATHING)
    clearing = (DECAY, PRINTED_DECAY, CLEARANCE)
    assert unchecked("solvent", *tin, *vapour, *air, *clearing) == set()


@pytest.mark.parametrize("row", LIMITS)
def test_eu_limit_of_each_refinishing_category(row: Row) -> None:
    assert VOC_LIMITS[CATEGORY[row.given["category"]]].limit_g_l == row.figures[0]


@pytest.mark.parametrize("row", WATER)
def test_water_counts_only_in_preparatory_and_cleaning_products(row: Row) -> None:
    voc = Voc(whole_g_l=125, less_water_g_l=189.66)
    shown = {category: voc.beside(limit) for category, limit in VOC_LIMITS.items()}
    assert {category for category, g_l in shown.items() if g_l == 125} == {
        "preparatory",
        "pre-cleaner",
    }


@pytest.mark.parametrize("row", MIXES)
def test_voc_of_a_mix_stands_beside_its_limit(row: Row) -> None:
    """The OK or OVER is the row's; ours shows the figure and the limit and does not judge."""
    parts, water = row.inputs.removeprefix("(L,g/L)=").split(";water_L=")
    found = voc_of_mix([Portion(*each) for each in ast.literal_eval(parts)], float(water))
    assert [found.whole_g_l, found.less_water_g_l] == pytest.approx(row.figures, abs=0.1)
    limit_g_l = float(row.quantity.split()[-1])
    limit = next(each for each in VOC_LIMITS.values() if each.limit_g_l == limit_g_l)
    assert (found.beside(limit) > limit_g_l) is ("OVER" in row.expected)


@pytest.mark.parametrize("row", EXAMPLES)
def test_published_examples_in_pounds_a_gallon(row: Row) -> None:
    if row.id == "EX1":
        # 33.2 lb of VOC in 100 US gal, of which 62.4 are water.
        litres = 100 * L_OF_US_GAL
        found = voc_of_mix([Portion(litres, 0.332 * G_L_OF_LB_US_GAL)], 0.624 * litres)
        assert [found.whole_g_l, found.less_water_g_l] == pytest.approx(row.figures[2:], abs=0.1)
    else:
        # 3 parts at 3.1, 1 at 1.8, 7 of water: 11.1 / 4. The page prints 2.75 for our 2.775: it
        # rounds on the way, 0.9 % below its own figures.
        found = voc_of_mix([Portion(3, 3.1), Portion(1, 1.8), Portion(7, 0)], 7)
        assert found.less_water_g_l - row.figures[0] == pytest.approx(0.025)


@pytest.mark.parametrize("row", MOLAR)
def test_molar_volume(row: Row) -> None:
    at_20, at_25 = row.figures[0], row.figures[1]
    assert molar_volume_l(20) == pytest.approx(at_20, abs=0.01)
    assert molar_volume_l(25) == pytest.approx(at_25, abs=0.01)


@pytest.mark.parametrize("row", POUND_MOLE)
def test_cubic_feet_of_a_pound_mole_at_70_f(row: Row) -> None:
    cubic_feet = molar_volume_l(C_OF_70_F) * MOLES_OF_LB_MOLE / L_OF_FT3
    assert cubic_feet == pytest.approx(row.figures[0], abs=row.within)


@pytest.mark.parametrize("row", VAPOUR)
def test_litres_of_vapour_in_a_textbook_example(row: Row) -> None:
    litres = 1000 * vapour_m3(row.input("g_min"), row.input("MW"), C_OF_293_K)
    assert litres == pytest.approx(row.figures[0], abs=row.within)


@pytest.mark.parametrize("row", LIMIT_MASS)
def test_explosive_limit_as_a_mass(row: Row) -> None:
    ours_g_m3 = lel_g_m3(row.input("LEL"), row.input("MW"))
    assert [ours_g_m3, ours_g_m3 / 10] == pytest.approx(row.figures, rel=0.005)


@pytest.mark.parametrize("row", FIRST_SOURCE)
def test_explosive_limit_and_flash_point_by_open_reference_data(row: Row) -> None:
    """Ours is never above it; where a second source is lower, ours is that one."""
    held, (lel_pct, flash_c) = _solvent(row), row.figures
    assert held.molar_mass_g_mol == row.input("MW")
    assert 0 <= lel_pct - held.lel_pct <= 0.2 + 1e-9
    assert 0 <= flash_c - held.flash_c <= 6


@pytest.mark.parametrize("row", SECOND_SOURCE)
def test_explosive_limit_and_flash_point_by_a_second_source(row: Row) -> None:
    """Sources differ by up to 0.5 vol % and 5 C; the lower of the two is held."""
    held = _solvent(row)
    lel, flash = (
        min(float(each) for each in re.findall(r"-?\d+(?:\.\d+)?", side.replace("..", " ")))
        for side in row.expected.split(", ")
    )
    assert 0 <= lel - held.lel_pct <= 0.5
    assert 0 <= flash - held.flash_c <= 5


@pytest.mark.parametrize("row", FLASH)
def test_a_third_flash_point_of_butyl_acetate_is_higher(row: Row) -> None:
    """osha.gov gives 28.3 C, 6.3 C above the lowest published; the lowest is held."""
    assert row.figures[1] - SOLVENTS["butyl acetate"].flash_c == pytest.approx(6.3)


@pytest.mark.parametrize("row", AIR)
def test_air_to_dilute_a_mass_of_vapour(row: Row) -> None:
    found = dilution_air_m3(
        row.input("m_g"), _solvent(row).molar_mass_g_mol, row.input("LEL"), row.input("fraction")
    )
    assert found == pytest.approx(row.figures[0], rel=0.01)


@pytest.mark.parametrize("row", FLOW)
def test_air_flow_while_solvent_evaporates(row: Row) -> None:
    """The rows take the explosive limit of xylene by the first source, 1.0."""
    found = dilution_flow_m3_h(
        row.input("g_min"),
        _solvent(row).molar_mass_g_mol,
        1.0,
        row.input("fraction"),
        mixing_factor=row.input("K"),
    )
    assert found == pytest.approx(row.figures[0], rel=0.01)


@pytest.mark.parametrize("row", EXAMPLE_FLOW)
def test_air_flow_of_a_textbook_example(row: Row) -> None:
    """80 ppm is 0.008 of a limit of 1 vol %; the grams and the molar mass are those of DV-q."""
    fraction = row.input("C_ppm") / 1e4
    m3_h = dilution_flow_m3_h(
        8.24, 92, 1.0, fraction, mixing_factor=row.input("K"), air_c=C_OF_293_K
    )
    assert m3_h * 1000 / 60 == pytest.approx(row.figures[0], rel=row.within / 100)


@pytest.mark.parametrize("row", ACGIH)
def test_air_flow_against_the_american_handbook_in_cubic_feet(row: Row) -> None:
    """cfm = 403 SG 100 ER Sf / (MW LEL B), and the same to hold 50 ppm; 403 is for 70 F."""
    grams_min = ML_OF_US_PINT / 30 * row.input("SG")
    # 50 ppm is 0.005 vol %, a two-hundredth of a limit of 1 vol %.
    fraction, factor = (0.25, 1) if row.id == "ACGIH-1" else (0.005, 3)
    m3_h = dilution_flow_m3_h(
        grams_min, row.input("MW"), 1.0, fraction, mixing_factor=factor, air_c=C_OF_70_F
    )
    assert m3_h * 1000 / 60 / L_OF_FT3 == pytest.approx(row.figures[0], rel=0.01)


@pytest.mark.parametrize("row", OSHA)
def test_air_per_gallon_against_osha(row: Row) -> None:
    """29 CFR 1910.94(c)(6): 4 (100 - LEL) V / LEL, V at 70 F.

    It takes the vapour's own volume off the air, so ours is higher by 1 / (1 - LEL/100): 1.0 to
    2.6 %, on the safe side.
    """
    held, lel_pct = _solvent(row), row.input("LEL")
    grams = 1000 * L_OF_US_GAL * row.input("rho")
    vapour_ft3 = vapour_m3(grams, held.molar_mass_g_mol, C_OF_70_F) * 1000 / L_OF_FT3
    assert vapour_ft3 == pytest.approx(row.figures[0], rel=0.01)
    air_m3 = dilution_air_m3(grams, held.molar_mass_g_mol, lel_pct, 0.25, C_OF_70_F)
    over = air_m3 * 1000 / L_OF_FT3 / row.figures[1]
    assert over == pytest.approx(1 / (1 - lel_pct / 100), rel=0.003)


@pytest.mark.parametrize("row", DECAY)
def test_minutes_to_clear_the_room(row: Row) -> None:
    found = [clearance_min(row.input("ACH"), left_pct) for left_pct in (5, 1, 0.1)]
    assert found == pytest.approx([float(each) for each in row.expected.split("/")], abs=0.1)


@pytest.mark.parametrize("row", PRINTED_DECAY)
def test_minutes_to_clear_the_room_as_printed(row: Row) -> None:
    found = [clearance_min(row.input("ACH"), left_pct) for left_pct in (1, 0.1)]
    printed = [float(each) for each in row.expected.split("/")]
    assert found == pytest.approx(printed, abs=row.within)


@pytest.mark.parametrize("row", CLEARANCE)
def test_masks_stay_on_no_shorter_than_published_until_somebody_measures(row: Row) -> None:
    assert max(row.figures) <= PLACEHOLDER_MIN


@pytest.mark.parametrize("row", DANGER)
def test_over_a_quarter_of_the_explosive_limit_is_refused(row: Row) -> None:
    quarter = row.figures[0] / 100
    assert dilution_air_m3(500, 106.17, 1.0, quarter) > 0
    with pytest.raises(ValueError, match="over a quarter of the limit is held dangerous"):
        dilution_air_m3(500, 106.17, 1.0, quarter + 0.01)


@pytest.mark.parametrize("row", BREATHING)
def test_a_tenth_of_the_explosive_limit_is_twenty_times_the_exposure_limit(row: Row) -> None:
    """Of xylene, over eight hours."""
    xylene = SOLVENTS["xylene"]
    tenth_mg_m3 = 100 * lel_g_m3(xylene.lel_pct, xylene.molar_mass_g_mol)
    assert tenth_mg_m3 / row.figures[1] == pytest.approx(20, rel=0.01)


@pytest.mark.parametrize("row", BREATHING)
def test_an_exposure_limit_in_ppm_is_that_in_mg(row: Row) -> None:
    ppm, mg_m3 = row.figures[:2]
    assert exposure_mg_m3(ppm, SOLVENTS["xylene"].molar_mass_g_mol) == pytest.approx(
        mg_m3, rel=0.01
    )


@pytest.mark.parametrize("row", named("solvent", "ACGIH-2"))
def test_air_to_an_exposure_limit_against_the_american_handbook(row: Row) -> None:
    """Its cubic feet a minute hold 50 ppm; ours is the air for what evaporates in that minute."""
    grams = ML_OF_US_PINT / 30 * row.input("SG")
    limit_mg_m3 = exposure_mg_m3(row.input("C"), row.input("MW"), C_OF_70_F)
    cubic_feet = 3 * exposure_air_m3(grams, limit_mg_m3) * 1000 / L_OF_FT3
    assert cubic_feet == pytest.approx(row.figures[0], rel=0.01)
