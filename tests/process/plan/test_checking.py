"""The judge of a plan: a sound plan of one small bench, and for each rule a change that breaks it alone.

The bench is reckoned by hand: horizon of 60 slots, two pairs of hands, one spray space. Part 0 is
degreased (0-4), primed from a pot of its own (10-13) and coated by its window (20-23). Part 1 is
primed from the same pot (14-17).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from bench.process.plan import checking
from bench.process.plan.problem import (
    Air,
    ByTwo,
    Carrying,
    Crew,
    DayLimit,
    Hold,
    OpenPot,
    Paint,
    Person,
    Piece,
    Placed,
    Problem,
    Resource,
    Schedule,
    Stage,
    Task,
    Wait,
)

HORIZON = 60
ALL = (1 << HORIZON) - 1
SLOTS = range(HORIZON + 1)
HANDS, SPACE, STANDS = 0, 1, 2
COAT = (Hold(HANDS, 1), Hold(SPACE, 1))


def bench() -> Problem:
    """Return the bench of the page's head."""
    tasks = (
        Task(0, 0, 4, ALL, holds=(Hold(HANDS, 1),)),
        Task(0, 1, 3, ALL, holds=COAT, paint=0, ml=300, opening_starts=ALL),
        Task(0, 2, 3, ALL, abraded_starts=ALL, abrading=2, holds=COAT),
        Task(1, 0, 3, ALL, holds=COAT, paint=0, ml=300, opening_starts=ALL),
    )
    window = Stage([e + 5 for e in SLOTS], [s + 15 for s in SLOTS])
    late = Stage([e + 5 for e in SLOTS], None, abraded=True)
    waits = (Wait(0, 0, 1, (Stage([e + 2 for e in SLOTS]),)), Wait(1, 1, 2, (window, late)))
    day = [slot // 20 for slot in SLOTS]
    pieces = (
        Piece("0", (0, 1, 2), day, [100 * d for d in day], promised_day=1, stand=STANDS),
        Piece("1", (3,), day, [300 * d for d in day], promised_day=0, priority=3),
    )
    hands = [2] * HORIZON + [0]
    return Problem(
        HORIZON,
        (Resource("hands", hands), Resource("space", [1] * 61), Resource("stands", [1] * 61)),
        tasks,
        waits,
        pieces,
        (Paint("primer", 2, 3, 1000, [s + 12 for s in SLOTS], HANDS),),
    )


SOUND = Schedule((Placed(0), Placed(10, pot=1), Placed(20), Placed(14, pot=1)))


def moved(number: int, placed: Placed | None) -> Schedule:
    """Return the sound plan with one task elsewhere."""
    return Schedule((*SOUND.placed[:number], placed, *SOUND.placed[number + 1 :]))


def task(number: int, **changes: object) -> Problem:
    """Return the bench with a task changed."""
    tasks = list(bench().tasks)
    tasks[number] = replace(tasks[number], **changes)  # type: ignore[arg-type]
    return replace(bench(), tasks=tuple(tasks))


def paint(**changes: object) -> Problem:
    """Return the bench with its paint changed."""
    return replace(bench(), paints=(replace(bench().paints[0], **changes),))  # type: ignore[arg-type]


def capacity(number: int, slot: int, most: int) -> Problem:
    """Return the bench with less of a resource in one slot."""
    resources = list(bench().resources)
    table = list(resources[number].capacity)
    table[slot] = most
    resources[number] = replace(resources[number], capacity=table)
    return replace(bench(), resources=tuple(resources))


def rules(problem: Problem, schedule: Schedule = SOUND) -> set[str]:
    """Return the rules a plan breaks."""
    return {fault.rule for fault in checking.faults(problem, schedule)}


def carried(number: int, slot: int, most: int) -> Problem:
    """Return the bench where the last coat is carried out, 24 to 26; less of one thing in a slot."""
    out = Carrying([e + 1 for e in SLOTS], 2, Hold(HANDS, 2), SPACE)
    return replace(task(2, carrying=out), resources=capacity(number, slot, most).resources)


def dusty(first: int = 0, second: int = 0, before: int = 0, after: int = 0) -> Problem:
    """Return the bench with a task of each side of one air."""
    tasks = list(bench().tasks)
    tasks[first] = replace(tasks[first], airs=(Air(0, 0, before, after),))
    tasks[second] = replace(tasks[second], airs=(*tasks[second].airs, Air(0, 1)))
    return replace(bench(), tasks=tuple(tasks))


def test_a_sound_plan_breaks_no_rule() -> None:
    assert rules(bench()) == set()


def together(**changes: object) -> Problem:
    """Return the bench where two may do the first task in two slots."""
    usual = {"by_two": ByTwo(2, ALL, (Hold(HANDS, 2),))}
    return task(0, **(usual | changes))


def together_abraded() -> Problem:
    """Return the same where it may be abraded for as well."""
    return together(abraded_starts=ALL, abrading=1)


BY_TWO = moved(0, Placed(0, by_two=True))

BROKEN: dict[str, tuple[str, Callable[[], Problem], Schedule]] = {
    "half a piece": ("whole piece", bench, moved(2, None)),
    "beyond the horizon": ("places", bench, moved(2, Placed(58))),
    "where it may not begin": ("starts", lambda: task(0, starts=ALL ^ 1), SOUND),
    "abraded where it may not": (
        "starts",
        lambda: task(2, abraded_starts=1 << 30),
        moved(2, Placed(31, True)),
    ),
    "not where it is fixed": ("fixed", lambda: task(0, fixed=1), SOUND),
    "by two what is fixed": ("fixed", lambda: together(fixed=0), BY_TWO),
    "by two what one does": ("by two", bench, BY_TWO),
    "by two where they may not begin": (
        "by two",
        lambda: together(by_two=ByTwo(2, ALL ^ 1, (Hold(HANDS, 2),))),
        BY_TWO,
    ),
    "by two and abraded": ("by two", together_abraded, moved(0, Placed(0, True, by_two=True))),
    "nobody to help": (
        "too little of hands",
        lambda: replace(together(), resources=capacity(HANDS, 1, 1).resources),
        BY_TWO,
    ),
    "a day too full by two": (
        "day too full",
        lambda: replace(together(), day_limits=(DayLimit(HANDS, 0, 2, 3),)),
        BY_TWO,
    ),
    "nobody to help for all of it": (
        "nobody for all of it",
        lambda: replace(together(), crew=Crew((Person(ALL), Person(ALL ^ 2)), HANDS)),
        BY_TWO,
    ),
    "too soon": ("waits", bench, moved(0, Placed(5))),
    "the window closed": ("waits", bench, moved(2, Placed(25))),
    "abraded needs an abraded stage": (
        "waits",
        lambda: task(1, abraded_starts=ALL, abrading=1),
        moved(1, Placed(9, True, pot=1)),
    ),
    "too few hands": ("too little of hands", lambda: capacity(HANDS, 10, 0), SOUND),
    "no hands to mix": ("too little of hands", lambda: capacity(HANDS, 8, 0), SOUND),
    "no hands to flush": ("too little of hands", lambda: capacity(HANDS, 19, 0), SOUND),
    "no space": ("too little of space", lambda: capacity(SPACE, 14, 0), SOUND),
    "a hold before": (
        "too little of space",
        lambda: task(3, holds=(Hold(HANDS, 1), Hold(SPACE, 1, before=2))),
        SOUND,
    ),
    "a hold after": (
        "too little of space",
        lambda: task(1, holds=(Hold(HANDS, 1), Hold(SPACE, 1, after=2))),
        SOUND,
    ),
    "no stand": ("too little of stands", lambda: capacity(STANDS, 5, 0), SOUND),
    "a coat without a pot": ("pot", bench, moved(3, Placed(14))),
    "a pot without a coat": ("pot", bench, moved(0, Placed(0, pot=0))),
    "another paint's pot": ("paint of the pot", lambda: two_paints(), SOUND),
    "a pot nobody mixes": ("nobody mixes the pot", bench, moved(1, Placed(10, pot=3))),
    "not where it may be mixed for": (
        "opening starts",
        lambda: task(1, opening_starts=ALL ^ 1 << 10),
        SOUND,
    ),
    "mixed before there is a plan": ("mixed before slot 0", bench, moved(3, Placed(1, pot=3))),
    "more than the cup": ("ml of the pot", lambda: paint(cup_ml=599), SOUND),
    "more than a cup shared": (
        "more than a cup shares no pot",
        lambda: task(1, mixes=2),
        SOUND,
    ),
    "before the mixing": ("before the pot is mixed", bench, moved(3, Placed(7, pot=1))),
    "past the pot's life": (
        "after the pot's life",
        lambda: paint(empty_by=[s + 6 for s in SLOTS]),
        SOUND,
    ),
    "more than stands open": (
        "ml of the pot",
        lambda: stood(299, 60),
        moved(3, Placed(14, open_pot=0)),
    ),
    "past the open pot's life": (
        "after the pot's life",
        lambda: stood(300, 16),
        moved(3, Placed(14, open_pot=0)),
    ),
    "nobody to carry it out": ("too little of hands", lambda: carried(HANDS, 25, 1), SOUND),
    "no space until it may be carried": (
        "too little of space",
        lambda: carried(SPACE, 23, 0),
        SOUND,
    ),
    "no space until it is out": ("too little of space", lambda: carried(SPACE, 25, 0), SOUND),
    "dust and wet paint": ("air", lambda: dusty(1, 0, before=7), SOUND),
    "clearance": ("air", lambda: dusty(1, 3, after=2), SOUND),
    "mixing in bad air": (
        "air",
        lambda: replace(
            task(0, airs=(Air(0, 0, after=5),)),
            paints=(replace(bench().paints[0], mixing_airs=(Air(0, 1),)),),
        ),
        SOUND,
    ),
    "flush beside people": (
        "air",
        lambda: replace(
            task(2, airs=(Air(0, 0),)),
            paints=(replace(bench().paints[0], flush_airs=(Air(0, 1, after=1),)),),
        ),
        moved(2, Placed(20)),
    ),
    "a day too full": (
        "day too full",
        lambda: replace(bench(), day_limits=(DayLimit(HANDS, 0, 20, 14),)),
        SOUND,
    ),
}


def two_paints() -> Problem:
    """Return the bench with another paint for part 1."""
    return replace(task(3, paint=1), paints=(bench().paints[0], bench().paints[0]))


def stood(left_ml: int, empty_by: int) -> Problem:
    """Return the bench with a pot that stands open."""
    return replace(bench(), open_pots=(OpenPot(0, left_ml, empty_by),))


@pytest.mark.parametrize("name", BROKEN)
def test_each_rule_is_seen_broken_by_itself(name: str) -> None:
    rule, problem, schedule = BROKEN[name]
    assert rules(problem(), schedule) == {rule}


def test_of_half_a_piece_it_is_said_what_is_missing() -> None:
    [fault] = checking.faults(bench(), moved(2, None))
    assert fault.tasks == (2,)


def test_what_just_fits_breaks_nothing() -> None:
    edges = (
        replace(bench(), day_limits=(DayLimit(HANDS, 0, 20, 15),)),
        paint(cup_ml=600),
        paint(empty_by=[s + 7 for s in SLOTS]),
        dusty(1, 0, before=6),
        dusty(1, 3, after=1),
        capacity(HANDS, 4, 0),
        capacity(STANDS, 23, 0),
        task(0, fixed=0, starts=0),
        *(carried(number, slot, 0) for number in (HANDS, SPACE) for slot in (26,)),
        carried(HANDS, 23, 0),
    )
    assert rules(together(), BY_TWO) == set()
    assert rules(replace(together(), resources=capacity(HANDS, 2, 0).resources), BY_TWO) == set()
    assert rules(replace(together(), day_limits=(DayLimit(HANDS, 0, 2, 4),)), BY_TWO) == set()
    over_a_break = together(longer=7, longer_starts=1)
    assert rules(over_a_break, BY_TWO) == set()
    assert [rules(problem) for problem in edges] == [set()] * len(edges)
    assert rules(bench(), moved(2, Placed(24))) == set()
    assert rules(bench(), moved(2, Placed(30, True))) == set()
    assert rules(stood(300, 17), moved(3, Placed(14, open_pot=0))) == set()


def test_a_break_lasts_into_what_follows() -> None:
    longer = task(0, longer=5, longer_starts=1)
    assert rules(longer) == {"waits"}
    assert rules(longer, moved(0, Placed(1))) == set()


def test_a_piece_left_out_stays_on_its_stand() -> None:
    left = Schedule((None, None, None, Placed(14, pot=3)))
    there = replace(
        bench(), pieces=(replace(bench().pieces[0], is_on_stand=True), bench().pieces[1])
    )
    assert rules(there, left) == set()
    full = replace(capacity(STANDS, 59, 0), pieces=there.pieces)
    assert rules(full, left) == {"too little of stands"}


def test_a_plan_is_counted_by_hand() -> None:
    count = checking.cost(bench(), SOUND)
    assert (count.missed, count.late_days, count.days, count.mixes) == (0, 0, 1, 1)
    assert (count.price, count.least_slack, count.left_out, count.begins) == (125, 4, 0, 44)
    agreed = task(2, was=21, move_price=25)
    abraded = checking.cost(agreed, moved(2, Placed(40, True)))
    assert (abraded.missed, abraded.late_days, abraded.days) == (1, 1, 2)
    assert (abraded.moved, abraded.price, abraded.least_slack) == (1, 5000 + 200 + 25 + 25, None)
    assert checking.cost(agreed, moved(2, Placed(21))).moved == 0
    none = checking.cost(bench(), Schedule((None, None, None, None)))
    assert (none.left_out, none.price) == (2, 2 * checking.LEFT_OUT_PRICE)
    mixed_twice = checking.cost(task(1, mixes=2), SOUND)
    assert mixed_twice.mixes == 2


def test_of_two_plans_of_one_price_the_one_with_more_slack_is_better_then_the_earlier() -> None:
    early, late = (checking.cost(bench(), moved(2, Placed(slot))) for slot in (20, 24))
    assert early.rank < late.rank
    assert checking.slacks(bench(), SOUND) == (None, None, 4, None)
