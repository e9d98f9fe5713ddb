"""Prove a plan, or make it better, with OR-Tools CP-SAT.

One worker, a fixed seed, limits in the solver's own deterministic time: the same question has the same
answer on every computer. Every schedule is asked of the judge (``checking.py``) before it counts.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from importlib.util import find_spec
from math import ceil
from random import Random
from typing import TYPE_CHECKING

from bench.process.plan.checking import LEFT_OUT_PRICE, Cost, cost, faults
from bench.process.plan.problem import Problem, Schedule, span

if TYPE_CHECKING:
    from bench.process.plan.model import Model

FIRST_PIECES, FEWEST_PIECES, MOST_PIECES = 5, 3, 12

Better = Callable[[Schedule, Cost, int], bool]
"""Told each best plan so far, its cost and the bound; returns False to end."""


class NoReferee(Exception):
    """OR-Tools is not installed, so that nothing can be proven."""


@dataclass(frozen=True)
class Limits:
    """How much work may be done, in the solver's deterministic seconds (about those of a processor).

    whole: on the whole model. part: on one neighbourhood; rounds: how many of those. seed: of the
    solver and of what is drawn.
    """

    whole: float = 20.0
    part: float = 1.0
    rounds: int = 40
    seed: int = 1


@dataclass(frozen=True)
class Proof:
    """The best plan, what no plan can be below, and whether that is the same.

    schedule: None where none was found; with ``is_proven`` there is none.
    """

    schedule: Schedule | None
    bound: int
    is_proven: bool


class Unsound(AssertionError):
    """The model let through what the judge finds a fault in: a mistake of ours."""


def needed() -> None:
    """Raise NoReferee where OR-Tools is not installed."""
    if find_spec("ortools") is None:
        from bench.process.plan.messages import NO_REFEREE

        raise NoReferee(NO_REFEREE)


def prove(
    problem: Problem, hint: Schedule | None, limits: Limits, better: Better | None = None
) -> Proof:
    """Return the best plan that the whole model gives within the limits, and its bound.

    hint: a plan to begin with; what it leaves out is left out where there is no plan with all.
    Raises NoReferee.
    """
    needed()
    all_pieces = tuple(range(len(problem.pieces)))
    proof = solve(problem, all_pieces, hint, limits.whole, limits.seed, better)
    if proof.schedule is not None or hint is None:
        return proof
    bound = LEFT_OUT_PRICE if proof.is_proven else proof.bound
    pieces = [n for n in all_pieces if hint.placed[problem.pieces[n].tasks[0]] is not None]
    rest = solve(problem, pieces, hint, limits.whole, limits.seed, better)
    return Proof(rest.schedule or hint, bound, False)


def solve(
    problem: Problem,
    pieces: Collection[int],
    hint: Schedule | None,
    work: float,
    seed: int,
    better: Better | None = None,
) -> Proof:
    """Return the best plan in which some pieces move and the others stay as the hint has them.

    work: in the solver's deterministic seconds. The bound counts what stays too.
    """
    from bench.process.plan.model import Model, NoRoom

    stays, apart, most = None, 0, None
    if hint is not None:
        moving = {task for piece in pieces for task in problem.pieces[piece].tasks}
        stays = Schedule(tuple(None if n in moving else p for n, p in enumerate(hint.placed)))
        apart = cost(problem, stays).price - len(pieces) * LEFT_OUT_PRICE
        most = cost(problem, hint).price - apart
    try:
        model = Model(problem, pieces, stays, most)
    except NoRoom:
        return Proof(None, apart, True)
    if hint is not None:
        model.hint(hint)
    return _run(problem, model, work, seed, better, apart)


def _run(
    problem: Problem, model: Model, work: float, seed: int, better: Better | None, apart: int
) -> Proof:
    from ortools.sat.python import cp_model

    best: list[Schedule] = []

    class Each(cp_model.CpSolverSolutionCallback):
        """Asks the judge of each plan that the solver comes to."""

        def on_solution_callback(self) -> None:
            """Keep the plan, and end where that is wanted."""
            schedule = model.schedule(self.value)
            best[:] = [_sound(problem, schedule)]
            bound = apart + ceil(self.best_objective_bound - 1e-6)
            if better and not better(schedule, cost(problem, schedule), bound):
                self.stop_search()

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    status = solver.solve(model.cp, Each())
    is_proven = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    bound = apart
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN):
        bound += max(0, ceil(solver.best_objective_bound - 1e-6))
    return Proof(best[0] if best else None, bound, is_proven)


def _sound(problem: Problem, schedule: Schedule) -> Schedule:
    found = faults(problem, schedule)
    if found:
        raise Unsound(str(found[0]))
    return schedule


def improve(
    problem: Problem, schedule: Schedule, limits: Limits, better: Better | None = None
) -> Schedule:
    """Return a plan that is better, or as good, by solving a few pieces at a time exactly.

    A few pieces are taken out, all others stay, and the full model of those alone is solved. What is
    taken out is larger where the last was proven, smaller where it was not. Raises NoReferee.
    """
    needed()
    random, size = Random(limits.seed), FIRST_PIECES
    least = _least_prices(problem)
    for _ in range(limits.rounds):
        pieces = _neighbourhood(problem, schedule, least, size, random)
        proof = solve(problem, pieces, schedule, limits.part, random.randrange(1 << 30))
        size = min(MOST_PIECES, size + 1) if proof.is_proven else max(FEWEST_PIECES, size - 1)
        if proof.schedule is None:
            continue
        before, now = cost(problem, schedule), cost(problem, proof.schedule)
        if now.price <= before.price:
            schedule = proof.schedule
            if now.price < before.price and better and not better(schedule, now, 0):
                break
    return schedule


def _least_prices(problem: Problem) -> list[int]:
    """Return what each piece counts if it is ready as early as it could be alone."""
    from bench.process.plan.model_windows import start_windows

    ends = start_windows(problem).ends
    return [
        min(piece.price[first : last + 1], default=0)
        for piece in problem.pieces
        for first, last in (ends(piece.tasks[-1]),)
    ]


def _neighbourhood(
    problem: Problem, schedule: Schedule, least: list[int], size: int, random: Random
) -> list[int]:
    """Return pieces that gain most from being placed anew together."""
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
            near = random.choices(rest, [1 + problem.pieces[n].price[ends[n]] - least[n] for n in rest])
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
