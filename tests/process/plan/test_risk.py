"""How likely a window is missed: held against the normal distribution, and plain cases."""

from __future__ import annotations

from math import exp, log
from random import Random
from statistics import NormalDist

from bench.process.plan.problem import (
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
    risk = chances(shop(121), PLANNED, Random(1), [0.2, 0.2], 0.0, 2000)
    tail = 1 - NormalDist().cdf(log(1.2) / 0.2)
    assert abs(risk.missed - tail) < 0.03
    assert [(each.task, each.missed) for each in risk.by_task] == [(1, risk.missed)]


def test_nothing_is_missed_where_nothing_varies_and_more_slack_is_safer() -> None:
    assert chances(shop(101), PLANNED, Random(1), [0.0, 0.0], 0.0, 20).by_task == ()
    tight, wide = (chances(shop(n), PLANNED, Random(1), [0.2, 0], 0.0, 200) for n in (105, 150))
    assert tight.missed > wide.missed


def test_warmer_nights_close_sooner() -> None:
    """The window of 130 slots closes before slot 100 where the nights' factor is below 100/130."""
    risk = chances(shop(130), PLANNED, Random(1), [0.0, 0.0], 0.3, 2000)
    assert abs(risk.missed - NormalDist().cdf(log(100 / 130) / 0.3)) < 0.03
    assert exp(0) == 1


def test_who_waits_for_the_same_hands_is_pushed() -> None:
    """A part that is late pushes another part's step, planned after it at the same hands."""
    alone = shop(121)
    other = Task(1, 0, 20, ALL, holds=(Hold(0, 1),))
    pieces = (*alone.pieces, Piece("1", (2,), alone.pieces[0].done_day, alone.pieces[0].price))
    both = Problem(HORIZON, alone.resources, (*alone.tasks, other), alone.waits, pieces)
    planned = Schedule((Placed(20), Placed(120), Placed(0)))
    sure = chances(both, planned, Random(1), [0.0, 0.0, 0.0], 0.0, 20)
    late = chances(both, planned, Random(1), [0.0, 0.0, 0.5], 0.0, 400)
    assert sure.missed == 0
    assert abs(late.missed - 0.5) < 0.08
