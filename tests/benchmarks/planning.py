"""Plans of the thirteen benches and the demo: how good, how far from proven, after how long.

Beside each stands a foreman's plan of the same bench, made in the same run. Seconds are those of
the processor, of this process alone, so that a busy computer changes none.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, timedelta
from random import Random

from bench.process.calendar.demo_start import MORNING
from bench.process.plan import embedded, referee
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.checking import Cost, cost, faults
from bench.process.plan.column import Wish
from bench.process.plan.figures import PainterFigures, PlanInputs
from bench.process.plan.placing import Placer
from bench.process.plan.problem import Problem, Schedule, span
from bench.process.plan.when import earliest
from bench.process.plan.why import why
from bench.process.refusals.refusal import Refusal
from bench.shop.plan.inputs import plan_inputs
from bench.shop.plan.planning import SEED, Effort
from bench.shop.seeds.throwaway_demo import throwaway_demo
from bench.testing import ManualClock

from .figure import Figure
from .foreman import foreman
from .plan_benches import benches

EMBEDDED_S = 10.0
"""So many processor seconds the bench's own planner has, against all that the referee has."""

DEMO = "demo"


@dataclass(frozen=True)
class Bars:
    """What a bench of a size is held to. seconds: of the processor, for plan and proof together.

    gap_pct: of the plan that is not proven to be needed. 0 and over: in how many seconds proven.
    """

    seconds: float
    gap_pct: float | None = None


BARS = {
    4: Bars(10.0, 0.0),
    8: Bars(60.0, 0.0),
    12: Bars(60.0, 0.0),
    20: Bars(120.0, 3.0),
    30: Bars(300.0, 13.0),
}
PROVEN_S = 10.0
"""Twelve parts are proven within."""


def plans(only: str = "") -> Iterator[Figure]:
    """Measure every bench, or the one of a name: "12/1", "demo"."""
    for bench in benches():
        if only in ("", bench.name):
            size = int(bench.name.split("/")[0])
            yield from _bench(bench.name, bench.inputs, size)
    if only in ("", DEMO):
        yield from _bench(DEMO, _demo_inputs(), 12)


def _demo_inputs() -> PlanInputs:
    shop = throwaway_demo(ManualClock(MORNING.replace(tzinfo=UTC)))
    assert not isinstance(shop, Refusal), shop
    try:
        return plan_inputs(shop)
    finally:
        shop.store.close()


def _bench(name: str, inputs: PlanInputs, size: int) -> Iterator[Figure]:
    began, bars = time.process_time(), BARS[size]
    built = build(inputs)
    built_s = time.process_time() - began
    problem = built.problem
    yield Figure(f"{name} build", built_s, 0, "s", 2 if size == 30 else None, "at most")
    own, listed = _embedded(problem)
    proof = _Proof(problem, bars)
    best = proof.schedule
    counts, own_counts = cost(problem, best), cost(problem, own)
    found = faults(problem, own) + faults(problem, best)
    yield Figure(
        *(f"{name} own planner to best", own_counts.price, counts.price, "", 1.05, "times"),
        f"list {listed}, {len(found)} faults",
    )
    gap_pct = 100 * (counts.price - proof.bound) / counts.price
    yield Figure(
        *(f"{name} gap", gap_pct, 0, "%", bars.gap_pct, "at most"),
        f"bound {proof.bound}; plan {proof.plan_s:.1f} s, bound {proof.bound_s:.1f} s",
    )
    if size <= 12:
        proven_s = proof.seconds if gap_pct == 0 else float("inf")
        most = PROVEN_S if size == 12 else None
        yield Figure(f"{name} proven", proven_s, 0, "s", most, "at most")
    yield _beside_foreman(name, problem, counts)
    yield from _asked(name, problem, best)
    yield _planned_again(name, inputs, built, best, bars)


def _embedded(problem: Problem) -> tuple[Schedule, int]:
    """Return the bench's own plan after its seconds, and what the first list counts."""
    until = time.process_time() + EMBEDDED_S
    prices: list[int] = []
    told: list[float] = []

    def better(_: Schedule, counts: Cost) -> bool:
        prices.append(counts.price)
        told.append(time.process_time())
        return time.process_time() < until

    # So many rounds as the seconds after the list hold: the search cools down over them.
    began = time.process_time()
    embedded.plan(problem, Random(SEED), 20, better, margins=())
    list_s, round_s = told[0] - began, (time.process_time() - told[0]) / 20
    until = time.process_time() + EMBEDDED_S
    rounds = max(20, int((EMBEDDED_S - list_s) / round_s))
    return embedded.plan(problem, Random(SEED), rounds, better), prices[0]


