"""Film and litres: the worked examples of the trade, bad input, and there-and-back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade import film

solids = st.floats(1, 100)
thinners = st.floats(0, 100)


def test_a_frame_of_7_5_m2_swallows_2_9_litres() -> None:
    """60 um dry, 45 % solids, 15 % thinner, 40 % transfer: common practice, no source."""
    assert film.solids_mixed_pct(45, 15) == pytest.approx(39.1, abs=0.05)
    assert film.wet_from_dry(60, 45, 15) == pytest.approx(153, abs=0.5)
    job = film.litres(7.5, 60, 45, 15, 40)
    assert job.theory_l == pytest.approx(1.15, abs=0.005)
    assert job.mixed_l == pytest.approx(2.9, abs=0.05)
    assert job.paint_l == pytest.approx(2.5, abs=0.005)
    assert job.paint_l * 1.15 == pytest.approx(job.mixed_l)


def test_a_coarse_blast_swallows_67_um_of_paint_before_it_covers() -> None:
    """Rz 100 um: 67 ml/m2 by the paint handbook's table, from memory."""
    assert film.dead_volume_ml_m2(100) == pytest.approx(67)
    assert film.dead_volume_ml_m2(0) == 0


def test_a_litre_will_not_do_for_etch_primer_on_a_frame() -> None:
    """12 um dry at 10 % solids: 0.9 l in theory, 2.3 l at 40 %; 1.2 l leaves about 7 um."""
    job = film.litres(7.5, 12, 10, transfer_pct=40)
    assert (job.theory_l, job.mixed_l) == pytest.approx((0.9, 2.25))
    assert film.dry_from_litres(1.2, 7.5, 10, transfer_pct=45) == pytest.approx(7.2)


@pytest.mark.parametrize(
    ("thinner_pct", "solids_pct"), [(5, 42.9), (10, 40.9), (15, 39.1), (20, 37.5), (50, 30.0), (100, 22.5)]
)  # fmt: skip
def test_45_percent_solids_thinned(thinner_pct: float, solids_pct: float) -> None:
    assert film.solids_mixed_pct(45, thinner_pct) == pytest.approx(solids_pct, abs=0.05)


def test_cans_for_two_coats_on_a_frame() -> None:
    """400 ml: 1.5-1.8 m2 per 20 um on a flat, 0.9-1.3 on a frame: 12 to 17 cans for 7.5 m2."""
    assert 1.5 <= film.can_m2(20, film.transfer("aerosol", "flat").least_pct) <= 1.8
    on_frame = film.transfer("aerosol", "frame")
    covers = [film.can_m2(20, pct) for pct in (on_frame.least_pct, on_frame.most_pct)]
    assert covers == pytest.approx([0.9, 1.3], abs=0.1)
    assert (film.cans(7.5, 2, 0.9), film.cans(7.5, 2, 1.3)) == (17, 12)
    assert film.cans(3, 1, 1.5) == 2


@pytest.mark.parametrize(
    ("have_l", "face"), [(2.1, 6), (2.9, None), (3.0, None), (0.0, 1), (2.89, 8), (0.3, 1)]
)
def test_where_the_paint_runs_out(have_l: float, face: int | None) -> None:
    assert film.runs_out_at_face(have_l, 2.9, 8) == face


def test_transfer_falls_from_flat_to_frame_to_small() -> None:
    for tool in ("hvlp", "conventional", "aerosol"):
        flat, frame, small = (film.transfer(tool, s).least_pct for s in ("flat", "frame", "small"))
        assert flat > frame > small - 5
    brush, small = film.transfer("brush", "frame"), film.transfer("hvlp", "small")
    assert (brush.least_pct, brush.most_pct) == (85, 90), "common practice, no source"
    assert (small.least_pct, small.most_pct) == (15, 30), "common practice, no source"


@pytest.mark.parametrize("tool", ["airless", "conventional"])
@pytest.mark.parametrize("side", ["least_pct", "most_pct"])
def test_on_a_frame_each_tool_loses_the_share_that_hvlp_loses(tool: str, side: str) -> None:
    flat, frame = (getattr(film.transfer("hvlp", shape), side) for shape in ("flat", "frame"))
    expected = getattr(film.transfer(tool, "flat"), side) * frame / flat
    assert getattr(film.transfer(tool, "frame"), side) == pytest.approx(expected, abs=0.5)


@pytest.mark.parametrize(("tool", "shape"), [("roller", "small"), ("sponge", "flat"), ("", "")])
def test_a_tool_without_a_figure_is_refused(tool: str, shape: str) -> None:
    with pytest.raises(ValueError, match=r"no transfer figure .* or give your own percent"):
        film.transfer(tool, shape)


