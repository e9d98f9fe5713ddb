"""What the referee proves, against the judge and against trying every plan there is."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from random import Random

import pytest

from bench.process.plan import embedded, referee
from bench.process.plan.bound import grain, lower_bound
from bench.process.plan.checking import LEFT_OUT_PRICE, Cost, cost, faults
from bench.process.plan.problem import (
    Air,
    DayLimit,
    Hold,
    OpenPot,
    Paint,
    Piece,
    Placed,
    Problem,
    Resource,
    Schedule,
    Stage,
    Task,
    Wait,
    Weights,
    spray_start,
)
from bench.process.plan.referee import Limits, Proof, improve, prove, solve
from bench.process.plan.slot_sets import members
from tests.process.plan.small_shops import shop

SLOTS = 8


def tiny(seed: int) -> Problem:
    """Return a problem of two parts in a few slots, with every kind of rule drawn at random."""
    random = Random(seed)
    horizon, never = SLOTS, SLOTS + 1
    tasks: list[Task] = []
    waits: list[Wait] = []
    pieces: list[Piece] = []
    for piece in range(2):
        first = len(tasks)
        for place in range(2):
            number, length = first + place, random.choice((1, 1, 2))
            starts = sum(1 << s for s in range(horizon - length + 1) if random.random() < 0.8)
            paint = 0 if random.random() < 0.5 else None
            abrading = random.choice((0, 1)) if place else 0
            was = random.choice((None, random.randrange(horizon)))
            tasks.append(
                Task(
                    piece,
                    place + 1,
                    length,
                    starts,
                    starts & ((1 << horizon - length - abrading + 1) - 1) if abrading else 0,
                    abrading,
                    1 if random.random() < 0.2 else 0,
                    1 << random.randrange(horizon - length),
                    (Hold(0, 1), Hold(1, 1, 0, random.choice((0, 1))))[: random.choice((1, 2))],
                    (Air(0, random.choice((0, 1)), 0, random.choice((0, 0, 1))),)[
                        : random.choice((0, 1))
                    ],
                    paint,
                    random.choice((40, 60)) if paint is not None else 0,
                    random.choice((1, 1, 1, 2)),
                    random.getrandbits(horizon)
                    | random.getrandbits(horizon)
                    | random.getrandbits(horizon),
                    was=was,
                    move_price=5 if was is not None else 0,
                )
            )
            if place:
                lag, life = random.choice((0, 1, 2)), random.choice((2, 3, 9))
                opens = [min(never, slot + lag) for slot in range(horizon + 1)]
                if random.random() < 0.3:
                    opens = [min(never, slot // 3 * 3 + 3) for slot in range(horizon + 1)]
                closes = [min(never, slot + life + lag) for slot in range(horizon + 1)]
                stages = [Stage(opens, closes)]
                if random.random() < 0.4:
                    stages.append(Stage([min(never, slot + 2) for slot in closes]))
                if abrading:
                    stages.append(Stage(closes, abraded=True))
                waits.append(Wait(number - 1, number - 1, number, tuple(stages)))
        days = [slot // 3 for slot in range(horizon + 1)]
        price = [random.choice((10, 20)) * day for day in days]
        pieces.append(
            Piece(f"{piece}", (first, first + 1), days, sorted(price), 1, 1, 2, piece == 0, 1)
        )
    hands = [random.choice((1, 2, 2, 2, 2)) for _ in range(horizon + 1)]
    paint = Paint(
        *("a", 1, 1, 100, [min(horizon, slot + 4) for slot in range(horizon + 1)], 0),
        *((Air(0, 1),), (Air(0, 0, 0, 1),)),
    )
    return Problem(
        horizon,
        (
            Resource("hands", hands),
            Resource("space", [1] * never),
            Resource("stands", [random.choice((1, 2, 2))] * never),
        ),
        tuple(tasks),
        tuple(waits),
        tuple(pieces),
        (paint,),
        (OpenPot(0, 50, 4),) if random.random() < 0.4 else (),
        (DayLimit(0, 0, 5, random.choice((4, 6, 8))),),
        Weights(30, 7),
    )


def drafted(problem: Problem) -> Schedule:
    """Return a plan of the bench's own planner, hardly searched for."""
    return embedded.plan(problem, Random(1), 1)


def cheapest(problem: Problem) -> int | None:
    """Return what the best plan counts, by asking the judge of every one; None without one."""
    least: int | None = None
    firsts, seconds = (list(_alone(problem, piece)) for piece in range(2))
    for first in firsts:
        for second in seconds:
            schedule = Schedule((*first, *second))
            price = cost(problem, schedule).price
            if (least is None or price < least) and not faults(problem, schedule):
                least = price
    return least


