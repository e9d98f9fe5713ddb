"""The demo shop as it is on a Wednesday, for tests that look at it or work on a copy."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.seeds import seed_files
from bench.shop.seeds.demo import open_demo
from bench.store.databases.database import open_store
from bench.testing import ManualClock

from .driving import WEDNESDAY


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop that Wednesday, opened once."""
    file = tmp_path_factory.mktemp("demo") / "demo.db"
    shop = Shop(open_store(str(file)), ManualClock(WEDNESDAY), "demo")
    answer = open_demo(shop, seed_files.folder())
    assert not isinstance(answer, Refusal), answer
    shop.store.close()
    return file
