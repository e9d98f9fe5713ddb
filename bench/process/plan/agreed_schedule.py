"""The agreed plan put back into slots: where its steps are in the question that is asked now."""

from __future__ import annotations

from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.built import BuiltPlan
from bench.process.plan.problem import Placed, Schedule


def agreed_schedule(built: BuiltPlan, plan: WorkPlan) -> Schedule:
    """Return where the agreed plan has the tasks that are still to do; the others have no place.

    What cannot be kept of it, since something came late, is for who reads it to find out.
    """
    agreed = {(step.tag, step.number, step.share): step for step in plan.steps}
    found: list[AgreedStep | None] = []
    for task in built.tasks:
        first = task.steps[0]
        found.append(agreed.get((task.tag, first.number, first.share)))
    openers = {
        step.pot: task
        for task, step in enumerate(found)
        if step is not None and step.mixes_at is not None
    }
    letters = {letter: place for place, letter in enumerate(built.open_pots)}
    return Schedule(tuple(_placed(built, n, s, openers, letters) for n, s in enumerate(found)))


def _placed(
    built: BuiltPlan,
    task: int,
    step: AgreedStep | None,
    openers: dict[int | None, int],
    letters: dict[str, int],
) -> Placed | None:
    of, named = built.problem.tasks[task], built.tasks[task]
    if step is None:
        return None if of.fixed is None else Placed(of.fixed)
    begins = step.abrading_from or step.begins
    pot = openers.get(step.pot) if step.pot is not None and of.paint is not None else None
    stands = step.open_pot and pot is None and of.paint is not None
    may_miss = of.fixed is None and not named.abrading
    return Placed(
        start=built.grid.up(begins.timestamp()) if of.fixed is None else of.fixed,
        is_abraded=may_miss and step.abrading_from is not None,
        pot=pot,
        open_pot=letters.get(step.open_pot) if stands else None,
        by_two=of.by_two is not None and len(step.painters) > 1,
    )
