"""Where a step can begin that waits for another piece, counted by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import pytest

from bench.process.plan.chain import Step
from bench.process.plan.other_pieces import after_others
from bench.process.plan.problem import Placed, Stage, Wait
from bench.process.plan.room import Room
from bench.process.plan.slot_sets import between

from .test_known_best import SLOTS, TABLE, work


@pytest.mark.parametrize(
    ("placed", "closes_in", "allowed"),
    [
        (Placed(4), None, between(9, SLOTS)),
        (Placed(4), 8, between(9, 12)),
        (None, None, 0),
    ],
)
def test_it_begins_in_the_window_of_what_it_waits_for(
    placed: Placed | None, closes_in: int | None, allowed: int
) -> None:
    """Two slots of work from slot 4 end in 6; it opens 3 later, and closes 8 after they began."""
    opens = [slot + 3 for slot in TABLE]
    closes = None if closes_in is None else [slot + closes_in for slot in TABLE]
    wait = Wait(0, 0, 1, (Stage(opens, closes),))
    problem = SimpleNamespace(horizon=SLOTS, tasks=(work(2), work(1)))
    room = cast(Room, SimpleNamespace(problem=problem, placed=[placed, None]))
    step = cast(Step, SimpleNamespace(task=work(1), outside=(wait,)))
    assert after_others(room, step, 0) == allowed
