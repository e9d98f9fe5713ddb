"""Why there is no plan: a set of reasons of which every one is needed, and what would do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.plan import referee
from bench.process.plan.problem import Hold, Piece, Problem, Resource, Stage, Task, Wait
from bench.process.plan.why import Reason, Relief, Why, relaxed, why

DAY = 10
SPRAY, HANDS = 0, 1


def two_parts(promised: tuple[int | None, int | None], days: int = 4) -> Problem:
    """Return two parts of two coats each that one spray space cannot both take on one day."""
    horizon = days * DAY
    working = sum(((1 << 6) - 1) << day * DAY for day in range(days))
    lasting = working & (working >> 1) & (working >> 2)
    tasks, waits, pieces = [], [], []
    for piece in range(2):
        for place in range(2):
            holds = (Hold(SPRAY, 1), Hold(HANDS, 1))
            tasks.append(Task(piece, place, 3, lasting, holds=holds))
        opens = [min(horizon + 1, slot) for slot in range(horizon + 1)]
        waits.append(Wait(2 * piece, 2 * piece, 2 * piece + 1, (Stage(opens),)))
        done = [slot // DAY for slot in range(horizon + 1)]
        pieces.append(Piece(f"{piece}", (2 * piece, 2 * piece + 1), done, done, promised[piece]))
    hands = [2 if slot % DAY < 6 else 0 for slot in range(horizon + 1)]
    resources = Resource("spray", [1] * (horizon + 1)), Resource("hands", hands)
    return Problem(horizon, resources, tuple(tasks), tuple(waits), tuple(pieces))


EXPECTED = {Reason("promise", 0), Reason("promise", 1), Reason("resource", SPRAY)}


def test_two_promises_and_one_spray_space_are_the_reason_and_each_alone_would_do() -> None:
    problem = two_parts((0, 0))
    found = why(problem)
    assert found.is_proven
    assert set(found.reasons) == EXPECTED
    assert set(found.reliefs) == {Relief(reason, 1) for reason in EXPECTED}
    for relief in found.reliefs:
        assert why(relaxed(problem, relief)) == Why((), (), True)


def test_a_promise_that_is_not_asked_about_is_no_reason() -> None:
    assert why(two_parts((0, 0)), wanted=[1]) == Why((), (), True)
    assert why(two_parts((0, 1))) == Why((), (), True)


def test_a_task_without_any_slot_is_named() -> None:
    problem = two_parts((1, 1))
    tasks = (replace(problem.tasks[0], starts=0), *problem.tasks[1:])
    found = why(replace(problem, tasks=tasks))
    assert found.reasons == (Reason("hours", 0),)


def test_without_ortools_the_planner_of_the_bench_tries_and_says_that_it_is_not_proven(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(referee, "find_spec", lambda _: None)
    found = why(two_parts((0, 0)))
    assert not found.is_proven
    assert Relief(Reason("promise", 1), 1) in found.reliefs
    assert set(found.reasons) <= EXPECTED
    assert why(two_parts((0, 1))) == Why((), (), False)
