"""Where a step can begin by the tasks of other pieces that it waits for, or that wait for it."""

from __future__ import annotations

from bisect import bisect_right

from bench.process.plan.chain import Step
from bench.process.plan.problem import ABRADED, span, work_start
from bench.process.plan.room import Room
from bench.process.plan.slot_sets import between


def after_others(room: Room, step: Step, way: int) -> int:
    """Return the starts allowed by the tasks it waits for; none where one has no place yet."""
    problem, allowed = room.problem, between(0, room.problem.horizon)
    back = step.task.abrading_of(way)
    for wait in step.outside:
        before, counts = room.placed[wait.before], room.placed[wait.first]
        reach = 0
        if before is not None and counts is not None:
            ended = span(problem.tasks[wait.before], before)[1]
            began = work_start(problem.tasks[wait.first], counts)
            for stage in wait.stages:
                if stage.abraded == (way == ABRADED):
                    closes = problem.horizon if stage.closes is None else stage.closes[began]
                    reach |= between(stage.opens[ended], closes)
        allowed &= reach >> back
    return allowed


def before_others(room: Room, step: Step, way: int) -> int:
    """Return the starts that the tasks which wait for it can bear, as they are placed."""
    problem, allowed = room.problem, between(0, room.problem.horizon)
    for wait in step.is_waited_for:
        after = room.placed[wait.after]
        if after is None:
            continue
        begins, can = work_start(problem.tasks[wait.after], after), 0
        for stage in wait.stages:
            if stage.abraded == after.is_abraded:
                since, until = 0, problem.horizon
                if wait.before == step.number:
                    until = bisect_right(stage.opens, begins) - step.lengths[way]
                if wait.first == step.number and stage.closes is not None:
                    since = bisect_right(stage.closes, begins)
                    since -= step.task.abrading_of(way)
                can |= between(since, until)
        allowed &= can
    return allowed
