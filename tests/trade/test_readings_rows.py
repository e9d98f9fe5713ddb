"""Acceptance of dry-film readings against ISO 19840, as its scope and two articles print it."""

from __future__ import annotations

import json
import re

import pytest

from bench.trade.readings import ROUGHNESS_UM, judge, least_readings
from tests.published.rows import Row, named, unchecked

SCOPE = named("readings", "I1", "TO-wp1")
RULES = named("readings", r"Q-[a-d]")
BY_AREA = named("readings", "I6")
PRINTED_BY_AREA = named("readings", r"J19840-.*", r"J\d+-ISO19840")
ROUGHNESS = named("readings", "I7")
VERDICTS = named("readings", r"A\d+")


def test_every_row_is_checked() -> None:
    groups = (SCOPE, RULES, BY_AREA, PRINTED_BY_AREA, ROUGHNESS, VERDICTS)
    assert unchecked("readings", *groups) == set()


@pytest.mark.parametrize("row", VERDICTS)
def test_verdict_and_mean_of_a_set(row: Row) -> None:
    readings = json.loads(row.given["readings"])
    found = judge(readings, row.input("NDFT"), correction_um=row.input("corr"))
    assert found.mean_um == pytest.approx(row.figures[0], abs=0.05)
    assert found.accept is ("ACCEPT" in row.expected)


@pytest.mark.parametrize("row", SCOPE)
def test_films_under_40_um_such_as_etch_primer_are_out_of_scope(row: Row) -> None:
    """A wash primer is 5 to 8 um by the manual."""
    out_of_scope = 39.9 if row.id == "I1" else row.figures[-1]
    assert row.figures[-1] in (40, 8)
    said = rf"read {out_of_scope:g} um; ISO 19840 starts at 40 um"
    with pytest.raises(ValueError, match=said):
        judge([out_of_scope] * 5, out_of_scope)
    assert judge([40] * 5, 40).accept


_AT_THE_EDGE = {
    # rule: a set that breaks this rule alone, its reason, a set that just keeps it (nominal 60 um)
    "Q-a": ([59.9] + [60] * 5, "mean 59.98 um below 60 um", [59.9, 60.1] + [60] * 4),
    "Q-b": ([47.9] + [70] * 5, "47.9 um below 48 um, 80 % of nominal", [48] + [70] * 5),
    "Q-c": ([59] + [70] * 4, "1 of 5 below 60 um, 20 % or more", [59] + [70] * 5),
    "Q-d": ([180.1] + [70] * 5, "180.1 um above the maximum, 180 um", [180] + [70] * 5),
}


@pytest.mark.parametrize("row", RULES)
def test_each_rule_alone_rejects_and_is_named(row: Row) -> None:
    readings, reason, good = _AT_THE_EDGE[row.id]
    found = judge(readings, 60)
    assert not found.accept
    assert found.why.split("; take more")[0] == reason
    assert judge(good, 60).accept


@pytest.mark.parametrize("row", BY_AREA)
def test_readings_by_area(row: Row) -> None:
    for upto_m2, count in re.findall(r"(?:\.\.|<=)(\d+)(?: m2)?:(\d+)", row.expected):
        assert least_readings(float(upto_m2)) == int(count)
    steps = [least_readings(area_m2) for area_m2 in (1.01, 3.1, 10.5, 30.5, 101, 200, 201)]
    assert steps == [10, 15, 20, 30, 40, 40, 50]


@pytest.mark.parametrize("row", PRINTED_BY_AREA)
def test_readings_by_area_as_printed(row: Row) -> None:
    if row.id == "J100-ISO19840":
        first, then = row.figures
        assert [least_readings(area_m2) for area_m2 in (100, 200)] == [first, first + then]
    else:
        for area in row.given["area_m2"].split(".."):
            # A band begins past its lower end.
            inside = float(area) + (0.1 if row.given["area_m2"].startswith(f"{area}..") else 0)
            assert least_readings(inside) == row.figures[0]


@pytest.mark.parametrize("row", ROUGHNESS)
def test_roughness_correction(row: Row) -> None:
    published = dict(re.findall(r"(fine|medium|coarse|unknown) (\d+)", row.expected))
    held = {name: f"{um:g}" for name, um in ROUGHNESS_UM.items() if name != "smooth"}
    assert held == published
    assert ROUGHNESS_UM["smooth"] == 0
