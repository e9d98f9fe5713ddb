"""Jobs given to people: enough of them in every slot is not enough for a job from end to end.

The judge and the rota that planners ask look at it apart from each other; they are held together.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from bench.process.plan import checking
from bench.process.plan.by_whom import Job, Rota
from bench.process.plan.problem import (
    Carrying,
    Crew,
    Hold,
    Paint,
    Person,
    Piece,
    Placed,
    Problem,
    Resource,
    Schedule,
    Task,
)
from bench.process.plan.slot_sets import between

SLOTS = range(25)
ALL = between(0, 24)
HANDS, TRAINED, PLACE = 0, 1, 2
EARLY, LATE = Person(between(0, 4)), Person(between(4, 24))
NOBODY = {"nobody for all of it"}


def rules(*jobs: tuple[int, Task], people: tuple[Person, ...], pot: int | None = None) -> set[str]:
    """Return the rules that jobs break, each by its start; hands are counted generously."""
    tasks = tuple(replace(task, piece=n) for n, (_, task) in enumerate(jobs))
    pieces = tuple(Piece(str(n), (n,), SLOTS, SLOTS) for n in range(len(tasks)))
    things = tuple(Resource(key, [9] * 25) for key in ("hands", "trained hands", "place"))
    paint = Paint("paint", 2, 2, 100, [24] * 25, HANDS)
    crew = Crew(people, HANDS, TRAINED, frozenset(n for n, t in enumerate(tasks) if t.fixed == 0))
    problem = Problem(24, things, tasks, (), pieces, (paint,), crew=crew)
    placed = tuple(Placed(start, pot=pot) for start, _ in jobs)
    return {fault.rule for fault in checking.faults(problem, Schedule(placed))}


def work(length: int, hands: int = 1, *, masked: bool = False, **more: object) -> Task:
    """Return work of so many slots."""
    holds = (Hold(HANDS, hands), *([Hold(TRAINED, hands)] if masked else []))
    return Task(0, 0, length, ALL, holds=holds, **more)  # type: ignore[arg-type]


COAT = work(1, paint=0, ml=1, opening_starts=ALL)
CARRIED = replace(work(1), carrying=Carrying([s + 1 for s in SLOTS], 2, Hold(HANDS, 1), PLACE))
TRAINED_ONE, OTHER = Person(ALL), Person(ALL, trained=False)


def test_who_does_it_is_there_for_all_of_it() -> None:
    there = EARLY, LATE
    assert rules((0, work(4)), (4, work(4)), people=there) == set()
    assert rules((2, work(4)), people=there) == NOBODY
    assert rules((2, work(4)), people=(*there, Person(ALL))) == set()
    assert rules((0, work(4, 2)), people=(*there, Person(ALL))) == set()
    assert rules((2, work(4, 2)), people=(*there, Person(ALL))) == NOBODY


def test_mixing_cleaning_and_carrying_are_done_by_one_as_well() -> None:
    there = EARLY, LATE
    # The mixing before and the cleaning after take two slots each.
    found = {start: rules((start, COAT), people=there, pot=0) for start in range(2, 7)}
    assert {start for start, broken in found.items() if broken} == {2, 5}
    assert found[2] == found[5] == NOBODY
    outs = {start: rules((start, CARRIED), people=there) for start in range(4)}
    assert outs == {0: set(), 1: NOBODY, 2: set(), 3: set()}


def test_the_trained_one_is_free_for_what_only_they_may_do() -> None:
    first, second = (0, work(2, masked=True)), (4, work(2, masked=True))
    people = TRAINED_ONE, OTHER
    assert rules(first, second, (0, work(4)), (4, work(4)), people=people) == set()
    assert rules(first, second, (0, work(4)), (2, work(4)), people=people) == NOBODY
    assert rules(first, (0, work(4, masked=True)), people=people) == NOBODY


def test_what_goes_on_now_is_given_to_nobody_again() -> None:
    assert rules((0, work(9, fixed=0)), people=(EARLY, LATE)) == set()


@pytest.mark.parametrize("seed", range(40))
def test_the_rota_gives_out_what_the_judge_lets_be_given_out(seed: int) -> None:
    random = Random(seed)
    people = tuple(
        Person(ALL & ~between(a := random.randrange(24), a + random.choice((0, 5))), n > 0)
        for n in range(random.choice((2, 3)))
    )
    jobs = []
    for _ in range(random.randrange(4, 9)):
        start, length = random.randrange(20), random.randrange(1, 5)
        jobs.append(Job(start, start + length, random.choice((1, 1, 1, 2)), random.random() < 0.3))
    rota, given = Rota(Crew(people, HANDS, TRAINED)), []
    for some in rota.stretches(jobs):
        names = rota.names(some)
        given += [] if isinstance(names, Job) else [*zip(some, names, strict=True)]
    works = (
        (job.since, work(job.until - job.since, job.hands, masked=job.trained)) for job in jobs
    )
    assert (rules(*works, people=people) == set()) == (len(given) == len(jobs))
    for place, (job, names) in enumerate(given):
        assert len(set(names)) == job.hands
        assert all(people[n].trained or not job.trained for n in names)
        assert all(not between(job.since, job.until) & ~people[n].here for n in names)
        beside = {n for other, those in given[:place] if other.until > job.since for n in those}
        assert not beside & {*names}
