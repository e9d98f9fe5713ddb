"""From where a schedule puts tasks to a plan that painters read and agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.built import BuiltPlan
from bench.process.plan.chains import LeftOut
from bench.process.plan.checking import Cost
from bench.process.plan.crew import crew
from bench.process.plan.figures import PlanInputs
from bench.process.plan.problem import SLOT_MIN, Schedule
from bench.process.plan.promises import Promised, Promises
from bench.process.wording.time_text import format_clock


@dataclass(frozen=True)
class Draft:
    """A plan that nobody agreed yet, with what is known of how good it is.

    schedule, cost: where the tasks are, and what that counts. left_out: parts with the reason why
    they are in no plan; no_room: tags for which there was none. assumed: figures nobody typed.
    promised: how the promised parts stand by it. let_go: in words, what is not begun as agreed
    though it would be now, since its part would find no room.
    """

    plan: WorkPlan
    schedule: Schedule
    cost: Cost
    left_out: tuple[LeftOut, ...]
    no_room: tuple[str, ...]
    assumed: tuple[str, ...]
    promised: tuple[Promised, ...] = ()
    let_go: tuple[str, ...] = ()


def draft(
    built: BuiltPlan, inputs: PlanInputs, schedule: Schedule, cost: Cost, made: WorkPlan
) -> Draft:
    """Write a schedule down as a plan, with who does what. made: its facts, without its steps."""
    pieces = built.problem.pieces
    steps = tuple(_steps(built, schedule, crew(built, schedule, inputs)))
    return Draft(
        plan=replace(made, steps=steps),
        schedule=schedule,
        cost=cost,
        left_out=built.left_out,
        no_room=tuple(p.key for p in pieces if schedule.placed[p.tasks[0]] is None),
        assumed=built.assumed,
        promised=_promises(built, inputs).of_steps(steps),
        let_go=tuple(_let_go_words(built, inputs, task) for task in built.let_go),
    )


def _let_go_words(built: BuiltPlan, inputs: PlanInputs, task: int) -> str:
    of, was = built.tasks[task], built.problem.tasks[task].was
    at = format_clock(built.grid.at(was or 0), inputs.now)
    return (
        f"Tag {of.tag} {of.steps[0].name} is not begun {at} as agreed: its part would find no room"
    )


def _promises(built: BuiltPlan, inputs: PlanInputs) -> Promises:
    parts = {part.tag: part for part in inputs.parts}
    return Promises(parts, inputs.jobs, inputs.around, inputs.shop.handling_h, built.grid)


def _steps(
    built: BuiltPlan, schedule: Schedule, names: Sequence[tuple[str, ...]]
) -> list[AgreedStep]:
    steps = []
    for step in built.steps(schedule):
        paint = built.problem.tasks[step.task].paint
        mixes_at = None
        if paint is not None and step.pot == step.task:
            mixing = SLOT_MIN * built.problem.paints[paint].mixing
            mixes_at = step.begins - timedelta(minutes=mixing)
        steps.append(
            AgreedStep(
                tag=step.tag,
                number=step.number,
                name=step.name,
                begins=step.begins,
                ends=step.ends,
                painters=names[step.task],
                share=step.share,
                abrading_from=step.abrading_from,
                closes=step.closes,
                pot=step.pot,
                mixes_at=mixes_at,
                open_pot=step.open_pot,
                moved_at=step.moved_at,
                doubt=bool(step.doubt),
            )
        )
    return steps
