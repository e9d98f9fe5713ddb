"""What was undone by mistake is redone as it was, and never over what was done since."""

from __future__ import annotations

import pytest

from bench.process.refusals.refusal import Refusal
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections.undo import UNDO_FOR, last_action, last_undone, redo, undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.queries.log import log_page
from bench.testing import ManualClock

from ..doing import done, refused, state, told

pytestmark = pytest.mark.sqlite

FRAME = {"route": "zinc-new", "shape": "frame"}


@pytest.fixture
def undone(shop: Shop, clock: ManualClock) -> Shop:
    """Two frames; Kit began the first at 07:30, Mo undid it two minutes later."""
    done(placement.place(shop, 2, "Kit", **FRAME))
    done(placement.place(shop, 1, "Kit", **FRAME))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=2)
    done(undo(shop, "Mo"))
    return shop


def last(shop: Shop) -> int:
    """The undo that can be redone."""
    line = last_undone(shop)
    assert line is not None
    return line.number


def test_what_was_undone_is_redone_with_its_hour_and_painter_as_one_more_line(
    undone: Shop, clock: ManualClock
) -> None:
    clock.advance(minutes=3)
    count = len(log_page(undone))
    answer = done(redo(undone, "Mo", last(undone)))
    assert answer.text == "redone: tag 2 Frame: File the zinc spikes begun 07:30 (Kit, 07:30)"
    assert len(log_page(undone)) == count + 1
    placed = bench_view.read_bench(undone).on(1)
    assert placed is not None
    step = placed.part.steps[0]
    assert (step.status, step.painters) == ("in hand", ("Kit",))
    assert step.first_at is not None
    assert (clock.now() - step.first_at).total_seconds() == 5 * 60
    newest = log_page(undone)[0]
    assert (newest.action, newest.painter, newest.undoes) == ("begin", "Mo", None)
    assert told(undone) == state(undone)
    assert check(undone).faults == ()


def test_what_was_redone_can_be_undone_and_redone_again(undone: Shop) -> None:
    done(redo(undone, "Mo", last(undone)))
    assert last_undone(undone) is None, "it is redone already"
    begun = state(undone)
    shown = last_action(undone)
    assert shown is not None
    assert shown.text.startswith("redone: ")
    done(undo(undone, "Kit", number=shown.number))
    assert state(undone) != begun
    done(redo(undone, "Kit", last(undone)))
    assert told(undone) == state(undone)
    placed = bench_view.read_bench(undone).on(1)
    assert placed is not None
    assert placed.part.steps[0].status == "in hand"


def test_nothing_is_redone_on_a_part_that_something_was_done_to_since(undone: Shop) -> None:
    number = last(undone)
    done(holds_and_rework.skip(undone, 1, "Kit", "already done"))
    before = state(undone)
    assert last_undone(undone) is None, "so it is not offered"
    assert "a later entry depends on it" in str(refused(redo(undone, "Mo", number)))
    assert state(undone) == before


def test_what_was_done_to_another_part_is_not_in_the_way(undone: Shop) -> None:
    number = last(undone)
    done(steps.begin(undone, 2, "Mo"))
    done(readings.take_reading(undone, "Mo", air_c=18))
    done(redo(undone, "Mo", number))
    assert told(undone) == state(undone)


@pytest.mark.sqlite(False)
def test_a_part_is_not_redone_onto_a_stand_that_was_taken_since(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", **FRAME))
    done(undo(shop, "Mo"))
    number = last(shop)
    done(placement.place(shop, 1, "Mo", **FRAME))
    before = state(shop)
    assert isinstance(redo(shop, "Mo", number), Refusal)
    assert state(shop) == before


def test_ten_minutes_after_the_undo_it_is_done_by_hand(undone: Shop, clock: ManualClock) -> None:
    number = last(undone)
    clock.advance(seconds=UNDO_FOR.total_seconds() + 1)
    assert last_undone(undone) is None
    assert "for 10 min" in str(refused(redo(undone, "Mo", number)))


def test_only_the_undo_that_was_shown_is_redone(undone: Shop) -> None:
    number = last(undone)
    done(undo(undone, "Mo"))
    assert last(undone) != number
    refused(redo(undone, "Mo", number))
