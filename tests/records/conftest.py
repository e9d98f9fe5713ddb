"""Sheets to write down: one with every kind of event, and the same with whatever a person types."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.records.job_record import Sheet
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.shop.doing import done

from .making import eventful, told

KEPT = {"kind", "status", "source", "key", "product", "when", "how", "basis", "state", "side"} | {
    "weight",
    *("bands", "ratio", "thinner", "limits", "densities", "opened_life_s", "tools"),
}
"""What is no free text, but one of a few words, or a name that others refer to."""


@pytest.fixture(scope="session")
def sheet(tmp_path_factory: pytest.TempPathFactory, seeds: Seeds) -> Sheet:
    """Everything has happened to it. Made once: nothing here writes."""
    clock = ManualClock(MONDAY)
    shop = Shop(open_store(str(tmp_path_factory.mktemp("sheet") / "shop.db")), clock, "test")
    done(open_shop(shop, seeds, ("Kit", "Mo"), 6, {"zone": "Europe/London"}))
    eventful(shop, clock)
    found = told(shop)
    shop.store.close()
    return found


@pytest.fixture
def worked_on(shop: Shop, clock: ManualClock) -> Shop:
    """A shop in which all of that has happened, to go on in."""
    eventful(shop, clock)
    return shop


def typed(thing: Any, text: str) -> Any:
    """The same with every free text replaced by one that somebody typed."""
    if isinstance(thing, tuple):
        return tuple(text if isinstance(one, str) else typed(one, text) for one in thing)
    if isinstance(thing, dict):
        return {key: typed(value, text) for key, value in thing.items()}
    if not is_dataclass(thing) or isinstance(thing, type):
        return thing
    changed = {
        field.name: text if isinstance(value, str) else typed(value, text)
        for field in fields(thing)
        if field.name not in KEPT
        for value in [getattr(thing, field.name)]
    }
    return replace(thing, **changed)
