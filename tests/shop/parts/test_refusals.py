"""What is refused on the way through a step, in the words a painter reads: rule, figure, remedy."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo as undoing
from bench.shop.parts import back_dating, holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import done, part, read_20c, refused, state
from .test_holds_and_rework import primed, read

pytestmark = pytest.mark.sqlite


@done_once
def spraying(shop: Shop, shape: str = "bracket") -> None:
    """A part of bare steel with its epoxy begun, three faces or five to tick."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape=shape))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))


@done_once
def soaking(shop: Shop) -> None:
    """A frame of new zinc with mordant on its FRONT."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    done(steps.begin(shop, 1, "Kit"))


def test_a_coat_is_not_finished_with_faces_open_and_they_are_named(shop: Shop) -> None:
    spraying(shop)
    before = state(shop)
    told = str(refused(steps.finish(shop, 1, "Kit")))
    assert told == "Epoxy primer: 3 faces are open (A B EDGE): tick each, or all of them"
    assert state(shop) == before
    done(steps.finish(shop, 1, "Kit", mark="EDGE"))
    done(steps.finish(shop, 1, "Mo", mark="A"))
    told = str(refused(steps.finish(shop, 1, "Kit")))
    assert told == "Epoxy primer: 1 face is open (B): tick it"


def test_the_next_step_waits_for_the_last_face_of_the_coat_before(shop: Shop) -> None:
    spraying(shop)
    done(steps.finish(shop, 1, "Kit", mark="A"))
    told = str(refused(steps.begin(shop, 1, "Kit")))
    assert told == "Epoxy primer is begun already (faces open: B EDGE): finish it"
    assert part(shop).current().status == "in hand"  # type: ignore[union-attr]


def test_a_face_was_not_sprayed_before_the_coat_was_begun(shop: Shop, clock: ManualClock) -> None:
    spraying(shop)
    clock.advance(minutes=10)
    early = clock.now() - timedelta(minutes=20)
    told = str(refused(steps.finish(shop, 1, "Kit", mark="A", at=early)))
    assert told == "that is before its first face (07:20 is before 07:30): give a later time"


def test_a_zone_is_rinsed_once_and_not_before_it_was_wet(shop: Shop, clock: ManualClock) -> None:
    soaking(shop)
    told = str(refused(steps.finish(shop, 1, "Kit", mark="REAR")))
    assert told == "zone REAR is not wet: wet: FRONT"
    clock.advance(minutes=12)
    early = clock.now() - timedelta(minutes=15)
    told = str(refused(steps.finish(shop, 1, "Kit", at=early)))
    assert told == "zone FRONT was not wet yet (begun 07:30): give a later time"
    done(steps.finish(shop, 1, "Kit"))
    told = str(refused(steps.finish(shop, 1, "Kit")))
    assert told == "Mordant wash: no zone is wet: begin a zone first"


def test_what_is_on_hold_is_released_before_it_is_held_for_another_reason(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    done(holds_and_rework.hold(shop, 1, "Kit", "weather"))
    told = str(refused(holds_and_rework.hold(shop, 1, "Mo", "customer")))
    assert told == "tag 1 Frame is on hold already (weather): release it first"


def test_only_what_was_done_is_done_again(shop: Shop) -> None:
    spraying(shop)
    told = str(refused(holds_and_rework.rework(shop, 1, "Kit", "run", back_to=9)))
    assert told.startswith("step 9 was not done: done: ")


def test_earlier_goes_by_five_minutes_and_not_past_what_was_before_it(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop, clock)
    told = str(refused(back_dating.back_date(shop, 1, "Mo", 7)))
    assert told == "7 min earlier: in steps of 5 minutes, up to a week"
    told = str(refused(back_dating.back_date(shop, 1, "Mo", 30)))
    assert told.startswith("that is before the thing done before it (07:20 is before 07:30): ")


@pytest.mark.parametrize("minutes", [0, -15, 7 * 24 * 60 + 1])
def test_a_not_yet_asks_again_within_the_week(shop: Shop, clock: ManualClock, minutes: int) -> None:
    primed(shop, clock)
    told = str(refused(testing.put_test_off(shop, 1, "Mo", minutes=minutes)))
    assert told == f"{minutes} minutes more: from 1 minute to a week"


def test_a_part_that_is_on_no_stand_is_swapped_with_nothing(shop: Shop) -> None:
    for stand in (1, 2):
        done(placement.place(shop, stand, "Kit", route="zinc-new", shape="axle"))
    done(placement.take_off(shop, 1, "Kit"))
    told = str(refused(placement.move(shop, "1", "Kit", to=2, swap=True)))
    assert told == "nothing to swap with (tag 1 is on no stand): take the other one off first"
    told = str(refused(placement.take_off(shop, "1", "Kit")))
    assert told == "tag 1 is on no stand (last on stand 1)"


def test_undo_undoes_only_what_the_painter_was_shown(shop: Shop) -> None:
    first = done(placement.place(shop, 1, "Kit", route="zinc-new", shape="axle"))
    done(placement.place(shop, 2, "Mo", route="zinc-new", shape="axle"))
    told = str(refused(undoing.undo(shop, "Kit", number=first.line)))
    assert told.startswith("something newer was done meanwhile (tag 2 Axle placed on stand 2")
    assert told.endswith("look at it first")
