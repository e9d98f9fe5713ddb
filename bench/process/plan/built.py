"""A problem that was built from the bench, and the way back: tasks to steps, slots to hours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from bench.process.plan.chains import LeftOut
from bench.process.plan.grid import Grid
from bench.process.plan.problem import Placed, Problem, Schedule, carried, span, work_start
from bench.process.wording.time_text import format_clock


@dataclass(frozen=True)
class StepOfTask:
    """A step that a task does. offset, slots: where it lies in the task. share: of a long one."""

    number: int
    name: str
    offset: int
    slots: int
    share: tuple[int, int] = (1, 1)


@dataclass(frozen=True)
class TaskOf:
    """What a task is. doubt: ``?`` where its length is nobody's own figure.

    abrading: slots of it before its first step, where it is abraded for whatever the plan.
    """

    tag: str
    steps: tuple[StepOfTask, ...]
    doubt: str
    is_masked: bool = False
    abrading: int = 0


@dataclass(frozen=True)
class PlannedStep:
    """A step as it is planned. abrading_from: when the abrading before it begins, None without.

    closes: when it is too late to begin it, by the plan; None where nothing closes. moved_at: when
    its part is carried out of the spray space after it, None where it stays.
    """

    task: int
    tag: str
    number: int
    name: str
    begins: datetime
    ends: datetime
    share: tuple[int, int]
    abrading_from: datetime | None
    closes: datetime | None
    pot: int | None
    open_pot: str
    moved_at: datetime | None
    doubt: str


@dataclass(frozen=True)
class BuiltPlan:
    """The question, and what its numbers mean.

    tasks: what each is; open_pots: their letters; left_out: the parts that are not in it;
    assumed: in words, what nobody typed or knows. no_window: the names of steps, by tag and number,
    that leave the next no window wherever they are begun, so that it is abraded for. let_go: the
    tasks that are not begun in the next hour as agreed, since their part would find no room.
    """

    problem: Problem
    grid: Grid
    tasks: tuple[TaskOf, ...]
    open_pots: tuple[str, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    assumed: tuple[str, ...] = ()
    no_window: Mapping[tuple[str, int], str] = field(default_factory=dict)
    let_go: tuple[int, ...] = ()

    def task_of(self, tag: str, number: int) -> int | None:
        """Return the task in which a step of a part begins; None where no task does it."""
        for task, of in enumerate(self.tasks):
            if of.tag == tag and any(step.number == number for step in of.steps):
                return task
        return None

    def closes(self, schedule: Schedule, task: int) -> int | None:
        """Return the slot that is too late for a task, by where what comes before it was placed."""
        placed = schedule.placed[task]
        if placed is None:
            return None
        problem, begins = self.problem, work_start(self.problem.tasks[task], placed)
        late: list[int] = []
        for wait in problem.waits:
            before, first = schedule.placed[wait.before], schedule.placed[wait.first]
            if wait.after != task or before is None or first is None:
                continue
            ended = span(problem.tasks[wait.before], before)[1]
            began = work_start(problem.tasks[wait.first], first)
            late += [
                stage.closes[began]
                for stage in wait.stages
                if stage.closes is not None
                and stage.abraded == placed.is_abraded
                and stage.opens[ended] <= begins < stage.closes[began] <= problem.horizon
            ]
        return min(late, default=None)

    def begin_by(self, schedule: Schedule, task: int) -> datetime | None:
        """Return by when a task is begun at the latest, the slack before its window closes kept."""
        closes, placed = self.closes(schedule, task), schedule.placed[task]
        if closes is None or placed is None:
            return None
        before = work_start(self.problem.tasks[task], placed) - placed.start
        return self.grid.at(closes - 1 - before)

    def begin_by_words(self, schedule: Schedule, task: int, now: datetime) -> str:
        """Say by when a task is begun: "begin by 14:05"; empty where nothing closes.

        now: in the shop's zone.
        """
        at = self.begin_by(schedule, task)
        return f"begin by {format_clock(at, now)}" if at is not None else ""

    def steps(self, schedule: Schedule) -> tuple[PlannedStep, ...]:
        """Return every step as it is planned, in the order in which they begin."""
        planned = [
            step
            for task, placed in enumerate(schedule.placed)
            if placed is not None
            for step in self._steps_of(schedule, task, placed)
        ]
        return tuple(sorted(planned, key=lambda step: (step.begins, step.tag, step.number)))

    def _steps_of(self, schedule: Schedule, task: int, placed: Placed) -> list[PlannedStep]:
        of, begins = self.tasks[task], work_start(self.problem.tasks[task], placed)
        ended = span(self.problem.tasks[task], placed)[1]
        closes, out = self.closes(schedule, task), carried(self.problem.tasks[task], placed)
        planned = []
        for step in of.steps:
            is_first = step is of.steps[0]
            is_abraded = is_first and (placed.is_abraded or bool(of.abrading))
            since, until = begins + step.offset, begins + step.offset + step.slots
            planned.append(
                PlannedStep(
                    task=task,
                    tag=of.tag,
                    number=step.number,
                    name=step.name,
                    begins=self.grid.at(since),
                    ends=self.grid.at(ended if step is of.steps[-1] else until),
                    share=step.share,
                    abrading_from=self.grid.at(placed.start) if is_abraded else None,
                    closes=self.grid.at(closes) if is_first and closes is not None else None,
                    pot=placed.pot,
                    open_pot="" if placed.open_pot is None else self.open_pots[placed.open_pot],
                    moved_at=self.grid.at(out[0]) if out and step is of.steps[-1] else None,
                    doubt=of.doubt,
                )
            )
        return planned
