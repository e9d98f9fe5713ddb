"""A problem as a model of OR-Tools CP-SAT, the same for a shop's parts and for published instances.

Hands-on work is kept to the hours with somebody in by its start slots, so no calendar is left in
the model. A wait is a step function: a clause for each step, or one line where it never differs.
What stays where it is becomes less capacity and fewer start slots (``model_ground.py``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from bench.process.plan import slot_sets
from bench.process.plan.model_airs import Breath, keep_apart
from bench.process.plan.model_crew import Job, give_out, stay_employed
from bench.process.plan.model_ground import Ground
from bench.process.plan.model_lines import Expression, Line, Lines, Literal, negated
from bench.process.plan.problem import (
    ABRADED,
    BY_TWO,
    PLAIN,
    WAYS,
    Air,
    Carrying,
    Hold,
    Placed,
    Problem,
    Schedule,
    Task,
)

if TYPE_CHECKING:
    from ortools.sat.python import cp_model


class NoRoom(Exception):
    """A task has no slot left in which it could begin; its number."""

    def __init__(self, task: int) -> None:
        """Take the task's number."""
        super().__init__(f"task {task} has no slot left")
        self.task = task


@dataclass
class Work:
    """A task as variables: its start, the start of the work itself and its end.

    ways: the starts without and with the abrading first. by_two: whether two do it.
    """

    number: int
    task: Task
    ways: tuple[int, int]
    start: Line
    begins: Line
    end: Line
    abraded: Literal
    by_two: Literal
    interval: cp_model.IntervalVar

    @property
    def sprayed(self) -> Line:
        """Return where its paint is sprayed, to which a pot is mixed for it."""
        return self.begins.later(self.task.lead)

    def is_abraded(self, way: int) -> Literal:
        """Return the literal of the one way or the other."""
        return self.abraded if way else negated(self.abraded)


@dataclass
class Reasons:
    """Literals that pin a capacity, a promise or a full day, where it is asked why."""

    resources: dict[int, cp_model.IntVar] = field(default_factory=dict)
    promises: dict[int, cp_model.IntVar] = field(default_factory=dict)
    days: dict[int, cp_model.IntVar] = field(default_factory=dict)


