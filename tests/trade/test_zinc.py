"""Zinc: mass, least thickness, years, paint on it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade.zinc import (
    LOSS_UM_YEAR,
    ZincYears,
    bare_spots,
    duplex_years,
    least_zinc,
    mass_g_m2,
    paint_on_zinc,
    thickness_um,
    years_left,
)

zincs = st.floats(0, 1900)


@given(zincs)
def test_thickness_comes_back_from_its_mass(zinc_um: float) -> None:
    """7.2 g/cm3: ISO 1461 (seen)."""
    assert mass_g_m2(100) == pytest.approx(720)
    assert thickness_um(mass_g_m2(zinc_um)) == pytest.approx(zinc_um)


@given(
    st.floats(0.1, 500),
    st.floats(0.1, 500),
    st.sampled_from([("1999", "steel"), ("2009", "steel"), ("2009", "casting")]),
)
def test_thicker_steel_never_asks_for_less_zinc(
    one: float, other: float, of: tuple[str, str]
) -> None:
    thin, thick = (least_zinc(mm, *of) for mm in sorted((one, other)))
    assert thin.local_um <= thick.local_um
    assert thin.mean_um <= thick.mean_um
    assert thin.local_um < thin.mean_um


@pytest.mark.parametrize(
    ("edition", "article"), [("2022", "steel"), ("1999", "threaded"), ("", "")]
)
def test_an_edition_not_held_is_refused(edition: str, article: str) -> None:
    with pytest.raises(ValueError, match=r"no least thickness is held; wanted one of: steel of"):
        least_zinc(5, edition, article)


@given(zincs, zincs, st.sampled_from(list(LOSS_UM_YEAR)))
def test_more_zinc_never_lasts_shorter(one: float, other: float, category: str) -> None:
    thin, thick = (years_left(um, category) for um in sorted((one, other)))
    assert thin.least <= thick.least
    if thin.most is None or thick.most is None:
        assert category == "C1"
    else:
        assert thin.least <= thin.most <= thick.most


@given(st.floats(1, 1900))
def test_a_harder_category_never_lasts_longer(zinc_um: float) -> None:
    years = [years_left(zinc_um, category).least for category in LOSS_UM_YEAR]
    assert years == sorted(years, reverse=True)


def test_paint_on_the_trolley_frame_is_total_less_mean_zinc() -> None:
    """Five readings over paint, zinc mean 85 um: 60 um of paint (arithmetic)."""
    found = paint_on_zinc([140, 150, 145, 138, 152], [80, 85, 90, 84, 86])
    assert found.zinc_mean_um == pytest.approx(85)
    assert found.readings_um == (55, 65, 60, 53, 67)
    assert found.mean_um == pytest.approx(60)


def test_one_reading_under_zero_stands_when_the_mean_is_paint() -> None:
    found = paint_on_zinc([90, 110], [95])
    assert found.readings_um == (-5, 15)


@given(
    st.lists(st.floats(300, 900), min_size=1, max_size=9),
    st.lists(st.floats(20, 200), min_size=1, max_size=9),
)
def test_paint_and_zinc_make_the_total(total: list[float], zinc: list[float]) -> None:
    found = paint_on_zinc(total, zinc)
    assert found.mean_um + found.zinc_mean_um == pytest.approx(sum(total) / len(total), abs=1e-5)


@pytest.mark.parametrize(
    ("total", "zinc", "said"),
    [
        ([], [85], "paint and zinc: read nothing"),
        ([140], [], "zinc: read nothing; wanted one reading or more, better five"),
        ([140, -3], [85], "paint and zinc, reading 2 -3 um: must be at least 0"),
        ([140], [85, math.nan], "zinc, reading 2 nan um"),
        ([80, 82], [85], "leaves -4 um of paint; wanted the zinc measured again"),
    ],
)
def test_gauge_readings_that_cannot_be_are_refused(
    total: list[float], zinc: list[float], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        paint_on_zinc(total, zinc)


@pytest.mark.parametrize("zinc_um", [-1, 2001, math.inf, math.nan])
def test_a_thickness_no_dip_leaves_is_refused(zinc_um: float) -> None:
    with pytest.raises(ValueError, match="must be at least 0, up to 2000 um"):
        mass_g_m2(zinc_um)
    with pytest.raises(ValueError, match="must be at least 0, up to 2000 um"):
        years_left(zinc_um, "C3")


def test_zinc_without_a_least_loss_has_no_most_years_under_paint_either() -> None:
    assert duplex_years(ZincYears(200, None), 10) == ZincYears(315, None)


@pytest.mark.parametrize(
    ("spots", "surface_m2", "repair_um", "beyond"),
    [
        ([10], 1, 100, ()),
        ([10.01], 1, 100, ("a spot of 10.01 cm2",)),
        ([10, 10, 8.5], 0.57, None, ()),  # 28.5 of 5700 cm2 are just 0.5 %
        ([10, 10, 8.6], 0.57, None, ("0.5 % of the surface is bare",)),
        ([4], 1, 99, ("99 um on the repair",)),
        ([12, 40], 0.1, 60, ("a spot of 40 cm2", "5.2 % of the surface", "60 um on the repair")),
    ],
)
def test_bare_spots_at_their_limits_are_within_and_past_them_are_not(
    spots: list[float], surface_m2: float, repair_um: float | None, beyond: tuple[str, ...]
) -> None:
    found = bare_spots(spots, surface_m2, repair_um).beyond
    assert len(found) == len(beyond)
    assert all(words.startswith(start) for words, start in zip(found, beyond, strict=True))


def test_bare_spots_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="read none; wanted the area of each"):
        bare_spots([], 1)
    with pytest.raises(ValueError, match="bare spot 2 0 cm2: must be over 0"):
        bare_spots([4, 0], 1)
    with pytest.raises(ValueError, match=r"read 200 cm2 on a part of 0\.01 m2; wanted"):
        bare_spots([200], 0.01)
