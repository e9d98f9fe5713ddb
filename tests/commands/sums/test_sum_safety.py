"""`sum voc`, `air`, `clear` and `spray` against published and worked rows, with their cautions."""

from __future__ import annotations

import ast
import re

import pytest

from bench.trade import solvent
from bench.trade.solvent import SOLVENTS
from tests.published.rows import Row, named

from ..summing import figures, reckon, refused, up

OURS = {
    "m-xylene": "xylene",
    "n-butyl_acetate": "butyl acetate",
    "butanone": "butanone",
    "ethanol": "ethanol",
    "isopropanol": "isopropanol",
}


def sheet_of(row: Row, lel: str) -> str:
    """The solvent of a row by molar mass and the explosive limit that the row was reckoned with."""
    name = next(key for key in OURS if f"-{key}-" in row.id)
    return f"--lel {lel}% --molar-mass {SOLVENTS[OURS[name]].molar_mass_g_mol}g/mol"


@pytest.mark.parametrize("row", named("solvent", r"MIX\d"))
def test_voc_of_the_mix_as_sprayed(row: Row) -> None:
    pairs = re.search(r"\[.*\]", row.inputs)
    water = re.search(r"water_L=([\d.]+)", row.inputs)
    assert pairs
    assert water
    parts = ",".join(f"{litres}l={voc}g/l" for litres, voc in ast.literal_eval(pairs[0]))
    found = figures(f"voc {parts} --water {water[1]}l")
    whole, less_water = row.figures
    assert (found["voc_g_l"], found["less_water_g_l"]) == (up(whole), up(less_water))


@pytest.mark.parametrize(
    ("category", "row_id"),
    [
        ("preparatory", "LIM-preparatory"),
        ("pre-cleaner", "LIM-pre-cleaner"),
        ("stopper", "LIM-bodyfiller_stopper"),
        ("topcoat", "LIM-topcoat"),
    ],
)
def test_the_eu_limit_stands_beside_the_figure_and_is_no_verdict(
    category: str, row_id: str
) -> None:
    """nibusinessinfo.co.uk on Directive 2004/42/EC (source seen)."""
    (case,) = named("solvent", row_id)
    row: Row = case.values[0]  # type: ignore[attr-defined]
    found = figures(f"voc 4l=420g/l,1l=380g/l --water 1l --category {category}")
    assert found["limit_g_l"] == row.figures[0]
    counts_water = category in ("preparatory", "pre-cleaner")
    assert found["figure_g_l"] == found["voc_g_l" if counts_water else "less_water_g_l"]
    assert "verdict" not in found


@pytest.mark.parametrize("row", named("solvent", r"VENT-.*"))
def test_clean_air_to_stay_under_a_fraction_of_the_explosive_limit(row: Row) -> None:
    found = figures(
        f"air {row.given['m_g']}g {sheet_of(row, row.given['LEL'])} "
        f"--fraction {100 * row.input('fraction'):g}%"
    )
    assert found["m3"] == pytest.approx(row.figures[0], rel=0.01)


@pytest.mark.parametrize("row", named("solvent", r"RATE-.*"))
def test_clean_air_by_the_hour_while_solvent_evaporates(row: Row) -> None:
    """Butyl acetate is reckoned with the 1.2 % of the row; by name ours holds a stricter 1 %."""
    lel = "1.2" if "butyl" in row.id else "1.0"
    found = figures(
        f"air {row.given['g_min']}g/min {sheet_of(row, lel)} "
        f"--fraction {100 * row.input('fraction'):g}% --mixing {row.given['K']}"
    )
    assert found["m3_h"] == pytest.approx(row.figures[0], rel=0.01)


def test_of_several_solvents_the_worst_counts() -> None:
    found = figures("air 500g --solvent 'xylene,butanone'")
    assert (found["lel_pct"], found["molar_mass_g_mol"]) == (1.0, 72.11)
    alone = figures("air 500g --solvent xylene")
    assert alone["m3"] == 114, "113.3 m3, never less air than worked out"
    assert alone["m3"] < found["m3"]


def test_over_a_quarter_of_the_explosive_limit_is_refused() -> None:
    """US OSHA: vapour over 25 % of the limit is dangerous (source seen)."""
    assert "over a quarter" in refused("air 500g --solvent xylene --fraction 26%", code=2)


