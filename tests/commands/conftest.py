"""The program, ready to run: on the tests' shop, or where no shop has been opened yet."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.shop.core.transaction import Shop
from bench.testing import ManualClock

from .running import Paintbench, Ran, run_main


@pytest.fixture
def anywhere(clock: ManualClock, tmp_path: Path) -> Paintbench:
    """The program where no shop has been opened yet."""

    def run(*words: str, **environment: str) -> Ran:
        return run_main(clock, *words, **{"XDG_DATA_HOME": str(tmp_path / "xdg"), **environment})

    return run


@pytest.fixture
def paintbench(shop: Shop, data: Path) -> Paintbench:
    """The program on the tests' shop."""

    def run(*words: str, **environment: str) -> Ran:
        return run_main(shop.clock, "--db", str(data), *words, **environment)

    return run
