"""How likely a window is missed: held against the normal distribution, and plain cases."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log
from random import Random
from statistics import NormalDist

from bench.process.plan.problem import (
    ByTwo,
    Hold,
    Piece,
    Placed,
    Problem,
    Resource,
    Schedule,
    Stage,
    Task,
    Wait,
)
from bench.process.plan.risk import chances

HORIZON = 400
SLOTS = range(HORIZON + 1)
ALL = (1 << HORIZON) - 1


def shop(closes: int) -> Problem:
    """Return a first step of 100 slots, and one that must begin before a slot."""
    tasks = (
        Task(0, 0, 100, ALL, holds=(Hold(0, 1),)),
        Task(0, 1, 10, ALL, abraded_starts=ALL, abrading=5, holds=(Hold(0, 1),)),
    )
    window = Stage(list(SLOTS), [closes] * (HORIZON + 1))
    late = Stage([max(closes, s) for s in SLOTS], None, abraded=True)
    pieces = (Piece("0", (0, 1), [0] * (HORIZON + 1), [0] * (HORIZON + 1)),)
    resources = (Resource("hands", [1] * (HORIZON + 1)),)
    return Problem(HORIZON, resources, tasks, (Wait(0, 0, 1, (window, late)),), pieces)


PLANNED = Schedule((Placed(0), Placed(100)))


def test_the_chance_is_that_of_the_lognormal_distribution() -> None:
    """100 slots x exp(0.2 z) is above 120 where z > ln(1.2) / 0.2: the normal tail there."""
    risk = chances(shop(121), PLANNED, Random(1), [0.2, 0.2], 0.0, samples=2000)
    tail = 1 - NormalDist().cdf(log(1.2) / 0.2)
    assert abs(risk.missed - tail) < 0.03
    assert [(each.task, each.missed) for each in risk.by_task] == [(1, risk.missed)]


def test_nothing_is_missed_where_nothing_varies_and_more_slack_is_safer() -> None:
    assert chances(shop(101), PLANNED, Random(1), [0.0, 0.0], 0.0, samples=20).by_task == ()
    tight, wide = (
        chances(shop(n), PLANNED, Random(1), [0.2, 0], 0.0, samples=200) for n in (105, 150)
    )
    assert tight.missed > wide.missed


def test_a_window_is_missed_when_it_closes_and_not_when_the_plan_wants_it_begun_by() -> None:
    """A step of 100 slots that takes exp(z / 5) as long: late from 121 on, or 121 + 10 of slack."""
    for slack, late in ((0, 121), (10, 131)):
        risk = chances(shop(121), PLANNED, Random(1), [0.2, 0], 0.0, samples=2000, slack=slack)
        assert abs(risk.missed - (1 - NormalDist().cdf(log(late / 100) / 0.2))) < 0.02


def test_a_part_of_a_slot_is_not_counted_as_a_whole_one() -> None:
    """A wait of one slot after a step of four: begun in time up to 4.99 slots, where 5 + 1 = 6."""
    short = shop(6)
    tasks = (replace(short.tasks[0], length=4), short.tasks[1])
    (wait,) = short.waits
    window = replace(wait.stages[0], opens=[min(slot + 1, HORIZON) for slot in SLOTS])
    waits = (replace(wait, stages=(window, wait.stages[1])),)
    problem = replace(short, tasks=tasks, waits=waits)
    planned = Schedule((Placed(0), Placed(5)))
    risk = chances(problem, planned, Random(1), [0.2, 0], 0.0, samples=2000)
    assert abs(risk.missed - (1 - NormalDist().cdf(log(5 / 4) / 0.2))) < 0.03


def test_two_begin_later_only_where_two_can() -> None:
    """Late at all they begin at 150, when the window has closed at 121: one time in two."""
    problem = shop(121)
    both = ByTwo(5, 1 << 100 | 1 << 150, (Hold(0, 2),))
    tasks = problem.tasks[0], replace(problem.tasks[1], by_two=both)
    resources = (Resource("hands", [2] * (HORIZON + 1)),)
    problem = replace(problem, tasks=tasks, resources=resources)
    by_two = Schedule((Placed(0), Placed(100, by_two=True)))
    risk = chances(problem, by_two, Random(1), [0.2, 0.2], 0.0, samples=2000)
    assert abs(risk.missed - 0.5) < 0.04


def test_two_who_are_late_are_waited_for_by_both_who_follow() -> None:
    """Two do the first task to 100; one of each of two parts goes on from there, by 121."""
    alone = shop(121)
    first = replace(alone.tasks[0], length=200, by_two=ByTwo(100, ALL, (Hold(0, 2),)))
    before = replace(alone.tasks[0], piece=1, length=1, holds=())
    after = replace(alone.tasks[1], piece=1)
    tasks = first, before, after, replace(before, piece=2), replace(after, piece=2)
    stages = alone.waits[0].stages
    waits = tuple(Wait(n, n, n + 1, stages) for n in (1, 3))
    pieces = tuple(
        replace(alone.pieces[0], key=str(n), tasks=of)
        for n, of in enumerate(((0,), (1, 2), (3, 4)))
    )
    resources = (Resource("hands", [2] * (HORIZON + 1)),)
    problem = Problem(HORIZON, resources, tasks, waits, pieces)
    placed = (Placed(0, by_two=True), Placed(0), Placed(100), Placed(0), Placed(100))
    risk = chances(problem, Schedule(placed), Random(1), [0.2] * 5, 0.0, samples=500)
    assert {each.task for each in risk.by_task} == {2, 4}


def test_a_part_without_a_place_misses_nothing_and_is_in_nobodys_way() -> None:
    problem = shop(101)
    tasks = (*problem.tasks, replace(problem.tasks[0], piece=1))
    pieces = (*problem.pieces, replace(problem.pieces[0], key="1", tasks=(2,)))
    more = replace(problem, tasks=tasks, pieces=pieces)
    left = Schedule((*PLANNED.placed, None))
    assert chances(more, left, Random(1), [0.0, 0.0, 0.0], 0.0, samples=20).missed == 0


def test_warmer_nights_close_sooner() -> None:
    """The window of 130 slots closes before slot 100 where the nights' factor is below 100/130."""
    risk = chances(shop(130), PLANNED, Random(1), [0.0, 0.0], 0.3, samples=2000)
    assert abs(risk.missed - NormalDist().cdf(log(100 / 130) / 0.3)) < 0.03
    assert exp(0) == 1


