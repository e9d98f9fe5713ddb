"""Random benches, each built and planned once for all the tests that look at its plan."""

from __future__ import annotations

from functools import cache
from random import Random

from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.figures import PlanInputs
from bench.process.plan.problem import Schedule

from .asking import random_inputs
from .placing import Placer

BENCHES = range(12)


@cache
def planned(seed: int) -> tuple[PlanInputs, BuiltPlan, Schedule]:
    """Give a random bench, its question, and a plan made by a plain placer."""
    inputs = random_inputs(Random(seed))
    built = build(inputs)
    return inputs, built, Placer(built.problem).plan()
