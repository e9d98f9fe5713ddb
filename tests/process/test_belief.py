"""Readings that are not believed at once. 8 C and 3 minutes: common practice, no source."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from bench.process.belief import AGAIN_AFTER, confirms, doubt_of
from bench.process.temperature import Reading

NOON = datetime(2025, 6, 9, 12, tzinfo=UTC)


def read(air_c: float, metal_c: float | None = None, minutes: float = 0) -> Reading:
    return Reading(NOON + timedelta(minutes=minutes), air_c, None, metal_c)


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
    soon, later = AGAIN_AFTER / 2 / timedelta(minutes=1), AGAIN_AFTER / timedelta(minutes=1)
    assert not confirms(read(48, minutes=soon), read(48), 8)
    assert confirms(read(47, minutes=later), read(48), 8)
    assert not confirms(read(30, minutes=later), read(48), 8)
