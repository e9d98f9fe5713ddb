"""The embedded planner: plans of random benches without a fault, and of small ones the best there is.

Whether a plan is sound and what it counts is asked of the judge (``checking``), which shares no code
with the planner; the best plan of tiny benches is found by trying every one.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from random import Random

import pytest

from bench.process.plan import checking
from bench.process.plan.column import Wish
from bench.process.plan.embedded import plan
from bench.process.plan.placing import Placer
from bench.process.plan.problem import (
    ByTwo,
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
)
from tests.process.plan.made_benches import DAY, HANDS, make_bench


@cache
def bench(
    seed: int,
    parts: int,
    painters: int = 2,
    stands: int | None = None,
    together: bool = False,
) -> Problem:
    """Return a bench made by chance, nine days of it."""
    return make_bench(seed, parts, 9, painters, stands, together=together)


@cache
def planned(
    seed: int,
    parts: int,
    painters: int = 2,
    stands: int | None = None,
    together: bool = False,
) -> Schedule:
    """Return its plan."""
    return plan(bench(seed, parts, painters, stands, together), Random(seed), 4)


Made = tuple[int, int, int, int | None] | tuple[int, int, int, int | None, bool]
TOGETHER: list[Made] = [(1, 3, 2, None, True), (3, 3, 2, 2, True), (4, 4, 3, None, True)]
MADE: list[Made] = [(1, 3, 2, None), (2, 3, 1, None), (3, 3, 2, 2), (4, 4, 3, None), *TOGETHER]


@pytest.mark.parametrize("made", MADE)
def test_a_plan_breaks_no_rule(made: Made) -> None:
    problem, schedule = bench(*made), planned(*made)
    assert checking.faults(problem, schedule) == ()
    assert checking.cost(problem, schedule).left_out < made[1]


@pytest.mark.parametrize("made", MADE)
def test_some_of_it_is_done_by_two_where_they_may(made: Made) -> None:
    by_two = {placed.by_two for placed in planned(*made).placed if placed is not None}
    assert by_two == ({False, True} if made in TOGETHER else {False})


@pytest.mark.parametrize("made", MADE)
def test_a_sound_plan_is_put_back_whole(made: Made) -> None:
    """Whoever shares a pot with whom: the gun is cleaned after the last of them, not in between."""
    assert Placer(bench(*made)).restored(planned(*made)).schedule() == planned(*made)


def test_the_same_question_has_the_same_plan() -> None:
    assert plan(bench(1, 3), Random(1), 4) == planned(1, 3)


def test_of_nothing_there_is_a_plan_with_nothing_in_it() -> None:
    nothing = Problem(HORIZON, (Resource("hands", [1] * 31),), (), (), ())
    assert plan(nothing, Random(1), 3) == Schedule(())


def test_a_step_that_is_fixed_stays_there() -> None:
    problem, schedule = bench(1, 3), planned(1, 3)
    number = problem.pieces[2].tasks[2]
    at = schedule.placed[number]
    assert at is not None
    tasks = list(problem.tasks)
    tasks[number] = replace(tasks[number], fixed=at.start)
    kept = replace(problem, tasks=tuple(tasks))
    again = plan(kept, Random(7), 2)
    assert again.placed[number] == replace(at, pot=again.placed[number].pot)  # type: ignore[union-attr]
    assert checking.faults(kept, again) == ()


def test_each_plan_that_is_better_is_told_and_the_search_ends_when_it_is_to() -> None:
    prices: list[int] = []

    def better(schedule: Schedule, cost: checking.Cost) -> bool:
        prices.append(checking.cost(bench(4, 4, 3), schedule).price)
        assert prices[-1] == cost.price
        return len(prices) < 2

    schedule = plan(bench(4, 4, 3), Random(1), 40, better)
    assert len(prices) == 2
    assert prices[1] < prices[0]
    assert checking.cost(bench(4, 4, 3), schedule).price == prices[1]


def test_a_new_plan_without_one_painter_moves_little() -> None:
    """Six parts; one of two painters is away on the third and fourth day."""
    problem = make_bench(3, 6, 12)
    placer = Placer(problem)
    room = placer.room()
    assert all(placer.place(room, piece, Wish()) for piece in range(6))
    agreed = room.schedule()
    tasks = [
        replace(task, was=None if at is None else at.start, move_price=25)
        for task, at in zip(problem.tasks, agreed.placed, strict=True)
    ]
    hands = [
        min(1, most) if 2 * DAY <= slot < 4 * DAY else most
        for slot, most in enumerate(problem.resources[HANDS].capacity)
    ]
    limits = [
        replace(limit, most=limit.most // 2) if 2 * DAY <= limit.since < 4 * DAY else limit
        for limit in problem.day_limits
    ]
    resources = (replace(problem.resources[HANDS], capacity=hands), *problem.resources[1:])
    away = replace(problem, tasks=tuple(tasks), resources=resources, day_limits=tuple(limits))
    assert checking.faults(away, agreed) != ()
    again = plan(away, Random(1), 1, hint=agreed)
    assert checking.faults(away, again) == ()
    count = checking.cost(away, again)
    assert count.left_out == 0
    assert 0 < count.moved <= len(tasks) / 4


# Tiny benches, every plan of which can be tried

HORIZON = 30
SLOTS = range(HORIZON + 1)
ALL = (1 << HORIZON) - 1


def tiny(seed: int, *, together: bool = False) -> Problem:
    """Return two parts of two coats each and one pair of hands, made by chance.

    together: there are two, who may both be on a coat.
    """
    random = Random(seed)
    tasks, waits, pieces = [], [], []
    for part in range(2):
        for coat in range(2):
            domain = sum(1 << s for s in sorted(random.sample(range(2, 26), 4)))
            length = random.choice((1, 2, 3))
            by_two = None
            if together:
                length += 2
                by_two = ByTwo(-(-length // 2), domain & domain - 1, (Hold(0, 2),))
            tasks.append(
                Task(
                    part, coat, length, domain,
                    abraded_starts=domain if coat else 0, abrading=2 * coat,
                    holds=(Hold(0, 1),), paint=0, ml=random.choice((300, 600)),
                    opening_starts=domain | domain << 2 * coat, by_two=by_two,
                )
            )  # fmt: skip
        opens, closes = random.choice((1, 2, 4)), random.choice((6, 9))
        stages = (
            Stage([e + opens for e in SLOTS], [s + closes for s in SLOTS]),
            Stage([e + closes for e in SLOTS], None, abraded=True),
        )
        waits.append(Wait(2 * part, 2 * part, 2 * part + 1, stages))
        day = [slot // 8 for slot in SLOTS]
        price = [(part + 1) * 100 * d for d in day]
        pieces.append(Piece(str(part), (2 * part, 2 * part + 1), day, price))
    paint = Paint("paint", 1, 1, 900, [s + 9 for s in SLOTS], 0)
    return Problem(
        HORIZON, (Resource("hands", [1 + together] * 31),), tuple(tasks), tuple(waits), tuple(pieces),
        (paint,), (OpenPot(0, 600, 9),),
    )  # fmt: skip


def ways(problem: Problem, number: int) -> list[Placed]:
    """Return every way in which a task can be placed."""
    task = problem.tasks[number]
    pots = [(None, 0), *((n, None) for n in range(4))]
    keyed = (False, True) if task.abraded_starts else (False,)
    how = [(k, False) for k in keyed] + [(False, True)] * (task.by_two is not None)
    starts = [s for s in SLOTS if task.starts >> s & 1]
    return [Placed(s, k, pot, stood, by) for s, (k, by), (pot, stood) in product(starts, how, pots)]


def least_price(problem: Problem) -> int:
    """Return what the best plan of two parts counts, by trying all that are sound by themselves."""
    alone: list[list[tuple[Placed, ...]]] = []
    for part in range(2):
        found = []
        for pair in product(ways(problem, 2 * part), ways(problem, 2 * part + 1)):
            placed: list[Placed | None] = [None] * 4
            placed[2 * part : 2 * part + 2] = pair
            shared = any(p.pot is not None and p.pot // 2 != part for p in pair)
            faults = {f.rule for f in checking.faults(problem, Schedule(tuple(placed)))}
            if not faults or (shared and faults <= {"nobody mixes the pot"}):
                found.append(pair)
        alone.append(found)
    schedules = [Schedule((*a, *b)) for a, b in product(*alone)]
    priced = sorted((checking.cost(problem, s).price, n) for n, s in enumerate(schedules))
    return next(p for p, n in priced if not checking.faults(problem, schedules[n]))


@pytest.mark.parametrize(("seed", "together"), [(4, False), (5, False), (4, True), (7, True)])
def test_of_a_tiny_bench_the_best_plan_is_found(seed: int, *, together: bool) -> None:
    problem = tiny(seed, together=together)
    found = plan(problem, Random(1), 60)
    assert checking.faults(problem, found) == ()
    assert checking.cost(problem, found).price == least_price(problem)
