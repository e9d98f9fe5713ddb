"""Benches made by chance, to be planned in tests: parts with the waits of a real route, invented.

Slot 0 is Monday 07:30. A shop is open Monday to Friday 07:30-17:30 (120 slots of 288) and Saturday
08:00-12:30. By night everything ages at six tenths of the day's speed. The figures are invented.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace
from random import Random

from bench.process.plan.problem import (
    Air,
    ByTwo,
    DayLimit,
    Hold,
    Paint,
    Piece,
    Problem,
    Resource,
    Stage,
    Task,
    Wait,
)
from bench.process.plan.slot_sets import between

DAY, OPEN = 288, 120
HANDS, SPACE, STANDS = 0, 1, 2
MASKS, DUST = 0, 1


@dataclass(frozen=True)
class Kind:
    """A kind of step: slots; what it waits for (opens, shut from and to, closes), in day slots."""

    length: int
    opens: int = 0
    closes: int | None = None
    shut: tuple[int, int] | None = None
    paint: int | None = None
    masks: bool = False
    dust: bool = False
    abrading: int = 6
    hands: int = 1


WASH = Kind(5)
ROUTES = (
    (WASH, Kind(6, 12), Kind(3, 1, 3), Kind(2, 6, paint=0), Kind(3, 2, 12, paint=0),
     Kind(4, 24, 200, paint=1), Kind(4, 48, 1400, (96, 180), paint=1)),
    (WASH, Kind(8, 12, dust=True), Kind(3, 1, 48, paint=2), Kind(3, 190, 1900, paint=3, masks=True),
     Kind(3, 72, 480, paint=3, masks=True)),
    (WASH, Kind(18, 12), Kind(6, 24, dust=True), Kind(2, 1, 48, paint=0), Kind(3, 2, 60, paint=0),
     Kind(5, 190, None, paint=2)),
    (WASH, Kind(9, 10, dust=True), Kind(2, 2, 90, paint=0), Kind(4, 3, 24, paint=0),
     Kind(4, 18, 96, paint=2), Kind(4, 18, 190, paint=2), Kind(9, 48, dust=True),
     Kind(4, 4, 90, paint=3, masks=True), Kind(4, 3, 9, paint=3, masks=True, hands=2)),
)  # fmt: skip
LIVES = (96, 60, 48, 30)


def open_slots(days: int) -> int:
    """Return the slots in which the shop is open."""
    slots = 0
    for day in range(days):
        if day % 7 < 5:
            slots |= between(day * DAY, day * DAY + OPEN)
        elif day % 7 == 5:
            slots |= between(day * DAY + 6, day * DAY + 60)
    return slots


def make_bench(
    seed: int,
    parts: int,
    days: int,
    painters: int = 2,
    stands: int | None = None,
    *,
    together: bool = False,
) -> Problem:
    """Return a bench of so many parts, the same for the same seed.

    together: two may do what is done by one and takes four slots or more.
    """
    random = Random(seed)
    horizon = days * DAY
    opened = open_slots(days)
    aged = [0.0]
    for slot in range(2 * horizon):
        aged.append(aged[-1] + (1.0 if slot % DAY < OPEN else 0.6))

    tables: dict[tuple[int, int], list[int]] = {}

    def after(need: int, least: int = 0) -> list[int]:
        if (need, least) not in tables:
            tables[need, least] = [
                max(s + least, bisect_left(aged, aged[s] + need)) for s in range(horizon + 1)
            ]
        return tables[need, least]

    tasks: list[Task] = []
    waits: list[Wait] = []
    pieces: list[Piece] = []
    day_of = [0]
    done = 0
    for slot in range(1, horizon + 1):
        done += slot % DAY == 1 and slot > 1 and bool(opened >> slot - 1 & 1)
        day_of.append(done)
    domains: dict[tuple[int, int], int] = {}

    def domain(length: int, lead: int = 0) -> int:
        if (length, lead) not in domains:
            closed = between(0, horizon + 200) & ~opened
            starts = opened
            for slot in range(-lead, length):
                starts &= ~(closed >> slot if slot >= 0 else closed << -slot)
            domains[length, lead] = starts & -(1 << lead)
        return domains[length, lead]

    for number in range(parts):
        route = random.choice(ROUTES)
        size = random.choice((1, 1, 2, 3))
        priority = random.choice((1, 1, 2, 3))
        numbers = []
        for step, kind in enumerate(route):
            length = kind.length + (size - 1 if kind.opens != 1 else 0)
            holds = [Hold(HANDS, kind.hands)]
            airs = []
            if kind.paint is not None:
                holds.append(Hold(SPACE, 1, after=1))
                airs.append(
                    Air(
                        MASKS,
                        0 if kind.masks else 1,
                        1 if kind.masks else 0,
                        6 if kind.masks else 0,
                    )
                )
                airs.append(Air(DUST, 1, after=6))
            if kind.dust:
                airs.append(Air(DUST, 0))
            closes = kind.closes is not None and kind.closes > 20
            by_two = None
            if together and kind.hands == 1 and length >= 4:
                both = replace(holds[0], amount=2), *holds[1:]
                by_two = ByTwo(-(-length // 2), domain(-(-length // 2)), both)
            tasks.append(
                Task(
                    number, step, length, domain(length),
                    domain(length + kind.abrading) if closes else 0, kind.abrading if closes else 0,
                    holds=tuple(holds), airs=tuple(airs), paint=kind.paint,
                    ml=60 * size * size if kind.paint is not None else 0,
                    opening_starts=domain(1 if by_two else length, 4) if kind.paint is not None else 0,
                    by_two=by_two,
                )
            )  # fmt: skip
            numbers.append(len(tasks) - 1)
            if not step:
                continue
            last = len(tasks) - 2
            first = last
            if step > 1 and kind.paint is None and route[step - 1].paint is not None:
                first = last - 1 if route[step - 1].paint == route[step - 2].paint else last
            opens = after(kind.opens, kind.opens)
            took = sum(tasks[n].length for n in range(first, last + 1)) + (first < last) * 4
            late = after(kind.closes + took) if kind.closes is not None else None
            stages = [Stage(opens, late)]
            if kind.shut is not None:
                stages = [
                    Stage(opens, after(kind.shut[0] + took)),
                    Stage(after(kind.shut[1]), late),
                ]
            if closes:
                stages.append(Stage(after(kind.closes or 0), None, abraded=True))
            waits.append(Wait(last, first, last + 1, tuple(stages)))
        promised = min(
            done, max(3, round(len(route) * 0.7) + random.randrange(0, days * 5 // 7 + 1))
        )
        prices = [
            priority * (100 * day_of[e] + 1000 * max(0, day_of[e] - promised))
            for e in range(horizon + 1)
        ]
        pieces.append(
            Piece(
                str(number + 1),
                tuple(numbers),
                day_of,
                prices,
                promised,
                priority,
                STANDS,
                False,
                144,
            )
        )
    paints = tuple(
        Paint(
            f"paint {n}", 4, 2, 600, after(life), HANDS,
            (Air(MASKS, 1),) if n < 3 else (), (Air(MASKS, 0 if n == 3 else 1, 0, 6 if n == 3 else 0),),
        )
        for n, life in enumerate(LIVES)
    )  # fmt: skip

    def table(most: int) -> list[int]:
        return [most if opened >> s & 1 else 0 for s in range(horizon + 1)]

    resources = (
        Resource("hands", table(painters)),
        Resource("space", [1] * (horizon + 1)),
        Resource("stands", [stands or parts] * (horizon + 1)),
    )
    limits = []
    for day in range(days):
        room = (opened & between(day * DAY, day * DAY + DAY)).bit_count() * painters
        if room:
            limits.append(DayLimit(HANDS, day * DAY, day * DAY + DAY, room * 85 // 100))
    return Problem(
        horizon, resources, tuple(tasks), tuple(waits), tuple(pieces), paints, (), tuple(limits)
    )