def _alone(problem: Problem, piece: int) -> Iterator[tuple[Placed, ...]]:
    """Yield how one part can be placed by its own rules, whatever the other does."""
    numbers = problem.pieces[piece].tasks
    for placed in product(*(_choices(problem, number) for number in numbers)):
        alone: list[Placed | None] = [None] * len(problem.tasks)
        alone[numbers[0] : numbers[-1] + 1] = placed
        rules = {fault.rule for fault in faults(problem, Schedule(tuple(alone)))}
        if not rules - {"nobody mixes the pot", "paint of the pot", "too little of stands"}:
            yield placed


def _choices(problem: Problem, number: int) -> list[Placed]:
    task = problem.tasks[number]
    pots: list[tuple[int | None, int | None]] = [(None, None)]
    if task.paint is not None:
        pots = [(n, None) for n, other in enumerate(problem.tasks) if other.paint == 0]
        pots += [(None, n) for n in range(len(problem.open_pots))]
    return [
        placed
        for abraded, slots in ((False, task.starts), (True, task.abraded_starts))
        for start in members(slots)
        for pot in pots
        for placed in (Placed(start, abraded, *pot),)
        if pot[0] != number or task.opening_starts >> spray_start(task, placed) & 1
    ]


# 0 has no plan. Each of the others has another best plan if one kind of rule is left out of the model.
@pytest.mark.parametrize("seed", [0, 5, 12, 29, 36, 54, 61, 79, 112])
def test_what_is_proven_is_what_trying_every_plan_comes_to(seed: int) -> None:
    problem = tiny(seed)
    best = cheapest(problem)
    proof = prove(problem, None, Limits(columns=0))
    assert proof.is_proven
    if best is None:
        assert proof.schedule is None
    else:
        assert proof.schedule is not None
        assert cost(problem, proof.schedule).price == best == proof.bound
        assert lower_bound(problem).price <= best


def test_the_bound_is_never_above_what_is_proven_and_close_to_it() -> None:
    for seed in (1, 2):
        problem = shop(3, 4, seed)
        proof = prove(problem, drafted(problem), Limits(columns=0))
        assert proof.is_proven
        assert 0.85 * proof.bound <= lower_bound(problem).price <= proof.bound


def test_the_same_question_has_the_same_answer_and_can_be_ended() -> None:
    problem = shop(3, 4, 2, is_tight=True)
    hint = drafted(problem)
    first, second = (prove(problem, hint, Limits(whole=0.05, rounds=3)) for _ in range(2))
    assert first == second
    said: list[tuple[int, int]] = []

    def once(schedule: Schedule, counted: Cost, bound: int) -> bool:
        assert not faults(problem, schedule)
        said.append((counted.price, bound))
        return False

    ended = prove(problem, hint, Limits(), once)
    assert len(said) <= 2
    assert said[0][1] <= first.bound <= said[0][0]
    assert ended.schedule is not None


@pytest.mark.parametrize("short", [1, 2, 5, 6, 13, 21])
def test_the_bound_is_raised_to_the_last_that_can_be_proven(
    monkeypatch: pytest.MonkeyPatch, short: int
) -> None:
    """The solver is played: it proves a bound up to so many steps short of what the plan counts."""
    problem = shop(3, 4, 2)
    hint, step = drafted(problem), grain(problem)
    price = cost(problem, hint).price
    assert price == 22 * step
    provable = price - short * step
    asked: list[int] = []

    def played(*question: object) -> Proof:
        most = question[-1]
        assert isinstance(most, int)
        asked.append(most)
        return Proof(None, most + 1, most < provable)

    monkeypatch.setattr(referee, "solve", played)
    proof = prove(problem, hint, Limits(columns=0, most_whole=0, own=0, rounds=0))
    assert proof.bound == provable
    assert len(asked) < 10
    assert max(asked) < price


def test_a_few_pieces_at_a_time_come_to_a_better_plan_and_leave_the_others() -> None:
    problem = shop(5, 5, 2, is_tight=True)
    start = drafted(problem)
    moved = solve(problem, (0, 3), start, 0.1, 1).schedule
    assert moved is not None
    for number, task in enumerate(problem.tasks):
        if task.piece not in (0, 3):
            assert moved.placed[number] == start.placed[number]
    better = improve(problem, start, Limits(part=0.03, rounds=3))
    assert not faults(problem, better)
    assert cost(problem, moved).price <= cost(problem, start).price
    assert cost(problem, better).price < cost(problem, start).price


def test_without_room_it_is_proven_that_there_is_no_plan() -> None:
    problem = shop(2, 1, 1)
    proof = prove(problem, None, Limits())
    assert proof.schedule is None
    assert proof.is_proven
    assert lower_bound(problem).price >= LEFT_OUT_PRICE


def test_without_ortools_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(referee, "find_spec", lambda _: None)
    with pytest.raises(referee.NoReferee, match=r"not proven: ortools is not installed"):
        prove(shop(1, 5), None, Limits())
