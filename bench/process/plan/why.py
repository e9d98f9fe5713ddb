"""Why a promise or a plan is not possible: the smallest set of reasons, and what would do.

Capacities, full days and promises are pinned by literals that the solver assumes. What it gives as
the reason for a failure is not the smallest set, so that each is left out in turn, and stays out
where the failure stays.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import Literal, TypeVar

from bench.process.plan import model_lines
from bench.process.plan.checking import cost, faults
from bench.process.plan.embedded import plan
from bench.process.plan.problem import DayLimit, Problem, Resource, Schedule

Kind = Literal["resource", "day", "promise", "hours"]
Item = TypeVar("Item")

WORK = 0.3  # of the solver, in deterministic seconds, for each question
EMBEDDED_ROUNDS = 3
MOST_DAYS_LATER = 7


@dataclass(frozen=True)
class Reason:
    """One thing in the way. which: its place among resources, day limits, pieces or tasks.

    "hours": a task has no slot at all in which it could begin.
    """

    kind: Kind
    which: int


@dataclass(frozen=True)
class Relief:
    """What would do: so many more of a resource, slots of a day, or days for a promise."""

    reason: Reason
    by: int


@dataclass(frozen=True)
class Why:
    """Why it is not possible.

    reasons: all of them together; empty where it is possible, or nothing was found. reliefs: each
    of which alone would do. is_proven: by the solver; False where it is what the bench's own
    planner could not do.
    """

    reasons: tuple[Reason, ...]
    reliefs: tuple[Relief, ...]
    is_proven: bool


def why(problem: Problem, wanted: Iterable[int] | None = None, seed: int = 1) -> Why:
    """Return why not every wanted piece can be ready on the day it is promised for.

    wanted: pieces; those with a promised day where None. Without OR-Tools a weaker answer is given.
    """
    from bench.process.plan.referee import NoReferee, needed

    pieces = [n for n, piece in enumerate(problem.pieces) if piece.promised_day is not None]
    asked = pieces if wanted is None else sorted(set(wanted) & set(pieces))
    try:
        needed()
    except NoReferee:
        return _by_trying(problem, asked, seed)
    return _by_solving(problem, asked, seed)


# With the solver


def _by_solving(problem: Problem, asked: Sequence[int], seed: int) -> Why:
    from bench.process.plan.model import NoRoom

    try:
        question = _Question(problem, seed)
    except NoRoom as none:
        return Why((Reason("hours", none.task),), (), True)
    core = question.core([r for r in question.pins if r.kind != "promise" or r.which in asked])
    if core is None:
        return Why((), (), question.is_settled)
    for reason in sorted(core, key=_order):
        if reason in core:
            core = question.core([other for other in core if other != reason]) or core
    reliefs = (question.relief(reason, core) for reason in core)
    return Why(tuple(core), tuple(relief for relief in reliefs if relief), True)


class _Question:
    """A model whose capacities, full days and promises hold only where they are assumed."""

    def __init__(self, problem: Problem, seed: int) -> None:
        from bench.process.plan.model import Model, Reasons

        reasons = Reasons()
        self.model = Model(problem, reasons=reasons)
        self.seed, self.is_settled = seed, False
        self.pins = {
            **{Reason("resource", n): pin for n, pin in reasons.resources.items()},
            **{Reason("day", n): pin for n, pin in reasons.days.items()},
            **{Reason("promise", n): pin for n, pin in reasons.promises.items()},
        }

    def core(self, held: Iterable[Reason], *more: model_lines.Literal) -> list[Reason] | None:
        """Return which of the reasons together leave no plan; None where there is, or may be, one.

        more: what is assumed besides. ``is_settled`` says afterwards whether it is known.
        """
        from ortools.sat.python import cp_model

        taken = list(held)
        cp = self.model.cp
        cp.clear_assumptions()
        cp.add_assumptions([*(self.pins[reason] for reason in taken), *more])
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = WORK
        status = solver.solve(cp)
        self.is_settled = status != cp_model.UNKNOWN
        if status != cp_model.INFEASIBLE:
            return None
        indices = set(solver.sufficient_assumptions_for_infeasibility())
        return [reason for reason in taken if self.pins[reason].index in indices]

    def relief(self, reason: Reason, core: Sequence[Reason]) -> Relief | None:
        """Return the least of one reason that would do, with the others as they are."""
        rest = [other for other in core if other != reason]
        for by in _tries(self.model.problem, reason):
            if reason.kind == "day":
                return Relief(reason, by)
            if reason.kind == "promise":
                question, held = self, self.model.promised(reason.which, by)
                assumed = [] if held is True else [held]
            else:
                relief = Relief(reason, by)
                question, assumed = _Question(relaxed(self.model.problem, relief), self.seed), []
            if question.core([r for r in rest if r in question.pins], *assumed) is None:
                return Relief(reason, by) if question.is_settled else None
        return None


def _order(reason: Reason) -> tuple[int, int]:
    """Return what is left out first: what a painter can change least."""
    return ("day", "resource", "promise", "hours").index(reason.kind), -reason.which


# By trying


def _by_trying(problem: Problem, asked: Sequence[int], seed: int) -> Why:
    """Return what the bench's own planner cannot do, and can with one reason less."""
    if _is_done(problem, asked, seed):
        return Why((), (), False)
    reasons = [Reason("promise", n) for n in asked]
    reasons += [Reason("resource", n) for n in range(len(problem.resources))]
    reasons += [Reason("day", n) for n in range(len(problem.day_limits))][:1]
    reliefs = []
    for reason in reasons:
        for by in _tries(problem, reason):
            if _is_done(relaxed(problem, Relief(reason, by)), asked, seed):
                reliefs.append(Relief(reason, by))
                break
    return Why(tuple(relief.reason for relief in reliefs), tuple(reliefs), False)


