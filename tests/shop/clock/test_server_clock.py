"""Several computers at one server: one clock for all of them, and no line that says otherwise."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from sqlmodel import col, select

from bench.clock import ServerClock
from bench.shop.clock import timekeeping
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import open_data
from bench.shop.environment import readings
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.faults import StoreFault
from bench.store.schema.tables import JournalRow
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.databases import Schemas

from ..doing import done

pytestmark = pytest.mark.postgresql

NEAR = timedelta(minutes=10)
"""A busy server takes a while; the computers' own clocks are months and years out."""


def computer(place: str, name: str, own: datetime) -> Shop:
    """A screen whose own clock shows anything."""
    clock = ServerClock(ManualClock(own, boot=name, up=timedelta(hours=len(name))))
    opened = open_data(place, clock, name, may_be_new=True)
    assert isinstance(opened, Shop), opened
    timekeeping.start_clock(opened)
    return opened


@pytest.fixture
def place(postgresql: Schemas) -> str:
    return postgresql.take()


@pytest.fixture
def window(place: str, seeds: Seeds) -> Shop:
    opened = computer(place, "window", MONDAY)
    done(open_shop(opened, seeds, ("Kit", "Mo"), 6))
    return opened


def lines(shop: Shop) -> list[JournalRow]:
    with shop.store.reading() as session:
        return list(session.exec(select(JournalRow).order_by(col(JournalRow.id))))


def test_two_computers_whose_own_clocks_are_years_apart_write_one_time_and_nothing_else(
    place: str, window: Shop
) -> None:
    doorway = computer(place, "doorway", datetime(1970, 1, 1, tzinfo=UTC))
    for _ in range(2):
        done(readings.take_reading(window, "Kit", air_c=18.0))
        done(readings.take_reading(doorway, "Mo", air_c=18.0))
    found = lines(window)
    assert [line.action for line in found] == ["open shop", *["reading"] * 4]
    assert [line.at for line in found] == sorted(line.at for line in found)
    assert abs(found[-1].at - datetime.now(UTC)) < NEAR
    assert abs(window.clock.now() - doorway.clock.now()) < NEAR
    assert not bench_view.read_bench(doorway).doubtful


def test_a_screens_own_clock_that_is_set_changes_nothing(place: str, window: Shop) -> None:
    clock = window.clock.computer
    assert isinstance(clock, ServerClock)
    before = window.clock.now()
    own = clock._own
    assert isinstance(own, ManualClock)
    own.step(hours=3)
    assert window.clock.now() == before
    assert not timekeeping.was_stepped(window)
    own.advance(minutes=5)
    assert window.clock.now() == before + timedelta(minutes=5), "its counter goes on"
    window.store.change_mark()
    assert abs(window.clock.now() - datetime.now(UTC)) < NEAR, "until the server says it again"


def test_while_the_servers_clock_is_before_the_last_line_nothing_is_written_down(
    window: Shop,
) -> None:
    done(readings.take_reading(window, "Kit", air_c=18.0))
    with window.store.writing() as session:
        line = session.exec(select(JournalRow).order_by(col(JournalRow.id).desc())).first()
        assert line is not None
        line.at += timedelta(days=1)
        session.commit()
    with pytest.raises(StoreFault, match="earlier than the last thing written down") as told:
        readings.take_reading(window, "Kit", air_c=19.0)
    assert told.value.words == "the server's clock is wrong"
    assert len(lines(window)) == 2
    assert bench_view.read_bench(window).reading() is not None, "what there is can be read"
