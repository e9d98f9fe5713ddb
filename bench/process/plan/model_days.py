"""What a day holds: how full it may be planned, and what a model gains by knowing it day by day.

A day that is not limited holds what its hands come to. That follows from the hands slot by slot,
but a solver that is shown it finds a far better bound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from bench.process.plan import slot_sets
from bench.process.plan.model_lines import Expression, Line, Literal, negated
from bench.process.plan.problem import BY_TWO, DayLimit, Hold, Problem

if TYPE_CHECKING:
    from bench.process.plan.model import Model, Work

NIGHT_SLOTS = 36  # three hours with nobody in part two days


def implied_days(problem: Problem) -> Iterator[DayLimit]:
    """Yield what each day between two nights holds of a resource, where no limit says less."""
    limited = {limit.resource for limit in problem.day_limits}
    for number, resource in enumerate(problem.resources):
        capacity = resource.capacity[: problem.horizon]
        if number in limited or not capacity:
            continue
        some = ~slot_sets.short_of(capacity, 1) & slot_sets.between(0, len(capacity))
        days: list[tuple[int, int]] = []
        for since, until in slot_sets.runs(some):
            if days and since - days[-1][1] < NIGHT_SLOTS:
                days[-1] = days[-1][0], until
            else:
                days.append((since, until))
        if len(days) > 1:
            for since, until in days:
                yield DayLimit(number, since, until, sum(capacity[since:until]))


def limit_days(model: Model) -> None:
    """Hold that no day is planned fuller than it may be."""
    stretches = _Stretches(model)
    for place, limit in enumerate((*model.problem.day_limits, *implied_days(model.problem))):
        is_said = place < len(model.problem.day_limits)
        filled = list(stretches.filled(limit))
        most = limit.most - model.ground.filled(limit.resource, limit.since, limit.until)
        if not filled:
            continue
        held = model.cp.add(sum(filled) <= most)
        if model.reasons is not None and is_said:
            pin = model.reasons.days[place] = model.cp.new_bool_var(f"day {place}")
            held.only_enforce_if(pin)
        elif model.reasons is not None and limit.resource in model.reasons.resources:
            held.only_enforce_if(model.reasons.resources[limit.resource])


class _Stretches:
    """What of a model fills a resource between two slots, as sums of literals."""

    def __init__(self, model: Model) -> None:
        self.model = model

    def filled(self, limit: DayLimit) -> Iterator[Expression]:
        """Yield how many slots each piece of work fills; never more than it does."""
        for work in self.model.works.values():
            for hold in work.task.holds:
                if hold.resource == limit.resource:
                    yield from self._work(work, hold, limit)
        for begin, size, given, resource in self.model.hand_work:
            if resource == limit.resource:
                worths = self._worths(begin, size, 0, limit, _always(size))
                yield from self._given(begin, worths, given)

    def _work(self, work: Work, hold: Hold, limit: DayLimit) -> Iterator[Expression]:
        task = work.task
        long = task.longer_starts if task.longer else 0
        keyed = task.abrading if work.abraded is True else 0

        def lasts(slot: int, more: int = keyed) -> int:
            return task.length + more + (task.longer if long >> slot & 1 else 0)

        most = task.length + task.longer + task.abrading + hold.after
        plain = self._worths(work.start, most, hold.before, limit, lasts, hold)
        if work.by_two is False:
            yield from self._stepped(work.start, plain, hold.amount)
        else:
            yield from self._by_one_or_two(work, hold, limit, plain)
        if not isinstance(work.abraded, bool):
            later = self._worths(
                work.start, most, hold.before, limit, lambda s: lasts(s, task.abrading), hold
            )
            more = {slot: hold.amount * (later[slot] - plain[slot]) for slot in later}
            yield from self._given(work.start, more, work.abraded)

    def _by_one_or_two(
        self, work: Work, hold: Hold, limit: DayLimit, plain: dict[int, int]
    ) -> Iterator[Expression]:
        """Yield what work fills that two may do: the less of both, and what either adds to it."""
        place = work.task.holds.index(hold)
        amount, length = work.task.holds_of(BY_TWO)[place].amount, work.task.length_of(BY_TWO)
        most = max(work.task.length + work.task.longer + work.task.abrading, length) + hold.after
        together = self._worths(work.start, most, hold.before, limit, _always(length), hold)
        worths = [
            {slot: hold.amount * plain.get(slot, 0) for slot in together},
            {slot: amount * worth for slot, worth in together.items()},
        ]
        base = {slot: min(each[slot] for each in worths) for slot in together}
        yield from self._stepped(work.start, base, 1)
        for each, given in zip(worths, (negated(work.by_two), work.by_two), strict=True):
            more = {slot: worth - base[slot] for slot, worth in each.items()}
            for worth, slots in groupby(more, more.__getitem__):
                if worth:
                    run = dict.fromkeys(slots, worth)
                    yield from self._given(work.start, run, given)

    def _worths(
        self,
        line: Line,
        most: int,
        before: int,
        limit: DayLimit,
        lasts: Callable[[int], int],
        hold: Hold | None = None,
    ) -> dict[int, int]:
        """Return by a line's slots near a day how many of the day's slots work from there fills."""
        after = hold.after if hold else 0
        near = slot_sets.between(
            limit.since - most - line.shift, limit.until + before - line.shift + 1
        )
        return {
            slot: _overlap(
                slot + line.shift - before, slot + line.shift + lasts(slot) + after, limit
            )
            for slot in slot_sets.members(line.slots & near)
        }

    def _stepped(self, line: Line, worths: dict[int, int], amount: int) -> Iterator[Expression]:
        """Yield what a line's slot is worth as steps."""
        was = 0
        for slot, worth in worths.items():
            if worth != was:
                yield amount * (worth - was) * self.model.is_in(line, slot + line.shift, 1 << 40)
                was = worth
        if was:
            rest = max(worths) + line.shift + 1
            yield -amount * was * self.model.is_in(line, rest, 1 << 40)

    def _given(self, line: Line, worths: dict[int, int], given: Literal) -> Iterator[Expression]:
        """Yield what a line's slot is worth where given; less where it fills a part of a day."""
        full = max(worths.values(), default=0)
        inside = [slot for slot, worth in worths.items() if worth == full]
        if full <= 0 or any(worths.get(s, full) != full for s in range(inside[0], inside[-1])):
            return
        cp, since, until = self.model.cp, inside[0] + line.shift, inside[-1] + line.shift + 1
        if given is True:
            yield full * self.model.is_in(line, since, until)
            return
        both = cp.new_bool_var("")
        cp.add(both >= given + self.model.is_in(line, since, until) - 1)
        yield full * both


def _always(size: int) -> Callable[[int], int]:
    return lambda _: size


def _overlap(since: int, until: int, limit: DayLimit) -> int:
    return max(0, min(until, limit.until) - max(since, limit.since))
