"""Prove a plan, or make it better, with OR-Tools CP-SAT.

One worker, a fixed seed, limits in the solver's own deterministic time: the same question has the
same answer on every computer. Each schedule is asked of the judge (``checking.py``) first.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from importlib.util import find_spec
from math import ceil
from random import Random
from typing import TYPE_CHECKING

from bench.process.plan import embedded, neighbourhoods
from bench.process.plan.checking import LEFT_OUT_PRICE, Cost, cost, faults
from bench.process.plan.problem import Problem, Schedule

if TYPE_CHECKING:
    from bench.process.plan.model import Model
    from bench.process.plan.narrowing import Narrowing

HARDER = 4
"""So many times as long the whole model is solved again where it was not long enough."""

BOLD_PCT = 130
"""Where a piece is left out, a plan of all is looked for that counts so much of the bound."""

FIRST_PIECES, FEWEST_PIECES, MOST_PIECES = 5, 3, 12
Better = Callable[[Schedule, Cost, int], bool]
"""Told each best plan so far, its cost and the bound; returns False to end."""


class NoReferee(Exception):
    """OR-Tools is not installed, so that nothing can be proven."""


@dataclass(frozen=True)
class Limits:
    """How much work may be done, in counts and in the solver's deterministic seconds.

    One of those is some two to ten seconds of a processor. columns: rounds of the bound. first: on
    the whole model, where there are at most ``most_whole`` pieces, the first time; whole: at most,
    and where there is no plan to begin with. own: rounds of the bench's own planner for each two
    pieces, where there are more: it finds more there in the same time. higher: on what a plan just
    above the bound can use, each time the bound is raised. part: on one neighbourhood; rounds:
    how many of those for each piece. seed: of the solver and of what is drawn.
    """

    columns: int = 60
    first: float = 0.15
    whole: float = 10.0
    most_whole: int = 14
    own: int = 15
    higher: float = 1.5
    part: float = 0.1
    rounds: int = 6
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
    return _Search(problem, hint, limits, better).proof()


class _Search:
    """The best plan and the best bound so far of one problem, and what makes them better."""

    def __init__(
        self, problem: Problem, hint: Schedule | None, limits: Limits, better: Better | None
    ) -> None:
        needed()
        self.problem, self.limits, self.better = problem, limits, better
        self.best, self.bound = hint, 0

    @property
    def price(self) -> int:
        """Return what the best plan counts."""
        assert self.best is not None
        return cost(self.problem, self.best).price

    def is_done(self) -> bool:
        """Return whether the best plan is proven."""
        return self.best is not None and self.price <= self.bound

    def is_wanted(self, schedule: Schedule | None, floor: int) -> bool:
        """Tell of a better plan or a better bound; return whether to go on."""
        if schedule is not None and is_better(self.problem, schedule, self.best):
            self.best = schedule
        self.bound = max(self.bound, floor)
        if self.best is not None and self.better is not None:
            counts = cost(self.problem, self.best)
            if not self.better(self.best, counts, self.bound):
                return False
        return not self.is_done()

    def proof(self) -> Proof:
        """Search, and return what was found."""
        from bench.process.plan.narrowing import Narrowing

        limits, problem = self.limits, self.problem
        narrowing = Narrowing(problem, limits.columns)
        is_going = self.is_wanted(None, narrowing.price)
        if is_going and self.best is None:
            everything = range(len(problem.pieces))
            proof = solve(
                *(problem, everything, None, limits.whole, limits.seed), self._each, self.bound
            )
            if proof.is_proven and proof.schedule is None:
                return Proof(None, proof.bound, True)
            is_going = self.is_wanted(proof.schedule, proof.bound)
        if is_going and self.best is not None and len(problem.pieces) <= limits.most_whole:
            is_going = self._whole(narrowing)
        elif is_going and self.best is not None:
            rounds = limits.own * (len(problem.pieces) ** 2 // 2)
            own = embedded.plan(
                *(problem, Random(limits.seed), rounds, self._told, self.best),
                warm=embedded.LONG_WARM,
            )
            is_going = self.is_wanted(own, 0) and self._raise(narrowing)
        if is_going and self.best is not None:
            near = narrowing.within(self.price)
            assert near is not None
            self.is_wanted(improve(near.problem, self.best, limits, self._each, self.bound), 0)
        return Proof(self.best, self.bound, self.is_done())

    def _each(self, schedule: Schedule, _: Cost, floor: int) -> bool:
        return self.is_wanted(schedule, floor)

    def _told(self, schedule: Schedule, _: Cost) -> bool:
        return not is_better(self.problem, schedule, self.best) or self.is_wanted(schedule, 0)

    def _raise(self, narrowing: Narrowing) -> bool:
        """Prove that no plan is just above the bound, in longer and longer steps while it can be.

        From the first step that is too long each one after it is half as long, if it can be at all.
        Return whether to go on with anything else.
        """
        from bench.process.plan.bound import grain

        step = reach = grain(self.problem)
        everything, limits, is_growing = range(len(self.problem.pieces)), self.limits, True
        while reach and self.bound < self.price:
            reach = min(reach, self.price - self.bound)
            most = self.bound + reach - step
            near, is_none = narrowing.within(most), True
            if near is not None:
                proof = solve(
                    *(near.problem, everything, None, limits.higher, limits.seed),
                    *(None, near.price, most),
                )
                is_none = proof.is_proven and proof.schedule is None
                if not is_none and not self.is_wanted(proof.schedule, near.price):
                    return False
            if is_none and not self.is_wanted(None, most + step):
                return False
            is_growing = is_growing and is_none
            half = (reach // step + 1) // 2 * step if reach > step else 0
            reach = 2 * reach if is_growing else half
        return True

    def _whole(self, narrowing: Narrowing) -> bool:
        """Solve the whole of what a better plan can use, again and again while it becomes less.

        Return whether to go on with anything else.
        """
        from bench.process.plan.bound import grain

        step, work, limits = grain(self.problem), self.limits.first, self.limits
        everything, is_bold = range(len(self.problem.pieces)), self.price >= LEFT_OUT_PRICE
        while work <= limits.whole:
            before = self.price
            most = before - step
            if is_bold:
                most = min(most, BOLD_PCT * self.bound // 100 // step * step)
            near, none = narrowing.within(most), min(most + step, LEFT_OUT_PRICE)
            half = before - (before - self.bound) // 2

            def each(schedule: Schedule, counts: Cost, floor: int, half: int = half) -> bool:
                return self.is_wanted(schedule, floor) and counts.price > half

            is_none = near is None
            if not self.is_wanted(None, none if near is None else near.price):
                return False
            if near is not None:
                proof = solve(
                    *(near.problem, everything, self.best, work, limits.seed, each),
                    *(self.bound, most),
                )
                is_none = proof.is_proven and proof.schedule is None
                if not self.is_wanted(proof.schedule, none if is_none else proof.bound):
                    return False
            if is_none and not is_bold:
                return True
            is_bold = is_bold and not is_none and self.price >= LEFT_OUT_PRICE
            if self.price == before and not is_none:
                work *= HARDER
        return True


def solve(
    problem: Problem,
    pieces: Collection[int],
    hint: Schedule | None,
    work: float,
    seed: int,
    better: Better | None = None,
    floor: int = 0,
    most: int | None = None,
) -> Proof:
    """Return the best plan in which some pieces move and the others stay as the hint has them.

    work: in the solver's deterministic seconds. floor: what no plan can be below, as is known.
    most: what a plan may count that is wanted. The bound counts what stays too; where it is
    proven that there is no plan, it is that of a plan that leaves a piece out, or counts more.
    """
    from bench.process.plan.model import Model, NoRoom

    stays, apart = None, 0
    if hint is not None:
        moving = {task for piece in pieces for task in problem.pieces[piece].tasks}
        stays = Schedule(tuple(None if n in moving else p for n, p in enumerate(hint.placed)))
        apart = cost(problem, stays).price - len(pieces) * LEFT_OUT_PRICE
        if most is None:
            most = cost(problem, hint).price
    beyond = LEFT_OUT_PRICE if most is None else min(LEFT_OUT_PRICE, most + 1)
    try:
        model = Model(problem, pieces, stays, None if most is None else most - apart)
    except NoRoom:
        return Proof(None, beyond, True)
    if hint is not None:
        model.hint(hint)
    counts = sum(model.price) + model.constant
    if floor > apart:
        model.cp.add(counts >= floor - apart)
    if most is not None:
        model.cp.add(counts <= most - apart)
    proof = _run(problem, model, work, seed, better, apart)
    if proof.is_proven and proof.schedule is None:
        return Proof(None, beyond, True)
    return proof


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
    solver.parameters.linearization_level = 0
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
    least = neighbourhoods.least_prices(problem)
    for _ in range(limits.rounds * len(problem.pieces)):
        pieces = neighbourhoods.neighbourhood(problem, schedule, least, size, random)
        near = neighbourhoods.near(problem, schedule, pieces, random.choice(neighbourhoods.NEAR))
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
