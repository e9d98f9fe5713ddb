"""Who does what: people for all that takes hands, each free for the whole of it.

Where people differ, by what they are trained for or when they are away, there can be enough of them
in every slot and still nobody for a job from its begin to its end.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import NamedTuple, TypeAlias

from bench.process.plan.problem import Crew
from bench.process.plan.slot_sets import between

Names: TypeAlias = tuple[int, ...]
"""People by their places in a crew."""

Given: TypeAlias = "tuple[Given | None, Names]"
"""The people of a job, behind those of the jobs before it."""


class Job(NamedTuple):
    """Something that takes hands from one slot to another: how many, and whether only trained."""

    since: int
    until: int
    hands: int
    trained: bool = False


@dataclass
class Rota:
    """Gives jobs to a crew, the same jobs once."""

    crew: Crew
    known: dict[tuple[Job, ...], tuple[Names, ...] | Job] = field(default_factory=dict)

    def stretches(self, jobs: Sequence[Job]) -> Iterator[tuple[Job, ...]]:
        """Yield the jobs that overlap, or could be chained by others to do so, in their order."""
        some: list[Job] = []
        end = 0
        for job in sorted(job for job in jobs if job.since < job.until):
            if some and job.since >= end:
                yield tuple(some)
                some = []
            some.append(job)
            end = max(end, job.until)
        if some:
            yield tuple(some)

    def names(self, jobs: tuple[Job, ...]) -> tuple[Names, ...] | Job:
        """Return the people of each of some jobs, which are in order, or the one nobody can do."""
        if jobs not in self.known:
            self.known[jobs] = self._names(jobs)
        return self.known[jobs]

    def _names(self, jobs: tuple[Job, ...]) -> tuple[Names, ...] | Job:
        ways: Mapping[tuple[int, ...], Given | None] = {(0,) * len(self.crew.people): None}
        for job in jobs:
            slots = between(max(0, job.since), job.until)
            there = [
                n
                for n, person in enumerate(self.crew.people)
                if (person.trained or not job.trained) and not slots & ~person.here
            ]
            # Untrained ones first: of ways that come to the same the first is kept.
            there.sort(key=lambda n: self.crew.people[n].trained)
            following: dict[tuple[int, ...], Given | None] = {}
            for busy, given in ways.items():
                free = [n for n in there if busy[n] <= job.since]
                for chosen in combinations(free, job.hands):
                    way = tuple(
                        job.until if n in chosen else max(until, job.since)
                        for n, until in enumerate(busy)
                    )
                    following.setdefault(way, (given, chosen))
            if not following:
                return job
            ways = following
        given = next(iter(ways.values()))
        found = []
        while given is not None:
            given, chosen = given
            found.append(chosen)
        return tuple(found[::-1])
