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


@pytest.mark.long
@pytest.mark.parametrize("seed", range(BENCHES.stop, 600))
def test_every_planned_begin_is_allowed_on_many_more_benches(seed: int) -> None:
    asked(seed)
