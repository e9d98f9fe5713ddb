"""What the agreed plan asks for: steps that are late, and what the next shop day begins with."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from bench.process.ahead.attendance import Stay
from bench.process.attention.todo_list import Task
from bench.process.plan.agreed import WorkPlan
from bench.process.plan.day_page import begin_by_words, begun_by, first_of, who_words
from bench.process.plan.late_steps import BROKEN, late_steps, late_words

if TYPE_CHECKING:
    from bench.process.plan.promises import Promises


def late_tasks(
    plan: WorkPlan,
    stands: Mapping[str, int | None],
    in_hand: Collection[str],
    now: datetime,
    promises: Promises | None = None,
) -> tuple[Task, ...]:
    """Return a task for each step that should have begun, with what it pushes.

    stands: by the tag of each part that is here; in_hand: the tags of which a step is begun.
    promises: named where a late step breaks one, and those steps first.
    """
    found = (
        Task("PLAN", stands[step.tag], step.tag, late_words(plan, step, now, promises))
        for step in late_steps(plan, in_hand, now)
        if step.tag in stands
    )
    return tuple(sorted(found, key=lambda task: not task.text.startswith(BROKEN)))


def planned_lines(plan: WorkPlan | None, day: Stay) -> Iterator[str]:
    """Yield what each painter begins a shop day with, then what has a latest hour in it."""
    if plan is None:
        return
    for step in first_of(plan, day):
        yield who_words(step, day[0])
    for step in begun_by(plan, day):
        yield begin_by_words(step, day[0])
