"""`sum cup`, `zinc`, `readings` and `crosscut` against published and worked rows."""

from __future__ import annotations

import json

import pytest

from bench.trade.cups import CUPS
from tests.published.rows import Row, named

from ..summing import down, figures, reckon, refused


@pytest.mark.parametrize("row", named("cups", r"ISO\d-.*", r"Z\d-.*", r"F\d-.*"))
def test_seconds_of_a_cup_as_viscosity_and_back(row: Row) -> None:
    """Within the cup's own range of times; the status of its coefficients comes with the answer."""
    family, name = next(
        (key, label)
        for key, label in (("iso", "cup_mm"), ("zahn", "Zahn"), ("ford", "Ford"))
        if label in row.given
    )
    key, seconds = f"{family}{row.given[name]}", row.input("t_s")
    line = f"cup {key} --seconds {seconds:g}"
    if not CUPS[key].least_s <= seconds <= CUPS[key].most_s:
        assert "outside the times it measures" in refused(line)
        return
    found = figures(line)
    assert found["mm2_s"] == pytest.approx(row.figures[0], rel=0.005, abs=0.06)
    assert found["source"] == CUPS[key].source
    back = figures(f"cup {key} --viscosity {found['mm2_s']}mm2/s")
    assert back["seconds"] == pytest.approx(seconds, abs=1e-3)


def test_a_time_outside_a_cups_range_is_refused_with_the_cup_to_take() -> None:
    assert "a finer cup: ISO 2431 cup, 3 mm" in refused("cup iso4 --seconds 10")
    assert "a coarser cup: ISO 2431 cup, 5 mm" in refused("cup iso4 --seconds 101s")
    assert "or for this paint Ford cup" in refused("cup ford2 --viscosity 300mm2/s")


def test_thinner_for_a_target_is_marked_as_an_estimate() -> None:
    """Logarithmic mixing rule of Arrhenius (1887), from memory."""
    line = "cup ford4 --with-thinner 0%=60,10%=40s --target 25"
    found = figures(line)
    assert found["thinner_pct"] == pytest.approx(25.4, abs=0.05)
    assert found["beyond_readings"] is True
    assert "estimate" in found["note"]
    assert "beyond the two readings: less sure" in reckon(line).out


@pytest.mark.parametrize(
    "line",
    [
        "cup ford4 --with-thinner 0%=60,10%=40",
        "cup ford4 --seconds 40 --target 25",
        "cup ford4 --with-thinner 0%=60 --target 25",
    ],
)
def test_thinner_for_a_target_takes_two_readings(line: str) -> None:
    assert "wanted" in refused(line, code=2)


@pytest.mark.parametrize("row", named("zinc", r"LIFE-.*"))
def test_years_until_the_zinc_is_used_up(row: Row) -> None:
    found = figures(f"zinc --thickness {row.given['um']}um --category {row.given['category']}")
    assert [found["years_low"], found["years_high"]] == [down(each) for each in row.figures]


@pytest.mark.parametrize("row", named("zinc", r"ZD-.*"))
def test_mass_of_zinc_and_back(row: Row) -> None:
    """7.2 g/cm3, ISO 1461."""
    found = figures(f"zinc --thickness {row.given['um']}um")
    assert found["g_m2"] == pytest.approx(row.figures[0], abs=float(row.tolerance))
    assert "years_low" not in found
    back = figures(f"zinc --mass {found['g_m2']}g/m2")
    assert back["thickness_um"] == pytest.approx(row.input("um"))


@pytest.mark.parametrize("row", named("zinc", r"Z(1999|2009)-.*"))
def test_least_zinc_for_the_steel(row: Row) -> None:
    found = figures(
        f"zinc --thickness 85um --steel {row.given['steel_mm']}mm --edition {row.given['edition']}"
    )
    least = [float(each) for each in row.expected.split("/")]
    assert [found["least_local_um"], found["least_mean_um"]] == least
    assert found["source"].startswith(f"ISO 1461:{row.given['edition']}")


def test_the_mildest_category_has_no_upper_end() -> None:
    """ISO 9223:2012, from memory."""
    assert figures("zinc --thickness 85um --category c1")["years_high"] is None
    assert "no upper end" in reckon("zinc --thickness 85um --category c1").out


@pytest.mark.parametrize("row", named("readings", r"A\d+"))
def test_verdict_and_mean_of_a_set(row: Row) -> None:
    """A medium profile takes 25 um off."""
    films = ",".join(str(each) for each in json.loads(row.given["readings"]))
    surface = {0: "smooth", 25: "medium"}[int(row.input("corr"))]
    found = figures(f"readings {films} --nominal {row.given['NDFT']}um --surface {surface}")
    assert found["mean"] == pytest.approx(row.figures[0], abs=0.05)
    assert found["accept"] is ("ACCEPT" in row.expected)


def test_a_set_too_small_is_judged_but_more_is_asked_for() -> None:
    found = figures("readings 72,65,58 --nominal 60um")
    assert (found["mean"], found["least"], found["accept"]) == (65, 58, False)
    assert found["why"] == "1 of 3 below 60 um, 20 % or more; take more: 3 readings of 5"
    assert found["take_more"] is True


def test_zinc_is_taken_off_each_reading() -> None:
    """A magnetic gauge reads all layers: makers' guidance seen; arithmetic."""
    for zinc in ("85um", "80,85,90", "80um;85um;90um"):
        found = figures(f"readings 140,150,145,138,152 --nominal 60um --zinc '{zinc}'")
        assert (found["mean"], found["least"], found["most"]) == (60, 53, 67)
    assert "wanted the zinc measured again" in refused("readings 72,65 --nominal 60um --zinc 85um")


def test_a_film_under_40_um_is_not_judged() -> None:
    """ISO 19840:2012 scope (seen)."""
    assert "at least 40, up to 3000 um: ISO 19840 does not judge thinner films" in refused(
        "readings 12,11,10 --nominal 12um", code=2
    )


@pytest.mark.parametrize("row", named("crosscut", r"CL(?!25)\d+"))
def test_class_of_what_flaked(row: Row) -> None:
    found = figures(f"crosscut --film 75um --flaked {row.given['flaked_pct']}%")
    assert found["astm_class"] == row.expected
    assert found["iso_class"] == 5 - int(row.expected[0])


def test_spacing_by_film_and_substrate() -> None:
    """ISO 2409: the limit of 250 um seen, the spacings from memory."""
    spacings = [figures(f"crosscut --film {um}um")["spacing_mm"] for um in (60, 61, 121)]
    assert spacings == [1, 2, 3]
    assert figures("crosscut --film 60um --soft")["spacing_mm"] == 2
    assert figures("crosscut --film 60um")["iso_class"] is None
    assert "wants an X-cut (ISO 16276-2)" in refused("crosscut --film 300um", code=2)


def test_one_square_of_25_is_4_percent() -> None:
    by_square = figures("crosscut --film 75um --squares 1")
    assert by_square == figures("crosscut --film 75um --flaked 4%")
    assert by_square["iso_class"] == 1
