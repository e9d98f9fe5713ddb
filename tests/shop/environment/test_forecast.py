"""A forecast of the coming days: for its own date, written down, undone, exported; and the cold.

Minimum 10 C and the hours of the epoxy are the placeholder's; nights are common practice.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bench.process.calendar.forecast import DayAhead
from bench.process.stock.mixing import MixStart
from bench.shop.clock import timekeeping
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.environment.forecast import set_forecast
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.people import handover
from bench.shop.queries.lookahead import PartAhead, ahead_of, closed_hours_tasks
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import done, refused, stand, state

pytestmark = pytest.mark.sqlite

TODAY = date(2025, 6, 9)
FROSTY = DayAhead(TODAY, 2.0, 18.0)
NIGHT = "the surface is under the minimum 10? C: it stands still"


@done_once
def ready(shop: Shop) -> None:
    """A bracket that waits for its epoxy, the epoxy mixed."""
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=20, metal_c=18))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))


def primed(shop: Shop) -> tuple[str, ...]:
    ready(shop)
    notes = done(steps.begin(shop, 1, "Kit")).notes
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    return notes


def lows(shop: Shop) -> dict[date, float]:
    return {each.day: each.low_c for each in bench_view.read_bench(shop).house.hours.forecasts}


def test_a_forecast_is_written_down_and_undone(shop: Shop) -> None:
    answer = done(set_forecast(shop, "Kit", [FROSTY]))
    assert answer.text == "forecast: Mon 09 Jun 2 to 18 C"
    assert lows(shop) == {TODAY: 2.0}
    assert bench_view.read_bench(shop).house.hours.night_c == 11
    done(undo.undo(shop, "Kit"))
    assert lows(shop) == {}
    assert check(shop).faults == ()


def test_one_day_that_cannot_be_leaves_all_unwritten(shop: Shop) -> None:
    gone = DayAhead(TODAY - timedelta(days=1), 2.0, 9.0)
    told = refused(set_forecast(shop, "Kit", [FROSTY, gone]))
    assert "read 2025-06-08" in str(told)
    assert lows(shop) == {}


def test_a_forecast_of_no_day_is_none(shop: Shop) -> None:
    before = state(shop)
    assert refused(set_forecast(shop, "Kit", [])).rule == "no forecast"
    assert state(shop) == before


def test_a_day_typed_again_has_its_newest_forecast(shop: Shop, clock: ManualClock) -> None:
    done(set_forecast(shop, "Kit", [FROSTY]))
    clock.advance(hours=1)
    done(set_forecast(shop, "Kit", [DayAhead(TODAY, 7.0, 18.0)]))
    told = bench_view.read_bench(shop).house.hours.forecast(TODAY, clock.now())
    assert told is not None
    assert told.low_c == 7


def test_a_cold_night_forecast_moves_the_opening_and_no_past_hour(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop)
    usual = stand(shop).opens.at
    done(set_forecast(shop, "Kit", [FROSTY]))
    assert stand(shop).opens.at > usual
    done(undo.undo(shop, "Kit"))
    clock.advance(hours=23)
    done(set_forecast(shop, "Kit", [DayAhead(TODAY + timedelta(days=1), 2.0, 18.0)]))
    assert stand(shop).opens.at == usual


def test_begin_tells_of_the_night(shop: Shop) -> None:
    done(set_forecast(shop, "Kit", [FROSTY]))
    told = [note for note in primed(shop) if note.startswith("the coat: ")]
    assert told == [f"the coat: tonight from ~17:30? to ~Tue 07:30? {NIGHT}"]


def test_before_the_trigger_bench_hand_over_and_missed_list_agree(
    shop: Shop, clock: ManualClock
) -> None:
    done(set_forecast(shop, "Kit", [FROSTY]))
    ready(shop)
    found = ahead_of(shop, 1)
    assert isinstance(found, PartAhead)
    assert found.ahead is not None
    before = [stretch.words(found.now) for stretch in found.ahead.cold]
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    words = f"tonight from ~17:30? to ~Tue 07:30? {NIGHT}"
    assert before == [words]
    on_bench = [
        want.text for want in bench_view.read_bench(shop).wants(clock.now()) if want.word == "COLD"
    ]
    missed = [want.text for want in closed_hours_tasks(shop).cold]
    pages = {section.title: section.lines for section in handover.handover(shop).sections}
    assert on_bench == missed == [f"Bracket: {words}"]
    to_miss = pages["DO NOT MISS BEFORE Tue 07:30"]
    assert f"COLD stand 1 tag 1: Bracket: {words}" in to_miss


def test_a_standstill_in_the_night_is_an_alarm(shop: Shop, clock: ManualClock) -> None:
    done(set_forecast(shop, "Kit", [FROSTY]))
    primed(shop)
    clock.advance(hours=11)
    (alarm,) = (
        a for a in bench_view.read_bench(shop).alarming(clock.now()) if a.want.word == "COLD"
    )
    assert alarm.want.text == (
        "Bracket: since ~17:30? the surface is under the minimum 10? C: warm it, or it stands still"
    )
    done(readings.take_reading(shop, "Kit", air_c=16, metal_c=15))
    assert "COLD" not in [a.want.word for a in bench_view.read_bench(shop).alarming(clock.now())]


def test_a_forecast_typed_before_the_clock_stepped_back_counts_on(
    shop: Shop, clock: ManualClock
) -> None:
    timekeeping.start_clock(shop)
    clock.advance(minutes=5)
    done(set_forecast(shop, "Kit", [FROSTY]))
    clock.step(hours=-3)
    assert timekeeping.move_running_clocks(shop)
    assert bench_view.read_bench(shop).house.hours.forecast(TODAY, shop.clock.now()) is not None
