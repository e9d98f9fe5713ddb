"""A part in hand: its clocks are those of the part as it is asked about."""

from __future__ import annotations

from dataclasses import replace

from bench.shop.core.part_action import PartAction
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import steps
from bench.store.schema.tables import PartRow
from bench.testing import ManualClock

from ..doing import before_the_coat, begin_over, done


def test_clocks_are_worked_out_once_for_a_part_and_again_for_another(
    shop: Shop, clock: ManualClock
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=60, metal_c=20))
    before_the_coat(shop)
    done(begin_over(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    with shop.act("look", "Kit") as act:
        row = act.row(1)
        assert isinstance(row, PartRow)
        job = PartAction(act, row)
        clocks = job.clocks()
        assert job.clocks() is clocks
        bare = replace(job.part, steps=job.part.steps[:1])
        assert clocks.turns(act.now)
        assert job.clocks(bare).turns(act.now) == ()
        assert job.clocks() == clocks
