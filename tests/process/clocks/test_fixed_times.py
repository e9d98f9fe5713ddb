"""One time on a sheet is a time at 20 C: the cold lengthens it, the heat closes it sooner."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bench.process.clocks.edges import Edge
from bench.process.clocks.estimate_basis import basis_words
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.stand_state import StandState, stand_state
from bench.process.clocks.temperature import Reading
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import BadSheet, Band, Limits, Product, Until
from bench.process.sheets.product_rules import check_bands
from bench.process.sheets.route import Step

from ..making import HOURS, MON, after, coated, product

HOUR_S = 3600.0


def fixed(word: str, hours: float, *, exact: bool = False) -> Band:
    return Band(word, Until(fixed_s=hours * HOUR_S, exact=exact))  # type: ignore[arg-type]


def shown(paint: Product, temp_c: float, minutes: float = 1) -> StandState:
    """The stand in a shop that is as warm as this by day and by night."""
    hours = replace(HOURS, day_c=temp_c, night_c=temp_c)
    air = Environment((Reading(MON, temp_c, 60.0),), hours, {"p": paint})
    return stand_state(coated(MON, MON), clocks_of(coated(MON, MON), air), after(minutes))


def taken_h(edge: Edge | None) -> float:
    assert edge is not None
    assert edge.aged
    return (edge.at - MON) / timedelta(hours=1)


def test_an_etch_primer_waits_three_times_as_long_for_each_ten_degrees_under_10_c() -> None:
    """x2 over the first 10 C, x3 beyond (the house rule)."""
    etch = product(fixed("wait", 24), fixed("open", 24 * 30), Band("key"))
    assert taken_h(shown(etch, 5.0).opens) == pytest.approx(48.0 * 3**0.5)


def test_a_flash_off_of_15_min_takes_28_at_11_c() -> None:
    paint = product(fixed("flash", 0.25), Band("open"))
    assert taken_h(shown(paint, 11.0).opens) * 60 == pytest.approx(15 * 2**0.9)


def test_an_etch_primer_under_its_minimum_is_not_said_to_be_ready_for_its_test() -> None:
    etch = product(fixed("wait", 24), Band("open"), limits=Limits(metal_least_c=10.0))
    state = shown(etch, 3.0, minutes=24 * 60 + 1)
    assert (state.word, state.note) == ("WAIT", "too cold: it is not drying")


def test_a_forbidden_middle_of_48_h_opens_later_after_cold_nights_and_stands_still_below_its_minimum() -> (
    None
):
    enamel = product(
        fixed("open", 1), fixed("shut", 48), Band("open"), limits=Limits(metal_least_c=8.0)
    )
    cold_nights = replace(HOURS, day_c=12.0, night_c=3.0)
    part = coated(MON, MON)
    air = Environment((Reading(MON, 12.0),), cold_nights, {"p": enamel})
    again = clocks_of(part, air).spans[1]
    # Only at 12 C does it age, for 48 h x 2^0.8: the first day has 9.5 h of it, the next four 10,
    # Saturday 4.5, then two of 10; the rest of it is Wednesday's.
    left_h = 48 * 2**0.8 - (9.5 + 4 * 10 + 4.5 + 2 * 10)
    wednesday = MON.replace(day=11, hour=7, minute=30)
    assert again.end is not None
    assert abs(again.end - wednesday - timedelta(hours=left_h)) < timedelta(seconds=1)
    assert again.stalled_s > 0


def test_an_open_hour_is_shorter_in_the_heat_and_no_longer_in_the_cold() -> None:
    enamel = product(fixed("open", 1), fixed("shut", 48), Band("open"))
    assert taken_h(shown(enamel, 33.0).closes) == pytest.approx(2.5**-1.3)
    assert taken_h(shown(enamel, 5.0).closes) == 1


def test_an_exact_time_is_the_same_in_the_cold_and_in_the_heat_and_is_no_estimate() -> None:
    paint = product(fixed("wait", 24, exact=True), Band("open"))
    for temp_c in (3.0, 12.0, 33.0):
        opens = shown(paint, temp_c).opens
        assert opens == Edge(after(24 * 60), "opening")


def test_colder_than_any_estimate_the_stand_asks_for_the_figures_of_the_sheet() -> None:
    paint = product(fixed("wait", 24), Band("open"), limits=Limits(metal_least_c=0.0))
    state = shown(paint, 4.0)
    assert (state.opens, state.basis) == (None, "none")
    assert state.note == "too cold for its figures"
    assert "type its figure for the cold" in basis_words(state, Reading(MON, 4.0), HOURS, after(1))


def test_a_wash_dries_longer_in_a_cold_shop() -> None:
    wash = Step("wash", "work", bands=(fixed("drying", 1), Band("open")))
    done = StepRecord(1, wash, "done", MON, MON)
    todo = StepRecord(2, Step("prime", "coat", "p"))
    part = Part("1", "b", 1, "", "", "steel", "plain", 1, 1, (done, todo))
    air = Environment((Reading(MON, 10.0),), HOURS, {"p": product(Band("open"))})
    assert taken_h(stand_state(part, clocks_of(part, air), after(1)).opens) == pytest.approx(2)


def test_exact_is_for_one_time_only() -> None:
    table = Until(table=((20.0, HOUR_S),), exact=True)
    with pytest.raises(BadSheet, match="'exact' is for one time"):
        check_bands((Band("wait", table), Band("open")))
