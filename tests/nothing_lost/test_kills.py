"""kill -9 in the middle of busy work, a few times; all five hundred by ``tests.nothing_lost.kills``."""

from __future__ import annotations

from pathlib import Path

from .kills import kill


def test_after_kill_9_every_acknowledged_action_is_there_and_none_is_half_there(
    tmp_path: Path,
) -> None:
    figures = kill(10, seed=1, folder=tmp_path, most=12)
    assert figures.kills == 10
    assert figures.acknowledged > 20
