"""Making a plan of the bench: the question, put to the planner's process, and its answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from random import Random

from bench.process.plan import embedded, messages, referee
from bench.process.plan.agreed import WorkPlan
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.checking import Cost, cost
from bench.process.plan.drafting import Best, work_plan
from bench.process.plan.figures import PlanInputs
from bench.process.plan.problem import Problem, Schedule
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.plan.inputs import plan_inputs
from bench.store.queries import bench_rows

SEED = 1
"""The same bench has the same plan at every terminal."""


@dataclass(frozen=True)
class Effort:
    """How long is planned, in rounds and the referee's own seconds, which no clock changes.

    rounds: of the bench's own planner; whole, part, parts: as in ``referee.Limits``, 0 for nothing.
    """

    rounds: int = 300
    whole: float = 20.0
    part: float = 1.0
    parts: int = 40


@dataclass(frozen=True)
class NotProven:
    """Why nobody proves the plan."""

    reason: str


@dataclass(frozen=True)
class PlanQuestion:
    """What the planner's process is asked: a plan of a problem, as good as the effort allows."""

    problem: Problem
    effort: Effort
    seed: int = SEED

    def answer(self, tell: Callable[[object], bool]) -> None:
        """Tell each best plan so far, with what is known of how good it is."""

        def own(schedule: Schedule, cost: Cost) -> bool:
            return tell(Best(schedule, cost))

        found = embedded.plan(self.problem, Random(self.seed), self.effort.rounds, own)
        tell(Best(found, cost(self.problem, found)))
        if not self.effort.whole:
            return

        def refereed(schedule: Schedule, cost: Cost, bound: int) -> bool:
            return tell(Best(schedule, cost, bound))

        limits = referee.Limits(self.effort.whole, self.effort.part, self.effort.parts, self.seed)
        try:
            proof = referee.prove(self.problem, found, limits, refereed)
        except referee.NoReferee as missing:
            tell(NotProven(str(missing)))
            return
        best = proof.schedule or found
        tell(Best(best, cost(self.problem, best), proof.bound, proof.is_proven))


@dataclass(frozen=True)
class Planning:
    """What is planned: the question, what it was read from, and the newest entry of the log then."""

    inputs: PlanInputs
    built: BuiltPlan
    line: int
    effort: Effort

    @property
    def question(self) -> PlanQuestion:
        """Return what the planner's process is asked."""
        return PlanQuestion(self.built.problem, self.effort)

    def plan_of(self, best: Best) -> WorkPlan:
        """Write an answer down as a plan."""
        return work_plan(
            self.built,
            best,
            self.inputs.painters,
            self.inputs.now,
            self.line,
            SEED,
            asdict(self.effort),
        )


def begin_planning(shop: Shop, effort: Effort = Effort()) -> Planning | Refusal:
    """Read the bench and build the question; refused where there is nothing to plan."""
    with shop.store.reading() as session:
        line = bench_rows.last_line_number(session)
    inputs = plan_inputs(shop)
    built = build(inputs)
    if not built.problem.tasks:
        reasons = "; ".join(f"tag {each.tag}: {each.reason}" for each in built.left_out)
        return Refusal("nothing to plan", reasons, "place a part that has a step to do")
    if not built.grid.attended:
        return Refusal(messages.NO_HOURS.format(days=inputs.days))
    return Planning(inputs, built, line, effort)