class _Proof:
    """What is shown of a plan as the shop makes it: its own planner first, then the referee."""

    def __init__(self, problem: Problem, bars: Bars, agreed: Schedule | None = None) -> None:
        began = time.process_time()
        price, self.bound = 0, 0
        self.plan_s = self.bound_s = 0.0

        def better(_: Schedule, counts: Cost, bound: int) -> bool:
            nonlocal price
            seconds = time.process_time() - began
            if counts.price != price:
                price, self.plan_s = counts.price, seconds
            if bound > self.bound:
                self.bound, self.bound_s = bound, seconds
            return seconds < bars.seconds

        effort = Effort()
        assert effort.proof is not None
        rounds = effort.rounds if agreed is None else effort.again
        own = embedded.plan(problem, Random(SEED), rounds, hint=agreed)
        proof = referee.prove(problem, own, effort.proof, better)
        self.schedule, self.bound = proof.schedule or own, proof.bound
        self.seconds = time.process_time() - began


def _beside_foreman(name: str, problem: Problem, counts: Cost) -> Figure:
    plan = foreman(problem)
    his = cost(problem, plan)
    note = f"foreman {len(faults(problem, plan))} faults, left out {his.left_out}"
    pairs = ("mixes", counts.mixes, his.mixes), ("days", counts.days, his.days)
    note += "".join(f", {what} {theirs} to {ours}" for what, ours, theirs in pairs)
    return Figure(f"{name} windows missed", counts.missed, his.missed, "", 0, "at most", note)


def _asked(name: str, problem: Problem, best: Schedule) -> Iterator[Figure]:
    """Ask when the last part could be ready, were it new; and why the most delayed is not sooner."""
    placer, piece = Placer(problem), len(problem.pieces) - 1
    room = placer.restored(best)
    for other in room.take_out(piece):
        if other != piece:
            placer.place(room, other, Wish())
    without = room.schedule()
    began = time.process_time()
    found = earliest(problem, without, piece, with_moves=True, random=Random(SEED))
    seconds, moved = time.process_time() - began, len(found.moved) if found else 0
    yield Figure(f"{name} when", seconds, 0, "s", 1, "at most", f"{moved} steps of others move")
    late = max(range(len(problem.pieces)), key=lambda n: _days_behind(problem, placer, best, n))
    asked = _promised_soonest(problem, placer, late)
    began = time.process_time()
    answer = why(asked, [late])
    note = f"{len(answer.reasons)} reasons, {'proven' if answer.is_proven else 'not proven'}"
    yield Figure(f"{name} why", time.process_time() - began, 0, "s", 10, "at most", note)


def _days_behind(problem: Problem, placer: Placer, best: Schedule, piece: int) -> int:
    last = problem.pieces[piece].tasks[-1]
    placed = best.placed[last]
    if placed is None:
        return 0
    price = problem.pieces[piece].price[span(problem.tasks[last], placed)[1]]
    return price - placer.least(piece)


def _promised_soonest(problem: Problem, placer: Placer, piece: int) -> Problem:
    """Return the bench with a part promised for the day it could be ready on by itself."""
    room, facts = placer.room(), problem.pieces[piece]
    placer.place(room, piece, Wish())
    placed = room.placed[facts.tasks[-1]]
    assert placed is not None
    day = facts.done_day[span(problem.tasks[facts.tasks[-1]], placed)[1]]
    pieces = list(problem.pieces)
    pieces[piece] = replace(facts, promised_day=day)
    return replace(problem, pieces=tuple(pieces))


def _planned_again(
    name: str, inputs: PlanInputs, built: BuiltPlan, best: Schedule, bars: Bars
) -> Figure:
    """Plan again, as the shop does, with one painter away for the second and third day."""
    begun = (
        AgreedStep(s.tag, s.number, s.name, s.begins, s.ends, share=s.share)
        for s in built.steps(best)
    )
    agreed = WorkPlan(inputs.now, 0, inputs.now, tuple(begun))
    since = inputs.now.replace(hour=0, minute=0) + timedelta(days=1)
    away = replace(inputs.painters[-1], away=((since, since + timedelta(days=2)),))
    painters: tuple[PainterFigures, ...] = (*inputs.painters[:-1], away)
    again = build(replace(inputs, painters=painters, plan=agreed)).problem
    proof = _Proof(again, bars, best)
    plan = proof.schedule
    counts, steps = cost(again, plan), sum(each is not None for each in plan.placed)
    note = f"{counts.moved} of {steps} steps, {len(faults(again, plan))} faults, "
    note += f"left out {counts.left_out}, missed {counts.missed}, "
    note += f"bound {proof.bound} of {counts.price}, {proof.seconds:.1f} s"
    share = 100 * counts.moved / max(steps, 1)
    return Figure(f"{name} planned again, moved", share, 0, "%", 25, "at most", note)
