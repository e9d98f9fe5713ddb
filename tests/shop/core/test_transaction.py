"""An hour that a painter gives: how far ahead of the clock it may be."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import placement, steps
from bench.testing import ManualClock

from ..doing import before_the_coat, done, part, refused, state


@pytest.mark.parametrize("seconds", [0, 2])
def test_two_terminals_may_differ_by_two_seconds(
    shop: Shop, clock: ManualClock, seconds: float
) -> None:
    """House rule: two clocks never agree to the second."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    at = clock.now() + timedelta(seconds=seconds)
    done(steps.begin(shop, 1, "Kit", at=at))
    assert part(shop).steps[0].first_at == at


def test_more_than_two_seconds_ahead_are_the_future(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    before = state(shop)
    answer = refused(steps.begin(shop, 1, "Kit", at=clock.now() + timedelta(seconds=2.1)))
    assert answer.rule == "that is in the future"
    assert state(shop) == before


def test_a_coat_put_back_by_most_of_a_week_is_judged_by_the_air_of_then(
    shop: Shop, clock: ManualClock
) -> None:
    """Events are put back by a week at most (house rule)."""
    before_the_coat(shop)
    at = clock.now() + timedelta(hours=1)
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    clock.advance(hours=4)
    done(readings.take_reading(shop, "Kit", air_c=12, rh_pct=95, metal_c=12))
    clock.advance(days=6, hours=16)
    answer = refused(steps.begin(shop, 1, "Kit", at=at))
    assert {rule.name for rule in (answer, *answer.also)} == {"no-pot"}
