"""Making a plan of the bench: what the planner's process is asked, and what it answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from random import Random

from bench.process.plan import embedded, messages, referee
from bench.process.plan.agreed import WorkPlan
from bench.process.plan.agreed_schedule import agreed_schedule
from bench.process.plan.building import build
from bench.process.plan.checking import Cost, cost
from bench.process.plan.drafting import Draft, draft
from bench.process.plan.figures import PlanInputs
from bench.process.plan.problem import Schedule
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.plan.inputs import plan_inputs
from bench.shop.plan.planner_process import Ended, PlannerProcess

SEED = 1
"""The same bench has the same plan at every terminal."""


PROOF = referee.Limits(seed=SEED)
"""Some five minutes of a processor on a full bench; a small one is proven long before."""

NO_PARTS = "place a part that has a step to do"


@dataclass(frozen=True)
class Effort:
    """How long is planned, in counts that no clock changes.

    rounds: of the bench's own planner; alone: where there is no referee to go on; again: where a
    plan is agreed, from which few steps are to move; proof: of the referee, None to ask none.
    """

    rounds: int = 60
    alone: int = 600
    again: int = 60
    proof: referee.Limits | None = PROOF


@dataclass(frozen=True)
class NotProven:
    """Why nobody can say how much better a plan could be."""

    reason: str


@dataclass(frozen=True)
class PlanQuestion:
    """A plan of the bench, as good as the effort allows: it tells each best draft so far.

    A new plan begins with the one that is agreed.
    """

    inputs: PlanInputs
    effort: Effort = Effort()

    def answer(self, tell: Callable[[object], bool]) -> None:
        """Tell drafts; a refusal where there is nothing to plan; NotProven without a referee."""
        built, effort, agreed = build(self.inputs), self.effort, self.inputs.plan
        if not built.problem.tasks:
            reasons = "; ".join(f"tag {each.tag}: {each.reason}" for each in built.left_out)
            remedy = "change that, then plan again" if reasons else NO_PARTS
            tell(Refusal("nothing to plan", reasons, remedy))
            return
        if not built.grid.attended:
            tell(Refusal(messages.NO_HOURS.format(days=self.inputs.days)))
            return

        missing = _missing_referee() if effort.proof else ""
        rounds = effort.alone if missing else effort.rounds

        def best(schedule: Schedule, counts: Cost, bound: int | None, proven: bool = False) -> bool:
            made = WorkPlan(
                made_at=self.inputs.now,
                line=self.inputs.line,
                until=built.grid.at(built.problem.horizon),
                steps=(),
                planner="bench" if bound is None else "referee",
                seed=SEED,
                limits={"rounds": rounds, **(asdict(effort.proof) if effort.proof else {})},
                price=counts.price,
                bound=bound,
                is_proven=proven,
            )
            return tell(draft(built, self.inputs, schedule, counts, made))

        problem = built.problem
        own = embedded.plan(
            *(problem, Random(SEED), effort.again if agreed else rounds),
            better=lambda found, counts: best(found, counts, None),
            hint=agreed_schedule(built, agreed) if agreed else None,
        )
        best(own, cost(problem, own), None)
        if missing:
            tell(NotProven(missing))
        elif effort.proof is not None:
            proof = referee.prove(problem, own, effort.proof, best)
            found = proof.schedule or own
            best(found, cost(problem, found), proof.bound, proof.is_proven)


def _missing_referee() -> str:
    """Return why nothing can be proven; empty where it can."""
    try:
        referee.needed()
    except referee.NoReferee as missing:
        return str(missing)
    return ""


def plan_question(shop: Shop, effort: Effort = Effort()) -> PlanQuestion:
    """Read what a plan of the bench is made from, as it is now. Raises StoreFault."""
    return PlanQuestion(plan_inputs(shop), effort)


def plan_now(shop: Shop, effort: Effort = Effort()) -> tuple[Draft, str] | Refusal:
    """Plan and wait for the end; why it is not proven, empty where it is or could be.

    Raises StoreFault.
    """
    best: Draft | None = None
    note = ""
    for answer in PlannerProcess(plan_question(shop, effort)).wait():
        if isinstance(answer, Refusal):
            return answer
        if isinstance(answer, Draft):
            best = answer
        if isinstance(answer, NotProven):
            note = answer.reason
        if isinstance(answer, Ended) and answer.fault:
            if best is None:
                return Refusal("no plan was made", answer.fault, "plan again")
            note = f"not proven: {answer.fault}"
    assert best is not None
    return best, note
