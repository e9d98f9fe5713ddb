"""Mixes, densities, solids of a mix and pot life against worked rows; none is published."""

from __future__ import annotations

from typing import get_args

import pytest

from bench.trade import ageing, film, mixing
from bench.trade.mixing import Of, Ratio, Share
from tests.published.rows import Row, named, unchecked

MIXES = named("mixing", r"MIX\d-of_.*")
PARTS = named("mixing", "MIX-parts")
WEIGHTS = named("mixing", r"WT-.*")
DENSITIES = named("mixing", r"RHO-.*")
SOLIDS = named("mixing", r"VS-.*")
POT_LIVES = named("mixing", r"POT-.*")


def test_every_row_is_checked() -> None:
    groups = (MIXES, PARTS, WEIGHTS, DENSITIES, SOLIDS, POT_LIVES)
    assert unchecked("mixing", *groups) == set()


@pytest.mark.parametrize("row", MIXES)
def test_thinner_percent_of_base_of_mixed_and_of_total(row: Row) -> None:
    of: Of = next(each for each in get_args(Of) if row.given["convention"] == f"of_{each}")
    base, hardener = (float(size) for size in row.given["ratio"].split(":"))
    shares = (Share("base", base), Share("hardener", hardener))
    ratio = Ratio(shares, thinner_pct=row.input("thinner_pct"), thinner_of=of)
    mix = mixing.for_total(ratio, row.input("total_mL"))
    poured = [pour.ml for pour in mix.pours] + [0.0] * (3 - len(mix.pours))
    assert poured == pytest.approx(row.figures, abs=float(row.tolerance))


@pytest.mark.parametrize("row", PARTS)
def test_the_third_part_of_4_1_1_is_20_percent_of_the_mixed_paint(row: Row) -> None:
    ratio = Ratio((Share("base", 4), Share("hardener", 1), Share("thinner", 1)))
    base, hardener, thinner = (pour.ml for pour in mixing.for_total(ratio, 600).pours)
    found = [
        base, hardener, thinner,
        100 * thinner / (base + hardener), 100 * thinner / 600, 100 * thinner / base,
    ]  # fmt: skip
    assert found == pytest.approx(row.figures, abs=float(row.tolerance))
    assert mixing.thinner_of_mixed_pct(ratio) == 20


@pytest.mark.parametrize("row", WEIGHTS)
def test_a_ratio_by_volume_on_a_scale(row: Row) -> None:
    """The last figure is what the ratio by volume would give if weighed as it stands: wrong."""
    base, hardener = (float(size) for size in row.given["vol"].split(":"))
    ratio = Ratio((Share("base", base), Share("hardener", hardener)))
    densities = {"base": row.input("rhoA"), "hardener": row.input("rhoB")}
    base_g, hardener_g = (pour.g for pour in mixing.for_total(ratio, 500, densities).pours)
    assert base_g is not None
    assert hardener_g is not None
    by_weight, g_per_100, wrong = row.figures
    assert base_g / hardener_g == pytest.approx(by_weight, abs=float(row.tolerance))
    assert 100 * hardener_g / base_g == pytest.approx(g_per_100, abs=float(row.tolerance))
    assert 100 * hardener / base == pytest.approx(wrong)


@pytest.mark.parametrize("row", DENSITIES)
def test_density_of_the_mix(row: Row) -> None:
    roles = ("base", "hardener", "thinner")
    vols, rho = (
        dict(zip(roles, (float(n) for n in row.given[key].strip("()").split(",")), strict=True))
        for key in ("vols", "rho")
    )
    mix = mixing.as_poured(vols, rho)
    assert mix.total_g is not None
    assert mix.total_g / mix.total_ml == pytest.approx(row.figures[0], abs=float(row.tolerance))


@pytest.mark.parametrize("row", SOLIDS)
def test_volume_solids_of_the_mix(row: Row) -> None:
    base, hardener = (float(size) for size in row.given["ratio"].split(":"))
    ratio = Ratio(
        (Share("base", base), Share("hardener", hardener)),
        thinner_pct=row.input("thinner_of_mixed"),
    )
    solids = {"base": row.input("VS_A"), "hardener": row.input("VS_B"), "thinner": 0.0}
    pours = mixing.for_total(ratio, 1000).pours
    found = film.solids_of_parts_pct([(pour.ml, solids[pour.role]) for pour in pours])
    assert found == pytest.approx(row.figures[0], abs=float(row.tolerance))


@pytest.mark.parametrize("row", POT_LIVES)
def test_pot_life_is_never_longer_than_by_halving_per_10_c_nor_lengthened_by_cold(row: Row) -> None:
    """On the cold side the published rule credits up to the double; ours keeps the sheet's time.
    On the warm side ours is a fifth shorter per 10 C: one rule for whatever closes.

    A pot life may only get shorter by temperature, unless the sheet has a point there.
    """
    listed_c, listed_min, temp_c = row.input("T0"), row.input("pot0"), row.input("T")
    by_the_rule = listed_min / ageing.doubling_rate(temp_c, listed_c)
    assert by_the_rule == pytest.approx(row.figures[0], abs=float(row.tolerance))
    found = mixing.pot_life_s(((listed_c, listed_min * 60),), temp_c)
    if temp_c > listed_c:
        assert found.basis == "guess"
        shorter = (2 / ageing.HOT_RATE) ** ((temp_c - listed_c) / 10)
        by_ours = row.figures[0] * shorter
        assert found.seconds / 60 == pytest.approx(by_ours, abs=float(row.tolerance))
    else:
        assert found == ageing.TimeAt(listed_min * 60, "sheet")
