"""A last face beside the end of the window below."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.testing import ManualClock

from ..doing import begin_over, done, part

pytestmark = pytest.mark.sqlite


@pytest.mark.parametrize(
    ("minutes", "flag"), [(54.9, ""), (55, "on the edge"), (60, "on the edge"), (60.1, "past")]
)
def test_a_last_face_in_the_last_five_minutes_of_the_window_below_is_flagged(
    shop: Shop, clock: ManualClock, minutes: float, flag: str
) -> None:
    """All coats of an aerosol inside its first hour: common practice, no source; 5 min: house rule."""
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=20))
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    while part(shop).current().step.name != "Aerosol top coat 1":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    began = clock.now()
    done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(minutes=20)
    done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    clock.set(began + timedelta(minutes=minutes))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    second = next(r for r in part(shop).steps if r.step.name == "Aerosol top coat 2")
    flags = [text for text in second.flags if "of the window below" in text]
    assert len(flags) == bool(flag)
    assert all(f"is {flag}" in text for text in flags)


def test_who_ticks_a_face_of_anothers_coat_is_a_painter_of_it_and_on_the_part(
    shop: Shop, clock: ManualClock
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=20))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="frame"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    record = part(shop).current()
    assert record is not None
    done(steps.finish(shop, 1, "Mo", mark=record.marks[0].name))
    record = part(shop).current()
    assert record is not None
    assert (record.painters, part(shop).taken_by) == (("Kit", "Mo"), ("Kit", "Mo"))
