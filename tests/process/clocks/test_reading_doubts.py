"""Readings that are not believed at once. 8 C and 3 minutes: common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bench.process.clocks.conditions import UNANSWERED_TEXT, conditions_against, conditions_at
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.reading_doubts import confirms, doubt_of
from bench.process.clocks.temperature import Reading, UnansweredJump
from bench.process.sheets.product import Limits

from ..making import HOURS

NOON = datetime(2025, 6, 9, 12, tzinfo=UTC)


def read(
    air_c: float, metal_c: float | None = None, minutes: float = 0, rh_pct: float | None = None
) -> Reading:
    return Reading(NOON + timedelta(minutes=minutes), air_c, rh_pct, metal_c)


def test_a_reading_more_than_8_c_off_the_last_one_is_doubted_and_one_just_8_c_off_is_not() -> None:
    assert doubt_of(read(26, minutes=10), [read(18)], 8) is None
    for air_c in (26.1, 9.9):
        doubt = doubt_of(read(air_c, minutes=10), [read(18)], 8)
        assert doubt is not None
        assert (doubt.what, doubt.c, doubt.before_c) == ("air", air_c, 18)


def test_the_first_reading_of_a_shop_has_nothing_to_be_doubted_by() -> None:
    assert doubt_of(read(48), [], 8) is None


def test_a_surface_that_jumps_is_doubted_though_the_air_stays() -> None:
    doubt = doubt_of(read(18, 30, 10), [read(18), read(18, 17, -60)], 8)
    assert doubt is not None
    assert doubt.question(NOON) == "metal 30 C? it was 17 C at 11:00"


def test_air_and_surface_far_apart_are_doubted_once_and_not_with_every_reading() -> None:
    doubt = doubt_of(read(18, 5, 10), [read(18)], 8)
    assert doubt is not None
    assert doubt.question(NOON) == "metal 5 C? the air is 18 C"
    assert doubt_of(read(18, 6, 20), [read(18, 5, 10)], 8) is None


@pytest.mark.parametrize("metal_c", [26, 10])
def test_a_surface_just_8_c_off_its_last_or_off_the_air_is_believed(metal_c: float) -> None:
    beyond = metal_c + (0.1 if metal_c > 18 else -0.1)
    for before in (read(18), read(18, 18, -60)):
        assert doubt_of(read(18, metal_c, 10), [before], 8) is None
        assert doubt_of(read(18, beyond, 10), [before], 8) is not None


def test_air_and_surface_count_as_apart_before_only_past_8_c() -> None:
    assert doubt_of(read(18, 9.9, 20), [read(18, 9.9, 10)], 8) is None
    assert doubt_of(read(18, 9.9, 20), [read(18, 10, 10)], 8) is not None


def test_a_second_reading_confirms_it_only_minutes_later_and_only_if_it_agrees() -> None:
    assert not confirms(read(48, minutes=2.99), read(48), 8)
    assert confirms(read(47, minutes=3), read(48), 8)
    assert not confirms(read(30, minutes=3), read(48), 8)


@pytest.mark.parametrize(
    ("before", "jumped", "rule"),
    [
        pytest.param(read(18, 9, -10, rh_pct=40), read(18, 25, rh_pct=40), "too-cold", id="cold"),
        pytest.param(read(18, 12, -10, rh_pct=60), read(18, 25, rh_pct=60), "dew-point", id="dew"),
        pytest.param(read(30, 18, -10, rh_pct=60), read(12, 18, rh_pct=60), "dew-point", id="air"),
        pytest.param(read(18, 45, -10, rh_pct=40), read(18, 18, rh_pct=40), "too-warm", id="hot"),
        pytest.param(read(18, 18, -10, rh_pct=90), read(30, 30, rh_pct=40), "humidity", id="damp"),
        pytest.param(read(18, 18, -10, rh_pct=60), read(18, 9, rh_pct=60), "too-cold", id="falls"),
        pytest.param(
            read(18, 18, -10, rh_pct=60), read(30, 18, rh_pct=60), "dew-point", id="rises"
        ),
    ],
)
def test_until_a_jump_is_answered_the_stricter_of_before_and_after_it_holds_a_coat_back(
    before: Reading, jumped: Reading, rule: str
) -> None:
    jump = UnansweredJump(NOON, "metal", jumped.paint_c, before.paint_c, before.paint_c)
    asked = Environment((before, jumped), replace(HOURS, unanswered=jump), {})
    limits = Limits(metal_least_c=10)
    against = {each.name: each for each in conditions_against(asked.conditions(NOON), limits, NOON)}
    assert rule in against
    assert UNANSWERED_TEXT in against[rule].read
    alone = (conditions_at([one], NOON) for one in (before, jumped))
    either = {each.name for one in alone for each in conditions_against(one, limits, NOON)}
    assert set(against) == either, "no limit is looked at more kindly than by each alone"


def test_a_jump_that_was_answered_counts_alone() -> None:
    cold, warm = read(18, 9, -10, rh_pct=40), read(18, 25, rh_pct=40)
    answered = Environment((cold, warm), HOURS, {}).conditions(NOON)
    assert conditions_against(answered, Limits(metal_least_c=10), NOON) == ()


def test_a_pot_mixed_after_a_jump_to_warmer_rests_as_long_as_before_it() -> None:
    jump = UnansweredJump(NOON, "air", 30, 18, 18)
    readings = (read(18, minutes=-10), read(30))
    asked = Environment(readings, replace(HOURS, unanswered=jump), {})
    assert asked.paint_c(NOON) == 18
    assert Environment(readings, HOURS, {}).paint_c(NOON) == 30
