"""When a painter last wrote something down, which says how long nobody was there."""

from __future__ import annotations

from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.environment.readings import PROBE
from bench.shop.queries import log
from bench.testing import ManualClock

from ..doing import done

BOTH = ("Kit", "Mo")


def test_the_newest_entry_of_a_painter_counts_and_a_probes_does_not(
    shop: Shop, clock: ManualClock
) -> None:
    for minutes, who in ((5, "Mo"), (5, "Kit")):
        clock.advance(minutes=minutes)
        done(readings.take_reading(shop, who, air_c=18.0, rh_pct=60.0))
    written = clock.now()
    clock.advance(minutes=5)
    done(readings.take_reading(shop, PROBE, air_c=18.0, rh_pct=60.0))
    assert log.last_line_at(shop, BOTH, 300) == written
    assert log.last_line_at(shop, BOTH, 2) == written
    assert log.last_line_at(shop, BOTH, 1) is None, "so far back nobody looks"
    assert log.last_line_at(shop, (), 300) is None
