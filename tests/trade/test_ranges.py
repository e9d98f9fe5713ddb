"""What each sum takes: the least and the most are still taken, and nothing beyond them is."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from bench.trade import (
    ageing,
    air,
    batch,
    crosscut,
    film,
    masses,
    mixing,
    readings,
    salts,
    sections,
    solvent,
    spraying,
    zinc,
)

OVER_0 = math.ulp(0.0)
"""The next number after 0, for a range that leaves 0 out."""

Sum = Callable[..., object]
MOST_UM, MOST_L, MOST_ML, MOST_MM = 2000.0, 10_000.0, 200_000.0, 3000.0

PASS = {
    **{"flow_ml_min": 200, "fan_cm": 25, "speed_cm_s": 50, "overlap_pct": 50},
    **{"transfer_pct": 60, "solids_pct": 40},
}
VAPOUR = {"vapour_g": 500, "molar_mass_g_mol": 106, "lel_pct": 1.0, "fraction": 0.1, "air_c": 20}
FLOW = {"evaporating_g_min": 20, "molar_mass_g_mol": 106, "lel_pct": 1.0, "mixing_factor": 2}
ANGLE = {"leg_mm": 60, "other_leg_mm": 80, "thick_mm": 6}
CHANNEL = {"height_mm": 100, "flange_mm": 50, "web_mm": 6, "flange_thick_mm": 8}
THIN = CHANNEL | {"web_mm": 0.1, "flange_thick_mm": 0.1}
PLATE = {"length_mm": 900, "width_mm": 300, "thick_mm": 6}
FOUR = mixing.Ratio((mixing.Share("base", 4), mixing.Share("hardener", 1)))
TUBE = {"piece": sections.read_piece("CHS 48.3x3.2"), "length_m": 6}
SALTS = {"before_us_cm": 0, "after_us_cm": 20_000, "water_ml": 10}
SPOTS = {"spots_cm2": [0.5], "surface_m2": 20, "repair_um": 100}
SHIFT = {"air_c": 20, "rh_pct": 50, "metal_c": 20}


def a_portion(litres: float, voc_g_l: float) -> object:
    """The VOC of one portion alone."""
    return solvent.voc_of_mix([solvent.Portion(litres, voc_g_l)])


def a_part(ml: float, solids_pct: float) -> object:
    """The solids of one part alone."""
    return film.solids_of_parts_pct([(ml, solids_pct)])


def judged(nominal_um: float = 60, reading_um: float = 70, correction_um: float = 0) -> object:
    """A verdict on a thick reading and another one."""
    return readings.judge([9000, reading_um], nominal_um, correction_um=correction_um)


def a_spot(spot_cm2: float) -> object:
    """One bare spot on a large part."""
    return zinc.bare_spots([spot_cm2], 100_000)


def duplex(zinc_years: float = 40, paint_years: float = 10) -> object:
    """Zinc that lasts so long, and paint."""
    return zinc.duplex_years(zinc.ZincYears(zinc_years, zinc_years), paint_years)


RANGES: list[tuple[Sum, dict[str, Any], str, float, float]] = [
    (ageing.arrhenius_rate, {"temp_c": 20, "reference_c": 20}, "ea_kj_mol", OVER_0, 300),
    (ageing.doubling_rate, {"reference_c": 20}, "temp_c", -40, 120),
    (air.dew_point_c, {"rh_pct": 50}, "air_c", -40, 60),
    (air.dew_point_c, {"air_c": 20}, "rh_pct", 1, 100),
    (air.rh_from_wet_bulb, {"air_c": 20, "wet_c": 15}, "pressure_hpa", 600, 1100),
    (air.verdict, SHIFT, "margin_least_c", 0, 30),
    (air.verdict, SHIFT, "rh_most_pct", 1, 100),
    (air.verdict, SHIFT, "metal_c", -40, 120),
    (batch.smallest_measure, {"graduation": 10}, "tolerance_pct", OVER_0, 100),
    (batch.round_to_cup, {"ratio": FOUR, "need_ml": 500}, "graduation_ml", OVER_0, 5000),
    (batch.cups_for, {"cup_ml": 1000}, "total_ml", OVER_0, MOST_ML),
    (batch.cups_for, {"total_ml": 1000}, "cup_ml", OVER_0, MOST_ML),
    (crosscut.spacing_mm, {}, "film_um", 0.1, 250),
    (crosscut.flaked_pct, {}, "squares", 0, 25),
    (crosscut.cross_cut, {"film_um": 60}, "flaked_pct", 0, 100),
    (film.wet_from_dry, {"solids_pct": 50}, "dry_um", OVER_0, MOST_UM),
    (film.wet_from_dry, {"dry_um": 50, "solids_pct": 50}, "thinner_pct", 0, 100),
    (film.dry_from_wet, {"solids_pct": 50}, "wet_um", OVER_0, 10_000),
    (film.solids_mixed_pct, {"thinner_pct": 5}, "solids_pct", OVER_0, 100),
    (film.spreading_rate_m2_per_l, {"dry_um": 50}, "solids_pct", OVER_0, 100),
    (film.spreading_rate_m2_per_l, {"solids_pct": 50}, "dry_um", OVER_0, MOST_UM),
    (film.dead_volume_ml_m2, {}, "rz_um", 0, 300),
    (film.can_m2, {"transfer_pct": 50}, "dry_um", OVER_0, MOST_UM),
    (film.can_m2, {"dry_um": 20}, "transfer_pct", OVER_0, 100),
    (film.can_m2, {"dry_um": 20, "transfer_pct": 50}, "solids_in_can_pct", OVER_0, 100),
    (film.can_m2, {"dry_um": 20, "transfer_pct": 50}, "can_ml", OVER_0, 1000),
    (film.cans, {"area_m2": 7, "m2_per_can": 1.3}, "coats", 1, 20),
    (film.cans, {"coats": 1, "m2_per_can": 1.3}, "area_m2", OVER_0, 10_000),
    (film.cans, {"area_m2": 7, "coats": 1}, "m2_per_can", OVER_0, math.inf),
    (film.runs_out_at_face, {"need_l": 3, "faces": 8}, "have_l", 0, MOST_L),
    (film.runs_out_at_face, {"have_l": 0, "faces": 8}, "need_l", OVER_0, MOST_L),
    (film.runs_out_at_face, {"have_l": 2, "need_l": 3}, "faces", 1, 1000),
    (masses.mass_of, TUBE, "length_m", OVER_0, 1000),
    (masses.mass_of, TUBE, "count", 1, 100_000),
    (masses.mass_of, TUBE, "zinc_um", 0, 2000),
    (masses.mass_of, TUBE, "also_kg", 0, 10_000),
    (mixing.for_total, {"ratio": FOUR}, "total_ml", OVER_0, MOST_ML),
    (mixing.diluted_l, {"water_parts": 4}, "ready_l", OVER_0, 1000),
    (mixing.diluted_l, {"ready_l": 10}, "water_parts", 0, 1000),
    (mixing.from_cup_mark, {"ratio": FOUR, "cup_ml": 1000}, "mark_ml", OVER_0, 1000),
    (mixing.big_pot_life_s, {"life_s": 3600}, "pot_ml", OVER_0, MOST_ML),
    (judged, {}, "nominal_um", 40, 3000),
    (judged, {}, "reading_um", -200, 10_000),
    (judged, {}, "correction_um", 0, 60),
    (readings.least_readings, {}, "area_m2", 0.0001, 100_000),
    (salts.salts_mg_m2, SALTS, "before_us_cm", 0, 20_000),
    (salts.salts_mg_m2, SALTS, "after_us_cm", 0, 20_000),
    (salts.salts_mg_m2, SALTS, "water_ml", 0.5, 200),
    (salts.salts_mg_m2, SALTS, "patch_cm2", 1, 500),
    (sections.tube_m2_per_m, {}, "across_mm", OVER_0, MOST_MM),
    (sections.flat_m2_per_m, {"thick_mm": 6}, "width_mm", OVER_0, MOST_MM),
    (sections.flat_m2_per_m, {"width_mm": 50}, "thick_mm", OVER_0, MOST_MM),
    (sections.box_m2_per_m, {"height_mm": 3000, "wall_mm": 0.1}, "width_mm", OVER_0, MOST_MM),
    (sections.box_m2_per_m, {"width_mm": 3000, "wall_mm": 0.1}, "height_mm", OVER_0, MOST_MM),
    (sections.angle_m2_per_m, ANGLE | {"thick_mm": 0.1}, "leg_mm", OVER_0, MOST_MM),
    (sections.angle_m2_per_m, ANGLE | {"thick_mm": 0.1}, "other_leg_mm", OVER_0, MOST_MM),
    (sections.channel_m2_per_m, THIN, "height_mm", OVER_0, MOST_MM),
    (sections.channel_m2_per_m, THIN, "flange_mm", OVER_0, MOST_MM),
    (sections.plate_m2, PLATE, "length_mm", OVER_0, MOST_MM),
    (sections.plate_m2, PLATE, "width_mm", OVER_0, MOST_MM),
    (sections.plate_m2, PLATE, "thick_mm", OVER_0, MOST_MM),
    (sections.channel_m2_per_m, CHANNEL, "web_mm", OVER_0, 25),
    (sections.channel_m2_per_m, CHANNEL, "flange_thick_mm", OVER_0, 100 / 3),
    (sections.channel_m2_per_m, CHANNEL, "root_mm", 0, 42),
    (sections.channel_m2_per_m, CHANNEL, "toe_mm", 0, 8),
    (sections.angle_m2_per_m, ANGLE, "thick_mm", OVER_0, 30),
    (sections.angle_m2_per_m, ANGLE, "root_mm", 0, 54),
    (sections.angle_m2_per_m, ANGLE, "toe_mm", 0, 6),
    (sections.plate_m2, PLATE | {"hole_mm": 1}, "holes", 0, 1000),
    (sections.plate_m2, PLATE | {"holes": 1}, "hole_mm", OVER_0, 300),
    (solvent.molar_volume_l, {}, "air_c", -20, 60),
    (solvent.vapour_m3, {"molar_mass_g_mol": 106}, "vapour_g", 0, 1_000_000),
    (solvent.vapour_m3, {"vapour_g": 500}, "molar_mass_g_mol", 16, 500),
    (solvent.lel_g_m3, {"molar_mass_g_mol": 106}, "lel_pct", 0.1, 20),
    (solvent.dilution_air_m3, VAPOUR, "lel_pct", 0.1, 20),
    (solvent.dilution_air_m3, VAPOUR, "fraction", 0.001, 0.25),
    (solvent.exposure_mg_m3, {"molar_mass_g_mol": 106}, "limit_ppm", 0.001, 10_000),
    (solvent.exposure_air_m3, {"vapour_g": 50}, "limit_mg_m3", 0.001, 100_000),
    (solvent.exposure_air_m3, {"limit_mg_m3": 220}, "vapour_g", 0, 1_000_000),
    (solvent.dilution_flow_m3_h, FLOW, "evaporating_g_min", 0, 100_000),
    (solvent.dilution_flow_m3_h, FLOW, "mixing_factor", 1, 10),
    (solvent.clearance_min, {}, "air_changes_h", 0.1, 1000),
    (solvent.clearance_min, {"air_changes_h": 20}, "left_pct", 0.01, 50),
    (solvent.clearance_min, {"air_changes_h": 20}, "mixing_factor", 1, 10),
    (a_part, {"solids_pct": 50}, "ml", OVER_0, math.inf),
    (a_part, {"ml": 400}, "solids_pct", 0, 100),
    (a_portion, {"voc_g_l": 400}, "litres", 0.001, 10_000),
    (a_portion, {"litres": 4}, "voc_g_l", 0, 1400),
    (spraying.film_of_pass, PASS, "flow_ml_min", 1, 5000),
    (spraying.film_of_pass, PASS, "fan_cm", 1, 100),
    (spraying.film_of_pass, PASS, "speed_cm_s", 1, 200),
    (spraying.film_of_pass, PASS, "overlap_pct", 0, 90),
    (spraying.film_of_pass, PASS, "transfer_pct", 1, 100),
    (spraying.film_of_pass, PASS, "solids_pct", 1, 100),
    (spraying.distance_ratio, {"held_cm": 20}, "meant_cm", 3, 100),
    (spraying.distance_ratio, {"meant_cm": 20}, "held_cm", 3, 100),
    (spraying.arc_ratio, {}, "angle_deg", -60, 60),
    (spraying.fan_edge_share, {"distance_cm": 20}, "fan_cm", 1, 100),
    (spraying.fan_edge_share, {"fan_cm": 25}, "distance_cm", 3, 100),
    (spraying.passes_to_cover, {"fan_cm": 25, "overlap_pct": 50}, "height_cm", 1, 2000),
    (a_spot, {}, "spot_cm2", OVER_0, 100_000),
    (duplex, {}, "zinc_years", 0, 500),
    (duplex, {}, "paint_years", 0, 100),
    (zinc.bare_spots, SPOTS, "surface_m2", 0.0001, 100_000),
    (zinc.bare_spots, SPOTS, "repair_um", 0, 3000),
    (zinc.mass_g_m2, {}, "zinc_um", 0, 2000),
    (zinc.thickness_um, {}, "zinc_g_m2", 0, 14_000),
    (zinc.least_zinc, {}, "steel_mm", 0.1, 500),
]


@pytest.mark.parametrize(
    ("sum_of", "given", "what", "least", "most"),
    [pytest.param(*row, id=f"{row[0].__name__}-{row[2]}") for row in RANGES],
)
def test_both_ends_of_a_range_are_taken_and_the_next_number_is_not(
    sum_of: Sum, given: dict[str, Any], what: str, least: float, most: float
) -> None:
    sum_of(**(given | {what: 0.5 if least == OVER_0 else least}))
    if most < math.inf:
        sum_of(**(given | {what: most}))
    for beyond in (math.nextafter(least, -math.inf), math.nextafter(most, math.inf)):
        with pytest.raises(ValueError, match=r"must be|wanted|starts at"):
            sum_of(**(given | {what: beyond}))
