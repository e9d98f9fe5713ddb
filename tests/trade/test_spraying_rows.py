"""The gun against closed forms and published practice."""

from __future__ import annotations

import math

import pytest

from bench.trade.spraying import (
    arc_ratio,
    distance_ratio,
    fan_edge_share,
    film_of_pass,
    passes_to_cover,
)
from tests.published.rows import Row, named, unchecked

FILMS = named("spraying", r"FILM-\d")
FAN = named("spraying", "GD-fan")
DISTANCES = named("spraying", r"DIST-.*")
ARCS = named("spraying", r"ARC-.*")
EDGES = named("spraying", r"EDGE-.*")
PASSES = named("spraying", r"PASS-.*")
CM_OF_INCH = 2.54
OVERLAP = named("spraying", "T-overlap", "GD-ovl")


def test_every_row_is_checked() -> None:
    groups = (FILMS, FAN, DISTANCES, ARCS, EDGES, PASSES, OVERLAP)
    assert unchecked("spraying", *groups) == set()


@pytest.mark.parametrize("row", FILMS)
def test_mean_dry_film_of_a_coat(row: Row) -> None:
    """Transfer counts on solids, as aqmd.gov defines it."""
    laid = film_of_pass(
        flow_ml_min=row.input("Q_mLmin"),
        fan_cm=100 * row.input("fan_m"),
        speed_cm_s=100 * row.input("v_ms"),
        overlap_pct=100 * row.input("overlap"),
        transfer_pct=100 * row.input("TE"),
        solids_pct=100 * row.input("VS"),
    )
    assert laid.dry_um == pytest.approx(row.figures[0], abs=0.05)


@pytest.mark.parametrize("row", DISTANCES)
def test_film_falls_with_distance(row: Row) -> None:
    found = distance_ratio(row.input("d0"), row.input("d"))
    assert found == pytest.approx(row.figures[0], abs=0.005)


@pytest.mark.parametrize("row", ARCS)
def test_film_falls_with_a_swung_wrist(row: Row) -> None:
    found = arc_ratio(row.input("angle_deg"))
    assert [found.sweep_and_fan, found.sweep] == pytest.approx(row.figures, abs=0.002)


@pytest.mark.parametrize("row", FAN)
def test_the_edge_row_is_that_of_a_well_set_fan(row: Row) -> None:
    """8 in wide at 10 in."""
    (edge,) = (case.values[0] for case in EDGES if case.values[0].id == "EDGE-20.32-25.4")  # type: ignore[attr-defined]
    sizes = [edge.input("fan_cm"), edge.input("distance_cm")]
    assert sizes == pytest.approx([CM_OF_INCH * inches for inches in row.figures])


@pytest.mark.parametrize("row", EDGES)
def test_film_at_the_edge_of_the_fan(row: Row) -> None:
    fan_cm, distance_cm = row.input("fan_cm"), row.input("distance_cm")
    half_angle, share = row.figures
    found = fan_edge_share(fan_cm, distance_cm)
    assert found == pytest.approx(share, abs=0.002)
    assert math.degrees(math.acos(math.sqrt(found))) == pytest.approx(half_angle, abs=0.05)


@pytest.mark.parametrize("row", PASSES)
def test_passes_to_cover_a_panel(row: Row) -> None:
    overlap_pct = 100 * row.input("overlap")
    found = passes_to_cover(row.input("height_cm"), row.input("fan_cm"), overlap_pct)
    assert found == row.figures[0]


@pytest.mark.parametrize("row", OVERLAP)
def test_half_overlap_gives_each_point_two_passes(row: Row) -> None:
    overlap_pct, passes = row.figures[0], 2
    laid = {pct: film_of_pass(200, 25, 46, pct, 65, 40).dry_um for pct in (0, overlap_pct)}
    assert laid[overlap_pct] / laid[0] == pytest.approx(passes)
