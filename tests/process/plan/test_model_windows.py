"""The first and last slots of a task: those of all the ways in which it can be placed."""

from __future__ import annotations

from bench.process.plan.model_windows import Windows, windows
from bench.process.plan.problem import (
    ABRADED,
    PLAIN,
    WAYS,
    Piece,
    Placed,
    Problem,
    Task,
    span,
    work_start,
)
from bench.process.plan.slot_sets import between, members

HORIZON = 30
ALONE = Task(
    0, 1, 2, between(0, 11), between(3, 6), abrading=3, longer=4, longer_starts=between(1, 3)
)
"""Begun in slot 10 it ends last; over a break, or abraded first, it begins and ends before that."""


def held(task: Task) -> Windows:
    """Return the slots of a task that is the only one."""
    piece = Piece("1", (0,), range(HORIZON + 1), range(HORIZON + 1))
    problem = Problem(HORIZON, (), (task,), (), (piece,))
    return Windows(problem, tuple({0: task.starts_of(way)} for way in WAYS))


def ways(task: Task) -> list[Placed]:
    """Return every way to place it."""
    plain = [Placed(start) for start in members(task.starts)]
    return plain + [Placed(start, is_abraded=True) for start in members(task.abraded_starts)]


def test_the_first_and_last_slots_of_a_task_are_those_of_all_its_ways() -> None:
    ends = [span(ALONE, way)[1] for way in ways(ALONE)]
    begins = [work_start(ALONE, way) for way in ways(ALONE)]
    assert held(ALONE).ends(0) == (min(ends), max(ends))
    assert held(ALONE).begins(0) == (min(begins), max(begins))


def test_a_task_that_can_begin_nowhere_has_no_slot() -> None:
    nowhere = held(Task(0, 1, 2, 0))
    for first, last in (nowhere.ends(0), nowhere.begins(0)):
        assert first > last


def test_only_what_ends_too_late_to_be_as_good_is_cut() -> None:
    """Each slot counts 1: what counts at most 9 has ended in slot 9, so that it begins in 7."""
    of = held(ALONE)
    windows(of.problem, [0], of.starts, 9)
    assert of.starts[PLAIN][0] == between(0, 8)
    assert of.starts[ABRADED][0] == between(3, 5)
