"""What a plan has to place, in slots: pieces of work, what they need, and what each waits for.

A slot is SLOT_MIN minutes, slot 0 the first that may be planned. A set of slots is one int: bit n
stands for slot n. A table has one entry for each slot from 0 to ``horizon``, both included; a slot
beyond the horizon means never. Nothing here knows a part, a paint or a clock: the same question is
asked of the shop's parts and of published instances whose best answer is known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

SLOT_MIN = 5

PLAIN, ABRADED, BY_TWO = WAYS = range(3)
"""The ways in which a task can be done: as it is, with the abrading first, by two together."""


@dataclass(frozen=True)
class Resource:
    """Something there is so much of in each slot: hands, trained hands, spray spaces, stands."""

    key: str
    capacity: Sequence[int]


@dataclass(frozen=True)
class Hold:
    """What a task holds of a resource, from so many slots before it begins to so many after it."""

    resource: int
    amount: int
    before: int = 0
    after: int = 0


@dataclass(frozen=True)
class Air:
    """What a task does to the air of a place, which some other task there cannot bear.

    Tasks of side 0 and side 1 of one ``air`` never overlap: isocyanate in the air and people
    without air-fed masks, dust and a wet coat. Those of the same side may. Slots as in ``Hold``.
    """

    air: int
    side: int
    before: int = 0
    after: int = 0


class Alike(NamedTuple):
    """Ends of a task, from one slot to before another, after which its part is carried out alike.

    At slot ``at`` for all of them; ``lag`` slots after each where that is None.
    """

    since: int
    until: int
    at: int | None
    lag: int


@dataclass(frozen=True)
class Carrying:
    """What a task leaves to do by itself: a wet part is carried out of the place it was sprayed in.

    begins: the slot in which that begins, by the slot in which the task ended; one beyond the
    horizon means after it. length: its slots. hands: what it holds for them. place: the resource of
    which one is held from the task's end until the part is out.
    """

    begins: Sequence[int]
    length: int
    hands: Hold
    place: int

    @cached_property
    def alike(self) -> tuple[Alike, ...]:
        """Return ``begins`` as stretches."""
        begins, found, since = self.begins, [], 0
        while since < len(begins):
            flat = slope = since + 1
            while flat < len(begins) and begins[flat] == begins[since]:
                flat += 1
            lag = begins[since] - since
            while slope < len(begins) and begins[slope] == slope + lag:
                slope += 1
            until = max(flat, slope)
            found.append(Alike(since, until, begins[since] if flat >= slope else None, lag))
            since = until
        return tuple(found)


@dataclass(frozen=True)
class ByTwo:
    """A task as two do it together: how long it lasts then, and where it can begin.

    holds: as those of the task and in their order, of some of them more. Two neither abrade first
    nor go on over a break.
    """

    length: int
    starts: int
    holds: tuple[Hold, ...]


@dataclass(frozen=True)
class Task:
    """Something that is begun, and lasts so many slots from its start.

    starts: where it can begin; abraded_starts: where it may with the abrading first, which takes
    ``abrading`` slots of it (then it lasts so much longer), the mixing after it among them. lead:
    slots of ``length`` before its paint is sprayed, where it is abraded for in any case.
    longer_starts: starts that run into a break, by which it lasts ``longer`` slots more. paint:
    what it takes a pot of, None where none; ml of it. opening_starts: where the spraying can begin
    if it is mixed for just before. mixes: mixings of its own where one cup does not hold it (then
    it shares none). fixed: its start where it cannot be moved, whatever ``starts`` say. was: its
    start in the plan that was agreed; move_price: what moving it counts. carrying: what it leaves
    to do, None where its part stays where it is. by_two: how two do it, None where they cannot, or
    it is fixed.
    """

    piece: int
    number: int
    length: int
    starts: int
    abraded_starts: int = 0
    abrading: int = 0
    longer: int = 0
    longer_starts: int = 0
    holds: tuple[Hold, ...] = ()
    airs: tuple[Air, ...] = ()
    paint: int | None = None
    ml: int = 0
    mixes: int = 1
    opening_starts: int = 0
    fixed: int | None = None
    was: int | None = None
    move_price: int = 0
    lead: int = 0
    carrying: Carrying | None = None
    by_two: ByTwo | None = None

    def starts_of(self, way: int) -> int:
        """Return where it can begin in one of the ``WAYS``, if it is not fixed."""
        if way == BY_TWO:
            return self.by_two.starts if self.by_two else 0
        return self.abraded_starts if way == ABRADED else self.starts

    def with_starts(self, starts: Sequence[int]) -> Task:
        """Return it with other starts, by the ``WAYS``."""
        plain, abraded, by_two = starts
        two = self.by_two and replace(self.by_two, starts=by_two)
        return replace(self, starts=plain, abraded_starts=abraded, by_two=two)

    def length_of(self, way: int) -> int:
        """Return how many slots it lasts in one of the ``WAYS``, without a break."""
        if way == BY_TWO and self.by_two:
            return self.by_two.length
        return self.length + self.abrading_of(way)

    def abrading_of(self, way: int) -> int:
        """Return the slots before the work itself in one of the ``WAYS``."""
        return self.abrading if way == ABRADED else 0

    def holds_of(self, way: int) -> tuple[Hold, ...]:
        """Return what it holds in one of the ``WAYS``."""
        return self.by_two.holds if way == BY_TWO and self.by_two else self.holds

    def longer_of(self, way: int) -> int:
        """Return the starts from which it lasts ``longer`` in one of the ``WAYS``."""
        return self.longer_starts if self.longer and way != BY_TWO else 0

    def end_of(self, way: int, start: int) -> int:
        """Return the slot in which it has ended that begins so, in one of the ``WAYS``."""
        longer = self.longer if self.longer_of(way) >> start & 1 else 0
        return start + self.length_of(way) + longer


@dataclass(frozen=True)
class Paint:
    """A paint that is mixed: mixing takes a pair of hands before the first coat that uses the pot.

    What of the mixing lies within the slots of that coat, after its abrading, is done by its own
    hands. empty_by: by the slot in which that coat is sprayed, which is where the mixing ends, the
    slot by which the last coat from that pot has ended. flush: slots for which one pair of
    hands cleans the gun after the last coat from the pot. hands: the resource. airs: of the flush
    and of the mixing.
    """

    key: str
    mixing: int
    flush: int
    cup_ml: int
    empty_by: Sequence[int]
    hands: int
    mixing_airs: tuple[Air, ...] = ()
    flush_airs: tuple[Air, ...] = ()


@dataclass(frozen=True)
class OpenPot:
    """A pot that stands there mixed: left ml, empty by a slot."""

    paint: int
    left_ml: int
    empty_by: int


@dataclass(frozen=True)
class Stage:
    """A stretch in which a task can begin (with abrading: in which the abraded work may).

    opens: the first slot, by the slot in which the task before it ended. closes: the slot that is
    too late, by the slot in which ``Wait.first`` itself began, after its abrading; None where it
    never closes. opens_aged, closes_aged: a warm night changes it; an exact time it does not.
    """

    opens: Sequence[int]
    closes: Sequence[int] | None = None
    abraded: bool = False
    opens_aged: bool = True
    closes_aged: bool = True


@dataclass(frozen=True)
class Wait:
    """A task waits for one before it: it begins in one of the stages.

    first: the task whose start counts for what closes (a mist's, where a build continues it).
    For an abraded stage the slot that counts is that after the abrading.
    """

    before: int
    first: int
    after: int
    stages: tuple[Stage, ...]


@dataclass(frozen=True)
class Piece:
    """A part, or a lot of alike ones: its tasks in order.

    done_day: the day by whose end it is ready, by the slot in which its last task ends. price: what
    it counts to be ready on that day, lateness and priority in it, by the same slot. promised_day:
    the last that is not late. stand: the resource of which it holds one from its first task (from
    slot 0 where ``is_on_stand``) to ``stand_after`` slots after its last.
    """

    key: str
    tasks: tuple[int, ...]
    done_day: Sequence[int]
    price: Sequence[int]
    promised_day: int | None = None
    priority: int = 1
    stand: int | None = None
    is_on_stand: bool = False
    stand_after: int = 0


@dataclass(frozen=True)
class DayLimit:
    """How many slots of a resource may be filled between two slots: a day is not planned full."""

    resource: int
    since: int
    until: int
    most: int


@dataclass(frozen=True)
class Person:
    """Somebody who works: the slots in which they are there, and whether trained."""

    here: int
    trained: bool = True


@dataclass(frozen=True)
class Crew:
    """Who works, where they differ: all that takes hands is done by the same ones from end to end.

    hands, trained: the resources; what holds the second too is done by trained ones alone, None
    where everybody is. going_on: tasks that go on now, by whom they are.
    """

    people: tuple[Person, ...]
    hands: int
    trained: int | None = None
    going_on: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Weights:
    """What counts, in prices: a missed window (abraded), a mix. Days: see ``Piece.price``."""

    missed: int = 5000
    mix: int = 25


@dataclass(frozen=True)
class Problem:
    """Everything a plan has to place, and by what it is judged. crew: None where all are alike."""

    horizon: int
    resources: tuple[Resource, ...]
    tasks: tuple[Task, ...]
    waits: tuple[Wait, ...]
    pieces: tuple[Piece, ...]
    paints: tuple[Paint, ...] = ()
    open_pots: tuple[OpenPot, ...] = ()
    day_limits: tuple[DayLimit, ...] = ()
    weights: Weights = Weights()
    crew: Crew | None = None


@dataclass(frozen=True)
class Placed:
    """Where a task was placed. pot: the task a pot was mixed for, itself where it opens one.

    open_pot: the place in ``Problem.open_pots`` of the pot it is sprayed from.
    """

    start: int
    is_abraded: bool = False
    pot: int | None = None
    open_pot: int | None = None
    by_two: bool = False

    @property
    def way(self) -> int:
        """Return in which of the ``WAYS`` it is done."""
        return BY_TWO if self.by_two else int(self.is_abraded)


@dataclass(frozen=True)
class Schedule:
    """A plan: for each task where it was placed; None where it was not, with its whole piece."""

    placed: tuple[Placed | None, ...]


def span(task: Task, placed: Placed) -> tuple[int, int]:
    """Return the slot in which a task begins and the one in which it has ended."""
    return placed.start, task.end_of(placed.way, placed.start)


def work_start(task: Task, placed: Placed) -> int:
    """Return the slot in which the task itself begins, after its abrading."""
    return placed.start + task.abrading_of(placed.way)


def carried(task: Task, placed: Placed) -> tuple[int, int] | None:
    """Return the slots from and to which its part is carried out of its place; None where not."""
    if task.carrying is None:
        return None
    begins = task.carrying.begins[span(task, placed)[1]]
    return begins, begins + task.carrying.length


def spray_start(task: Task, placed: Placed) -> int:
    """Return the slot in which its paint is sprayed, to which a pot is mixed for it."""
    return work_start(task, placed) + task.lead


def mixed_by_others(task: Task, paint: Paint, *, abraded: bool) -> int:
    """Return the slots of the mixing before a task begins, which its own hands do not do."""
    return max(0, paint.mixing - task.lead - (task.abrading if abraded else 0))
