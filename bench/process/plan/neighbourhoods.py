"""Which pieces are placed again together: those that gain most, with some near them."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from random import Random

from bench.process.plan.problem import WAYS, Problem, Schedule, span
from bench.process.plan.slot_sets import between

NEAR = (288, 576, 1152)
"""So many slots at most a step moves in one neighbourhood: one, two or four days."""


def near(problem: Problem, schedule: Schedule, pieces: Iterable[int], reach: int) -> Problem:
    """Return the question in which no step of some pieces moves further than so many slots."""
    tasks = list(problem.tasks)
    for number in (n for piece in pieces for n in problem.pieces[piece].tasks):
        task, placed = tasks[number], schedule.placed[number]
        if placed is not None and task.fixed is None:
            slots = between(max(0, placed.start - reach), placed.start + reach + 1)
            tasks[number] = task.with_starts([task.starts_of(way) & slots for way in WAYS])
    return replace(problem, tasks=tuple(tasks))


def least_prices(problem: Problem) -> list[int]:
    """Return what each piece counts if it is ready as early as it could be alone."""
    from bench.process.plan.model_windows import start_windows

    ends = start_windows(problem).ends
    return [
        min(piece.price[first : last + 1], default=0)
        for piece in problem.pieces
        for first, last in (ends(piece.tasks[-1]),)
    ]


def neighbourhood(
    problem: Problem, schedule: Schedule, least: list[int], size: int, random: Random
) -> list[int]:
    """Return pieces that gain most from being placed again together."""
    ends, starts, paints = {}, {}, {}
    for number, piece in enumerate(problem.pieces):
        first, last = schedule.placed[piece.tasks[0]], schedule.placed[piece.tasks[-1]]
        if first is not None and last is not None:
            starts[number] = first.start
            ends[number] = span(problem.tasks[piece.tasks[-1]], last)[1]
            paints[number] = {problem.tasks[n].paint for n in piece.tasks} - {None}
    placed = sorted(ends)
    if len(placed) <= size:
        return placed
    weights = [1 + problem.pieces[n].price[ends[n]] - least[n] for n in placed]
    chosen = [random.choices(placed, weights)[0]]
    kind = random.randrange(4)
    while len(chosen) < size:
        centre = random.choice(chosen)
        rest = [n for n in placed if n not in chosen]
        if kind == 0:
            near = sorted(rest, key=lambda n: abs(ends[n] - ends[centre]))[:4]
        elif kind == 1:
            near = sorted(rest, key=lambda n: abs(starts[n] - starts[centre]))[:4]
        elif kind == 2:
            near = [n for n in rest if paints[n] & paints[centre]]
        else:
            near = random.choices(rest, [weights[placed.index(n)] for n in rest])
        chosen.append(random.choice(near or rest))
    return sorted({*chosen, *_users(problem, schedule, chosen)})


def _users(problem: Problem, schedule: Schedule, pieces: Collection[int]) -> set[int]:
    """Return the pieces that are sprayed from a pot that one of some pieces opened."""
    openers = {n for piece in pieces for n in problem.pieces[piece].tasks}
    users: set[int] = set()
    while True:
        more = {
            problem.tasks[n].piece
            for n, placed in enumerate(schedule.placed)
            if placed is not None and placed.pot in openers
        }
        if more <= users:
            return users
        users = more
        openers |= {n for piece in more for n in problem.pieces[piece].tasks}
