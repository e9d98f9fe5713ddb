"""When one more piece could be ready: in what is left, or with others moved a little."""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random

from bench.process.plan import embedded
from bench.process.plan.checking import LEFT_OUT_PRICE
from bench.process.plan.column import Wish
from bench.process.plan.placing import Placer
from bench.process.plan.problem import Piece, Problem, Schedule, Task, span

# What moving a step counts that has no price of its own; a day counts so much that steps are moved
# for it, and a broken promise or a missed window so much that none is broken.
MOVE_PRICE = 25
DAY_PRICE = 1000
BROKEN_PRICE = LEFT_OUT_PRICE // 10
# Rounds, all pieces of a bench together: so that a full one is answered within a second too.
ALL_ROUNDS, FEWEST_ROUNDS, MOST_ROUNDS = 180, 5, 40


@dataclass(frozen=True)
class Earliest:
    """A plan with one more piece in it.

    end: when its last task ends; day: by whose end it is ready. moved: the tasks that begin
    elsewhere than before.
    """

    schedule: Schedule
    end: int
    day: int
    moved: tuple[int, ...]


def earliest(
    problem: Problem,
    schedule: Schedule,
    piece: int,
    with_moves: bool = False,
    random: Random | None = None,
) -> Earliest | None:
    """Return the earliest that a piece can be ready beside what is planned; None if it cannot.

    schedule: the plan without it. with_moves: others may be moved, each step at its move price
    (25 where it has none), but no promise is broken and no window missed for it; ``random`` is then
    needed.
    """
    placer = Placer(problem)
    room = placer.restored(schedule)
    kept = [n for n, price in enumerate(room.prices) if price is not None]
    is_placed = placer.place(room, piece, Wish())
    found = _answer(problem, schedule, room.schedule(), piece) if is_placed else None
    if not with_moves:
        return found
    assert random is not None
    priced = _priced(problem, schedule, piece, kept)
    rounds = min(MOST_ROUNDS, max(FEWEST_ROUNDS, ALL_ROUNDS // len(problem.pieces)))
    moved = embedded.plan(priced, random, rounds, hint=room.schedule(), margins=())
    if any(moved.placed[problem.pieces[n].tasks[0]] is None for n in (*kept, piece)):
        return found
    answer = _answer(problem, schedule, moved, piece)
    is_kept = all(_is_kept(problem, schedule, moved, n) for n in kept)
    return answer if is_kept and (found is None or answer.day < found.day) else found


def _answer(problem: Problem, before: Schedule, after: Schedule, piece: int) -> Earliest:
    end = _end(problem, after, piece)
    pairs = zip(before.placed, after.placed, strict=True)
    moved = [n for n, (a, b) in enumerate(pairs) if a and b and a.start != b.start]
    return Earliest(after, end, problem.pieces[piece].done_day[end], tuple(moved))


def _end(problem: Problem, schedule: Schedule, piece: int) -> int:
    number = problem.pieces[piece].tasks[-1]
    placed = schedule.placed[number]
    assert placed is not None
    return span(problem.tasks[number], placed)[1]


def _latest_day(problem: Problem, schedule: Schedule, piece: int) -> int | None:
    """Return the last day by which a piece breaks no promise it does not break already."""
    facts = problem.pieces[piece]
    if facts.promised_day is None:
        return None
    return max(facts.promised_day, facts.done_day[_end(problem, schedule, piece)])


def _is_kept(problem: Problem, before: Schedule, after: Schedule, piece: int) -> bool:
    facts, latest = problem.pieces[piece], _latest_day(problem, before, piece)
    if latest is not None and facts.done_day[_end(problem, after, piece)] > latest:
        return False
    pairs = [(before.placed[n], after.placed[n]) for n in facts.tasks]
    return not any(b and b.is_abraded and not (a and a.is_abraded) for a, b in pairs)


def _priced(problem: Problem, schedule: Schedule, piece: int, kept: list[int]) -> Problem:
    """Return the question in which the piece's days, moves and broken promises are what counts."""
    pieces: list[Piece] = list(problem.pieces)
    for number in kept:
        facts, latest = pieces[number], _latest_day(problem, schedule, number)
        if latest is not None:
            days = zip(facts.price, facts.done_day, strict=True)
            price = [each + BROKEN_PRICE * max(0, day - latest) for each, day in days]
            pieces[number] = replace(facts, price=price)
    pieces[piece] = replace(
        pieces[piece], price=[DAY_PRICE * day for day in pieces[piece].done_day]
    )
    tasks: list[Task] = []
    for task, placed in zip(problem.tasks, schedule.placed, strict=True):
        if placed is not None:
            task = replace(task, was=placed.start, move_price=task.move_price or MOVE_PRICE)
        tasks.append(task)
    weights = replace(problem.weights, missed=BROKEN_PRICE)
    return replace(problem, pieces=tuple(pieces), tasks=tuple(tasks), weights=weights)
