"""What a plan in the making holds: hands, places, air and pots, as counters made of sets of slots.

A counter is a number for each slot, kept by its binary digits: the first set has the slots whose
number is odd, and so on. What is free is then read off with a few operations on whole sets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from bench.process.plan.by_whom import Job, Rota
from bench.process.plan.carrying import ends_meeting, holds_of_carrying
from bench.process.plan.problem import (
    WAYS,
    Air,
    Crew,
    Hold,
    Placed,
    Problem,
    Schedule,
    Task,
    mixed_by_others,
    span,
    spray_start,
)
from bench.process.plan.slot_counters import above, count, levels
from bench.process.plan.slot_sets import between, starts_meeting


class Pot(NamedTuple):
    """A pot in use. since: where its mixing ends; others: slots of that which others do.

    users: when each coat from it ends, and which it is, in order.
    """

    paint: int
    since: int
    others: int
    empty_by: int
    left_ml: int
    users: tuple[tuple[int, int], ...]


class Limits:
    """What a problem says about room, turned once into sets: where there is less than so many."""

    def __init__(self, problem: Problem) -> None:
        """Read a problem."""
        self.problem = problem
        self.all = between(0, problem.horizon)
        self.levels = [list(levels(each.capacity, problem.horizon)) for each in problem.resources]
        self.by_resource: list[list[int]] = [[] for _ in problem.resources]
        for number, limit in enumerate(problem.day_limits):
            self.by_resource[limit.resource].append(number)
        kinds: dict[object, int] = {}
        self.kinds = [
            tuple(
                kinds.setdefault((t.holds_of(way), t.airs, id(t.carrying)), len(kinds))
                for way in WAYS
            )
            for t in problem.tasks
        ]
        self.rota = None if problem.crew is None else Rota(problem.crew)
        self.air_count = 1 + max((air.air for air in self._airs()), default=-1)

    def _airs(self) -> Iterable[Air]:
        for task in self.problem.tasks:
            yield from task.airs
        for paint in self.problem.paints:
            yield from (*paint.mixing_airs, *paint.flush_airs)


class Room:
    """What is held in each slot by what has been placed, and what all of it counts."""

    def __init__(self, limits: Limits) -> None:
        """Make an empty room; what is fixed takes its part of it for good."""
        self.limits, self.problem = limits, limits.problem
        self.held: list[list[int]] = [[] for _ in self.problem.resources]
        self.airs: list[tuple[list[int], list[int]]] = [([], []) for _ in range(limits.air_count)]
        self.filled = [0] * len(self.problem.day_limits)
        self.placed: list[Placed | None] = [None] * len(self.problem.tasks)
        self.prices: list[int | None] = [None] * len(self.problem.pieces)
        self.pots: dict[int, Pot] = {
            ~n: Pot(pot.paint, 0, 0, pot.empty_by, pot.left_ml, ())
            for n, pot in enumerate(self.problem.open_pots)
        }
        self._known: dict[object, int] = {}
        for task in self.problem.tasks:
            if task.fixed is not None:
                self._task(task, Placed(task.fixed, is_abraded=is_fixed_abraded(task)))
        for number, piece in enumerate(self.problem.pieces):
            if piece.is_on_stand:
                self._stand(number, 1)

    def copy(self) -> Room:
        """Return a room that can be changed without changing this one."""
        other = Room.__new__(Room)
        other.limits, other.problem = self.limits, self.problem
        other.held = [list(counter) for counter in self.held]
        other.airs = [(list(a), list(b)) for a, b in self.airs]
        other.filled = list(self.filled)
        other.placed, other.prices = list(self.placed), list(self.prices)
        other.pots = dict(self.pots)
        other._known = dict(self._known)
        return other

    def price(self) -> int:
        """Return what all of it counts, without the pieces left out."""
        tasks = self.problem.tasks
        mixes = sum(tasks[opener].mixes for opener in self.pots if opener >= 0)
        return mixes * self.problem.weights.mix + sum(p for p in self.prices if p is not None)

    def schedule(self) -> Schedule:
        """Return what is placed."""
        return Schedule(tuple(self.placed))

    # What is free

    def blocked(self, resource: int, amount: int) -> int:
        """Return the slots in which less than an amount of a resource is left."""
        key = resource, amount
        known = self._known.get(key)
        if known is None:
            known = 0
            for most, slots in self.limits.levels[resource]:
                known |= slots & above(self.held[resource], most - amount)
            self._known[key] = known
        return known

    def full_days(self, resource: int, need: int) -> int:
        """Return the days that do not hold so many slots more of a resource."""
        key = "days", resource, need
        if key in self._known:
            return self._known[key]
        days = 0
        for number in self.limits.by_resource[resource]:
            limit = self.problem.day_limits[number]
            if self.filled[number] + need > limit.most:
                days |= between(limit.since, limit.until)
        self._known[key] = days
        return days

    def meeting(
        self, length: int, holds: Sequence[Hold], airs: Sequence[Air], lead: int = 0
    ) -> int:
        """Return the starts from which work of a length does not find all that it holds.

        With a ``lead`` the work is that many slots long and ends where the start lies.
        """
        met = 0
        for hold in holds:
            blocked = self.blocked(hold.resource, hold.amount)
            if self.limits.by_resource[hold.resource]:
                need = hold.amount * (length + hold.before + hold.after + lead)
                blocked |= self.full_days(hold.resource, need)
            met |= starts_meeting(blocked, hold.before + lead, length + hold.after)
        for air in airs:
            other = above(self.airs[air.air][1 - air.side], 0)
            met |= starts_meeting(other, air.before + lead, length + air.after)
        return met

    def work_meeting(self, number: int, way: int) -> int:
        """Return the starts from which a task that is done so does not find all it holds."""
        length = self.problem.tasks[number].length_of(way)
        key = "work", length, self.limits.kinds[number][way]
        known = self._known.get(key)
        if known is None:
            task = self.problem.tasks[number]
            known = self.meeting(length, task.holds_of(way), task.airs)
            known = self._known[key] = known | self.carrying_meeting(task, length)
        return known

    def carrying_meeting(self, task: Task, length: int) -> int:
        """Return the starts of a task after which its part cannot be carried out of its place."""
        if task.carrying is None:
            return 0
        return ends_meeting(task.carrying, self.problem.horizon, self.blocked) >> length

    def mixing_meeting(self, number: int, others: int) -> int:
        """Return the slots before which a paint cannot be mixed, the first ``others`` by others."""
        key = "mixing", number, others
        known = self._known.get(key)
        if known is None:
            paint = self.problem.paints[number]
            known = self.meeting(0, (), paint.mixing_airs, lead=paint.mixing)
            if others:
                by_hand = self.meeting(0, (Hold(paint.hands, 1),), (), lead=others)
                known |= by_hand << paint.mixing - others
            known = self._known[key] = known | between(0, paint.mixing)
        return known

    def flush_meeting(self, number: int) -> int:
        """Return the slots from which a paint's gun cannot be cleaned."""
        known = self._known.get(("flush", number))
        if known is None:
            paint = self.problem.paints[number]
            known = self.meeting(paint.flush, (Hold(paint.hands, 1),), paint.flush_airs)
            self._known["flush", number] = known
        return known

    def over(self) -> int:
        """Return the slots in which more is held than there is, and the days that are too full."""
        slots = 0
        for number in range(len(self.held)):
            slots |= self.blocked(number, 0)
        for a, b in self.airs:
            if a and b:
                slots |= above(a, 0) & above(b, 0)
        for filled, limit in zip(self.filled, self.problem.day_limits, strict=True):
            if filled > limit.most:
                slots |= between(limit.since, limit.until)
        rota = self.limits.rota
        if rota is not None and not slots:
            for jobs in rota.stretches(list(self._jobs(rota.crew))):
                found = rota.names(jobs)
                if isinstance(found, Job):
                    slots |= between(found.since, found.until)
        return slots

    def _jobs(self, crew: Crew) -> Iterator[Job]:
        """Yield all that takes hands; what is fixed does so though its part has no place."""
        horizon = self.problem.horizon
        for number, (task, placed) in enumerate(zip(self.problem.tasks, self.placed, strict=True)):
            if placed is None and task.fixed is not None:
                placed = Placed(task.fixed, is_abraded=is_fixed_abraded(task))
            if placed is None:
                continue
            start, end = span(task, placed)
            amounts = {hold.resource: hold.amount for hold in task.holds_of(placed.way)}
            if amounts.get(crew.hands) and number not in crew.going_on:
                yield Job(start, end, amounts[crew.hands], crew.trained in amounts)
            if task.carrying is not None:
                (_, (since, until, hold)) = holds_of_carrying(task.carrying, end)
                yield Job(since, min(until, horizon), hold.amount)
        for pot in self.pots.values():
            paint = self.problem.paints[pot.paint]
            if paint.hands != crew.hands:
                continue
            begun = pot.since - paint.mixing
            yield Job(begun, begun + pot.others, 1)
            if pot.users:
                yield Job(pot.users[-1][0], min(pot.users[-1][0] + paint.flush, horizon), 1)

    def overdrawn(self, piece: int) -> list[tuple[int, int]]:
        """Return the tasks of a piece, and their pots, of which more is used than was mixed."""
        found = []
        for number in self.problem.pieces[piece].tasks:
            placed = self.placed[number]
            key = None if placed is None else self.pot_of(placed)
            if key is not None and self.pots[key].left_ml < 0:
                found.append((number, key))
        return found

    # What is placed and taken out

    def put(self, piece: int, places: Sequence[Placed]) -> None:
        """Place a piece; whether there is room for it is not asked here (``over``)."""
        self._known.clear()
        weights = self.problem.weights
        touched: dict[int, Pot | None] = {}
        price = 0
        end = 0
        for number, placed in zip(self.problem.pieces[piece].tasks, places, strict=True):
            task = self.problem.tasks[number]
            start, end = span(task, placed)
            self.placed[number] = placed
            if task.fixed is None:
                self._task(task, placed)
            price += weights.missed * placed.is_abraded
            if task.was is not None and start != task.was:
                price += task.move_price
            key = self.pot_of(placed)
            if key is None:
                continue
            pot = self.pots.get(key)
            touched.setdefault(key, pot)
            if pot is None:
                pot = self._pot(task, placed)
                self._mixing(pot, 1)
            users = tuple(sorted((*pot.users, (end, number))))
            self.pots[key] = pot._replace(left_ml=pot.left_ml - task.ml, users=users)
        for key, before in touched.items():
            if before is not None:
                self._flush(before, -1)
            self._flush(self.pots[key], 1)
        self.prices[piece] = price + self.problem.pieces[piece].price[end]
        self._stand(piece, 1, first=places[0].start, last=end)

    def open_pots(self, schedule: Schedule, pieces: Iterable[int]) -> None:
        """Mix the pots that some pieces of a schedule are sprayed from, before they are put."""
        for number in (n for piece in pieces for n in self.problem.pieces[piece].tasks):
            task, placed = self.problem.tasks[number], schedule.placed[number]
            if placed is not None and placed.pot == number and task.paint is not None:
                self.pots[number] = self._pot(task, placed)
                self._mixing(self.pots[number], 1)

    def _pot(self, task: Task, placed: Placed) -> Pot:
        assert task.paint is not None
        paint, since = self.problem.paints[task.paint], spray_start(task, placed)
        others = mixed_by_others(task, paint, abraded=placed.is_abraded)
        most_ml = paint.cup_ml * task.mixes
        return Pot(task.paint, since, others, paint.empty_by[since], most_ml, ())

    def take_out(self, piece: int) -> list[int]:
        """Take a piece out, with all whose pot nobody would mix then; return all that came out."""
        self._known.clear()
        out = [piece]
        tasks = self.problem.pieces[piece].tasks
        first, last = self.placed[tasks[0]], self.placed[tasks[-1]]
        assert first is not None
        assert last is not None
        self._stand(piece, -1, first.start, span(self.problem.tasks[tasks[-1]], last)[1])
        orphans: list[int] = []
        for number in tasks:
            task, placed = self.problem.tasks[number], self.placed[number]
            assert placed is not None
            self.placed[number] = None
            if task.fixed is None:
                self._task(task, placed, -1)
            key = self.pot_of(placed)
            if key is None:
                continue
            pot = self.pots[key]
            self._flush(pot, -1)
            users = tuple(user for user in pot.users if user[1] != number)
            pot = pot._replace(left_ml=pot.left_ml + task.ml, users=users)
            if users or key < 0:
                self.pots[key] = pot
                self._flush(pot, 1)
            else:
                del self.pots[key]
            if key == number:
                self._mixing(pot, -1)
                if users:
                    orphans.append(key)
        self.prices[piece] = None
        for key in orphans:
            if key in self.pots and not self._hand_over(key):
                for _, number in self.pots[key].users:
                    other = self.problem.tasks[number].piece
                    if self.prices[other] is not None:
                        out += self.take_out(other)
        return out

    def _hand_over(self, key: int) -> bool:
        """Let the first that joined a pot be the one it is mixed for, where that can be."""
        pot, tasks = self.pots[key], self.problem.tasks
        sprayed = [
            (spray_start(tasks[n], at), n)
            for _, n in pot.users
            if (at := self.placed[n]) is not None
        ]
        if not sprayed:
            return True
        since, heir = min(sprayed)
        first = self.placed[heir]
        assert first is not None
        inherited = self._pot(tasks[heir], first)
        if (
            not tasks[heir].opening_starts >> since & 1
            or pot.users[-1][0] > inherited.empty_by
            or self.mixing_meeting(pot.paint, inherited.others) >> since & 1
        ):
            return False
        del self.pots[key]
        self.pots[heir] = inherited._replace(left_ml=pot.left_ml, users=pot.users)
        self._mixing(self.pots[heir], 1)
        for _, number in pot.users:
            at = self.placed[number]
            assert at is not None
            self.placed[number] = replace(at, pot=heir)
        self._known.clear()
        return True

    @staticmethod
    def pot_of(placed: Placed) -> int | None:
        """Return under which key the pot is kept that a task is sprayed from."""
        return placed.pot if placed.open_pot is None else ~placed.open_pot

    def _mixing(self, pot: Pot, sign: int) -> None:
        paint = self.problem.paints[pot.paint]
        begun, hold = pot.since - paint.mixing, (Hold(paint.hands, 1),)
        self._take(begun, begun + pot.others, hold, (), sign)
        self._take(begun, pot.since, (), paint.mixing_airs, sign)

    def _flush(self, pot: Pot, sign: int) -> None:
        if pot.users:
            paint, end = self.problem.paints[pot.paint], pot.users[-1][0]
            self._take(end, end + paint.flush, (Hold(paint.hands, 1),), paint.flush_airs, sign)

    def _stand(self, number: int, sign: int, first: int = 0, last: int | None = None) -> None:
        piece = self.problem.pieces[number]
        if piece.stand is None:
            return
        hold = (Hold(piece.stand, 1),)
        since = 0 if piece.is_on_stand else first
        until = self.problem.horizon if last is None else last + piece.stand_after
        if piece.is_on_stand and last is not None:
            # Left out it would stand there to the end: that is what it gives back, or takes again.
            self._take(until, self.problem.horizon, hold, (), -sign)
        else:
            self._take(since, until, hold, (), sign)

    def _task(self, task: Task, placed: Placed, sign: int = 1) -> None:
        start, end = span(task, placed)
        self._take(start, end, task.holds_of(placed.way), task.airs, sign)
        if task.carrying is not None:
            for since, until, hold in holds_of_carrying(task.carrying, end):
                self._take(since, until, (hold,), (), sign)

    def _take(
        self, since: int, until: int, holds: Iterable[Hold], airs: Iterable[Air], sign: int = 1
    ) -> None:
        horizon = self.problem.horizon
        for hold in holds:
            start, end = max(0, since - hold.before), min(horizon, until + hold.after)
            slots = between(start, end)
            count(self.held[hold.resource], slots, sign * hold.amount)
            for number in self.limits.by_resource[hold.resource]:
                limit = self.problem.day_limits[number]
                shared = min(end, limit.until) - max(start, limit.since)
                if shared > 0:
                    self.filled[number] += sign * hold.amount * shared
        for air in airs:
            slots = between(since - air.before, min(horizon, until + air.after))
            count(self.airs[air.air][air.side], slots, sign)


def is_fixed_abraded(task: Task) -> bool:
    """Return whether a task that is fixed is the abraded one: where it could not be otherwise."""
    at = 0 if task.fixed is None else task.fixed
    return bool(~task.starts & task.abraded_starts & 1 << at)
