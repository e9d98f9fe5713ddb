"""What the log says of how long steps take, and that every estimate is the same one.

The route's own figures are placeholders: washing a bracket of 0.03 m2 takes 15 min + 6 a m2.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlmodel import col, select

from bench.process.parts.durations import Length, PastStep
from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.parts import placement, steps
from bench.shop.plan.inputs import plan_inputs
from bench.shop.queries.duration_list import PartDurations, part_durations, shop_durations
from bench.shop.queries.durations import durations_of
from bench.shop.queries.lookahead import PartAhead, ahead_of
from bench.shop.settings import settings_change
from bench.shop.stock.quote import AskedItem, Quote, quote
from bench.store.schema.tables import JournalRow, StepRow
from bench.testing import ManualClock
from tests.shop.doing import done, part

pytestmark = pytest.mark.sqlite

EXPECTED_S = 60 * (15 + 6 * 0.03)
Work = Callable[..., None]


@pytest.fixture
def work(shop: Shop, clock: ManualClock) -> Work:
    """Washes a bracket on a stand, which takes so many minutes."""

    def wash(stand: int, minutes: float) -> None:
        done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket"))
        done(steps.begin(shop, stand, "Kit"))
        clock.advance(minutes=minutes)
        done(steps.finish(shop, stand, "Kit"))

    return wash


def lengths_s(shop: Shop) -> list[float]:
    with shop.store.reading() as session:
        return [each.lasted_s for each in durations_of(session).past]


def test_every_estimate_of_a_length_is_the_same_one(
    shop: Shop, clock: ManualClock, work: Work
) -> None:
    """By hand: five took twice as long, so times 2^(5/8): 15.18 min become 23.41."""
    for stand in range(1, 6):
        work(stand, 2 * EXPECTED_S / 60)
    done(placement.place(shop, 6, "Kit", route="steel-blasted", shape="bracket"))
    expected = Length(timedelta(seconds=1405), 5, 0.35 * 3 / 8, "step")
    by_part, ahead = part_durations(shop, 6), ahead_of(shop, 6)
    assert isinstance(by_part, PartDurations)
    assert isinstance(ahead, PartAhead)
    assert ahead.ahead is not None
    found = [by_part.lengths[0][1], ahead.ahead.length]
    assert [replace(each, spread=round(each.spread, 9)) for each in found] == [
        replace(expected, spread=round(expected.spread, 9))
    ] * 2
    quoted = quote(shop, [AskedItem("steel-blasted", "bracket")])
    assert isinstance(quoted, Quote)
    assert (quoted.hours.lengths[0].usual, quoted.hours.lengths[0].past) == (expected.lasts, 5)
    inputs = plan_inputs(shop)
    planned = inputs.length_of(part(shop, "6"), part(shop, "6").steps[0])
    assert (planned.minutes, planned.past_steps) == (pytest.approx(1405 / 60), 5)
    named = {each.step.name: each.learned for each in shop_durations(shop).steps}
    assert named["Degrease and rinse"].factors[0] == pytest.approx(2 ** (5 / 8))
    done(steps.begin(shop, 6, "Kit"))
    assert read_bench(shop).asked["6"] == clock.now() + 2 * expected.lasts


def test_what_two_shared_took_one_twice_as_long(shop: Shop, work: Work) -> None:
    for stand, hands, painters in (
        (1, "1-2", ["Kit", "Ada"]),
        (2, "1-2", ["Kit"]),
        (3, 2, ["Kit", "Ada"]),
    ):
        work(stand, 20)
        with shop.store.writing() as session:
            row = session.exec(
                select(StepRow).where(StepRow.status == "done").order_by(col(StepRow.id).desc())
            ).first()
            assert row is not None
            row.plan, row.painters = {**row.plan, "hands": hands}, painters
            session.add(row)
            session.commit()
    assert lengths_s(shop) == [1200.0, 1200.0, 2400.0]


@pytest.mark.sqlite(False)
def test_an_undone_step_says_nothing(shop: Shop, work: Work) -> None:
    work(1, 20)
    work(2, 40)
    assert lengths_s(shop) == [2400.0, 1200.0], "the newest first"
    done(undo.undo(shop, "Kit"))
    assert lengths_s(shop) == [1200.0]


@pytest.mark.parametrize(
    ("before_min", "always_in", "known"),
    [(9 * 60 + 50, False, 0), (9 * 60 + 50, True, 1), (9 * 60, False, 1), (4 * 60 + 20, False, 0)],
)
def test_a_step_across_closing_time_or_the_break_is_left_out(
    shop: Shop, clock: ManualClock, work: Work, before_min: int, always_in: bool, known: int
) -> None:
    """The shop is open from 07:30 to 17:30, with a break from 12:00 to 12:30; it takes 20 min."""
    done(settings_change.set_settings(shop, "Kit", lunch="12:00-12:30", always_in=always_in))
    clock.advance(minutes=before_min)
    work(1, 20)
    assert len(lengths_s(shop)) == known


@pytest.mark.sqlite(False)
def test_a_step_that_a_doubted_clock_wrote_down_is_left_out(shop: Shop, work: Work) -> None:
    work(1, 20)
    work(2, 40)
    with shop.store.writing() as session:
        first = session.exec(select(JournalRow).where(col(JournalRow.action) == "finish")).first()
        assert first is not None
        first.doubtful = True
        session.commit()
    assert lengths_s(shop) == [2400.0]


def test_a_step_of_its_name_is_looked_for_before_those_of_its_kind_and_tool(
    shop: Shop, work: Work
) -> None:
    work(1, 20)
    with shop.store.reading() as session:
        past = durations_of(session).past
    assert past == (PastStep("Degrease and rinse", "work", "", 1200.0, EXPECTED_S),)
    found = part_durations(shop, 1)
    assert isinstance(found, PartDurations)
    likes = {record.step.name: length.like for record, length in found.lengths}
    assert likes["Blast to bright metal"] == "tool"
    assert likes["Epoxy primer"] == ""
    assert isinstance(part_durations(shop, "no such tag"), Refusal)
