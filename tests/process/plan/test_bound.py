"""The bound by columns and what it rules out, held against plans that the whole model proves best."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from bench.process.plan import embedded, referee
from bench.process.plan.bound import lower_bound
from bench.process.plan.checking import cost
from bench.process.plan.narrowing import Narrowing
from bench.process.plan.problem import (
    Air,
    Hold,
    Piece,
    Problem,
    Resource,
    Schedule,
    Task,
)
from bench.process.plan.referee import Limits, Proof
from bench.process.plan.slot_sets import between
from tests.process.plan.made_benches import make_bench

HANDS, SPACE = Hold(0, 1), Hold(1, 1)
HORIZON = 60


def with_isocyanate(seed: int) -> Problem:
    """Return coats with isocyanate and other work: two painters, one of them away for a while."""
    random = Random(seed)
    tasks, pieces = [], []
    for number in range(5):
        length = random.choice((6, 6, 9, 12))
        is_masked = random.random() < 0.5
        holds = (HANDS, SPACE) if is_masked else (HANDS,)
        air = Air(0, 0 if is_masked else 1, 0, random.choice((0, 3)) if is_masked else 0)
        starts = between(0, HORIZON - length + 1)
        tasks.append(Task(number, 1, length, starts, holds=holds, airs=(air,)))
        worth = random.choice((10, 20, 30))
        price = [worth * (slot // 3) for slot in range(HORIZON + 1)]
        pieces.append(Piece(str(number), (number,), list(range(HORIZON + 1)), price))
    away = random.randrange(12)
    hands = [1 if away <= slot < away + 24 else 2 for slot in range(HORIZON + 1)]
    hands[away + 24] = 0
    resources = Resource("hands", hands), Resource("space", [1] * (HORIZON + 1))
    return Problem(HORIZON, resources, tuple(tasks), (), tuple(pieces))


@cache
def proven(problem_of: str, seed: int) -> tuple[Problem, Proof]:
    """Return a problem and its best plan, proven by the solver without any help of the bound."""
    if problem_of == "airs":
        problem = with_isocyanate(seed)
    else:
        problem = make_bench(seed, 2, 10, together=problem_of == "together")
    hint = embedded.plan(problem, Random(1), 5)
    proof = referee.prove(problem, hint, Limits(columns=0))
    assert proof.is_proven
    assert proof.schedule is not None
    return problem, proof


@pytest.mark.parametrize("seed", range(4))
def test_with_a_painter_away_the_air_makes_no_bound_above_the_best_plan(seed: int) -> None:
    problem, proof = proven("airs", seed)
    assert lower_bound(problem).price <= proof.bound


def test_the_air_counts_in_the_bound() -> None:
    """Without what is in the air the same work has a lower bound on some benches."""
    higher = 0
    for seed in range(4):
        problem, _ = proven("airs", seed)
        still = [Task(t.piece, 1, t.length, t.starts, holds=t.holds) for t in problem.tasks]
        calm = Problem(HORIZON, problem.resources, tuple(still), (), problem.pieces)
        higher += lower_bound(calm).price < lower_bound(problem).price
    assert higher > 1


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("problem_of", ["bench", "together"])
def test_no_bound_is_above_the_best_plan_of_a_bench(problem_of: str, seed: int) -> None:
    problem, proof = proven(problem_of, seed)
    assert 0 < lower_bound(problem).price <= proof.bound


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("problem_of", ["airs", "bench", "together"])
def test_what_is_ruled_out_is_in_no_plan_so_good(problem_of: str, seed: int) -> None:
    problem, proof = proven(problem_of, seed)
    assert proof.schedule is not None
    price = cost(problem, proof.schedule).price
    near = Narrowing(problem, 60).within(price)
    assert near is not None
    assert near.price <= price
    assert kept(near.problem, proof.schedule)
    before, after = (sum(t.starts.bit_count() for t in p.tasks) for p in (problem, near.problem))
    assert after < before, "a start that is far too late is not ruled out"


def kept(problem: Problem, schedule: Schedule) -> bool:
    """Return whether a problem still has the starts of a plan."""
    return all(
        placed is not None and task.starts_of(placed.way) >> placed.start & 1
        for task, placed in zip(problem.tasks, schedule.placed, strict=True)
    )
