"""A foreman's plan, to hold the bench's own beside: by due date, hour by hour, as work comes up.

Whenever hands are free, what closes within two hours is begun first, then what is promised for the
soonest day. A coat joins a pot that stands open where it can. He does it twice: as it comes, and
not beginning what leaves the next step no hour with somebody in; the better plan counts. Every rule
of the bench binds him too: his plans are judged by ``checking``, as all others are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property

from bench.process.plan.checking import cost
from bench.process.plan.problem import (
    Air,
    Hold,
    Placed,
    Problem,
    Schedule,
    Task,
    Wait,
    span,
    work_start,
)

SOON = 24
"""Two hours in slots."""

AGAIN = 3
"""After so many slots he asks again whether what has to follow finds its place: 15 minutes."""

PATIENCE = 3 * 288
"""So many slots at most he puts off what would leave the next step no hour."""


def foreman(problem: Problem) -> Schedule:
    """Return the better of his two plans; a part that does not come to its end is left out."""
    plans = [_whole(problem, looks_ahead=looks) for looks in (False, True)]
    return min(plans, key=lambda plan: cost(problem, plan).price)


def _whole(problem: Problem, *, looks_ahead: bool) -> Schedule:
    """Plan again without the parts that came to no end, until all the others do."""
    out: set[int] = set()
    while True:
        day = _Days(problem, looks_ahead, frozenset(out))
        day.work()
        more = {
            n
            for n, piece in enumerate(problem.pieces)
            if n not in out and day.placed[piece.tasks[-1]] is None
        }
        if not more:
            return Schedule(tuple(day.placed))
        out |= more


@dataclass
class _Pot:
    paint: int
    key: int
    since: int
    empty_by: int
    left_ml: int
    shares: bool
    ended: int = 0


@dataclass
class _Days:
    """What is placed so far, and what it holds, slot by slot."""

    problem: Problem
    looks_ahead: bool
    out: frozenset[int]
    pots: dict[int, _Pot] = field(default_factory=dict)
    taken: list[tuple[Sequence[Hold], Sequence[Air], int, int, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        problem = self.problem
        self.held = [[0] * problem.horizon for _ in problem.resources]
        self.filled = [0] * len(problem.day_limits)
        self.airs: defaultdict[tuple[int, int], list[int]] = defaultdict(
            lambda: [0] * problem.horizon
        )
        self.is_hard = cache(self._is_hard)
        self.placed: list[Placed | None] = [None] * len(problem.tasks)
        self.ready_since: dict[int, int] = {}
        self.asked_again: dict[int, int] = {}
        for number, pot in enumerate(problem.open_pots):
            self.pots[~number] = _Pot(pot.paint, ~number, 0, pot.empty_by, pot.left_ml, True)
        for piece in problem.pieces:
            if piece.stand is not None and piece.is_on_stand:
                self._take((Hold(piece.stand, 1),), (), 0, problem.horizon)

    @cached_property
    def waits(self) -> dict[int, list[Wait]]:
        """Return what each task waits for."""
        waits: dict[int, list[Wait]] = {n: [] for n in range(len(self.problem.tasks))}
        for wait in self.problem.waits:
            waits[wait.after].append(wait)
        return waits

    def work(self) -> None:
        """Go through the slots, and begin what can be begun."""
        problem = self.problem
        left = {n: list(p.tasks) for n, p in enumerate(problem.pieces) if n not in self.out}
        for tasks in left.values():
            while tasks and (at := problem.tasks[tasks[0]].fixed) is not None:
                self._put(tasks.pop(0), Placed(at))
        for slot in range(problem.horizon):
            ready = [
                n
                for n, tasks in left.items()
                if tasks
                and (problem.tasks[tasks[0]].starts | problem.tasks[tasks[0]].abraded_starts)
                >> slot
                & 1
            ]
            for piece in sorted(ready, key=lambda n: self._rank(n, slot)):
                number = left[piece][0]
                if slot >= self.asked_again.get(number, 0) and self._begin(number, slot):
                    left[piece] = [n for n in left[piece] if self.placed[n] is None]

    def _rank(self, piece: int, slot: int) -> tuple[bool, int, int]:
        facts = self.problem.pieces[piece]
        number = next(n for n in facts.tasks if self.placed[n] is None)
        closes = [
            until
            for wait in self.waits[number]
            for _, until in self._stretches(wait, abraded=False)
            if until > slot
        ]
        due = self.problem.horizon if facts.promised_day is None else facts.promised_day
        return not (closes and min(closes) <= slot + SOON), due, piece

    # What may be begun

    def _stretches(self, wait: Wait, *, abraded: bool) -> list[tuple[int, int]]:
        before, first = self.placed[wait.before], self.placed[wait.first]
        assert before is not None
        assert first is not None
        ended = span(self.problem.tasks[wait.before], before)[1]
        began = work_start(self.problem.tasks[wait.first], first)
        never = self.problem.horizon + 1
        return [
            (s.opens[ended], never if s.closes is None else s.closes[began])
            for s in wait.stages
            if s.abraded == abraded
        ]

    def _is_missed(self, number: int, slot: int) -> bool:
        """Return whether every window without abrading is over."""
        for wait in self.waits[number]:
            if all(slot >= until for _, until in self._stretches(wait, abraded=False)):
                return True
        return False

    def _may(self, number: int, start: int, *, abraded: bool) -> bool:
        task = self.problem.tasks[number]
        if not (task.abraded_starts if abraded else task.starts) >> start & 1:
            return False
        begins = start + (task.abrading if abraded else 0)
        return all(
            any(opens <= begins < until for opens, until in self._stretches(wait, abraded=abraded))
            for wait in self.waits[number]
        )

    def _is_hard(self, number: int) -> bool:
        """Return whether a task cannot be done any more once its window is over.

        A pot is mixed before the abrading, and the paint may not live so long.
        """
        waits, task = self.waits[number], self.problem.tasks[number]
        closing = any(s.closes is not None for w in waits for s in w.stages)
        late = all(any(s.abraded and s.closes is None for s in w.stages) for w in waits)
        starts = task.abraded_starts
        if task.paint is not None:
            empty_by = self.problem.paints[task.paint].empty_by
            took = task.abrading + task.length
            starts &= task.opening_starts
            starts = sum(
                1 << n for n in range(len(empty_by)) if starts >> n & 1 and n + took <= empty_by[n]
            )
        return closing and not (late and starts)

    def _begin(self, number: int, slot: int) -> bool:
        """Begin a task, and what has to follow it; False where that cannot be now."""
        abraded = bool(self.waits[number]) and self._is_missed(number, slot)
        if not self._may(number, slot, abraded=abraded):
            return False
        placed = self._with_pot(number, Placed(slot, is_abraded=abraded))
        if placed is None:
            return False
        since = self.ready_since.setdefault(number, slot)
        pots, mark = dict(self.pots), len(self.taken)
        self._put(number, placed)
        tasks = self.problem.pieces[self.problem.tasks[number].piece].tasks
        at = self.problem.tasks[number].number + 1
        if at < len(tasks) and not self._can_follow(tasks[at], slot, slot - since < PATIENCE):
            self.placed[number], self.pots = None, pots
            while len(self.taken) > mark:
                self._add(*self.taken.pop(), sign=-1)
            self.asked_again[number] = slot + AGAIN
            return False
        return True

    def _can_follow(self, number: int, slot: int, is_patient: bool) -> bool:
        """Begin what has to follow in its window; ask whether the rest finds an hour in its own."""
        is_hard = self.is_hard(number)
        if not is_hard and not (self.looks_ahead and is_patient):
            return True
        ends = [u for w in self.waits[number] for _, u in self._stretches(w, abraded=False)]
        until = min(max(ends, default=0), self.problem.horizon)
        if not is_hard:
            return until == self.problem.horizon or any(
                self._may(number, later, abraded=False) for later in range(slot, until)
            )
        return any(self._begin(number, later) for later in range(slot, until))

    # Room

    def _with_pot(self, number: int, at: Placed) -> Placed | None:
        """Return where a task finds all it holds, with the pot it is sprayed from; None where not.

        A pot that stands open first.
        """
        task = self.problem.tasks[number]
        since, until = span(task, at)
        if not self._is_free(task.holds, task.airs, since, until) or not self._has_stand(task, at):
            return None
        if task.paint is None:
            return at
        paint = self.problem.paints[task.paint]
        flush = (Hold(paint.hands, 1),), paint.flush_airs
        for pot in self.pots.values():
            if (
                (pot.paint, pot.shares, task.mixes) == (task.paint, True, 1)
                and pot.left_ml >= task.ml
                and pot.since <= since
                and until <= pot.empty_by
            ):
                if until > pot.ended:
                    self._flush(pot, -1)
                    is_free = self._is_free(*flush, until, until + paint.flush)
                    self._flush(pot, 1)
                    if not is_free:
                        continue
                opened = pot.key >= 0
                return Placed(
                    since, at.is_abraded, pot.key if opened else None, None if opened else ~pot.key
                )
        mixing = (Hold(paint.hands, 1),), paint.mixing_airs
        if (
            task.opening_starts >> since & 1
            and until <= paint.empty_by[since]
            and self._is_free(*mixing, since - paint.mixing, since)
            and self._is_free(*flush, until, until + paint.flush)
        ):
            return Placed(since, at.is_abraded, pot=number)
        return None

    def _has_stand(self, task: Task, at: Placed) -> bool:
        piece = self.problem.pieces[task.piece]
        if piece.stand is None or piece.is_on_stand or task.number:
            return True
        return self._is_free((Hold(piece.stand, 1),), (), at.start, self.problem.horizon)

    def _is_free(self, holds: Sequence[Hold], airs: Sequence[Air], since: int, until: int) -> bool:
        horizon = self.problem.horizon
        for hold in holds:
            capacity = self.problem.resources[hold.resource].capacity
            slots = range(max(0, since - hold.before), min(until + hold.after, horizon))
            for slot in slots:
                if self.held[hold.resource][slot] + hold.amount > capacity[slot]:
                    return False
            for number, limit in enumerate(self.problem.day_limits):
                is_of = limit.resource == hold.resource and limit.since <= since < limit.until
                if is_of and self.filled[number] + hold.amount * len(slots) > limit.most:
                    return False
        return not any(
            self.airs[air.air, 1 - air.side][slot]
            for air in airs
            for slot in range(max(0, since - air.before), min(until + air.after, horizon))
        )

    def _take(
        self, holds: Sequence[Hold], airs: Sequence[Air], since: int, until: int, sign: int = 1
    ) -> None:
        self.taken.append((holds, airs, since, until, sign))
        self._add(holds, airs, since, until, sign)

    def _add(
        self,
        holds: Sequence[Hold],
        airs: Sequence[Air],
        since: int,
        until: int,
        by: int,
        sign: int = 1,
    ) -> None:
        horizon, by = self.problem.horizon, by * sign
        for hold in holds:
            held = self.held[hold.resource]
            start, end = max(0, since - hold.before), min(until + hold.after, horizon)
            for slot in range(start, end):
                held[slot] += by * hold.amount
            for number, limit in enumerate(self.problem.day_limits):
                shared = min(end, limit.until) - max(start, limit.since)
                if limit.resource == hold.resource and shared > 0:
                    self.filled[number] += by * hold.amount * shared
        for air in airs:
            counts = self.airs[air.air, air.side]
            for slot in range(max(0, since - air.before), min(until + air.after, horizon)):
                counts[slot] += by

    def _flush(self, pot: _Pot, sign: int) -> None:
        if pot.ended:
            paint = self.problem.paints[pot.paint]
            airs, until = paint.flush_airs, pot.ended + paint.flush
            self._take((Hold(paint.hands, 1),), airs, pot.ended, until, sign)

    def _put(self, number: int, placed: Placed) -> None:
        """Place a task."""
        task = self.problem.tasks[number]
        since, until = span(task, placed)
        self.placed[number] = placed
        self._take(task.holds, task.airs, since, until)
        self._move_stand(task, since, until)
        key = placed.pot if placed.open_pot is None else ~placed.open_pot
        if key is None or task.paint is None:
            return
        paint = self.problem.paints[task.paint]
        if key == number:
            self._take((Hold(paint.hands, 1),), paint.mixing_airs, since - paint.mixing, since)
            self.pots[key] = _Pot(
                task.paint, key, since, paint.empty_by[since], paint.cup_ml * task.mixes,
                task.mixes == 1,
            )  # fmt: skip
        pot = self.pots[key]
        self._flush(pot, -1)
        self.pots[key] = pot = _Pot(
            pot.paint, key, pot.since, pot.empty_by, pot.left_ml - task.ml, pot.shares,
            max(pot.ended, until),
        )  # fmt: skip
        self._flush(pot, 1)

    def _move_stand(self, task: Task, since: int, until: int) -> None:
        """Hold a stand from a part's first step on, and give it back some time after its last."""
        piece = self.problem.pieces[task.piece]
        if piece.stand is None:
            return
        hold, horizon = (Hold(piece.stand, 1),), self.problem.horizon
        if task.number == 0 and not piece.is_on_stand:
            self._take(hold, (), since, horizon)
        if task.number == len(piece.tasks) - 1 and (away := until + piece.stand_after) < horizon:
            self._take(hold, (), away, horizon, -1)
