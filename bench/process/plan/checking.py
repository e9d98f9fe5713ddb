"""Judge a plan: every rule it breaks, found slot by slot, and what it counts.

Written apart from everything that makes plans, and plainly: it looks at each rule by itself and
shares no code with the planners, so that it can find their mistakes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from bench.process.plan.problem import (
    Air,
    Crew,
    Paint,
    Piece,
    Placed,
    Problem,
    Schedule,
    Task,
    Wait,
    carried,
    span,
    spray_start,
    work_start,
)

# More than any part can count by its days: a part is left out only where it fits nowhere.
LEFT_OUT_PRICE = 1_000_000
# Slack beyond this is worth nothing: four hours before a window closes.
MOST_SLACK = 48


@dataclass(frozen=True)
class Fault:
    """A rule that a plan breaks. tasks: those that break it; slot: where it is seen first."""

    rule: str
    tasks: tuple[int, ...]
    slot: int | None = None


@dataclass(frozen=True)
class Cost:
    """What a plan counts.

    missed: windows missed, so that the coat under it is abraded. late_days and days: by priority.
    moved: tasks that do not begin where the agreed plan has them. price: the sum that counts.
    least_slack: slots between the begin that comes soonest before its window closes and the last
    slot in time; None where nothing closes. left_out: pieces with no place. begins: sum of starts.
    """

    missed: int
    late_days: int
    days: int
    mixes: int
    moved: int
    price: int
    least_slack: int | None
    left_out: int
    begins: int

    @property
    def rank(self) -> tuple[int, int, int]:
        """Return what two plans are compared by, the smaller the better."""
        slack = MOST_SLACK if self.least_slack is None else min(self.least_slack, MOST_SLACK)
        return self.price, -slack, self.begins


@dataclass(frozen=True)
class Pot:
    """A pot and who sprays from it. opener: the task it is mixed for; None where it stands open."""

    paint: int
    opener: int | None
    open_pot: int | None
    users: tuple[int, ...]


@dataclass(frozen=True)
class Stretch:
    """What is busy from one slot to another: a task, or the mixing or flush of a pot."""

    owner: tuple[str, int]
    task: int
    since: int
    until: int


def faults(problem: Problem, schedule: Schedule) -> tuple[Fault, ...]:
    """Return every rule the plan breaks, none for a sound one."""
    found = [*_places(problem, schedule)]
    if any(fault.rule == "places" for fault in found):
        return tuple(found)
    for rule in (_domains, _waits, _pots, _capacity, _airs, _day_limits, _by_whom):
        found += rule(problem, schedule)
    return tuple(found)


def cost(problem: Problem, schedule: Schedule) -> Cost:
    """Return what the plan counts."""
    late = days = price = left_out = 0
    for piece in problem.pieces:
        last = schedule.placed[piece.tasks[-1]]
        if last is None:
            left_out += 1
            continue
        end = span(problem.tasks[piece.tasks[-1]], last)[1]
        day = piece.done_day[end]
        days += day * piece.priority
        if piece.promised_day is not None:
            late += max(0, day - piece.promised_day) * piece.priority
        price += piece.price[end]
    missed = mixes = moved = begins = 0
    for number, task, placed in _placed(problem, schedule):
        missed += placed.is_abraded
        mixes += task.mixes if placed.pot == number else 0
        begins += placed.start
        if task.was is not None and placed.start != task.was:
            moved += 1
            price += task.move_price
    price += missed * problem.weights.missed + mixes * problem.weights.mix
    price += left_out * LEFT_OUT_PRICE
    slack = [slots for slots in slacks(problem, schedule) if slots is not None]
    least = min(slack, default=None)
    return Cost(missed, late, days, mixes, moved, price, least, left_out, begins)


def slacks(problem: Problem, schedule: Schedule) -> tuple[int | None, ...]:
    """Return for each task how many slots later it could begin before its window closes.

    None where nothing closes, or it closes beyond the horizon, or the task is not placed.
    """
    slack: list[int | None] = [None] * len(problem.tasks)
    for wait in problem.waits:
        before, first, after = (schedule.placed[n] for n in (wait.before, wait.first, wait.after))
        if before is None or first is None or after is None:
            continue
        begins = work_start(problem.tasks[wait.after], after)
        closing = [
            closes - 1 - begins
            for opens, closes in _stretches(problem, wait, before, first, after)
            if opens <= begins < closes <= problem.horizon
        ]
        if closing:
            known = slack[wait.after]
            slack[wait.after] = min(closing) if known is None else min(known, *closing)
    return tuple(slack)


def pots(problem: Problem, schedule: Schedule) -> tuple[Pot, ...]:
    """Return every pot that a placed task is sprayed from."""
    mixed: dict[int, list[int]] = defaultdict(list)
    stood: dict[int, list[int]] = defaultdict(list)
    for number, _, placed in _placed(problem, schedule):
        if placed.pot is not None:
            mixed[placed.pot].append(number)
        elif placed.open_pot is not None:
            stood[placed.open_pot].append(number)
    opened = [
        Pot(paint, opener, None, tuple(users))
        for opener, users in mixed.items()
        if (paint := problem.tasks[opener].paint) is not None
    ]
    return (
        *opened,
        *(Pot(problem.open_pots[n].paint, None, n, tuple(users)) for n, users in stood.items()),
    )


def _placed(problem: Problem, schedule: Schedule) -> Iterator[tuple[int, Task, Placed]]:
    for number, (task, placed) in enumerate(zip(problem.tasks, schedule.placed, strict=True)):
        if placed is not None:
            yield number, task, placed


def _span(problem: Problem, schedule: Schedule, number: int) -> tuple[int, int]:
    placed = schedule.placed[number]
    assert placed is not None
    return span(problem.tasks[number], placed)


def _places(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    """Each piece is placed whole or not at all, nothing before slot 0 or beyond the horizon."""
    for piece in problem.pieces:
        missing = [n for n in piece.tasks if schedule.placed[n] is None]
        if missing and len(missing) < len(piece.tasks):
            yield Fault("whole piece", tuple(missing))
    for number, task, placed in _placed(problem, schedule):
        since, until = span(task, placed)
        if since < 0 or until > problem.horizon:
            yield Fault("places", (number,), since)


def _domains(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    """A task begins where it may, in the way it is done, or where it is fixed."""
    for number, task, placed in _placed(problem, schedule):
        if task.fixed is not None:
            if placed.start != task.fixed or placed.by_two:
                yield Fault("fixed", (number,), placed.start)
            continue
        if placed.by_two:
            two_can = task.by_two is not None and task.by_two.starts >> placed.start & 1
            if not two_can or placed.is_abraded:
                yield Fault("by two", (number,), placed.start)
            continue
        allowed = task.abraded_starts if placed.is_abraded else task.starts
        if not allowed >> placed.start & 1:
            yield Fault("starts", (number,), placed.start)


def _stretches(
    problem: Problem, wait: Wait, before: Placed, first: Placed, after: Placed
) -> Iterator[tuple[int, int]]:
    """Yield from which slot to before which one the waiting task can begin."""
    ended = span(problem.tasks[wait.before], before)[1]
    began = work_start(problem.tasks[wait.first], first)
    for stage in wait.stages:
        if stage.abraded == after.is_abraded:
            closes = problem.horizon + 1 if stage.closes is None else stage.closes[began]
            yield stage.opens[ended], closes


def _waits(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    for wait in problem.waits:
        before, first, after = (schedule.placed[n] for n in (wait.before, wait.first, wait.after))
        if after is None:
            continue
        begins = work_start(problem.tasks[wait.after], after)
        if (
            before is None
            or first is None
            or not any(
                opens <= begins < closes
                for opens, closes in _stretches(problem, wait, before, first, after)
            )
        ):
            yield Fault("waits", (wait.before, wait.after), after.start)


def _pots(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    """Judge what is sprayed from which pot.

    A pot is mixed just before it is first sprayed from: one pair of hands abrades, mixes and sprays
    in this order, and the pot's life runs from the mixing.
    """
    for number, task, placed in _placed(problem, schedule):
        given = (placed.pot is not None) + (placed.open_pot is not None)
        if given != (task.paint is not None):
            yield Fault("pot", (number,), placed.start)
    for pot in pots(problem, schedule):
        if any(problem.tasks[n].paint != pot.paint for n in pot.users):
            yield Fault("paint of the pot", pot.users)
            continue
        since, empty_by, most_ml = 0, 0, 0
        if pot.opener is None:
            assert pot.open_pot is not None
            stood = problem.open_pots[pot.open_pot]
            empty_by, most_ml = stood.empty_by, stood.left_ml
        else:
            opener, mixed = problem.tasks[pot.opener], schedule.placed[pot.opener]
            if mixed is None or mixed.pot != pot.opener:
                yield Fault("nobody mixes the pot", pot.users)
                continue
            since = spray_start(opener, mixed)
            if opener.fixed is None and not opener.opening_starts >> since & 1:
                yield Fault("opening starts", (pot.opener,), mixed.start)
            paint = problem.paints[pot.paint]
            if opener.fixed is None and since < paint.mixing:
                yield Fault("mixed before slot 0", (pot.opener,), since - paint.mixing)
            empty_by = paint.empty_by[since]
            most_ml = paint.cup_ml * opener.mixes
        if sum(problem.tasks[n].ml for n in pot.users) > most_ml:
            yield Fault("ml of the pot", pot.users)
        if len(pot.users) > 1 and any(problem.tasks[n].mixes > 1 for n in pot.users):
            yield Fault("more than a cup shares no pot", pot.users)
        for number in pot.users:
            start, end = _span(problem, schedule, number)
            at = schedule.placed[number]
            if at is not None and spray_start(problem.tasks[number], at) < since:
                yield Fault("before the pot is mixed", (number,), start)
            if end > empty_by:
                yield Fault("after the pot's life", (number,), start)


def _mixings(problem: Problem, schedule: Schedule) -> Iterator[tuple[Paint, Stretch]]:
    for pot in pots(problem, schedule):
        if pot.opener is not None and (mixed := schedule.placed[pot.opener]) is not None:
            paint, sprayed = (
                problem.paints[pot.paint],
                spray_start(problem.tasks[pot.opener], mixed),
            )
            stretch = (sprayed - paint.mixing, sprayed)
            yield paint, Stretch(("mixing", pot.opener), pot.opener, *stretch)


def _flushes(problem: Problem, schedule: Schedule) -> Iterator[tuple[Paint, Stretch]]:
    for pot in pots(problem, schedule):
        paint = problem.paints[pot.paint]
        last = max(pot.users, key=lambda n: _span(problem, schedule, n)[1])
        ended = _span(problem, schedule, last)[1]
        yield paint, Stretch(("flush", last), last, ended, ended + paint.flush)


def _stands(problem: Problem, schedule: Schedule) -> Iterator[tuple[Piece, int, int]]:
    """Yield who holds a stand from when to when; a piece left out that stands there stays."""
    for piece in problem.pieces:
        first = schedule.placed[piece.tasks[0]]
        if piece.stand is None or (first is None and not piece.is_on_stand):
            continue
        until = problem.horizon
        if first is not None and schedule.placed[piece.tasks[-1]] is not None:
            until = _span(problem, schedule, piece.tasks[-1])[1] + piece.stand_after
        yield piece, 0 if piece.is_on_stand or first is None else first.start, until


def _taken(problem: Problem, schedule: Schedule) -> list[list[tuple[int, int]]]:
    """Return for each resource what takes how much of it, slot by slot: (slot, amount)."""
    taken: list[list[tuple[int, int]]] = [[] for _ in problem.resources]

    def take(resource: int, amount: int, since: int, until: int) -> None:
        for slot in range(max(0, since), min(until, problem.horizon)):
            taken[resource].append((slot, amount))

    for _, task, placed in _placed(problem, schedule):
        since, until = span(task, placed)
        for hold in task.holds_of(placed.way):
            take(hold.resource, hold.amount, since - hold.before, until + hold.after)
        out = carried(task, placed)
        if task.carrying is not None and out is not None:
            take(task.carrying.place, 1, until, out[1])
            take(task.carrying.hands.resource, task.carrying.hands.amount, *out)
    for paint, stretch in _mixings(problem, schedule):
        begun = _span(problem, schedule, stretch.task)[0]  # from here on by the task's own hands
        take(paint.hands, 1, stretch.since, min(stretch.until, begun))
    for paint, stretch in _flushes(problem, schedule):
        take(paint.hands, 1, stretch.since, stretch.until)
    for piece, since, until in _stands(problem, schedule):
        assert piece.stand is not None
        take(piece.stand, 1, since, until)
    return taken


def _capacity(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    for resource, taken in zip(problem.resources, _taken(problem, schedule), strict=True):
        held: dict[int, int] = defaultdict(int)
        for slot, amount in taken:
            held[slot] += amount
        over = [slot for slot in held if held[slot] > resource.capacity[slot]]
        if over:
            yield Fault(f"too little of {resource.key}", (), min(over))


def _jobs(problem: Problem, schedule: Schedule, crew: Crew) -> Iterator[tuple[int, int, int, bool]]:
    """Yield all that takes hands: from when to when, how many, and whether only trained ones."""
    for number, task, placed in _placed(problem, schedule):
        amounts = {hold.resource: hold.amount for hold in task.holds_of(placed.way)}
        if amounts.get(crew.hands) and number not in crew.going_on:
            yield *span(task, placed), amounts[crew.hands], crew.trained in amounts
        out = carried(task, placed)
        if task.carrying is not None and out is not None:
            yield *out, task.carrying.hands.amount, False
    for paint, stretch in _mixings(problem, schedule):
        if paint.hands == crew.hands:
            begun = _span(problem, schedule, stretch.task)[0]
            yield stretch.since, min(stretch.until, begun), 1, False
    for paint, stretch in _flushes(problem, schedule):
        if paint.hands == crew.hands:
            yield stretch.since, stretch.until, 1, False


def _by_whom(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    """All that takes hands is done by people who are there and free for the whole of it.

    Job by job as they begin, every way of giving them to people is followed: until when each is
    busy.
    """
    crew = problem.crew
    if crew is None:
        return
    ways = {(0,) * len(crew.people)}
    for since, until, amount, trained in sorted(_jobs(problem, schedule, crew)):
        if since >= until or since >= problem.horizon:
            continue
        slots = range(max(0, since), min(until, problem.horizon))
        there = [
            n
            for n, person in enumerate(crew.people)
            if (person.trained or not trained) and all(person.here >> slot & 1 for slot in slots)
        ]
        ways = {
            tuple(until if n in chosen else max(busy, since) for n, busy in enumerate(way))
            for way in ways
            for chosen in combinations([n for n in there if way[n] <= since], amount)
        }
        if not ways:
            yield Fault("nobody for all of it", (), since)
            return


def _day_limits(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    taken = _taken(problem, schedule) if problem.day_limits else []
    for limit in problem.day_limits:
        filled = sum(
            amount for slot, amount in taken[limit.resource] if limit.since <= slot < limit.until
        )
        if filled > limit.most:
            yield Fault("day too full", (), limit.since)


def _airs(problem: Problem, schedule: Schedule) -> Iterator[Fault]:
    """Two sides of one air never overlap, but for what one and the same thing does to it."""
    sides: dict[tuple[int, int], tuple[list[Stretch], list[Stretch]]] = defaultdict(
        lambda: ([], [])
    )

    def breathe(airs: tuple[Air, ...], stretch: Stretch) -> None:
        for air in airs:
            since, until = stretch.since - air.before, stretch.until + air.after
            for slot in range(max(0, since), min(until, problem.horizon)):
                sides[air.air, slot][air.side].append(stretch)

    for number, task, placed in _placed(problem, schedule):
        breathe(task.airs, Stretch(("task", number), number, *span(task, placed)))
    for paint, stretch in _mixings(problem, schedule):
        breathe(paint.mixing_airs, stretch)
    for paint, stretch in _flushes(problem, schedule):
        breathe(paint.flush_airs, stretch)
    seen: set[tuple[int, int]] = set()
    for (_, slot), (ours, theirs) in sorted(sides.items()):
        for a in ours:
            for b in theirs:
                if a.owner != b.owner and (a.task, b.task) not in seen:
                    seen.add((a.task, b.task))
                    yield Fault("air", (a.task, b.task), slot)
