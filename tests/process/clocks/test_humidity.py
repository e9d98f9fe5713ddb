"""Coats that age by the water in the air: one has to lose its own, another takes it up.

Water-borne paint stops forming a film over about 75 % humidity, moisture-cured paint stands still
under 30 to 40 % (common practice, no source).
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.clocks.conditions import conditions_against, conditions_at
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.stand_state import StandState, stand_state
from bench.process.clocks.temperature import Reading
from bench.process.sheets.product import BadSheet, Limits, Product
from bench.process.sheets.product_rules import check_limits

from ..making import HOURS, MON, after, band, coated, product

WATER_BORNE = product(band("wait", c20=4), band("open"), limits=Limits(rh_stall_pct=75.0))
MOISTURE_CURED = product(band("wait", c20=4), band("open"), limits=Limits(rh_least_pct=35.0))


def stand(paint: Product, *humidities: tuple[float, float | None]) -> StandState:
    """One read at so many minutes, at 20 C each time."""
    read = tuple(Reading(after(minutes), 20.0, rh_pct) for minutes, rh_pct in humidities)
    part = coated(MON, MON)
    return stand_state(part, clocks_of(part, Environment(read, HOURS, {"p": paint})), after(1))


@pytest.mark.parametrize(
    ("paint", "wrong", "right"), [(WATER_BORNE, 90, 60), (MOISTURE_CURED, 20, 60)]
)
def test_a_coat_waits_as_much_longer_as_the_humidity_was_wrong_for_it(
    paint: Product, wrong: float, right: float
) -> None:
    fit = stand(paint, (0, right))
    late = stand(paint, (0, right), (60, wrong), (120, None), (180, right))
    assert fit.opens is not None
    assert late.opens is not None
    assert fit.opens.at == MON + timedelta(hours=4)
    assert late.opens.at == MON + timedelta(hours=6)


def test_while_the_air_is_wrong_it_does_not_dry_and_the_stand_says_so() -> None:
    state = stand(WATER_BORNE, (0, 90))
    assert (state.word, state.opens, state.note) == ("WAIT", None, "wrong air: not drying")


def test_other_paints_do_not_mind() -> None:
    paint = product(band("wait", c20=4), band("open"))
    assert stand(paint, (0, 90)).opens == stand(paint, (0, 20)).opens


def test_what_cures_by_the_water_of_the_air_is_not_begun_in_drier_air() -> None:
    dry = conditions_at([Reading(MON, 20.0, 20.0, 20.0)], MON)
    (refused,) = conditions_against(dry, MOISTURE_CURED.limits, MON)
    assert (refused.name, refused.read) == ("humidity", "20 % humidity, at least 35 %")
    assert conditions_against(dry, Limits(), MON) == ()


@pytest.mark.parametrize(
    "limits", [Limits(rh_least_pct=85.0), Limits(rh_least_pct=40.0, rh_stall_pct=40.0)]
)
def test_limits_that_leave_no_humidity_are_refused(limits: Limits) -> None:
    with pytest.raises(BadSheet):
        check_limits(limits)


def test_in_the_same_air_each_paint_stands_still_by_its_own_humidity() -> None:
    """Damp for an hour, dry for the two after it, then neither."""
    read = tuple(Reading(after(m), 20.0, rh_pct) for m, rh_pct in ((0, 90), (60, 20), (180, 60)))
    air = Environment(read, HOURS, {})

    def opens_h(limits: Limits) -> float:
        log = air.weather(limits).temperatures(MON, "opening")
        at_s = log.passes_at(((20.0, 4 * 3600.0),), MON.timestamp(), "opening").at_s
        assert at_s is not None
        return (at_s - MON.timestamp()) / 3600

    limits = (WATER_BORNE.limits, MOISTURE_CURED.limits, Limits())
    assert [opens_h(each) for each in limits] == [5.0, 6.0, 4.0]