def test_a_night_stretches_only_what_ages_and_only_after_closing() -> None:
    """By hand: of 130 slots 90 lie after a closing in slot 40. It closes before slot 100 where
    40 + 90 f <= 100, f <= 60/90: 60 for an exact time and for a day without closing, never."""
    problem = shop(130)

    def missed(problem: Problem, closings: list[int]) -> float:
        return chances(problem, PLANNED, Random(1), [0.0, 0.0], 0.3, closings, 2000).missed

    assert abs(missed(problem, [40]) - NormalDist().cdf(log(60 / 90) / 0.3)) < 0.03
    assert missed(problem, [130]) == 0
    (wait,) = problem.waits
    exact = replace(wait.stages[0], closes_aged=False)
    kept = replace(problem, waits=(replace(wait, stages=(exact, wait.stages[1])),))
    assert missed(kept, [40]) == 0


def test_a_cold_night_keeps_a_wait_no_longer_shut_than_it_ages() -> None:
    """An exact flash of 20 slots that opens by night delays nobody; an aged one delays the next."""
    base = shop(400)
    opens = [min(slot + 20, HORIZON) for slot in SLOTS]
    window = Stage(opens, [130] * (HORIZON + 1), closes_aged=False)
    late = base.waits[0].stages[1]
    planned = Schedule((Placed(0), Placed(120)))
    for aged, most in ((False, 0.0), (True, 0.2)):
        stage = replace(window, opens_aged=aged)
        problem = replace(base, waits=(Wait(0, 0, 1, (stage, late)),))
        risk = chances(problem, planned, Random(1), [0.0, 0.0], 0.3, [100], 2000)
        tail = 1 - NormalDist().cdf(log(1.45) / 0.3)
        assert abs(risk.missed - (tail if most else 0.0)) < 0.03


def test_who_waits_for_the_same_hands_is_pushed() -> None:
    """A part that is late pushes another part's step, planned after it at the same hands."""
    alone = shop(121)
    other = Task(1, 0, 20, ALL, holds=(Hold(0, 1),))
    pieces = (*alone.pieces, Piece("1", (2,), alone.pieces[0].done_day, alone.pieces[0].price))
    both = Problem(HORIZON, alone.resources, (*alone.tasks, other), alone.waits, pieces)
    planned = Schedule((Placed(20), Placed(120), Placed(0)))
    sure = chances(both, planned, Random(1), [0.0, 0.0, 0.0], 0.0, samples=20)
    late = chances(both, planned, Random(1), [0.0, 0.0, 0.5], 0.0, samples=400)
    assert sure.missed == 0
    assert abs(late.missed - 0.5) < 0.08


def test_who_has_handed_on_all_hands_pushes_nobody_else() -> None:
    """Two pairs of hands: the second task takes those of the first, the last those of the third."""
    alone = shop(121)
    long = Task(0, 0, 20, ALL, holds=(Hold(0, 1),))
    short = replace(long, piece=1)
    last = (replace(long, piece=2, length=1), replace(long, piece=2, number=1))
    window = Stage(list(SLOTS), [26] * (HORIZON + 1))
    prices = alone.pieces[0].price
    numbers = ((0,), (1,), (2, 3))
    pieces = tuple(Piece(str(n), each, prices, prices) for n, each in enumerate(numbers))
    hands = (Resource("hands", [2] * (HORIZON + 1)),)
    wait = Wait(2, 2, 3, (window,))
    problem = Problem(HORIZON, hands, (long, short, *last), (wait,), pieces)
    planned = Schedule((Placed(0), Placed(20), Placed(0), Placed(25)))
    assert chances(problem, planned, Random(1), [1.0, 0.0, 0.0, 0.0], 0.0, samples=50).missed == 0
