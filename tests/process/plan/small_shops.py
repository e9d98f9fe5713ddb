"""Small invented shops as problems, for tests of what makes, proves and explains a plan.

The figures are invented: they have the shape of a shop's, with windows that close in the night.
"""

from __future__ import annotations

from random import Random

from bench.process.plan.problem import (
    Air,
    DayLimit,
    Hold,
    OpenPot,
    Paint,
    Piece,
    Problem,
    Resource,
    Stage,
    Task,
    Wait,
    Weights,
)
from bench.process.plan.slot_sets import between, starts_meeting

DAY = 288
OPENS, CLOSES, BREAK = 90, 210, (144, 150)
HANDS, SPRAY, STANDS = 0, 1, 2
PRIMER, GLOSS = 0, 1
ISOCYANATE_AIR, DUST_AIR = 0, 1


def shop(
    parts: int, days: int, seed: int = 1, painters: int = 2, is_tight: bool = False
) -> Problem:
    """Return a shop with so many parts and days. is_tight: short windows, full days, few stands."""
    random = Random(seed)
    horizon = days * DAY
    hands = [0] * (horizon + 1)
    for slot in range(horizon):
        if OPENS <= slot % DAY < CLOSES:
            hands[slot] = 1 if BREAK[0] <= slot % DAY < BREAK[1] else painters
    tasks: list[Task] = []
    waits: list[Wait] = []
    pieces: list[Piece] = []
    for number in range(parts):
        _part(random, number, horizon, hands, tasks, waits, pieces, is_tight)
    resources = (
        Resource("hands", hands),
        Resource("spray space", [1] * (horizon + 1)),
        Resource("stands", [max(2, parts - 1) if is_tight else parts] * (horizon + 1)),
    )
    limits = tuple(
        DayLimit(HANDS, day * DAY, (day + 1) * DAY, int(0.85 * painters * (CLOSES - OPENS)))
        for day in range(days)
    )
    lives = [min(horizon + 1, slot + life) for life in (48, 30) for slot in range(horizon + 1)]
    paints = (
        Paint("primer", 4, 2, 1000, lives[: horizon + 1], HANDS),
        Paint(
            "gloss",
            4,
            2,
            1000,
            lives[horizon + 1 :],
            HANDS,
            (Air(ISOCYANATE_AIR, 1),),
            (Air(ISOCYANATE_AIR, 0, after=6),),
        ),
    )
    opened = (OpenPot(PRIMER, 400, OPENS + 40),) if is_tight else ()
    return Problem(
        horizon,
        resources,
        tuple(tasks),
        tuple(waits),
        tuple(pieces),
        paints,
        opened,
        limits,
        Weights(),
    )


def _part(
    random: Random,
    number: int,
    horizon: int,
    hands: list[int],
    tasks: list[Task],
    waits: list[Wait],
    pieces: list[Piece],
    is_tight: bool,
) -> None:
    first = len(tasks)
    closed = sum(1 << slot for slot in range(horizon) if not hands[slot])
    steps = [
        (random.randrange(3, 8), None, (Air(ISOCYANATE_AIR, 1),)),
        (random.randrange(4, 10), None, (Air(ISOCYANATE_AIR, 1), Air(DUST_AIR, 0))),
        (random.randrange(3, 6), PRIMER, (Air(ISOCYANATE_AIR, 1), Air(DUST_AIR, 1, after=6))),
        (
            random.randrange(3, 6),
            GLOSS,
            (Air(ISOCYANATE_AIR, 0, after=6), Air(DUST_AIR, 1, after=9)),
        ),
        (
            random.randrange(3, 6),
            GLOSS,
            (Air(ISOCYANATE_AIR, 0, after=6), Air(DUST_AIR, 1, after=9)),
        ),
    ][: random.choice((3, 4, 5, 5))]
    for place, (length, paint, airs) in enumerate(steps):
        keyed = 6 if paint is not None and place > 2 else 0
        all_slots = between(0, horizon - length - keyed)
        starts = all_slots & ~starts_meeting(closed, 0, length)
        holds = [Hold(HANDS, 1)]
        if paint is not None:
            holds.append(Hold(SPRAY, 1, after=4 if is_tight else 0))
        tasks.append(
            Task(
                number,
                first + place,
                length,
                starts,
                starts & all_slots & ~starts_meeting(closed, 0, length + keyed) if keyed else 0,
                keyed,
                holds=tuple(holds),
                airs=airs,
                paint=paint,
                ml=random.randrange(150, 500) if paint is not None else 0,
                opening_starts=starts & ~starts_meeting(closed, 4, length)
                if paint is not None
                else 0,
            )
        )
        if place:
            waits.append(_wait(first + place, horizon, place, keyed, is_tight))
    priority = random.choice((1, 1, 2, 3))
    promised = random.randrange(1, 6)
    done = [(slot + DAY - CLOSES) // DAY for slot in range(horizon + 1)]
    pieces.append(
        Piece(
            f"part {number + 1}",
            tuple(range(first, len(tasks))),
            done,
            [priority * (100 * day + 1000 * max(0, day - promised)) for day in done],
            promised,
            priority,
            STANDS,
            is_tight and number == 0,
            stand_after=60,
        )
    )


def _wait(after: int, horizon: int, place: int, keyed: int, is_tight: bool) -> Wait:
    never = horizon + 1

    def later(slots: int) -> list[int]:
        # Nights count half, as in the cold.
        found = []
        for slot in range(horizon + 1):
            at, left = slot, slots * 2
            while left > 0 and at < never:
                left -= 2 if OPENS <= at % DAY < CLOSES else 1
                at += 1
            found.append(at)
        return found

    if place == 1:
        return Wait(
            after - 1, after - 1, after, (Stage([min(never, s) for s in range(horizon + 1)]),)
        )
    if place == 2:
        until = [min(never, s + 60) for s in range(horizon + 1)]
        return Wait(after - 1, after - 1, after, (Stage(list(range(horizon + 1)), until),))
    opens = later(20 if is_tight else 60)
    if not keyed:
        return Wait(after - 1, after - 1, after, (Stage(opens),))
    closes = later(80 if is_tight else 280)
    stages = Stage(opens, closes), Stage(closes, abraded=True)
    return Wait(after - 1, after - 1, after, stages)
