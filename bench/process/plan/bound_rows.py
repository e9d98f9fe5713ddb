"""What all pieces together may take: rows over the chains of each, with a price for each row.

A row says that what some work takes is at most what there is: hands and places by the hour and by
the day, the air of a place, and the pots of a paint by the day. Each follows from the rules slot by
slot, so that no plan is lost and what is counted under them is a bound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from bench.process.plan import slot_sets
from bench.process.plan.bound_columns import Chain, Column, Options
from bench.process.plan.model_days import implied_days
from bench.process.plan.problem import BY_TWO, PLAIN, Paint, Problem, Task

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]

BUCKET = 12  # slots: one hour


@dataclass
class Stretch:
    """A row of slots: what is taken of ``kind`` between two slots is at most ``most``."""

    kind: int
    since: int
    until: int
    most: float
    is_day: bool = False


@dataclass
class PotDay:
    """The pots of a paint on one day, or on days that a pot can outlive: what one is good for.

    standing: how many stand there open, and ``standing_ml`` in them. life: slots in which one is
    sprayed from, None where several may be at once. coats: those sprayed from shared pots.
    """

    paint: int
    since: int
    until: int
    standing: int
    standing_ml: int
    life: int | None
    coats: list[int] = field(default_factory=list)


class Take(NamedTuple):
    """What a task takes: of which kind, how much by one and by two, slots before and after it."""

    kind: int
    by_one: int
    by_two: int
    before: int = 0
    after: int = 0


@dataclass(frozen=True)
class Row:
    """One row on pots: what each coat weighs, what a mixed pot gives, what stands there gives."""

    day: int
    weights: dict[int, float]
    each: float
    standing: float


class Rows:
    """All rows of a problem."""

    def __init__(self, problem: Problem, chains: Sequence[Chain]) -> None:
        """Make them for the chains of its pieces."""
        self.problem = problem
        self.takes = self._takes(chains)
        self.stretches = [*self._hours(), *self._days()]
        self.pot_days = list(self._pot_days(chains))
        self.pot_rows = list(self._pot_rows())
        self._by_hour: dict[tuple[int, int], list[int]] = {}
        for number, stretch in enumerate(self.stretches):
            for hour in range(stretch.since // BUCKET, (stretch.until - 1) // BUCKET + 1):
                self._by_hour.setdefault((stretch.kind, hour), []).append(number)
        self._pots_of: dict[int, list[int]] = {}
        for place, row in enumerate(self.pot_rows):
            for coat in row.weights:
                self._pots_of.setdefault(coat, []).append(place)

    # What is taken: of each kind (resources, then airs) by each task

    def _takes(self, chains: Sequence[Chain]) -> dict[int, list[Take]]:
        """Return what each task takes."""
        problem = self.problem
        self.most = [list(resource.capacity[: problem.horizon]) for resource in problem.resources]
        takes: dict[int, list[Take]] = {}
        for chain in chains:
            for options in chain.options:
                both = zip(options.task.holds_of(PLAIN), options.task.holds_of(BY_TWO), strict=True)
                held = [
                    Take(one.resource, one.amount, two.amount, one.before, one.after)
                    for one, two in both
                ]
                takes[options.number] = held
        for alone, others, hands in _guarded_airs(problem):
            kind, people = len(self.most), problem.resources[hands].capacity[: problem.horizon]
            full = max(people)
            self.most.append([full if most else 0 for most in people])
            for number, held in takes.items():
                if number in alone:
                    held.append(Take(kind, full, full))
                elif number in others:
                    held.append(Take(kind, others[number], others[number]))
        return takes

    def _hours(self) -> Iterator[Stretch]:
        for kind, capacity in enumerate(self.most):
            there = ~slot_sets.short_of(capacity, 1) & slot_sets.between(0, len(capacity))
            for since, until in slot_sets.runs(there):
                for slot in range(since, until, BUCKET):
                    end = min(slot + BUCKET, until)
                    yield Stretch(kind, slot, end, float(sum(capacity[slot:end])))

    def _days(self) -> Iterator[Stretch]:
        for limit in (*self.problem.day_limits, *implied_days(self.problem)):
            yield Stretch(limit.resource, limit.since, limit.until, float(limit.most), True)

    # Pots

    def _pot_days(self, chains: Sequence[Chain]) -> Iterator[PotDay]:
        problem = self.problem
        for number, paint in enumerate(problem.paints):
            coats = [
                options
                for chain in chains
                for options in chain.options
                if options.task.paint == number and options.task.mixes == 1
            ]
            if not coats:
                continue
            for since, until in _lives(problem, paint, coats):
                pots = [p for p in problem.open_pots if p.paint == number and p.empty_by > since]
                yield PotDay(
                    number,
                    since,
                    until,
                    len(pots),
                    sum(pot.left_ml for pot in pots),
                    _longest_use(problem, paint, coats, since, until),
                    [options.number for options in coats],
                )

    def _pot_rows(self) -> Iterator[Row]:
        tasks = self.problem.tasks
        for number, day in enumerate(self.pot_days):
            cup, count = float(self.problem.paints[day.paint].cup_ml), float(day.standing)
            mls = {n: float(tasks[n].ml) for n in day.coats}
            yield Row(number, mls, cup, float(day.standing_ml))
            big = {n: 1.0 for n in day.coats if 2 * tasks[n].ml > cup}
            if len(big) > 1:
                yield Row(number, big, 1.0, count)
            if day.life is not None:
                lengths = {n: float(_sprays(tasks[n])) for n in day.coats}
                yield Row(number, lengths, float(day.life), count * (day.until - day.since))
            for coat in day.coats:
                yield Row(number, {coat: 1.0}, 1.0, count)

    def pot_hands(self, number: int) -> tuple[int, int]:
        """Return the resource that mixing a pot and cleaning its gun take, and its slots."""
        paint = self.problem.paints[self.pot_days[number].paint]
        is_whole = self.pot_days[number].until < self.problem.horizon
        return paint.hands, paint.mixing + (paint.flush if is_whole else 0)

    def days_of_pot(self, number: int) -> list[int]:
        """Return the rows of a day in which all pots of a pot's day are mixed and cleaned."""
        hands, _ = self.pot_hands(number)
        day = self.pot_days[number]
        return [
            place
            for place, row in enumerate(self.stretches)
            if row.is_day and row.kind == hands
            if row.since <= day.since and day.until <= row.until
        ]

    # Prices

    def priced(self, chains: Sequence[Chain], prices: Floats) -> Iterator[list[Floats]]:
        """Yield for each chain what each option of each of its tasks counts under some prices."""
        import numpy as np

        horizon = self.problem.horizon
        slots = np.zeros((len(self.most), horizon + 1))
        for row, price in zip(self.stretches, prices, strict=False):
            if price:
                slots[row.kind, row.since : row.until] += price
        sums = np.zeros((len(self.most), horizon + 1))
        slots[:, :horizon].cumsum(axis=1, out=sums[:, 1:])
        pots = self._coat_prices(prices[len(self.stretches) :])
        for chain in chains:
            yield [self._option_prices(options, sums, pots) for options in chain.options]

    def _option_prices(self, options: Options, sums: Floats, pots: dict[int, Floats]) -> Floats:
        import numpy as np

        horizon = self.problem.horizon
        price = options.price.copy()
        for kind, one, two, before, after in self.takes[options.number]:
            until = np.minimum(options.end + after, horizon)
            since = np.maximum(options.held - before, 0)
            amount = np.where(options.by_two, two, one)
            price += amount * (sums[kind][until] - sums[kind][since])
        if options.number in pots:
            price += pots[options.number][options.sprayed]
        return price

    def _coat_prices(self, prices: Floats) -> dict[int, Floats]:
        import numpy as np

        found: dict[int, Floats] = {}
        for row, price in zip(self.pot_rows, prices, strict=True):
            if not price:
                continue
            day = self.pot_days[row.day]
            for coat, weight in row.weights.items():
                if coat not in found:
                    found[coat] = np.zeros(self.problem.horizon + 1)
                found[coat][day.since : day.until] += price * weight
        return found

    def weights(self, chain: Chain, column: Column) -> dict[int, float]:
        """Return what a column takes of each row."""
        found: dict[int, float] = {}
        spans = [
            (
                options,
                int(options.held[place]),
                int(options.end[place]),
                int(options.sprayed[place]),
                bool(options.by_two[place]),
            )
            for options, place in zip(chain.options, column.places, strict=True)
        ]
        for options, start, end, sprayed, by_two in spans:
            number, task = options.number, options.task
            for kind, one, two, before, after in self.takes[number]:
                amount = two if by_two else one
                for row in self._near(kind, start - before, end + after):
                    stretch = self.stretches[row]
                    slots = min(end + after, stretch.until) - max(start - before, stretch.since)
                    if slots > 0:
                        found[row] = found.get(row, 0.0) + float(slots * amount)
            if task.paint is not None and task.mixes == 1:
                for row in self._pot_rows_at(number, sprayed):
                    place = len(self.stretches) + row
                    weight = self.pot_rows[row].weights[number]
                    found[place] = found.get(place, 0.0) + weight
        return found

    def _near(self, kind: int, since: int, until: int) -> Iterator[int]:
        seen = set()
        for hour in range(max(0, since) // BUCKET, max(0, until - 1) // BUCKET + 1):
            for row in self._by_hour.get((kind, hour), ()):
                if row not in seen:
                    seen.add(row)
                    yield row

    def _pot_rows_at(self, number: int, sprayed: int) -> Iterator[int]:
        for place in self._pots_of.get(number, ()):
            day = self.pot_days[self.pot_rows[place].day]
            if day.since <= sprayed < day.until:
                yield place


def _sprays(task: Task) -> int:
    """Return for how many slots a coat is sprayed at least."""
    return min(task.length_of(PLAIN), task.length_of(BY_TWO)) - task.lead


def _guarded_airs(problem: Problem) -> Iterator[tuple[set[int], dict[int, int], int]]:
    """Yield tasks that go on one at a time, those that cannot go on beside them, and what of.

    They are on two sides of an air. While one of the first goes on none of the others does, as if
    it took all that there is of a resource that each of them takes something of: hands.
    """
    single = [n for n, r in enumerate(problem.resources) if max(r.capacity) <= 1]
    seen: list[tuple[set[int], dict[int, int], int]] = []
    for air, side in sorted({(a.air, a.side) for task in problem.tasks for a in task.airs}):
        mine, theirs = (
            [
                n
                for n, t in enumerate(problem.tasks)
                if any((a.air, a.side) == (air, s) for a in t.airs)
            ]
            for s in (side, 1 - side)
        )
        hands = sorted(_shared([problem.tasks[n] for n in theirs]) - {*single})
        if not hands:
            continue
        of = min(hands, key=lambda n: sum(problem.resources[n].capacity))
        others = {
            n: sum(h.amount for h in problem.tasks[n].holds if h.resource == of) for n in theirs
        }
        for resource in single:
            alone = {n for n in mine if any(h.resource == resource for h in problem.tasks[n].holds)}
            found = alone, {n: amount for n, amount in others.items() if n not in alone}, of
            if alone and found[1] and found not in seen:
                seen.append(found)
                yield found


def _shared(tasks: Sequence[Task]) -> set[int]:
    """Return the resources that every one of some tasks holds while it goes on."""
    held = [{hold.resource for hold in task.holds if hold.amount > 0} for task in tasks]
    return set.intersection(*held) if held else set()


def _lives(problem: Problem, paint: Paint, coats: Sequence[Options]) -> Iterator[tuple[int, int]]:
    """Yield stretches of slots that no pot outlives, which hold every coat of a paint."""
    taken = lived = 0
    for options in coats:
        for slot in options.sprayed.tolist():
            taken |= 1 << slot
    for slot in slot_sets.members(taken):
        lived |= slot_sets.between(slot, max(slot + 1, paint.empty_by[slot]))
    for pot in problem.open_pots:
        if problem.paints[pot.paint] is paint:
            lived |= slot_sets.between(0, pot.empty_by)
    yield from slot_sets.runs(lived)


def _longest_use(
    problem: Problem, paint: Paint, coats: Sequence[Options], since: int, until: int
) -> int | None:
    """Return for how many slots a pot can be sprayed from; None where several may be at once."""
    alone = _shared([options.task for options in coats])
    if not any(max(problem.resources[n].capacity) <= 1 for n in alone):
        return None
    lives = [paint.empty_by[slot] - slot for slot in range(since, min(until, problem.horizon))]
    return max(0, *lives, 0)
