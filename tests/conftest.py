"""What every test may lean on: a clock that stands still, a fresh shop, and nothing from outside."""

from __future__ import annotations

import gc
import os
import shutil
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from fcntl import LOCK_EX, flock
from functools import cache
from itertools import count
from pathlib import Path
from shutil import copy
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, settings
from xdist.scheduler import LoadScopeScheduling

from bench.clock import SystemClock
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.seeds import seed_files
from bench.shop.seeds.demo import open_demo
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds, folder, load
from bench.store.databases import database
from bench.store.databases.database import Store, open_store
from bench.testing import ManualClock
from tests import simulation
from tests.databases import Schemas, postgresql, schemas
from tests.engines import share_all

__all__ = ["postgresql", "schemas"]

for size, examples in {"sample": 30, "long": 300}.items():
    settings.register_profile(
        size,
        derandomize=True,
        deadline=None,
        max_examples=examples,
        suppress_health_check=[HealthCheck.too_slow],  # that hangs on what else the computer does
    )
share_all()

LONDON = ZoneInfo("Europe/London")
MONDAY = datetime(2025, 6, 9, 7, 30, tzinfo=LONDON)
"""A Monday morning as the shop opens, in summer time: an hour ahead of UTC."""

WEDNESDAY = MONDAY + timedelta(days=2, hours=2, minutes=30)
"""A Wednesday; the demo takes the computer's zone, here UTC: 09:00."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--long``, which ``scripts/test`` hands on."""
    parser.addoption("--long", action="store_true", help="the simulations at their full size")


def pytest_configure(config: pytest.Config) -> None:
    """What tries a sample is told its size before it is collected."""
    simulation.LONG = config.getoption("--long")
    settings.load_profile("long" if simulation.LONG else "sample")


IN_REAL_TIME = (
    (
        *("tests/test_clock_steps.py", "tests/test_screen_process.py"),
        "tests/test_textual_hooks.py::test_a_fault_anywhere",
        "tests/test_textual_hooks.py::test_in_a_real_terminal",
        "tests/test_textual_hooks.py::test_a_terminal_that_goes_away",
    ),
    (
        *("tests/test_main_job_terminals.py", "tests/test_two_terminals.py"),
        *("tests/test_power_cut.py", "tests/test_kiosk_terminal.py"),
        "tests/nothing_lost/test_attacks.py::test_whatever_is_pressed",
    ),
)
"""Tests that mostly wait: for each row one process runs them one after the other, from the beginning
on, and a third has the processor's work meanwhile."""


def row_in_real_time(nodeid: str) -> int | None:
    """Which row of them a test is in, if any."""
    return next((n for n, row in enumerate(IN_REAL_TIME) if nodeid.startswith(row)), None)


LONGEST = (
    *("tests/screens/test_every_key.py", "tests/simulation/test_year.py"),
    *(
        "tests/nothing_lost",
        "tests/store/test_upgrade.py",
        "tests/commands/core",
        "tests/packaging",
    ),
    *("tests/simulation/test_random_actions.py", "tests/screens/menus/test_palette.py"),
    *("tests/store/databases/test_write_ahead_log.py", "tests/commands/test_main_job.py"),
    *("tests/screens/test_golden.py", "tests/screens/core/test_alarm_watch.py"),
    "tests/screens/test_main_job.py",
)
"""Files of many seconds: begun first, since whoever is given one last keeps all others waiting."""

EACH_BY_ITSELF = "tests/nothing_lost"
"""Tests that share no set-up and are long."""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """In the order in which they were found, but for the longest; what is marked ``long`` waits."""
    if not simulation.LONG:
        longer = [item for item in items if item.get_closest_marker("long")]
        config.hook.pytest_deselected(items=longer)
        items[:] = [item for item in items if item not in set(longer)]
    items.sort(key=lambda item: not item.nodeid.startswith(LONGEST))
    items.sort(key=lambda item: row_in_real_time(item.nodeid) is None)


class InRealTime(LoadScopeScheduling):
    """Gives every file, whose tests share what was set up once, to whoever is free, but for those."""

    def _split_scope(self, nodeid: str) -> str:
        row = row_in_real_time(nodeid)
        if row is not None:
            return f"in real time {row}"
        return nodeid.partition("[" if nodeid.startswith(EACH_BY_ITSELF) else "::")[0]


def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> InRealTime:
    """Who runs what, where several processes do: in our order, not the most tests first."""
    config.option.loadscopereorder = False
    return InRealTime(config, log)


OBJECTS = 30_000
"""So many more are made before what is no longer used is looked for: a few megabytes."""


def pytest_collection_finish() -> None:
    """What was loaded until now stays, and is not searched for rubbish again and again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(OBJECTS, 20, 20)


COUNTED = count()


@pytest.fixture(scope="session")
def of_all(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of all tests: most need none of their own."""
    return tmp_path_factory.mktemp("all")


@pytest.fixture(autouse=True)
def nothing_from_outside(monkeypatch: pytest.MonkeyPatch, of_all: Path) -> Iterator[None]:
    """No data, no settings and no zone of whoever runs the tests. The computer is not in London."""
    monkeypatch.setenv("XDG_DATA_HOME", str(of_all / f"xdg{next(COUNTED)}"))
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


def open_at(place: str, seeds: Seeds, stands: int) -> None:
    """Open a shop on Monday 07:30: painters Kit and Mo, empty stands, in London."""
    opened = Shop(open_store(place), ManualClock(MONDAY), "test")
    answer = open_shop(opened, seeds, ("Kit", "Mo"), stands, {"zone": "Europe/London"})
    assert not isinstance(answer, Refusal), answer
    opened.store.close()


@pytest.fixture(scope="session")
def model(tmp_path_factory: pytest.TempPathFactory, seeds: Seeds) -> Callable[[int], Path]:
    """The file of a shop with so many stands that was opened by ``open_at``, to be copied."""
    folder = tmp_path_factory.mktemp("models")

    @cache
    def opened(stands: int) -> Path:
        file = folder / f"{stands}.db"
        open_at(str(file), seeds, stands)
        return file

    return opened


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


def open_copy(file: Path) -> Store:
    """Open a file that this program has just written: nothing has to be brought forward."""
    store = database._in_file(str(file))
    with store.reading() as session:
        session.connection().exec_driver_sql("SELECT version FROM schema_version")
    return store


@pytest.fixture
def shop(
    request: pytest.FixtureRequest,
    data: Path | str,
    clock: ManualClock,
    seeds: Seeds,
    model: Callable[[int], Path],
) -> Iterator[Shop]:
    """A shop opened just now: painters Kit and Mo, six empty stands, in London."""
    if isinstance(data, Path):
        store = open_copy(copy(model(6), data))
    else:
        server: Schemas = request.getfixturevalue("postgresql")
        server.fill(data, lambda place: open_at(place, seeds, 6))
        store = open_store(data)
    opened = Shop(store, clock, "test")
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
def eight_stands(
    tmp_path: Path, clock: ManualClock, model: Callable[[int], Path]
) -> Iterator[Shop]:
    """A shop with more stands than one page shows."""
    opened = Shop(open_copy(copy(model(8), tmp_path / "eight.db")), clock, "test")
    yield opened
    opened.store.close()
