"""An hour that a painter gives: how far ahead of the clock it may be."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.clock import ManualClock
from bench.shop import parts, steps
from bench.shop.acting import Shop

from .doing import done, part, refused, state


@pytest.mark.parametrize("seconds", [0, 2])
def test_two_terminals_may_differ_by_two_seconds(
    shop: Shop, clock: ManualClock, seconds: float
) -> None:
    """House rule: two clocks never agree to the second."""
    done(parts.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    at = clock.now() + timedelta(seconds=seconds)
    done(steps.begin(shop, 1, "Kit", at=at))
    assert part(shop).steps[0].first_at == at


def test_three_seconds_ahead_are_the_future(shop: Shop, clock: ManualClock) -> None:
    done(parts.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    before = state(shop)
    answer = refused(steps.begin(shop, 1, "Kit", at=clock.now() + timedelta(seconds=3)))
    assert answer.rule == "that is in the future"
    assert state(shop) == before