class Model:
    """The model of a problem, in which some pieces move and the others stay where they are."""

    def __init__(
        self,
        problem: Problem,
        pieces: Iterable[int] | None = None,
        stays: Schedule | None = None,
        most: int | None = None,
        reasons: Reasons | None = None,
    ) -> None:
        """Build it.

        pieces: those that move, all where None. stays: where the others are. most: no plan that
        counts more is wanted. reasons: filled with literals that pin what may be the reason.
        Raises NoRoom where a task has no start slot left, ImportError without ortools.
        """
        from ortools.sat.python import cp_model

        from bench.process.plan.model_pots import Pots

        self.problem = problem
        self.cp = cp_model.CpModel()
        self.lines = Lines(self.cp)
        self.pieces = tuple(range(len(problem.pieces)) if pieces is None else sorted(pieces))
        self.moving = {task for piece in self.pieces for task in problem.pieces[piece].tasks}
        self.stays = {
            number: placed
            for number, placed in enumerate(stays.placed if stays else ())
            if placed is not None and number not in self.moving
        }
        self.reasons = reasons
        self.ground = Ground(problem, self.stays, self.pieces)
        self.used: dict[int, list[tuple[cp_model.IntervalVar, int]]] = {}
        self.breaths: dict[tuple[int, int], list[Breath]] = {}
        self.hand_work: list[tuple[Line, int, Literal, int]] = []
        self.jobs: list[Job] = []
        self.price: list[Expression] = []
        self.constant = 0
        self.pots = Pots(self)
        self.works = self._works(most)
        self._waits()
        self.pots.share()
        self._stands()
        self._capacities()
        if problem.crew is not None and reasons is None:
            stay_employed(self, problem.crew)
            give_out(self, problem.crew)
        keep_apart(self)
        self._days()
        for piece in self.pieces:
            self._price_of(piece)
        if reasons is None:
            self.cp.minimize(sum(self.price) + self.constant)

    # What a task is

    def _works(self, most: int | None) -> dict[int, Work]:
        from bench.process.plan.model_windows import starts_by_way, windows

        starts = starts_by_way(self.ground, self.moving)
        windows(self.problem, self.pieces, starts, most)
        works = {}
        for number in sorted(self.moving):
            of = [starts[way][number] for way in WAYS]
            if not any(of):
                raise NoRoom(number)
            works[number] = self._work(number, of)
        return works

    def _work(self, number: int, starts: Sequence[int]) -> Work:
        task, lines, cp = self.problem.tasks[number], self.lines, self.cp
        plain, abraded, two = starts
        start = lines.line(plain | abraded | two)
        given = self._given(start, starts)
        is_abraded, by_two = given[ABRADED], given[BY_TWO]
        if is_abraded is not False:
            self.price.append(self.problem.weights.missed * is_abraded)
        is_longer = self._longer(task, start, plain | abraded, by_two)
        begins = self._shifted(start, [(plain | two, 0), (abraded, task.abrading)], 0)
        if begins is None:
            begins = lines.line(plain | two | abraded << task.abrading)
            cp.add(begins.at == start.at + task.abrading * is_abraded)
        long = task.longer_starts if task.longer else 0
        sooner = task.length_of(BY_TWO) - task.length
        ends = [
            (plain & ~long, 0),
            (plain & long, task.longer),
            (abraded & ~long, task.abrading),
            (abraded & long, task.abrading + task.longer),
            (two, sooner),
        ]
        end = self._shifted(start, ends, task.length)
        if end is None:
            taken = 0
            for some, more in ends:
                taken |= some << more + task.length
            end = lines.line(taken)
            more_slots = task.abrading * is_abraded + task.longer * is_longer + sooner * by_two
            cp.add(end.at == start.at + task.length + more_slots)
        interval, ways = self.interval(start, end), (plain | two, abraded)
        work = Work(number, task, ways, start, begins, end, is_abraded, by_two, interval)
        for hold, both in zip(task.holds, task.holds_of(BY_TWO), strict=True):
            self.use(hold, self.around(work, hold.before, hold.after))
            if by_two is not False and both.amount > hold.amount:
                since, until = start.later(-hold.before), end.later(hold.after)
                size = task.length_of(BY_TWO) + hold.before + hold.after
                second = cp.new_optional_interval_var(since.at, size, until.at, by_two, "")
                self.use(replace(hold, amount=both.amount - hold.amount), second)
        self.employ(number, start, end, by_two)
        for air in task.airs:
            self.breathe(air, start, end, True, ("task", number))
        if task.carrying is not None:
            self._carry(task.carrying, end)
        if task.move_price and task.was is not None:
            self._moved(start, task.was, task.move_price)
        return work

    def _given(self, start: Line, starts: Sequence[int]) -> list[Literal]:
        """Return the literals of the ways in which a task is done; exactly one is true."""
        given: list[Literal] = [False] * len(WAYS)
        some = [way for way in WAYS if starts[way]]
        if len(some) == 1:
            given[some[0]] = True
            return given
        for way in some:
            if way != PLAIN or len(some) > 2:
                given[way] = self.cp.new_bool_var("")
        if some[0] == PLAIN and len(some) == 2:
            given[PLAIN] = negated(given[some[1]])
        else:
            self.lines.one_of(given)
        for way in some:
            self.within(start, starts[way], given[way])
        return given

    def _longer(self, task: Task, start: Line, alone: int, by_two: Literal) -> Literal:
        """Return the literal of "over the break". alone: the starts where one does it."""
        long = task.longer_starts if task.longer else 0
        if not alone & long:
            return False
        if not alone & ~long:
            return negated(by_two)
        is_longer = self.cp.new_bool_var("")
        self.within(start, alone & long, is_longer)
        self.within(start, alone & ~long, negated(is_longer), negated(by_two))
        return is_longer

    def employ(self, number: int, start: Line, end: Line, by_two: Literal) -> None:
        """Let people do a task from one line to another, where it matters who does."""
        crew, task = self.problem.crew, self.problem.tasks[number]
        if crew is None or number in crew.going_on:
            return
        one, two = (
            {hold.resource: hold.amount for hold in task.holds_of(way)} for way in (PLAIN, BY_TWO)
        )
        is_trained, hands = crew.trained in one, one.get(crew.hands, 0)
        if hands:
            self.jobs.append(Job(start, end, True, hands, is_trained))
        if hands and by_two is not False:
            self.jobs.append(Job(start, end, by_two, two[crew.hands] - hands, is_trained))

    def _carry(self, carrying: Carrying, end: Line) -> None:
        """Let a part be carried out of its place after its coat; the place is held till then."""
        begins = [
            (slot + end.shift, carrying.begins[slot + end.shift])
            for slot in slot_sets.members(end.slots)
        ]
        lags = {at - slot for slot, at in begins}
        if len(lags) == 1:
            out = end.later(lags.pop())
        else:
            out = self.lines.line(sum({1 << at for _, at in begins}))
            self.lines.opens(carrying.begins, end, out, True)
            self.lines.closes([at + 1 for at in carrying.begins], end, out, True)
        until = out.later(carrying.length)
        self.use(Hold(carrying.place, 1), self.interval(end, until))
        in_time = negated(self.lines.from_slot(out, self.problem.horizon))
        if in_time is not False:
            self.use(carrying.hands, self.optional(out, until, in_time))
            if self.problem.crew is not None:
                self.jobs.append(Job(out, until, in_time, carrying.hands.amount))
        for _ in range(carrying.hands.amount):
            self.hand_work.append((out, carrying.length, True, carrying.hands.resource))

    def _shifted(self, start: Line, parts: Sequence[tuple[int, int]], by: int) -> Line | None:
        """Return a start moved by what all its slots are moved by, None where they differ."""
        moves = {more for slots, more in parts if slots}
        return start.later(by + moves.pop()) if len(moves) == 1 else None

    def within(self, line: Line, slots: int, *given: Literal) -> None:
        """Hold that a line lies in a set of slots, where ``given``."""
        from bench.process.plan.model_lines import domain

        kept = line.slots & (slots >> line.shift if line.shift > 0 else slots << -line.shift)
        if kept == line.slots or any(literal is False for literal in given):
            return
        if not kept:
            self.lines.clause(*map(negated, given))
            return
        held = self.cp.add_linear_expression_in_domain(line.var, domain(kept))
        if asked := [literal for literal in given if literal is not True]:
            held.only_enforce_if(asked)

    def _moved(self, start: Line, was: int, price: int) -> None:
        if not start.slots >> was & 1:
            self.constant += price
            return
        self.constant += price
        self.price.append(-price * self.is_in(start, was, was + 1))

    def is_in(self, line: Line, since: int, until: int) -> Expression:
        """Return 1 where a line lies from a slot up to another, 0 where it does not."""
        return _number(self.lines.from_slot(line, since)) - _number(
            self.lines.from_slot(line, until)
        )

    # Waits

    def _waits(self) -> None:
        for wait in self.problem.waits:
            if wait.after not in self.works:
                continue
            after = self.works[wait.after]
            before, first = self.works[wait.before], self.works[wait.first]
            for abraded in (False, True):
                given = after.abraded if abraded else negated(after.abraded)
                stages = [stage for stage in wait.stages if stage.abraded == abraded]
                if given is False:
                    continue
                chosen: list[Literal] = [given]
                if len(stages) != 1:
                    chosen = [self.cp.new_bool_var("") for _ in stages]
                    self.lines.one_of([*chosen, negated(given)])
                for stage, literal in zip(stages, chosen, strict=True):
                    self.lines.opens(stage.opens, before.end, after.begins, literal)
                    if stage.closes is not None:
                        self.lines.closes(stage.closes, first.begins, after.begins, literal)

    # Capacities and airs

    def interval(self, start: Line, end: Line) -> cp_model.IntervalVar:
        """Return the interval from one line to another."""
        if start.var.index == end.var.index:
            return self.cp.new_fixed_size_interval_var(start.at, end.shift - start.shift, "")
        size = self.cp.new_int_var(0, end.most - start.least, "")
        return self.cp.new_interval_var(start.at, size, end.at, "")

    def optional(self, start: Line, end: Line, given: Literal) -> cp_model.IntervalVar:
        """Return the interval from one line to another of its own variable, where ``given``."""
        size = end.shift - start.shift
        return self.cp.new_optional_fixed_size_interval_var(start.at, size, given, "")

    def around(self, work: Work, before: int, after: int) -> cp_model.IntervalVar:
        """Return the interval of a task with some slots before and after it."""
        if not before and not after:
            return work.interval
        return self.interval(work.start.later(-before), work.end.later(after))

    def use(self, hold: Hold, interval: cp_model.IntervalVar) -> None:
        """Let an interval hold its part of a resource."""
        self.used.setdefault(hold.resource, []).append((interval, hold.amount))

    def use_hand(self, resource: int, start: Line, end: Line, given: Literal) -> None:
        """Let one pair of hands be busy from one line to another of its own variable."""
        self.use(Hold(resource, 1), self.optional(start, end, given))
        if self.problem.crew is not None and resource == self.problem.crew.hands:
            self.jobs.append(Job(start, end, given, 1))
        self.hand_work.append((start, end.shift - start.shift, given, resource))

    def breathe(
        self, air: Air, start: Line, end: Line, given: Literal, owner: tuple[str, int]
    ) -> None:
        """Let work from one line to another have its effect on an air, where ``given``."""
        breath = Breath(start.later(-air.before), end.later(air.after), given, owner)
        self.breaths.setdefault((air.air, air.side), []).append(breath)

    def _stands(self) -> None:
        for number in self.pieces:
            piece = self.problem.pieces[number]
            if piece.stand is None:
                continue
            end = self.works[piece.tasks[-1]].end.later(piece.stand_after)
            if piece.is_on_stand:
                size = self.cp.new_int_var(end.least, end.most, "")
                interval = self.cp.new_interval_var(0, size, end.at, "")
            else:
                interval = self.interval(self.works[piece.tasks[0]].start, end)
            self.use(Hold(piece.stand, 1), interval)

    def _capacities(self) -> None:
        for number, used in self.used.items():
            left = self.ground.left[number]
            high = max(left)
            if sum(amount for _, amount in used) <= min(left):
                continue
            capacity: Expression = high
            demands = [amount for _, amount in used]
            intervals = [interval for interval, _ in used]
            for since, until, there in _levels(left):
                if 0 < there < high or (there < high and self._may_overlap_none(number)):
                    intervals.append(self.cp.new_fixed_size_interval_var(since, until - since, ""))
                    demands.append(high - there)
            if self.reasons is not None:
                pin = self.reasons.resources[number] = self.cp.new_bool_var(f"resource {number}")
                capacity = high + sum(amount for _, amount in used) * (1 - pin)
            if high == 1 and self.reasons is None and set(demands) == {1}:
                self.cp.add_no_overlap(intervals)
            else:
                self.cp.add_cumulative(intervals, demands, capacity)

    def _may_overlap_none(self, resource: int) -> bool:
        """Return whether a stretch with nothing left has to be kept free by the solver.

        Tasks are kept out of it by their start slots; a part on its stand is not.
        """
        return any(self.problem.pieces[piece].stand == resource for piece in self.pieces)

    def _days(self) -> None:
        from bench.process.plan.model_days import limit_days

        limit_days(self)

    # What it counts

    def _price_of(self, number: int) -> None:
        piece = self.problem.pieces[number]
        end = self.works[piece.tasks[-1]].end
        if self.reasons is not None:
            if piece.promised_day is not None:
                pin = self.reasons.promises[number] = self.cp.new_bool_var(f"promise {number}")
                self.lines.clause(negated(pin), self.promised(number, 0))
            return
        slots = list(slot_sets.members(end.slots))
        worth = [piece.price[slot + end.shift] for slot in slots]
        if {b - a for a, b in pairwise(worth)} == {b - a for a, b in pairwise(slots)} == {1}:
            self.constant += worth[0] - slots[0]
            self.price.append(end.var)
            return
        self.constant += worth[0]
        for (here, there), slot in zip(pairwise(worth), slots[1:], strict=True):
            if there != here:
                literal = self.lines.from_slot(end, slot + end.shift)
                self.price.append((there - here) * _number(literal))

    def promised(self, number: int, later: int) -> Literal:
        """Return the literal of "ready on the promised day, or so many days later"."""
        piece = self.problem.pieces[number]
        end = self.works[piece.tasks[-1]].end
        assert piece.promised_day is not None
        last = piece.promised_day + later
        slots = range(end.least, end.most + 1)
        late = next((slot for slot in slots if piece.done_day[slot] > last), end.most + 1)
        return negated(self.lines.from_slot(end, late))

    # From and to a schedule

    def hint(self, schedule: Schedule) -> None:
        """Tell the solver a schedule to begin with."""
        for number, work in self.works.items():
            placed = schedule.placed[number]
            if placed is None:
                continue
            if work.start.slots >> placed.start & 1:
                self.cp.add_hint(work.start.var, placed.start)
            if not isinstance(work.abraded, bool):
                self.cp.add_hint(work.abraded, placed.is_abraded)
            if not isinstance(work.by_two, bool):
                self.cp.add_hint(work.by_two, placed.by_two)
        self.pots.hint(schedule)

    def schedule(self, value: Callable[[Any], int]) -> Schedule:
        """Return the schedule of a solution, of which ``value`` gives the value of a variable."""

        def holds(literal: Literal) -> bool:
            return literal if isinstance(literal, bool) else bool(value(literal))

        placed: list[Placed | None] = [None] * len(self.problem.tasks)
        for number, there in self.stays.items():
            placed[number] = there
        for number, work in self.works.items():
            pot = self.pots.chosen(number, holds)
            start = value(work.start.var) + work.start.shift
            is_abraded, by_two = holds(work.abraded), holds(work.by_two)
            placed[number] = replace(pot, start=start, is_abraded=is_abraded, by_two=by_two)
        return Schedule(tuple(placed))


def _levels(capacity: Sequence[int]) -> Iterable[tuple[int, int, int]]:
    """Yield the stretches of a capacity that do not change, with what there is."""
    since = 0
    for slot in range(1, len(capacity) + 1):
        if slot == len(capacity) or capacity[slot] != capacity[since]:
            yield since, slot, capacity[since]
            since = slot


def _number(literal: Literal) -> Expression:
    """Return a literal as 0 or 1 in a sum."""
    return int(literal) if isinstance(literal, bool) else literal
