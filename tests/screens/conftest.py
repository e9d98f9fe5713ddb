"""The demo shop as it is on a Wednesday, for tests that look at it or work on a copy."""

from __future__ import annotations

import os
import shutil
from fcntl import LOCK_EX, flock
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
    """The demo shop that Wednesday: opened by one of the processes, and copied by the others."""
    here = tmp_path_factory.getbasetemp()
    of_all = here.parent if "PYTEST_XDIST_WORKER" in os.environ else here
    made = of_all / "demo-of-all.db"
    with (of_all / "demo.lock").open("w") as lock:
        flock(lock, LOCK_EX)
        if not made.exists():
            opened = made.with_suffix(".new")
            shop = Shop(open_store(str(opened)), ManualClock(WEDNESDAY), "demo")
            answer = open_demo(shop, seed_files.folder())
            assert not isinstance(answer, Refusal), answer
            shop.store.close()
            opened.rename(made)
    return Path(shutil.copy(made, tmp_path_factory.mktemp("demo") / "demo.db"))
