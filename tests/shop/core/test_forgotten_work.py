"""The log says how long a step usually takes; past twice that the bench asks about it."""

from __future__ import annotations

import pytest

from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement, steps
from bench.testing import ManualClock

from ..doing import done

pytestmark = pytest.mark.sqlite


def asks(shop: Shop) -> list[str]:
    return [
        a.want.text for a in read_bench(shop).alarming(shop.clock.now()) if a.want.word == "WORKING"
    ]


def test_a_step_forgotten_past_twice_its_usual_time_is_asked_about(
    shop: Shop, clock: ManualClock
) -> None:
    """Its route says 15 min and 6 a m2: 15.18 for a bracket; five steps took as long.

    Twice the usual: common practice, no source.
    """
    for number in range(1, 6):
        done(placement.place(shop, number, "Kit", route="steel-blasted", shape="bracket"))
        done(steps.begin(shop, number, "Kit"))
        clock.advance(seconds=15.18 * 60)
        done(steps.finish(shop, number, "Kit"))
    done(placement.place(shop, 6, "Kit", route="steel-blasted", shape="bracket"))
    done(steps.begin(shop, 6, "Kit"))
    clock.advance(minutes=30)
    assert asks(shop) == []
    clock.advance(minutes=1)
    assert asks(shop) == [
        "Bracket: Degrease and rinse started 08:45: still working? If not, finish it"
    ]


def test_a_step_the_log_does_not_know_is_asked_about_when_the_shop_closes(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(steps.begin(shop, 1, "Kit"))
    view = read_bench(shop)
    asked_at = view.asked["1"]
    assert asked_at == view.house.hours.spans(clock.now(), 1)[0][1]
    clock.set(asked_at)
    assert len(asks(shop)) == 1
