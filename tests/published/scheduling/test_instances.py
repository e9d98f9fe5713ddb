"""The referee against published instances: the best value known, or that there is no plan at all.

Sources are named in ``instances.py``, beside each reader.
"""

from __future__ import annotations

import pytest

from bench.process.plan.checking import cost, faults
from bench.process.plan.problem import Problem
from bench.process.plan.referee import Limits, prove
from tests.published.scheduling.instances import bridge, job_shop, project, projects

PROJECTS = [
    (folder, name) for folder in ("rcpsp_max_j10", "rcpsp_max_ubo10") for name in projects(folder)
]


def proven(problem: Problem) -> int | None:
    """Return the price of the best plan, None where it is proven that there is none."""
    proof = prove(problem, None, Limits(columns=0, whole=2.0))
    assert proof.is_proven
    if proof.schedule is None:
        return None
    assert not faults(problem, proof.schedule)
    price = cost(problem, proof.schedule).price
    assert proof.bound == price
    return price


@pytest.mark.parametrize(("folder", "name"), PROJECTS)
def test_a_project_with_longest_and_shortest_lags_comes_to_the_published_length(
    folder: str, name: str
) -> None:
    problem, best = project(folder, name)
    assert proven(problem) == best


def test_the_bridge_of_bartusch_takes_104_days() -> None:
    problem, best = bridge()
    assert best == 104
    assert proven(problem) == best


@pytest.mark.parametrize(
    "name",
    [
        "ft06",
        "la01",
        "la05",
        *(pytest.param(name, marks=pytest.mark.long) for name in ("la02", "la03", "la04")),
    ],
)
def test_a_job_shop_comes_to_the_published_length(name: str) -> None:
    problem, best = job_shop(name)
    assert proven(problem) == best
