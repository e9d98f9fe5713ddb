"""Every begin of a plan, asked of the bench's own rules with the clock moved to its hour.

Source: the rules of the bench themselves (``begin_rules``, ``stand_state``), which are held to
published tables and data sheets in their own tests. The plan is made by a plain placer.
"""

from __future__ import annotations

import pytest

from .asking import contradictions
from .random_plans import BENCHES, planned


def asked(seed: int) -> int:
    """Plan a random bench and ask each begin; give how many steps were planned."""
    inputs, built, schedule = planned(seed)
    assert not [*contradictions(inputs, built, schedule)], f"bench {seed}"
    return len(built.steps(schedule))


def test_every_planned_begin_is_allowed_by_the_bench_at_its_hour() -> None:
    assert sum(asked(seed) for seed in BENCHES) > 40


def test_among_them_are_coats_mixed_for_after_their_abrading_and_parts_that_are_moved() -> None:
    mixed = moved = 0
    for _, built, schedule in map(planned, BENCHES):
        mixed += sum(s.abrading_from is not None and s.pot == s.task for s in built.steps(schedule))
        placed = zip(built.problem.tasks, schedule.placed, strict=True)
        moved += sum(task.carrying is not None and at is not None for task, at in placed)
    assert min(mixed, moved) > 5, (mixed, moved)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(BENCHES.stop, 600))
def test_every_planned_begin_is_allowed_on_many_more_benches(seed: int) -> None:
    asked(seed)
