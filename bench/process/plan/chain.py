"""One piece as a chain: its tasks in order, with every table turned to "by the slot of the start".

Nothing here changes while a plan is made. Tables are made monotone on the safe side: what opens
never earlier, what closes never later, than the problem says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import gt, lt

from bench.process.plan.problem import (
    ABRADED,
    BY_TWO,
    PLAIN,
    WAYS,
    Problem,
    Stage,
    Task,
    Wait,
    mixed_by_others,
)
from bench.process.plan.room import is_fixed_abraded
from bench.process.plan.slot_sets import between, members, slots_where

Table = Sequence[int]


@dataclass(frozen=True)
class Windows:
    """Of which starts the window is not empty, and after which it ends before the next opens."""

    valid: int
    gaps: int


class ByWay:
    """The windows by the way a step is done, each worked out when it is first asked for."""

    def __init__(self, work_out: Callable[[int], Windows]) -> None:
        """Take what works one out."""
        self._work_out = work_out
        self._known: dict[int, Windows] = {}

    def __getitem__(self, way: int) -> Windows:
        """Return the windows."""
        if way not in self._known:
            self._known[way] = self._work_out(way)
        return self._known[way]


@dataclass(frozen=True)
class Link:
    """A stage in which a step can begin in one way, by the starts of steps before it in the chain.

    before, first: places in the chain. way: of the step; length: of the work itself. opens, closes:
    by the start of that step before it, by its ``WAYS``; closes None where it never closes. What
    they give is where the work itself begins.
    alone, shared: see ``Windows``; shared with a pot that ``before`` or a step before it was mixed
    for.
    """

    before: int
    first: int
    way: int
    length: int
    opens: tuple[Table, ...]
    closes: tuple[Table, ...] | None
    alone: ByWay
    shared: ByWay


@dataclass(frozen=True)
class Step:
    """A task in its chain; what there are several of is by the ``WAYS`` in which it is done.

    leads: slots before its paint is sprayed. opening: where it can begin if it is mixed for;
    others: slots of that mixing that others do; empty_by: by its start, when that pot is empty.
    later: the step after it that takes the same paint, and could share a pot with it. outside:
    waits for tasks of other pieces, and of others for it.
    """

    number: int
    task: Task
    lengths: tuple[int, ...]
    starts: tuple[int, ...]
    leads: tuple[int, ...]
    opening: tuple[int, ...]
    others: tuple[int, ...]
    links: tuple[Link, ...]
    far_links: tuple[tuple[Link, ...], ...]
    empty_by: tuple[Table, ...]
    later: int | None
    outside: tuple[Wait, ...]
    is_waited_for: tuple[Wait, ...]

    def ending_by(self, way: int, slot: int) -> int:
        """Return the starts from which it has ended by a slot."""
        longer, length = self.task.longer_of(way), self.lengths[way]
        starts = between(0, slot - length + 1)
        if longer:
            starts &= ~longer | between(0, slot - length - self.task.longer + 1)
        return starts

    def end(self, way: int, start: int) -> int:
        """Return the slot in which it has ended."""
        return self.task.end_of(way, start)


class Chains:
    """The chains of a problem, each made when it is first asked for."""

    def __init__(self, problem: Problem) -> None:
        """Sort the waits of a problem by the task that waits."""
        self.problem = problem
        self._chains: dict[int, tuple[Step, ...]] = {}
        self._tables: dict[object, Table] = {}
        self._known: dict[tuple[int, int, int], Windows] = {}
        self._into: dict[int, list[Wait]] = {}
        self._out_of: dict[int, list[Wait]] = {}
        for wait in problem.waits:
            self._into.setdefault(wait.after, []).append(wait)
            for number in {wait.before, wait.first}:
                self._out_of.setdefault(number, []).append(wait)
        self._unbound = range(problem.horizon + 1)

    def chain(self, piece: int) -> tuple[Step, ...]:
        """Return a piece as a chain."""
        if piece not in self._chains:
            self._chains[piece] = self._make(piece)
        return self._chains[piece]

    def _make(self, piece: int) -> tuple[Step, ...]:
        numbers = self.problem.pieces[piece].tasks
        place = {number: n for n, number in enumerate(numbers)}
        steps = []
        for at, number in enumerate(numbers):
            task = self.problem.tasks[number]
            near: list[Link] = []
            far: list[tuple[Link, ...]] = []
            outside = []
            for wait in self._into.get(number, ()):
                if wait.before not in place or wait.first not in place:
                    outside.append(wait)
                    continue
                links = tuple(self._links(wait, place))
                if place[wait.before] == at - 1 and not near:
                    near = list(links)
                else:
                    far.append(links)
            if at and not near:
                ends = tuple(Stage(self._unbound, abraded=n) for n in (False, True))
                wait = Wait(numbers[at - 1], numbers[at - 1], number, ends)
                near = list(self._links(wait, place))
            later = next(
                (
                    n
                    for n in range(at + 1, len(numbers))
                    if self.problem.tasks[numbers[n]].paint == task.paint
                ),
                None,
            )
            waited = [w for w in self._out_of.get(number, ()) if w.after not in place]
            steps.append(self._step(number, task, near, far, later, outside, waited))
        return tuple(steps)

    def _step(
        self,
        number: int,
        task: Task,
        near: list[Link],
        far: list[tuple[Link, ...]],
        later: int | None,
        outside: list[Wait],
        waited: list[Wait],
    ) -> Step:
        lengths = tuple(task.length_of(way) for way in WAYS)
        starts = [task.starts_of(way) for way in WAYS]
        leads = tuple(task.lead + task.abrading_of(way) for way in WAYS)
        opening = task.opening_starts
        if task.fixed is not None:
            fixed = ABRADED if is_fixed_abraded(task) else PLAIN
            starts = [1 << task.fixed if way == fixed else 0 for way in WAYS]
            opening |= 1 << task.fixed + leads[fixed]
        none = (0,) * len(WAYS)
        empty_by: tuple[Table, ...] = ((),) * len(WAYS)
        others = none
        if task.paint is not None:
            paint = self.problem.paints[task.paint]
            empty_by = tuple(self._empty_by(task, lead) for lead in leads)
            others = tuple(mixed_by_others(task, paint, abraded=way == ABRADED) for way in WAYS)
        step = Step(
            number, task, lengths, none, leads, none, others, tuple(near), tuple(far), empty_by,
            later if task.paint is not None and task.mixes == 1 else None,
            tuple(outside), tuple(waited),
        )  # fmt: skip
        cut = tuple(starts[n] & step.ending_by(n, self.problem.horizon) for n in WAYS)
        fits = [*none]
        if task.paint is not None:
            for n in WAYS:
                fits[n] = cut[n] & opening >> leads[n] & self._living(step, n)
        return Step(**{**step.__dict__, "starts": cut, "opening": tuple(fits)})

    def _empty_by(self, task: Task, lead: int) -> Table:
        """Return when a pot mixed for a task is empty, by its start, so long before it is used."""
        assert task.paint is not None
        by_spraying = self._suffix_least(self.problem.paints[task.paint].empty_by)
        key = "empty", id(by_spraying), lead
        if key not in self._tables:
            self._tables[key] = [*by_spraying[lead:], *[by_spraying[-1]] * lead]
        return self._tables[key]

    def _living(self, step: Step, way: int) -> int:
        """Return the starts from which a task ends within the life of the pot mixed for it."""
        paint = step.task.paint
        lasts = step.lengths[way], step.task.longer, step.task.longer_of(way)
        key = "living", paint, step.leads[way], *lasts
        known = self._tables.get(key)
        if known is None:
            ends = enumerate(step.empty_by[way])
            known = (slots_where(step.end(way, slot) <= empty for slot, empty in ends),)
            self._tables[key] = known
        return known[0]

    def _links(self, wait: Wait, place: dict[int, int]) -> Iterator[Link]:
        """Yield the links of a wait: each stage in each way in which its task can be done."""
        task = self.problem.tasks[wait.after]
        for stage in wait.stages:
            for way in (ABRADED,) if stage.abraded else (PLAIN, BY_TWO):
                if way == PLAIN or task.starts_of(way):
                    yield self._link(stage, wait, place, way)

    def _link(self, stage: Stage, wait: Wait, place: dict[int, int], way: int) -> Link:
        before, first = self.problem.tasks[wait.before], self.problem.tasks[wait.first]
        after = self.problem.tasks[wait.after]
        length = after.length_of(way) - after.abrading_of(way)
        opens = tuple(self._opens(stage, before, n) for n in WAYS)
        closes = None
        if stage.closes is not None:
            closes = tuple(self._closes(stage, first, first.abrading_of(n)) for n in WAYS)
        by = closes or (None,) * len(WAYS)
        leads = [before.lead + before.abrading_of(n) for n in WAYS]
        alone = ByWay(lambda n: self._windows(opens[n], by[n]))
        shared = ByWay(
            lambda n: self._windows(opens[n], by[n], self._life(after, length, leads[n]))
        )
        counts = place[wait.before], place[wait.first]
        return Link(*counts, way, length, opens, closes, alone, shared)

    def _life(self, task: Task, length: int, lead: int) -> Table | None:
        """Return before which slot work begins that ends within the life of a pot.

        length: of the work. By the start of what the pot is mixed for, so long before its spraying;
        None without paint.
        """
        if task.paint is None:
            return None
        empty_by = self._empty_by(task, lead)
        key = "life", id(empty_by), length
        if key not in self._tables:
            self._tables[key] = [slot - length + 1 for slot in empty_by]
        return self._tables[key]

    def _windows(self, opens: Table, closes: Table | None, life: Table | None = None) -> Windows:
        key = id(opens), id(closes), id(life)
        if key not in self._known:
            never = [self.problem.horizon + 1] * len(opens)
            ends = list(map(min, closes or never, life or never))
            self._known[key] = Windows(
                slots_where(map(lt, opens, ends)),
                slots_where(map(gt, opens[1:], ends)),
            )
        return self._known[key]

    def _opens(self, stage: Stage, before: Task, way: int) -> Table:
        length, longer = before.length_of(way), before.longer_of(way)
        key = "opens", id(stage.opens), length, before.longer, longer
        if key not in self._tables:
            last = self.problem.horizon
            values = [*stage.opens[length:], *[last + 1] * min(length, last + 1)]
            for start in members(longer & between(0, last + 1)):
                end = start + length + before.longer
                values[start] = stage.opens[end] if end <= last else last + 1
            self._tables[key] = list(accumulate(values, max))
        return self._tables[key]

    def _closes(self, stage: Stage, first: Task, more: int) -> Table:
        assert stage.closes is not None
        key = "closes", id(stage.closes), more
        if key not in self._tables:
            shifted = [*stage.closes[more:], *[stage.closes[-1]] * more]
            self._tables[key] = self._suffix_least(shifted)
        return self._tables[key]

    def _suffix_least(self, table: Table) -> Table:
        key = "least", id(table)
        if key not in self._tables:
            self._tables[key] = list(accumulate(reversed(table), min))[::-1]
            self._tables["kept", id(table)] = table  # its id stays its own
        return self._tables[key]
