"""The people of a model: all that takes hands is given to some who are there for the whole of it.

Those who are alike are one class, of which as many jobs go on at once as there are people in it.
Only where they differ is there anything to hold: of people who are alike there is always one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bench.process.plan import slot_sets
from bench.process.plan.model_lines import Line, Literal
from bench.process.plan.problem import Crew, Person, carried, span

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from bench.process.plan.model import Model


@dataclass
class Job:
    """Something that takes hands from one line to another, where ``given``."""

    start: Line
    end: Line
    given: Literal
    hands: int
    trained: bool = False


def stay_employed(model: Model, crew: Crew) -> None:
    """Let people do the tasks that stay, with the mixing and cleaning that nobody shares."""
    by_hand = list(model.pots.staying_work)
    for number, placed in model.stays.items():
        task = model.problem.tasks[number]
        since, until = span(task, placed)
        line = model.lines.line(1 << since)
        model.employ(number, line, line.later(until - since), placed.by_two)
        out = carried(task, placed)
        if task.carrying is not None and out is not None:
            by_hand += [(*out, crew.hands)] * task.carrying.hands.amount
    for since, until, resource in by_hand:
        until = min(until, model.problem.horizon)
        if resource == crew.hands and since < until:
            line = model.lines.line(1 << since)
            model.jobs.append(Job(line, line.later(until - since), True, 1))


def give_out(model: Model, crew: Crew) -> None:
    """Hold that every job of a model has its people."""
    classes: dict[Person, int] = {}
    for person in crew.people:
        classes[person] = classes.get(person, 0) + 1
    held: dict[Person, list[cp_model.IntervalVar]] = {person: [] for person in classes}
    horizon = model.problem.horizon
    for job in model.jobs:
        able = [person for person in classes if person.trained or not job.trained]
        for _ in range(job.hands):
            chosen = [model.cp.new_bool_var("") for _ in able]
            if job.given is True:
                model.cp.add_exactly_one(chosen)
            else:
                model.cp.add(sum(chosen) == job.given)
            for person, literal in zip(able, chosen, strict=True):
                held[person].append(_interval(model, job, literal))
    for person, count in classes.items():
        away = slot_sets.between(0, horizon) & ~person.here
        intervals = list(held[person])
        demands = [1] * len(intervals)
        for since, until in slot_sets.runs(away):
            intervals.append(model.cp.new_fixed_size_interval_var(since, until - since, ""))
            demands.append(count)
        if count == 1:
            model.cp.add_no_overlap(intervals)
        else:
            model.cp.add_cumulative(intervals, demands, count)


def _interval(model: Model, job: Job, given: cp_model.IntVar) -> cp_model.IntervalVar:
    if job.start.var.index == job.end.var.index:
        return model.optional(job.start, job.end, given)
    size = model.cp.new_int_var(0, job.end.most - job.start.least, "")
    return model.cp.new_optional_interval_var(job.start.at, size, job.end.at, given, "")
