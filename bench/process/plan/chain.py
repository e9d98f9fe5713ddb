"""One piece as a chain: its tasks in order, with every table turned to "by the slot of the start".

Nothing here changes while a plan is made. Tables are made monotone on the safe side: what opens
never earlier, what closes never later, than the problem says.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import gt, lt

from bench.process.plan.problem import Problem, Stage, Task, Wait, mixed_by_others
from bench.process.plan.room import is_fixed_abraded
from bench.process.plan.slot_sets import between, members, slots_where

Table = Sequence[int]


@dataclass(frozen=True)
class Windows:
    """Of which starts the window is not empty, and after which it ends before the next opens."""

    valid: int
    gaps: int


class Pair:
    """The windows without and with the abrading, each worked out when it is first asked for."""

    def __init__(self, work_out: Callable[[int], Windows]) -> None:
        """Take what works one out."""
        self._work_out = work_out
        self._known: dict[int, Windows] = {}

    def __getitem__(self, abraded: int) -> Windows:
        """Return the windows."""
        if abraded not in self._known:
            self._known[abraded] = self._work_out(abraded)
        return self._known[abraded]


@dataclass(frozen=True)
class Link:
    """A stage in which a step can begin, by the starts of steps before it in the chain.

    before, first: places in the chain. opens, closes: by the start of that step, without and with
    the abrading; closes None where it never closes. What they give is where the work itself begins.
    alone, shared: see ``Windows``; shared with a pot that ``before`` or a step before it was mixed
    for.
    """

    before: int
    first: int
    abraded: bool
    opens: tuple[Table, Table]
    closes: tuple[Table, Table] | None
    alone: Pair
    shared: Pair


@dataclass(frozen=True)
class Step:
    """A task in its chain; what comes in pairs is without and with the abrading.

    leads: slots before its paint is sprayed. opening: where it can begin if it is mixed for;
    others: slots of that mixing that others do; empty_by: by its start, when that pot is empty.
    later: the step after it that takes the same paint, and could share a pot with it. outside:
    waits for tasks of other pieces, and of others for it.
    """

    number: int
    task: Task
    lengths: tuple[int, int]
    starts: tuple[int, int]
    leads: tuple[int, int]
    opening: tuple[int, int]
    others: tuple[int, int]
    links: tuple[Link, ...]
    far_links: tuple[tuple[Link, ...], ...]
    empty_by: tuple[Table, Table]
    later: int | None
    outside: tuple[Wait, ...]
    is_waited_for: tuple[Wait, ...]

    def ending_by(self, abraded: int, slot: int) -> int:
        """Return the starts from which it has ended by a slot."""
        longer, length = self.task.longer_starts if self.task.longer else 0, self.lengths[abraded]
        starts = between(0, slot - length + 1)
        if longer:
            starts &= ~longer | between(0, slot - length - self.task.longer + 1)
        return starts

    def end(self, abraded: int, start: int) -> int:
        """Return the slot in which it has ended."""
        longer = self.task.longer and self.task.longer_starts >> start & 1
        return start + self.lengths[abraded] + (self.task.longer if longer else 0)


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
                links = tuple(self._link(stage, wait, place) for stage in wait.stages)
                if place[wait.before] == at - 1 and not near:
                    near = list(links)
                else:
                    far.append(links)
            if at and not near:
                end = Stage(self._unbound)
                wait = Wait(numbers[at - 1], numbers[at - 1], number, (end,))
                near = [self._link(end, wait, place)]
                if task.abraded_starts:
                    near.append(self._link(Stage(self._unbound, abraded=True), wait, place))
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
        lengths = task.length, task.length + task.abrading
        starts = [task.starts, task.abraded_starts]
        leads, opening = (task.lead, task.lead + task.abrading), task.opening_starts
        if task.fixed is not None:
            keyed = is_fixed_abraded(task)
            starts = [0 if keyed else 1 << task.fixed, 1 << task.fixed if keyed else 0]
            opening |= 1 << task.fixed + leads[keyed]
        empty_by: tuple[Table, Table] = (), ()
        others = 0, 0
        if task.paint is not None:
            paint = self.problem.paints[task.paint]
            empty_by = self._empty_by(task, leads[0]), self._empty_by(task, leads[1])
            others = (
                mixed_by_others(task, paint, abraded=False),
                mixed_by_others(task, paint, abraded=True),
            )
        step = Step(
            number, task, lengths, (0, 0), leads, (0, 0), others, tuple(near), tuple(far), empty_by,
            later if task.paint is not None and task.mixes == 1 else None,
            tuple(outside), tuple(waited),
        )  # fmt: skip
        cut = tuple(starts[n] & step.ending_by(n, self.problem.horizon) for n in (0, 1))
        fits = [0, 0]
        if task.paint is not None:
            for n in (0, 1):
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

    def _living(self, step: Step, abraded: int) -> int:
        """Return the starts from which a task ends within the life of the pot mixed for it."""
        paint = step.task.paint
        lasts = step.lengths[abraded], step.task.longer, step.task.longer_starts
        key = "living", paint, step.leads[abraded], *lasts
        known = self._tables.get(key)
        if known is None:
            ends = enumerate(step.empty_by[abraded])
            known = (slots_where(step.end(abraded, slot) <= empty for slot, empty in ends),)
            self._tables[key] = known
        return known[0]

    def _link(self, stage: Stage, wait: Wait, place: dict[int, int]) -> Link:
        before, first = self.problem.tasks[wait.before], self.problem.tasks[wait.first]
        after = self.problem.tasks[wait.after]
        opens = self._opens(stage, before, 0), self._opens(stage, before, before.abrading)
        closes = None
        if stage.closes is not None:
            closes = self._closes(stage, first, 0), self._closes(stage, first, first.abrading)
        by = closes or (None, None)
        leads = before.lead, before.lead + before.abrading
        alone = Pair(lambda n: self._windows(opens[n], by[n]))
        shared = Pair(lambda n: self._windows(opens[n], by[n], self._life(after, leads[n])))
        counts = place[wait.before], place[wait.first]
        return Link(*counts, stage.abraded, opens, closes, alone, shared)

    def _life(self, task: Task, lead: int) -> Table | None:
        """Return before which slot work begins that ends within the life of a pot.

        By the start of what the pot is mixed for, so long before its spraying; None without paint.
        """
        if task.paint is None:
            return None
        empty_by = self._empty_by(task, lead)
        key = "life", id(empty_by), task.length
        if key not in self._tables:
            self._tables[key] = [slot - task.length + 1 for slot in empty_by]
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

    def _opens(self, stage: Stage, before: Task, more: int) -> Table:
        key = "opens", id(stage.opens), before.length + more, before.longer, before.longer_starts
        if key not in self._tables:
            last, length = self.problem.horizon, before.length + more
            longer = before.longer_starts if before.longer else 0
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
