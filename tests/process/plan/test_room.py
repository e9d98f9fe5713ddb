"""What a day still holds, counted by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import pytest

from bench.process.plan.problem import DayLimit
from bench.process.plan.room import Room
from bench.process.plan.slot_sets import between


@pytest.mark.parametrize(("need", "is_full"), [(4, False), (5, True)])
def test_a_day_is_full_for_work_longer_than_what_is_left_of_it(need: int, is_full: bool) -> None:
    """Six of ten slots of the second day are filled."""
    limits = SimpleNamespace(by_resource=[[1]])
    problem = SimpleNamespace(day_limits=(DayLimit(0, 0, 12, 0), DayLimit(0, 12, 24, 10)))
    room = cast(Room, SimpleNamespace(_known={}, limits=limits, problem=problem, filled=[0, 6]))
    assert Room.full_days(room, 0, need) == (between(12, 24) if is_full else 0)