@pytest.mark.parametrize(
    "line",
    [
        "air 500g",
        "air 500g --lel 1%",
        "air 500g --solvent xylene --lel 1% --molar-mass 106g/mol",
        "air 500g --solvent xylene --mixing 3",
        "clear --flow 2400m3/h --mixing 3",
        "clear --changes 20",
        "air 20g/min --solvent xylene",
        "clear --changes 20 --room 120m3 --mixing 3",
        "spray",
        "spray --flow 200ml/min --fan 25cm",
        "spray --distance 20cm",
        "spray --height 100cm --fan 25cm",
    ],
)
def test_options_that_do_not_go_together_are_wrong_usage(line: str) -> None:
    assert "wanted" in refused(line, code=2)


@pytest.mark.parametrize("row", named("solvent", r"ACH-.*"))
def test_clearance_to_5_to_1_and_to_a_tenth_of_a_percent(row: Row) -> None:
    for left, minutes in zip(("5%", "1%", "0.1%"), row.figures, strict=True):
        found = figures(f"clear --changes {row.given['ACH']} --mixing 1 --left {left}")
        assert found["minutes"] == up(minutes)


def test_clearance_from_a_room_and_its_fan() -> None:
    found = figures("clear --room 120m3 --flow 2400m3/h --mixing 1")
    assert found["air_changes_h"] == 20
    assert found["minutes"] == 14, "13.8 min, rounded up"
    slow = figures("clear --room 120m3 --flow 2400m3/h --mixing 3")
    assert slow["minutes"] == 42, "41.4 min, rounded up"


@pytest.mark.parametrize(
    ("line", "cautions"),
    [
        ("voc 4l=420g/l,1l=380g/l", solvent.VOC_CAUTIONS),
        ("air 500g --solvent xylene", solvent.AIR_CAUTIONS),
        ("air 20g/min --solvent xylene --mixing 3", solvent.AIR_CAUTIONS),
        ("clear --changes 20 --mixing 3", solvent.CLEARANCE_CAUTIONS),
    ],
)
def test_the_cautions_are_printed_and_stand_in_the_json(
    line: str, cautions: tuple[str, ...]
) -> None:
    assert figures(line)["cautions"] == list(cautions)
    told = reckon(line).out.splitlines()
    assert told[-len(cautions) :] == [f"caution: {caution}" for caution in cautions]
    assert cautions[0].startswith("An estimate")


@pytest.mark.parametrize("row", named("spraying", r"FILM-.*"))
def test_mean_dry_film_of_a_coat(row: Row) -> None:
    """Balance of volumes; transfer on solids as aqmd.gov defines it (seen)."""
    found = figures(
        f"spray --flow {row.given['Q_mLmin']}ml/min --fan {row.given['fan_m']}m "
        f"--speed {row.given['v_ms']}m/s --overlap {100 * row.input('overlap'):g}% "
        f"--transfer {100 * row.input('TE'):g}% --solids {100 * row.input('VS'):g}%"
    )
    assert found["dry_um"] == pytest.approx(row.figures[0], abs=0.05)


@pytest.mark.parametrize("row", named("spraying", r"DIST-.*"))
def test_film_falls_with_distance(row: Row) -> None:
    found = figures(f"spray --distance {row.given['d0']}cm --held {row.given['d']}cm")
    assert found["distance_share"] == pytest.approx(row.figures[0], abs=0.005)


@pytest.mark.parametrize("row", named("spraying", r"ARC-.*"))
def test_film_falls_with_a_swung_wrist(row: Row) -> None:
    for turned in ("", "-"):
        found = figures(f"spray --angle {turned}{row.given['angle_deg']}deg")
        both = [found["angle_share"], found["angle_share_sweep"]]
        assert both == pytest.approx(row.figures, abs=0.002)


@pytest.mark.parametrize("row", named("spraying", r"PASS-.*"))
def test_passes_to_cover_a_panel(row: Row) -> None:
    found = figures(
        f"spray --height {row.given['height_cm']}cm --fan {row.given['fan_cm']}cm "
        f"--overlap {100 * row.input('overlap'):g}%"
    )
    assert found["passes"] == row.figures[0]


def test_a_symptom_gives_the_likely_cause_and_the_next_pass() -> None:
    """Common practice, no source."""
    (found,) = figures("spray --symptom sandy")["symptoms"]
    assert found["next_pass"] == "5 cm closer"
    assert "wanted one of run" in refused("spray --symptom purple", code=2)
