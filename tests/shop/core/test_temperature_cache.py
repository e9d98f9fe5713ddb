"""A terminal that runs on knows of readings what one that starts now would read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from sqlalchemy import event

from bench.process.clocks.temperature import Reading
from bench.shop.core.bench_view import read_bench
from bench.shop.core.temperature_cache import Air
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.settings import settings_change
from bench.store.databases.database import open_store
from bench.testing import ManualClock

from ..doing import begin_over, done


@pytest.fixture
def other(data: Path, shop: Shop, clock: ManualClock) -> Iterator[Shop]:
    """A second terminal on the same data."""
    second = Shop(open_store(str(data)), clock, "other")
    yield second
    second.store.close()


def read(shop: Shop, air_c: float, ago_min: float = 0) -> None:
    at = shop.clock.now() - timedelta(minutes=ago_min)
    done(readings.take_reading(shop, "Kit", air_c=air_c, rh_pct=60.0, at=at))


def temperatures(shop: Shop) -> list[float]:
    return [reading.air_c for reading in read_bench(shop).around.readings]


def coated(shop: Shop, clock: ManualClock, stand: int) -> None:
    """A part whose first coat has just been laid."""
    done(placement.place(shop, stand, "Kit", route="zinc-new", shape="bracket"))
    for _ in range(12):
        part = read_bench(shop).on(stand)
        assert part is not None
        record = part.part.current()
        assert record is not None
        state = part.state(clock.now())
        if state.opens is not None and state.opens.at > clock.now():
            clock.set(state.opens.at + timedelta(minutes=1))
        if state.word == "TEST":
            done(testing.pass_test(shop, stand, "Kit"))
        read(shop, 18.0)
        done(begin_over(shop, stand, "Kit", "other"))
        clock.advance(minutes=12)
        if record.step.kind == "dwell":
            for _ in record.marks[1:]:
                done(steps.begin(shop, stand, "Kit"))
            for _ in record.marks:
                done(steps.finish(shop, stand, "Kit"))
        else:
            done(steps.finish(shop, stand, "Kit", all_faces=bool(record.marks)))
        if record.step.kind == "coat":
            return
    pytest.fail("no coat was reached")


def test_a_new_reading_and_a_late_one_are_seen_here_and_on_the_other_terminal(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    read(shop, 18.0)
    assert temperatures(shop) == temperatures(other) == [18.0]
    clock.advance(hours=3)
    read(other, 15.0)
    assert temperatures(shop) == temperatures(other) == [18.0, 15.0]
    read(shop, 12.0, ago_min=90)
    assert temperatures(shop) == temperatures(other) == [18.0, 12.0, 15.0]


def test_a_reading_that_is_taken_back_and_typed_again_is_the_new_one(
    shop: Shop, other: Shop
) -> None:
    read(shop, 18.0)
    read(shop, 41.0)
    assert temperatures(other) == [18.0, 41.0]
    done(undo.undo(shop, "Mo"))
    read(shop, 14.0)
    assert temperatures(other) == temperatures(shop) == [18.0, 14.0]


def test_a_clock_that_was_set_moves_the_readings_and_they_are_read_anew(
    shop: Shop, clock: ManualClock
) -> None:
    read(shop, 18.0)
    before = read_bench(shop).around.readings[0].at
    clock.step(hours=3)
    done(trouble_free(shop))
    assert read_bench(shop).around.readings[0].at == before + timedelta(hours=3)


def trouble_free(shop: Shop) -> object:
    """Anything that is written down: the clock is looked at first."""
    return readings.take_reading(shop, "Kit", air_c=17.0)


def test_new_nights_are_drawn_anew(shop: Shop, clock: ManualClock) -> None:
    read(shop, 18.0)
    before = coldest_ahead(shop)
    done(settings_change.set_settings(shop, "Kit", night_c=3.0))
    assert (before, coldest_ahead(shop)) == (11.0, 3.0)


def coldest_ahead(shop: Shop) -> float:
    now = shop.clock.now()
    return min(s.temp_c for s in read_bench(shop).around.weather().temperatures(now, "opening"))


@pytest.mark.sqlite
def test_nothing_is_read_twice(shop: Shop, clock: ManualClock) -> None:
    coated(shop, clock, 1)
    read_bench(shop)
    asked: list[str] = []
    event.listen(
        shop.store._engine,
        "before_cursor_execute",
        lambda _c, _cur, statement, *_: asked.append(statement),
    )
    clock.advance(minutes=10)
    read(shop, 17.0)
    read_bench(shop)
    done(holds_and_rework.hold(shop, 1, "Kit", "other"))
    assert not [said for said in asked if "FROM reading" in said]


@pytest.mark.sqlite
def test_whatever_is_done_a_running_terminal_draws_what_a_new_one_would(
    shop: Shop, other: Shop, clock: ManualClock, data: Path
) -> None:
    random = Random(7)
    coated(shop, clock, 1)
    coated(other, clock, 2)
    for n in range(40):
        clock.advance(minutes=random.choice([1, 10, 45, 600]))
        mine, deed = random.choice([shop, other]), random.random()
        if deed < 0.5:
            read(mine, random.randint(4, 30) / 1.0)
        elif deed < 0.8:
            read(mine, random.randint(4, 30) / 1.0, ago_min=random.choice([5, 90, 2000, 9000]))
        elif deed < 0.9:
            undo.undo(mine, "Mo")
        elif n > 25 and deed < 0.93:
            clock.advance(days=20)
        else:
            clock.step(minutes=random.choice([-30, 45]))
        fresh = Shop(open_store(str(data)), clock, "new")
        expected = read_bench(fresh)
        fresh.store.close()
        for terminal in (shop, other):
            found = read_bench(terminal)
            assert found.around == expected.around
            for number in (1, 2):
                one, same = found.on(number), expected.on(number)
                assert one is not None
                assert same is not None
                assert one.part == same.part
                assert one.clocks == same.clocks
    assert isinstance(expected.around.readings[0], Reading)


def test_who_asks_for_longer_ago_is_told_of_the_readings_from_then(
    shop: Shop, clock: ManualClock
) -> None:
    """Days lie between the two, more than is read ahead of what is asked for."""
    read(shop, 5.0)
    first = clock.now()
    clock.advance(days=1)
    read(shop, 9.0)
    clock.advance(days=20)
    read(shop, 18.0)
    with shop.store.reading() as session:
        hours = read_bench(shop).around.hours
        cache = Air()
        late = cache.around(session, hours, {}, clock.now())
        early = cache.around(session, hours, {}, first)
    assert early.readings[0].air_c == 5.0
    assert late.readings[-1].air_c == 18.0
