"""What the embedded planner lists before its first round: a piece that found no place comes first."""

from __future__ import annotations

from random import Random

from bench.process.plan import embedded
from bench.process.plan.checking import cost, faults
from bench.process.plan.problem import Hold, Piece, Problem, Resource, Task
from bench.process.plan.slot_sets import between

HORIZON = 24


def test_a_piece_with_one_place_is_put_before_one_that_every_order_takes_first() -> None:
    """One pair of hands: the small one can only begin in slot 0, the great one anywhere.

    The great one is due sooner, waits dearer, counts more and has more steps.
    """
    alone = Task(0, 1, 2, between(0, 1), holds=(Hold(0, 1),))
    first, second = (Task(1, n, 2, between(0, 20), holds=(Hold(0, 1),)) for n in (1, 2))
    slots = range(HORIZON + 1)
    small = Piece("1", (0,), slots, slots, promised_day=20)
    great = Piece("2", (1, 2), slots, [9 * slot for slot in slots], promised_day=6)
    hands = Resource("hands", [1] * (HORIZON + 1))
    problem = Problem(HORIZON, (hands,), (alone, first, second), (), (small, great))
    schedule = embedded.plan(problem, Random(1), 0)
    assert faults(problem, schedule) == ()
    assert cost(problem, schedule).left_out == 0
