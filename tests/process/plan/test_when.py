"""When one more part could be ready: beside a plan that stays, and with moves that break no promise.

Reckoned by hand: one pair of hands, days of ten slots, two parts of one step each.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from bench.process.plan import checking
from bench.process.plan.problem import Hold, Piece, Placed, Problem, Resource, Schedule, Task
from bench.process.plan.when import earliest

SLOTS = range(51)
DAY = [max(0, slot - 1) // 10 for slot in SLOTS]
PLANNED = Schedule((Placed(0), None))


def shop(promised: int | None, only: int = (1 << 50) - 1) -> Problem:
    """Return a part planned for the whole first day, and one more that is asked for."""
    tasks = (
        Task(0, 0, 10, (1 << 50) - 1, holds=(Hold(0, 1),)),
        Task(1, 0, 6, only, holds=(Hold(0, 1),)),
    )
    price = [100 * day for day in DAY]
    pieces = (Piece("0", (0,), DAY, price, promised), Piece("1", (1,), DAY, price))
    return Problem(50, (Resource("hands", [1] * 51),), tasks, (), pieces)


@pytest.mark.parametrize(
    ("promised", "with_moves", "day", "moved"),
    [(1, False, 1, ()), (1, True, 0, (0,)), (None, True, 0, (0,)), (0, True, 1, ())],
)
def test_one_more_part_moves_others_only_where_no_promise_is_broken(
    promised: int | None, with_moves: bool, day: int, moved: tuple[int, ...]
) -> None:
    problem = shop(promised)
    found = earliest(problem, PLANNED, 1, with_moves, Random(1))
    assert found is not None
    assert (found.day, found.moved) == (day, moved)
    assert checking.faults(problem, found.schedule) == ()
    assert DAY[found.end] == day


def test_what_fits_nowhere_has_no_day() -> None:
    assert earliest(shop(1, only=0), PLANNED, 1) is None
    assert earliest(shop(0, only=0b111), PLANNED, 1, True, Random(1)) is None


def test_a_move_that_gains_no_day_is_not_made() -> None:
    problem = replace(
        shop(None), pieces=(shop(None).pieces[0], Piece("1", (1,), [0] * 51, [0] * 51))
    )
    found = earliest(problem, PLANNED, 1, True, Random(1))
    assert found is not None
    assert found.moved == ()
