"""What a painter is told as a coat begins: the three numbers always, the gun's set-up once a day."""

from __future__ import annotations

import pytest

from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.stock import pots
from bench.testing import ManualClock

from ..doing import done, part

pytestmark = pytest.mark.sqlite

SET_UP = "1.8-2.2 bar trigger pulled, cap 0.7 bar at most; 250-400 l/min"
"""Of an HVLP gun (common practice, no source); the gun's own card wins."""


def told_at_the_coat(shop: Shop, stand: int, by: str) -> str:
    """What is said as a bracket's epoxy begins; then it is finished."""
    tag = done(placement.place(shop, stand, by, route="steel-blasted", shape="bracket")).tag
    while part(shop, tag).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, stand, by, "already done"))
    begun = done(steps.begin(shop, stand, by))
    done(steps.finish(shop, stand, by, all_faces=True))
    return "\n".join(begun.notes)


def fit_to_coat(shop: Shop) -> None:
    """The air was read, and a pot is mixed."""
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=55, metal_c=18))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))


def test_air_and_tip_are_told_once_a_day_to_each_painter_who_takes_the_gun(
    shop: Shop, clock: ManualClock
) -> None:
    fit_to_coat(shop)
    first = told_at_the_coat(shop, 1, "Kit")
    assert "HVLP gravity gun | 15-20 cm off" in first
    assert SET_UP in first
    again = told_at_the_coat(shop, 2, "Kit")
    assert "HVLP gravity gun | 15-20 cm off" in again
    assert SET_UP not in again
    assert SET_UP in told_at_the_coat(shop, 3, "Mo")
    clock.advance(hours=24)
    fit_to_coat(shop)
    assert SET_UP in told_at_the_coat(shop, 4, "Kit")
