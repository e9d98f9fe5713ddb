"""Every begin of a plan, asked of the bench's own rules with the clock moved to its hour.

Source: the rules of the bench themselves (``begin_rules``, ``stand_state``), which are held to
published tables and data sheets in their own tests. The plan is made by a plain placer.
"""

from __future__ import annotations

from random import Random

import pytest

from bench.process.plan.building import build

from .asking import contradictions, random_inputs
from .placing import Placer


def asked(seed: int) -> int:
    """Plan a random bench and ask each begin; give how many steps were planned."""
    inputs = random_inputs(Random(seed))
    built = build(inputs)
    schedule = Placer(built.problem).plan()
    assert not [*contradictions(inputs, built, schedule)], f"bench {seed}"
    return len(built.steps(schedule))


def test_every_planned_begin_is_allowed_by_the_bench_at_its_hour() -> None:
    assert sum(asked(seed) for seed in range(12)) > 40


@pytest.mark.long
@pytest.mark.parametrize("seed", range(12, 600))
def test_every_planned_begin_is_allowed_on_many_more_benches(seed: int) -> None:
    asked(seed)
