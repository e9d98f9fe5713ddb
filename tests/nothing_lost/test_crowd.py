"""Four processes at one shop, a few deeds each; all eight thousand by ``tests.nothing_lost.crowd``."""

from __future__ import annotations

from pathlib import Path

from tests.databases import pytest_generate_tests
from tests.nothing_lost.crowd import crowd

__all__ = ["pytest_generate_tests"]


def test_of_four_processes_at_once_no_update_is_lost_and_no_fault_is_met(data: Path) -> None:
    told = crowd(str(data), processes=4, actions=12, seed=1)
    assert [len(one.lines) for one in told] == [12] * 4
    assert sum(one.conflicts for one in told) > 0
