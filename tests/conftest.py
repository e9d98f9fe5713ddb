"""What every test may lean on: a clock that stands still, a fresh shop, and nothing from outside."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import settings

from bench.clock import ManualClock, SystemClock
from bench.process.refusal import Refusal
from bench.shop.acting import Shop
from bench.shop.opening import open_shop
from bench.shop.seeds import Seeds, folder, load
from bench.store.database import open_store
from tests.databases import Schemas, postgresql, schemas

__all__ = ["postgresql", "schemas"]

settings.register_profile("same every time", derandomize=True, deadline=None)
settings.load_profile("same every time")

LONDON = ZoneInfo("Europe/London")
MONDAY = datetime(2025, 6, 9, 7, 30, tzinfo=LONDON)
"""A Monday morning as the shop opens, in summer time: an hour ahead of UTC."""


@pytest.fixture(autouse=True)
def nothing_from_outside(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[None]:
    """No data, no settings and no zone of whoever runs the tests. The computer is not in London."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "xdg"))
    for name in (
        "PAINTBENCH_DB",
        "PAINTBENCH_TERMINAL",
        "PAINTBENCH_NAME",
        "PAINTBENCH_KIOSK",
        "PAINTBENCH_PIN",
        "LANGUAGE",
        "LC_TIME",
        "NO_COLOR",
    ):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    monkeypatch.setenv("LANG", "C.UTF-8")
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture(scope="session")
def seeds() -> Seeds:
    """The shipped products, routes, shapes and tools."""
    return load(folder())


@pytest.fixture
def clock() -> ManualClock:
    """Monday 07:30 in the shop, until a test moves it."""
    return ManualClock(MONDAY)


@pytest.fixture
def data(request: pytest.FixtureRequest, tmp_path: Path) -> Path | str:
    """Where the shop of ``shop`` is: a file, or where ``tests.databases`` says so an address."""
    if getattr(request, "param", "sqlite") == "sqlite":
        return tmp_path / "shop.db"
    server: Schemas = request.getfixturevalue("postgresql")
    return server.take()


@pytest.fixture
def shop(data: Path, clock: ManualClock, seeds: Seeds) -> Iterator[Shop]:
    """A shop opened just now: painters Kit and Mo, six empty stands, in London."""
    opened = Shop(open_store(str(data)), clock, "test")
    answer = open_shop(opened, seeds, ("Kit", "Mo"), 6, {"zone": "Europe/London"})
    assert not isinstance(answer, Refusal), answer
    yield opened
    opened.store.close()


@pytest.fixture
def today(tmp_path: Path, seeds: Seeds) -> Path:
    """Where a shop is that was opened just now by the computer's own clock, for the real program."""
    file = tmp_path / "today.db"
    opened = Shop(open_store(str(file)), SystemClock(), "test")
    answer = open_shop(opened, seeds, ("Kit", "Mo"), 6)
    assert not isinstance(answer, Refusal), answer
    opened.store.close()
    return file


@pytest.fixture
def eight_stands(tmp_path: Path, clock: ManualClock, seeds: Seeds) -> Iterator[Shop]:
    """A shop with more stands than one page shows."""
    opened = Shop(open_store(str(tmp_path / "eight.db")), clock, "test")
    answer = open_shop(opened, seeds, ("Kit", "Mo"), 8, {"zone": "Europe/London"})
    assert not isinstance(answer, Refusal), answer
    yield opened
    opened.store.close()
