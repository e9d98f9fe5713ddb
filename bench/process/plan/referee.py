"""Prove a plan, or make it better, with OR-Tools CP-SAT.

One worker, a fixed seed, limits in the solver's own deterministic time: the same question has the
same answer on every computer. Each schedule is asked of the judge (``checking.py``) first.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from importlib.util import find_spec
from math import ceil
from random import Random
from typing import TYPE_CHECKING

from bench.process.plan import embedded
from bench.process.plan.checking import LEFT_OUT_PRICE, Cost, cost, faults
from bench.process.plan.problem import Problem, Schedule, span
from bench.process.plan.slot_sets import between

if TYPE_CHECKING:
    from bench.process.plan.model import Model

FIRST_PIECES, FEWEST_PIECES, MOST_PIECES = 5, 3, 12
NEAR = (288, 576, 1152)
"""So many slots at most a step moves in one neighbourhood: one, two or four days."""

Better = Callable[[Schedule, Cost, int], bool]
"""Told each best plan so far, its cost and the bound; returns False to end."""


class NoReferee(Exception):
    """OR-Tools is not installed, so that nothing can be proven."""


@dataclass(frozen=True)
class Limits:
    """How much work may be done, in counts and in the solver's deterministic seconds.

    One of those is some ten seconds of a processor. columns: rounds of the bound. whole: on the
    whole model, where there are at most ``most_whole`` pieces or no plan to begin with. own: rounds
    of the bench's own planner, where there are more pieces: it finds more there in the same time.
    part: on one neighbourhood; rounds: how many of those. seed: of the solver and of what is drawn.
    """

    columns: int = 60
    whole: float = 1.0
    most_whole: int = 14
    own: int = 800
    part: float = 0.1
    rounds: int = 60
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
    """Return the best plan within the limits, what none can be below, and whether it is the same.

    hint: a plan to begin with; without one only a few pieces can be placed. First the bound by
    columns, then the whole model of a small bench, or more of the bench's own search on a full one,
    then a few pieces at a time. Raises NoReferee.
    """
    from bench.process.plan.bound import lower_bound

    needed()
    best, bound = hint, 0

    def is_wanted(schedule: Schedule | None, floor: int) -> bool:
        """Tell of a better plan or a better bound; return whether to go on."""
        nonlocal best, bound
        best, bound = schedule or best, max(bound, floor)
        wanted = best is None or better is None or better(best, cost(problem, best), bound)
        return wanted and not done()

    def done() -> bool:
        return best is not None and cost(problem, best).price <= bound

    def each(schedule: Schedule, _: Cost, floor: int) -> bool:
        return is_wanted(schedule, floor)

    is_going = is_wanted(None, lower_bound(problem, limits.columns).price) and not done()
    everything = tuple(range(len(problem.pieces)))
    if is_going and (hint is None or len(everything) <= limits.most_whole):
        proof = solve(problem, everything, hint, limits.whole, limits.seed, each, bound)
        if proof.is_proven and proof.schedule is None:
            if hint is None:
                return Proof(None, proof.bound, True)
            bound = max(bound, LEFT_OUT_PRICE)
        is_going = is_wanted(proof.schedule, proof.bound)
    elif is_going and best is not None:
        own = embedded.plan(
            *(problem, Random(limits.seed), limits.own),
            better=lambda found, _: not is_better(problem, found, best) or is_wanted(found, 0),
            hint=best,
        )
        is_going = not is_better(problem, own, best) or is_wanted(own, 0)
    if is_going and best is not None:
        best = improve(problem, best, limits, each, bound)
    return Proof(best, bound, done())


def solve(
    problem: Problem,
    pieces: Collection[int],
    hint: Schedule | None,
    work: float,
    seed: int,
    better: Better | None = None,
    floor: int = 0,
) -> Proof:
    """Return the best plan in which some pieces move and the others stay as the hint has them.

    work: in the solver's deterministic seconds. floor: what no plan can be below, as is known. The
    bound counts what stays too.
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
    if floor > apart:
        model.cp.add(sum(model.price) + model.constant >= floor - apart)
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
    # Trying every literal beforehand takes longer than it saves: measured on benches of 12 parts.
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.max_presolve_iterations = 1
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
    problem: Problem,
    schedule: Schedule,
    limits: Limits,
    better: Better | None = None,
    floor: int = 0,
) -> Schedule:
    """Return a plan that is better, or as good, by solving a few pieces at a time exactly.

    A few pieces are taken out, all others stay, and the full model of those alone is solved. More
    are taken out where the last was proven, fewer where it was not. Raises NoReferee.
    """
    needed()
    random, size = Random(limits.seed), FIRST_PIECES
    least = _least_prices(problem)
    for _ in range(limits.rounds):
        pieces = _neighbourhood(problem, schedule, least, size, random)
        near = _near(problem, schedule, pieces, random.choice(NEAR))
        proof = solve(near, pieces, schedule, limits.part, random.randrange(1 << 30))
        size = min(MOST_PIECES, size + 1) if proof.is_proven else max(FEWEST_PIECES, size - 1)
        if proof.schedule is None:
            continue
        before, now = cost(problem, schedule), cost(problem, proof.schedule)
        if now.price <= before.price:
            schedule = proof.schedule
            if now.price < before.price and better and not better(schedule, now, floor):
                break
    return schedule


def is_better(problem: Problem, schedule: Schedule, than: Schedule | None) -> bool:
    """Return whether a plan counts less than another, or there is no other."""
    return than is None or cost(problem, schedule).price < cost(problem, than).price


def _near(problem: Problem, schedule: Schedule, pieces: Iterable[int], reach: int) -> Problem:
    """Return the question in which no step of some pieces moves further than so many slots."""
    tasks = list(problem.tasks)
    for number in (n for piece in pieces for n in problem.pieces[piece].tasks):
        task, placed = tasks[number], schedule.placed[number]
        if placed is not None and task.fixed is None:
            near = between(max(0, placed.start - reach), placed.start + reach + 1)
            starts, abraded = task.starts & near, task.abraded_starts & near
            tasks[number] = replace(task, starts=starts, abraded_starts=abraded)
    return replace(problem, tasks=tuple(tasks))


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
