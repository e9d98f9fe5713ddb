"""Rates, equivalent age and the doubling rule against published and worked rows."""

from __future__ import annotations

import ast

import pytest

from bench.trade import ageing
from tests.published.rows import Row, named, unchecked

RATES = named("ageing", r"ARR-.*")
DOUBLINGS = named("ageing", r"DBL-.*")
EQUIVALENT = named("ageing", r"EQAGE-.*")
BY_DOUBLING = named("ageing", "Q10h")
RULE = named("ageing", "Q10ref")
EPOXY = named("ageing", "Q10epx")
REFERENCE_C = 23.0


def test_every_row_is_checked() -> None:
    groups = (RATES, DOUBLINGS, EQUIVALENT, BY_DOUBLING, RULE, EPOXY)
    assert unchecked("ageing", *groups) == set()


@pytest.mark.parametrize("row", RATES)
def test_arrhenius_rate_against_23_c(row: Row) -> None:
    found = ageing.arrhenius_rate(row.input("T_C"), REFERENCE_C, row.input("Ea_kJmol"))
    assert found == pytest.approx(row.figures[0], abs=float(row.tolerance))


@pytest.mark.parametrize("row", DOUBLINGS)
def test_activation_energy_at_which_ten_degrees_double_exactly(row: Row) -> None:
    cold_c, warm_c = (float(each) for each in row.inputs.removesuffix(" C").split("->"))
    assert ageing.arrhenius_rate(warm_c, cold_c, row.figures[0]) == pytest.approx(2, abs=0.002)


@pytest.mark.parametrize("row", EQUIVALENT)
def test_equivalent_age_by_arrhenius(row: Row) -> None:
    """The equation of ASTM C1074."""
    ea_kj_mol = row.input("Q_K") * ageing.GAS_CONSTANT_J_MOL_K / 1000
    age_h = sum(h * ageing.arrhenius_rate(c, REFERENCE_C, ea_kj_mol) for h, c in _steps(row))
    assert age_h == pytest.approx(row.figures[0], abs=float(row.tolerance))


@pytest.mark.parametrize("row", BY_DOUBLING)
def test_equivalent_age_by_doubling(row: Row) -> None:
    age_h = sum(h * ageing.doubling_rate(c, REFERENCE_C) for h, c in _steps(row))
    assert age_h == pytest.approx(row.figures[0], abs=float(row.tolerance))


@pytest.mark.parametrize("row", RULE)
def test_ten_degrees_double_or_halve(row: Row) -> None:
    assert row.expected == "rate x2 / -10 C x0.5"
    assert (ageing.doubling_rate(30, 20), ageing.doubling_rate(10, 20)) == (2.0, 0.5)


@pytest.mark.parametrize("row", EPOXY)
def test_full_hardness_in_half_the_days_at_30_c_is_not_credited(row: Row) -> None:
    """Published: 7 days at room temperature, 3.5 at 30 C. The rate agrees; a wait with no sheet
    point at 30 C still takes its 7 days, since warmth alone never shortens a wait."""
    days = 7 / ageing.doubling_rate(30, 20)
    assert days == row.figures[0]
    week_s = 7 * 86400.0
    assert ageing.time_at(((20.0, week_s),), 30, "opening").seconds == week_s
    listed = ((20.0, week_s), (30.0, week_s / 2))
    assert ageing.time_at(listed, 30, "opening").seconds == week_s / 2


def _steps(row: Row) -> list[tuple[float, float]]:
    steps: list[tuple[float, float]] = ast.literal_eval(row.given["steps(h,C)"])
    return steps
