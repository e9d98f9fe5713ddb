"""What two shops know: one opened just now, and the demo with its readings."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.screens.sums.known_values import ShopFacts
from bench.shop.core.transaction import Shop
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.conftest import MONDAY, WEDNESDAY

from .pressing import facts_of


@pytest.fixture(scope="session")
def fresh_facts(tmp_path_factory: pytest.TempPathFactory, seeds: Seeds) -> ShopFacts:
    """A shop that was opened just now: no reading, no pot, no part."""
    file = tmp_path_factory.mktemp("sums") / "fresh.db"
    shop = Shop(open_store(str(file)), ManualClock(MONDAY), "test")
    answer = open_shop(shop, seeds, ("Kit", "Mo"), 6, {"zone": "Europe/London"})
    assert not isinstance(answer, Refusal), answer
    known = facts_of(shop)
    shop.store.close()
    return known


@pytest.fixture(scope="session")
def demo_facts(demo_file: Path) -> ShopFacts:
    """The demo shop: readings, open pots, parts in every state."""
    shop = Shop(open_store(str(demo_file)), ManualClock(WEDNESDAY), "demo")
    known = facts_of(shop)
    shop.store.close()
    return known
