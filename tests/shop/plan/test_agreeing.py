"""The plan that is agreed: one for all, in the log, undone exactly, refused where it is too old."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from io import StringIO

import pytest

from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.people.away import away
from bench.shop.plan.agreed_plan import agreed_plan
from bench.shop.plan.agreeing import agree, drop_plan
from bench.shop.plan.inputs import plan_inputs
from bench.store.copies import exchange
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.shop.doing import done, part, refused, state, told


@pytest.fixture
def placed(shop: Shop) -> Shop:
    """Two lots of brackets, nothing done on them."""
    for stand in (1, 2):
        done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket"))
    return shop


def plan_of(shop: Shop, first_at: datetime = MONDAY) -> WorkPlan:
    """A plan of all that is to come: a step an hour, one part after the other."""
    planned = []
    for tag in ("1", "2"):
        for record in part(shop, tag).steps:
            begins = first_at + timedelta(hours=len(planned))
            planned.append(
                AgreedStep(
                    tag, record.number, record.step.name, begins, begins + timedelta(hours=1)
                )
            )
    coat = replace(
        planned[2],
        painters=("Kit", "Mo"),
        share=(1, 2),
        abrading_from=planned[2].begins - timedelta(minutes=30),
        closes=planned[2].begins + timedelta(days=1),
        pot=0,
        mixes_at=planned[2].begins - timedelta(minutes=15),
        moved_at=planned[2].ends + timedelta(minutes=45),
        doubt=True,
    )
    return WorkPlan(
        shop.clock.now(),
        read_bench(shop).line,
        planned[-1].ends,
        (*planned[:2], coat, *planned[3:]),
        planner="referee",
        seed=7,
        limits={"rounds": 500, "deterministic_s": 2.5},
        price=1225.0,
        bound=1200.0,
    )


def test_what_is_agreed_is_read_again_as_it_was_and_undone_exactly(placed: Shop) -> None:
    plan, before = plan_of(placed), state(placed)
    assert done(agree(placed, "Kit", plan)).text == (
        f"plan agreed: {len(plan.steps)} steps of 2 parts until Mon 09 Jun, 1 coat abraded for"
    )
    assert agreed_plan(placed) == plan == read_bench(placed).plan
    assert plan.steps[2].starts == plan.steps[2].abrading_from
    done(undo.undo(placed, "Mo"))
    assert agreed_plan(placed) is None
    assert state(placed) == before == told(placed)


def test_of_two_plans_one_counts_and_undo_brings_the_other_back(placed: Shop) -> None:
    first = plan_of(placed)
    done(agree(placed, "Kit", first))
    second = replace(plan_of(placed), steps=first.steps[:3], is_proven=True)
    done(agree(placed, "Mo", second))
    assert agreed_plan(placed) == second
    done(drop_plan(placed, "Kit"))
    assert agreed_plan(placed) is None
    assert refused(drop_plan(placed, "Kit")).rule == "no plan is agreed"
    done(undo.undo(placed, "Kit"))
    assert agreed_plan(placed) == second
    done(undo.undo(placed, "Kit"))
    assert agreed_plan(placed) == first
    assert check(placed).faults == ()


def test_what_is_done_is_not_in_it_any_more_and_the_rest_is_handed_to_the_next_plan(
    placed: Shop, clock: ManualClock
) -> None:
    plan = plan_of(placed)
    done(agree(placed, "Kit", plan))
    done(steps.begin(placed, 1, "Kit"))
    assert agreed_plan(placed) == plan, "what is in hand is in it"
    clock.advance(minutes=20)
    done(steps.finish(placed, 1, "Kit"))
    assert agreed_plan(placed) == replace(plan, steps=plan.steps[1:])
    inputs = plan_inputs(placed)
    assert inputs.agreed == {(s.tag, s.number): s.begins for s in plan.steps[1:]}


@pytest.mark.sqlite
def test_only_who_is_away_is_planned_without(placed: Shop) -> None:
    done(away(placed, "Kit", "Mo", "2025-06-10"))
    gone = {painter.name: len(painter.away) for painter in plan_inputs(placed).painters}
    assert (gone["Mo"], gone["Kit"]) == (1, 0)


Act = Callable[[Shop], Outcome | Refusal]


@pytest.mark.sqlite
@pytest.mark.parametrize(
    ("act", "why"),
    [
        (lambda s: placement.place(s, 3, "Mo", route="zinc-new", shape="axle"), "tag 3 Axle"),
        (lambda s: holds_and_rework.hold(s, 1, "Mo", "damaged: look"), "on hold by Mo"),
        (lambda s: holds_and_rework.skip(s, 1, "Mo", "already done"), "is skipped already"),
        (lambda s: away(s, "Mo", "Kit", "2025-06-10"), "Kit is away"),
        (lambda s: agree(s, "Mo", plan_of(s)), "plan agreed"),
        # What is only worked on as planned, or beside it, is in no plan's way.
        (lambda s: steps.begin(s, 1, "Mo"), ""),
        (lambda s: readings.take_reading(s, "Mo", air_c=18, rh_pct=60, metal_c=18), ""),
        (lambda s: placement.take_off(s, 2, "Mo"), ""),
        (lambda s: placement.move(s, 1, "Mo", to=5), ""),
    ],
)
def test_a_plan_older_than_what_happened_is_refused(placed: Shop, act: Act, why: str) -> None:
    plan = plan_of(placed)
    done(act(placed))
    before, answer = state(placed), agree(placed, "Kit", plan)
    assert isinstance(answer, Refusal) == bool(why), answer
    if isinstance(answer, Refusal):
        assert why in str(answer)
        assert answer.remedy == "plan again"
        assert state(placed) == before


@pytest.mark.sqlite
@pytest.mark.parametrize(("late_min", "is_refused"), [(60, False), (61, True)])
def test_a_plan_whose_first_step_should_have_begun_an_hour_ago_is_refused(
    placed: Shop, clock: ManualClock, late_min: int, is_refused: bool
) -> None:
    plan = plan_of(placed)
    clock.advance(minutes=late_min)
    assert isinstance(agree(placed, "Kit", plan), Refusal) is is_refused


@pytest.mark.sqlite
def test_a_step_that_was_finished_before_its_hour_makes_the_plan_too_old(
    placed: Shop, clock: ManualClock
) -> None:
    plan = plan_of(placed, MONDAY + timedelta(hours=1))
    done(steps.begin(placed, 1, "Kit"))
    clock.advance(minutes=10)
    done(steps.finish(placed, 1, "Kit"))
    assert "is done already" in str(refused(agree(placed, "Kit", plan)))
    assert refused(agree(placed, "Kit", replace(plan, steps=()))).rule == "the plan has no steps"


@pytest.mark.sqlite
def test_an_export_has_the_plan_without_the_names_of_painters(placed: Shop) -> None:
    done(agree(placed, "Kit", plan_of(placed)))
    done(away(placed, "Kit", "Mo", "2025-06-10"))
    out = StringIO()
    exchange.write(placed.store, out, without_names=True)
    rows = exchange.read(out.getvalue()).rows
    (row,) = rows["plan"]
    assert (row["agreed"], row["price"], row["seed"]) == (True, 1225.0, 7)
    assert rows["plan_step"][2]["painters"] == ["painter 1", "painter 2"]
    assert rows["away"][0]["painter"] == "painter 2"