def _is_done(problem: Problem, asked: Sequence[int], seed: int) -> bool:
    schedule = plan(problem, Random(seed), EMBEDDED_ROUNDS)
    return not faults(problem, schedule) and not late(problem, schedule, asked)


def late(problem: Problem, schedule: Schedule, asked: Iterable[int]) -> list[int]:
    """Return which of some pieces are left out, or ready after the day they are promised for."""
    found = []
    for number in asked:
        piece = problem.pieces[number]
        alone = replace(problem, pieces=(replace(piece, priority=1),))
        counted = cost(alone, schedule)
        if counted.left_out or counted.late_days:
            found.append(number)
    return found


# What would do


def _tries(problem: Problem, reason: Reason) -> range:
    if reason.kind == "promise":
        return range(1, MOST_DAYS_LATER + 1)
    if reason.kind == "resource":
        amounts = {h.amount for t in problem.tasks for h in t.holds if h.resource == reason.which}
        most = max(amounts, default=1)
        return range(most, most + 1)
    limit = problem.day_limits[reason.which]
    free = sum(problem.resources[limit.resource].capacity[limit.since : limit.until]) - limit.most
    return range(free, free + 1) if free > 0 else range(0)


def relaxed(problem: Problem, relief: Relief) -> Problem:
    """Return a problem in which one reason is less in the way."""
    kind, which, by = relief.reason.kind, relief.reason.which, relief.by
    if kind == "promise":
        piece = problem.pieces[which]
        assert piece.promised_day is not None
        later = replace(piece, promised_day=piece.promised_day + by)
        return replace(problem, pieces=_with(problem.pieces, which, later))
    if kind == "resource":
        more = problem.resources[which]
        more = Resource(more.key, [amount + by if amount else 0 for amount in more.capacity])
        return replace(problem, resources=_with(problem.resources, which, more))
    limit = problem.day_limits[which]
    fuller = DayLimit(limit.resource, limit.since, limit.until, limit.most + by)
    return replace(problem, day_limits=_with(problem.day_limits, which, fuller))


def _with(items: tuple[Item, ...], place: int, item: Item) -> tuple[Item, ...]:
    return (*items[:place], item, *items[place + 1 :])
