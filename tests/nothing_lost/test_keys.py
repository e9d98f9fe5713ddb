"""Some hundred keys of all kinds; a hundred thousand by ``python -m tests.nothing_lost.keys``."""

from __future__ import annotations

from pathlib import Path

from .keys import press


def test_whatever_is_pressed_the_bench_goes_on(tmp_path: Path) -> None:
    figures = press(400, seed=7, folder=tmp_path)
    assert figures.keys == 400