def test_typical_areas_run_from_least_to_most() -> None:
    """From memory; wheels and cradles are worked out by hand in the rows."""
    pieces = {
        "frame, short": (6.0, 8.0),
        "frame, long": (8.0, 11.0),
        "axle": (0.7, 1.0),
        "road spring": (0.25, 0.4),
        "bracket, small": (0.02, 0.04),
        "arm": (0.2, 0.35),
    }
    assert pieces.items() <= film.TYPICAL_AREAS_M2.items()
    assert all(0 < least < most for least, most in film.TYPICAL_AREAS_M2.values())


@pytest.mark.parametrize("solids_pct", [0.0, -1.0, 101.0, math.nan])
def test_solids_of_nothing_or_over_100_are_refused(solids_pct: float) -> None:
    told = r"volume solids .* %: must be over 0, up to 100 %"
    with pytest.raises(ValueError, match=told):
        film.wet_from_dry(60, solids_pct)
    with pytest.raises(ValueError, match=told):
        film.dry_from_wet(60, solids_pct)
    with pytest.raises(ValueError, match=told):
        film.spreading_rate_m2_per_l(solids_pct, 60)
    with pytest.raises(ValueError, match=told):
        film.litres(7.5, 60, solids_pct)


def test_figures_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match="dry film 0 um: must be over 0, up to 2000 um"):
        film.wet_from_dry(0, 45)
    with pytest.raises(ValueError, match="wet film 20000 um: must be over 0, up to 10000 um"):
        film.dry_from_wet(20_000, 45)
    with pytest.raises(ValueError, match="thinner -5 %: must be at least 0, up to 100 %"):
        film.wet_from_dry(60, 45, -5)
    with pytest.raises(ValueError, match="area 0 m2: must be over 0"):
        film.litres(0, 60, 45)
    with pytest.raises(ValueError, match="transfer 0 %: must be over 0, up to 100 %"):
        film.litres(7.5, 60, 45, transfer_pct=0)
    with pytest.raises(ValueError, match="loss 100 %: must be at least 0, up to 99 %"):
        film.litres(7.5, 60, 45, lost_pct=100)
    with pytest.raises(ValueError, match="no parts: give at least one amount"):
        film.solids_of_parts_pct([])
    with pytest.raises(ValueError, match=r"mixed paint 1e\+12 l"):
        film.dry_from_litres(1e12, 7.5, 45)
    with pytest.raises(ValueError, match="roughness -1 um"):
        film.dead_volume_ml_m2(-1)
    with pytest.raises(ValueError, match="coats 0: must be at least 1"):
        film.cans(7.5, 0, 1)


@given(st.floats(1, 500), solids, thinners)
def test_wet_to_dry_to_wet_returns(dry_um: float, solids_pct: float, thinner_pct: float) -> None:
    wet_um = film.wet_from_dry(dry_um, solids_pct, thinner_pct)
    if wet_um > film.MOST_WET_UM:
        return
    again = film.dry_from_wet(wet_um, solids_pct, thinner_pct)
    assert again == pytest.approx(dry_um)
    assert film.wet_from_dry(again, solids_pct, thinner_pct) == pytest.approx(wet_um)
    assert wet_um >= dry_um * (1 - 1e-9)


@given(
    st.floats(0.01, 1000), st.floats(1, 500), solids, thinners, st.floats(1, 100), st.floats(0, 90)
)
def test_litres_leave_the_film_they_were_reckoned_for(
    area_m2: float, dry_um: float, solids_pct: float, thinner_pct: float, transfer_pct: float,
    lost_pct: float,
) -> None:  # fmt: skip
    job = film.litres(area_m2, dry_um, solids_pct, thinner_pct, transfer_pct, lost_pct)
    assert job.mixed_l >= job.theory_l * (1 - 1e-9)
    reaches_l = job.mixed_l * (1 - lost_pct / 100)
    if reaches_l > film.MOST_LITRES:
        return
    left_um = film.dry_from_litres(reaches_l, area_m2, solids_pct, thinner_pct, transfer_pct)
    assert left_um == pytest.approx(dry_um)


@given(st.floats(0.1, 50), st.floats(1, 500), solids)
def test_litres_and_spreading_rate_are_one_sum(
    area_m2: float, dry_um: float, solids_pct: float
) -> None:
    rate = film.spreading_rate_m2_per_l(solids_pct, dry_um)
    assert film.litres(area_m2, dry_um, solids_pct).theory_l * rate == pytest.approx(area_m2)
