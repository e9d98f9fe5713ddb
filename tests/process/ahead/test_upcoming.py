"""What a phone rings for: what is ahead by the hour, told to the safe side."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import UTC, datetime

from bench.process.ahead.upcoming import UpcomingEvent, upcoming_events
from bench.process.clocks.part_clocks import clocks_of
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import back_dating, holds_and_rework, placement, steps
from bench.shop.queries.lookahead import UpcomingEvents, upcoming
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.shop.doing import done, stand

from ..making import MON, around, band, coated, product


def rings(shop: Shop, target: int | str | None = None) -> dict[str, UpcomingEvent]:
    found = upcoming(shop, target)
    assert isinstance(found, UpcomingEvents), found
    return {ring.title: ring for ring in found.rings}


def whole_five(at: datetime, side: Callable[[float], int]) -> datetime:
    """A full five minutes beside an instant that is none itself."""
    minutes = at.timestamp() / 300
    assert minutes % 1
    return datetime.fromtimestamp(side(minutes) * 300, UTC)


def primed(shop: Shop, clock: ManualClock) -> None:
    """Tag 1: bare steel, blasted, with its epoxy primer on."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=300)))
    clock.advance(minutes=18)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))


def test_a_window_rings_when_it_opens_and_before_it_closes(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock)
    found = rings(shop, 1)
    state = stand(shop)
    assert state.opens is not None
    opens = found["tag 1 Bracket: opens, TEST"]
    # Rounded up to five minutes, as the bench shows what is an estimate; the closing one down.
    assert opens.edge == state.opens
    assert opens.edge.shown == whole_five(state.opens.at, math.ceil)
    closes = found["tag 1 Bracket: CLOSING for Two-pack gloss 1"]
    assert state.closes is not None
    assert closes.edge == state.closes
    assert closes.edge.shown == whole_five(state.closes.at, math.floor)
    assert "then abrade first" in closes.details
    assert "test it, that decides: gloved thumb on the coupon" in opens.details


def test_after_the_closed_middle_it_rings_for_a_solvent_rub() -> None:
    enamel = product(band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"))
    part = coated(MON, MON)
    rung = upcoming_events([(part, clocks_of(part, around(enamel)))], (), (), MON)
    named = [ring.details.partition("decides: ")[2] for ring in rung if ring.kind == "opens"]
    assert named == ["thumb on the coupon: no print, no drag", "solvent rub on the coupon"]


def test_the_whole_bench_rings_for_its_pots_and_guns_too(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock)
    assert [ring.kind for ring in rings(shop).values()] == ["flush by", "bin by", "opens", "closes"]
    assert {ring.kind for ring in rings(shop, "1").values()} == {"opens", "closes"}


def test_what_is_over_rings_no_more(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock)
    clock.advance(days=2)
    assert [ring.kind for ring in rings(shop).values()] == ["closes"]
    clock.advance(days=10)
    assert rings(shop) == {}


def test_nothing_ahead_of_a_part_that_is_not_there_is_a_refusal(shop: Shop) -> None:
    for target in (1, 9, "7"):
        assert isinstance(upcoming(shop, target), Refusal)


def test_a_thing_keeps_its_key_when_its_hour_moves(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock)
    before = rings(shop)["tag 1 Bracket: opens, TEST"]
    done(back_dating.back_date(shop, 1, "Kit", 15))
    done(readings.take_reading(shop, "Kit", air_c=12, metal_c=12))
    after = rings(shop)["tag 1 Bracket: opens, TEST"]
    assert after.key == before.key
    assert after.edge.at > before.edge.at
