"""Wet parts in the spray space: how long they stay there, and when two carry them out.

Minutes are invented: a part may be moved half an hour after its coat of half an hour, and two take
ten minutes. Hours 07:30-17:30: 120 slots of 288 a day.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest

from bench.process.plan import checking, embedded
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.carrying import ends_meeting
from bench.process.plan.figures import PainterFigures, StepFigures
from bench.process.plan.problem import Carrying, Hold, Task
from bench.process.plan.referee import Limits, prove

from ..making import band
from .test_building import NOW, PAINT, coat, done, inputs, part, work

UNA, BO = PainterFigures("Una"), PainterFigures("Bo")
MOVED = StepFigures(takes_space=True, stays_min=30, moving_min=10)
ON_ITS_STAND = replace(MOVED, stays_min=0, moving_min=0)


def bench(*parts: object, figures: StepFigures = MOVED, **more: object) -> BuiltPlan:
    """Build parts whose coats a, b and c are sprayed in the space."""
    sprayed = dict.fromkeys("abc", figures)
    return build(inputs(*parts, figures=sprayed, **more))  # type: ignore[arg-type]


def carrying(task: Task) -> Carrying:
    """Return how a task's part is carried out."""
    assert task.carrying is not None
    return task.carrying


def held(plan: BuiltPlan, number: int = 0) -> list[int]:
    """Return for how long a task holds each spray space after its end."""
    space = [r.key for r in plan.problem.resources].index("spray spaces")
    return [hold.after for hold in plan.problem.tasks[number].holds if hold.resource == space]


def test_a_wet_part_is_carried_out_by_two_as_soon_as_it_may_be_and_two_are_in() -> None:
    plan = bench(part(coat("a")))
    out = carrying(plan.problem.tasks[0])
    # At 30 it is wet to 36; what ends at 113 or later is carried out from 07:30 on.
    assert [out.begins[end] for end in (30, 112, 113, 120)] == [36, 118, 288, 288]
    assert (out.length, out.hands.amount, held(plan)) == (2, 2, [0])
    assert plan.problem.resources[out.hands.resource].key == "hands"
    assert plan.problem.resources[out.place].key == "spray spaces"


@pytest.mark.parametrize(
    ("painters", "carriers"),
    [
        ((UNA,), 1),
        ((UNA, replace(BO, away=((NOW, NOW + timedelta(days=1)),))), 1),
        ((UNA, BO, PainterFigures("Cy", away=((NOW, NOW + timedelta(days=1)),))), 2),
    ],
)
def test_one_carries_where_the_shop_leaves_one_alone(
    painters: tuple[PainterFigures, ...], carriers: int
) -> None:
    plan = bench(part(coat("a")), painters=painters)
    assert carrying(plan.problem.tasks[0]).hands.amount == carriers


def test_what_is_sprayed_on_its_stand_or_by_brush_is_carried_nowhere() -> None:
    brushed = replace(MOVED, takes_space=False)
    assert all(
        task.carrying is None
        for figures in (ON_ITS_STAND, brushed)
        for task in bench(part(coat("a"), coat("b")), figures=figures).problem.tasks
    )
    wash = bench(part(work("a")))
    assert wash.problem.tasks[0].carrying is None


def test_the_next_coat_begins_once_the_part_is_out() -> None:
    opens = {}
    for figures in (MOVED, ON_ITS_STAND):
        plan = bench(part(coat("a"), coat("b")), figures=figures)
        opens[figures] = [wait.stages[0].opens[30] for wait in plan.problem.waits]
    assert opens == {MOVED: [30 + 6 + 2], ON_ITS_STAND: [30 + 4]}
    later = bench(part(coat("a"), work("file"), coat("b")))
    (far,) = (w for w in later.problem.waits if (w.before, w.after) == (0, 2))
    assert [stage.opens[30] for stage in far.stages] == [38, 38 + 6]


def test_a_part_stays_where_it_is_for_a_coat_that_comes_before_it_could_be_out() -> None:
    mist, build_up = coat("a"), coat("b", continues=True)
    plan = bench(part(mist, build_up, coat("c")))
    first, second, third = plan.problem.tasks
    # The flash of 20 min is the shortest in which the build can follow.
    assert (first.carrying, held(plan, 0)) == (None, [4])
    assert carrying(second) == carrying(third)
    short = replace(PAINT, bands=(band("flash", 20), band("open", 30), band("key")))
    closes = bench(part(coat("a"), coat("b")), paints=(short,))
    assert (closes.problem.tasks[0].carrying, held(closes, 0)) == (None, [4])


def test_what_was_sprayed_before_now_is_carried_out_first() -> None:
    ago = NOW - timedelta(minutes=10)
    wet = done(part(coat("a"), work("file")), 1, ago, ago)
    for of, spaces, hands in (
        (wet, [0] * 6 + [1], [2] * 4 + [0] * 2 + [2]),
        (done(part(coat("a"), work("file")), 1, ago - timedelta(days=1), ago - timedelta(days=1)),
         [1] * 7, [2] * 7),
        (done(part(coat("a"), coat("b", continues=True)), 1, ago, ago), [1] * 7, [2] * 7),
    ):  # fmt: skip
        there = {r.key: list(r.capacity[:7]) for r in bench(of).problem.resources}
        assert (there["spray spaces"], there["hands"]) == (spaces, hands)


def test_every_planner_carries_them_out() -> None:
    """Three parts of two coats and one space: the judge finds each fault, where it is not done."""
    parts = (part(coat("a"), coat("b"), tag=tag) for tag in "123")
    plan = bench(*parts, days=4)
    found = embedded.plan(plan.problem, Random(1), 2)
    proof = prove(plan.problem, found, Limits(columns=5, whole=0.2, rounds=1))
    assert proof.schedule is not None
    for schedule in (found, proof.schedule):
        assert checking.faults(plan.problem, schedule) == ()
        assert checking.cost(plan.problem, schedule).left_out == 0
        steps = plan.steps(schedule)
        waits = [(s.moved_at or s.ends) - s.ends for s in steps]
        assert len(steps) == 6
        assert min(waits) == timedelta(minutes=30)
    quick = tuple(replace(t, carrying=None) for t in plan.problem.tasks)
    on_stands = replace(plan.problem, tasks=quick)
    sooner = embedded.plan(on_stands, Random(1), 2)
    assert {f.rule for f in checking.faults(plan.problem, sooner)} >= {"too little of spray spaces"}
    assert carrying(plan.problem.tasks[0]).hands == Hold(0, 2)


@pytest.mark.parametrize("seed", range(8))
def test_the_ends_after_which_a_part_finds_no_way_out_are_those_found_slot_by_slot(
    seed: int,
) -> None:
    random, horizon = Random(seed), 40
    table = [min(41, end + random.choice((1, 1, 4)) if end % 9 else 41) for end in range(41)]
    begins = [min(table[end:]) for end in range(41)]
    out = Carrying(begins, 2, Hold(0, 2), 1)
    taken = {resource: random.getrandbits(40) & random.getrandbits(40) for resource in (0, 1)}
    met = ends_meeting(out, horizon, lambda resource, _: taken[resource])
    for end, at in enumerate(begins):
        held = {1: range(end, min(at + 2, horizon)), 0: range(at, min(at + 2, horizon))}
        is_met = any(taken[n] >> slot & 1 for n, slots in held.items() for slot in slots)
        assert bool(met >> end & 1) == is_met, (end, at)
