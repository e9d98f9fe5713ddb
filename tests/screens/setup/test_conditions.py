"""The air's page, by keypad alone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from bench.process.clocks.reading_doubts import Doubt
from bench.process.clocks.temperature import Reading
from bench.process.wording.display_units import METRIC, ShopUnits
from bench.screens.core.base import BenchScreen
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.store.schema.tables import PROBE
from bench.testing import ManualClock
from bench.widgets.trend import nearest_to_dew, trend, trend_lines
from tests.databases import POSTGRESQL
from tests.shop.doing import done

from ..driving import at_the_bench

NOON = datetime(2025, 6, 9, 12, tzinfo=UTC)


def read(hours_ago: float, air_c: float, rh_pct: float | None, metal_c: float | None) -> Reading:
    return Reading(NOON - timedelta(hours=hours_ago), air_c, rh_pct, metal_c)


def test_the_nearest_to_the_dew_point_is_by_metal_where_it_was_read() -> None:
    # Dew points by Magnus: 9.26 C at 20 C and 50 %, 16.44 C at 20 C and 80 % (computed by
    # psychrolib, compare tests/published/air.csv).
    told = trend(
        [read(5, 20, 50, 12.0), read(3, 20, 80, 18.0), read(1, 20, None, 10.0)],
        NOON - timedelta(hours=4),
        NOON,
    )
    assert [moment.air_c for moment in told] == [20, 20]
    nearest = nearest_to_dew(told)
    assert nearest is not None
    assert nearest.margin_c == pytest.approx(18.0 - 16.44, abs=0.05)
    assert nearest_to_dew(told[1:]) is None, "without humidity nobody knows"


def test_the_lines_are_ascii_and_as_large_as_they_should_be() -> None:
    told = trend(
        [read(h, 20 - h / 4, 60, 18 - h / 4) for h in range(24)], NOON - timedelta(1), NOON
    )
    rows = trend_lines(told, NOON - timedelta(1), NOON, (79, 15), METRIC)
    assert len(rows) == 15
    assert all(len(row) <= 79 and row.isascii() for row in rows)
    assert {"a", "m", "d"} <= set("".join(rows))
    assert "12:00" in rows[-1]
    warm = trend_lines(told, NOON - timedelta(1), NOON, (79, 15), ShopUnits(temperature="F"))
    assert "68" in "".join(warm), "20 C are 68 F"


def test_nothing_read_draws_nothing() -> None:
    assert trend_lines((), NOON - timedelta(1), NOON, (79, 15), METRIC) == []


async def test_the_air_is_two_keys_from_the_bench_and_a_reading_one_more(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 2", "no reading in this time"),
            (
                "+ 2 0 enter 8 0 enter 1 8 enter",
                "surface nearest to dew point 07:30: 1.6 C above it, UNDER the usual 3 C",
            ),
        )
        assert bench_view.read_bench(shop).reading() is not None
        clock.advance(hours=30)
        await hands.play(
            ("- - -", "no reading in this time"),
            ("-", "1.6 C above it"),
            ("0", "stand"),
        )


async def test_a_typed_reading_far_off_is_asked_about_and_enter_alone_is_not_yes(
    shop: Shop, clock: ManualClock
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=18))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 2 + 4 8 enter enter enter")
        assert "air 48 C? it was 18 C at" in hands.picture()
        await hands.press("enter")
        newest = bench_view.read_bench(shop).reading()
        assert newest is not None
        assert newest.air_c == 18
        await hands.press("2 4 8 enter enter enter 1")
        newest = bench_view.read_bench(shop).reading()
        assert newest is not None
        assert newest.air_c == 48


async def test_a_probes_jump_is_asked_on_the_bench_until_a_painter_answers(
    shop: Shop, clock: ManualClock
) -> None:
    done(readings.take_reading(shop, PROBE, air_c=18))
    clock.advance(minutes=10)
    jump = Doubt("air", 30, 18, clock.now())
    done(readings.take_reading(shop, PROBE, air_c=30, jump=jump))
    async with at_the_bench(shop, clock) as hands:
        assert "air probe 30 C, it was 18 C: right? / 2 ." in hands.picture()
        screen = hands.app.screen
        assert isinstance(screen, BenchScreen)
        air = "".join(piece.text for piece in screen.air_line(200))
        assert "air probe 30 C, it was 18 C: right? / 2 ." in air
        await hands.press("/ 2 . 2 0")
        assert "right?" not in hands.picture()
        newest = bench_view.read_bench(shop).reading()
        assert newest is not None
        assert newest.air_c == 18


@pytest.mark.parametrize("data", ["sqlite", POSTGRESQL], indirect=True)
async def test_a_probes_jump_is_an_alarm_whose_enter_leads_to_the_question(
    shop: Shop, clock: ManualClock
) -> None:
    done(readings.take_reading(shop, PROBE, air_c=18))
    async with at_the_bench(shop, clock) as hands:
        clock.advance(minutes=10)
        jump = Doubt("air", 30, 18, clock.now())
        done(readings.take_reading(shop, PROBE, air_c=30, jump=jump))
        await hands.let_pass(seconds=3)
        assert [(alarm.want.word, alarm.place) for alarm in hands.app.alarms.known.up] == [
            ("PROBE", "air")
        ]
        assert "PROBE ?!? air probe 30 C, it was 18 C: right? / 2 ." in hands.picture()
        await hands.let_pass(seconds=3)
        await hands.press("enter")
        assert "Until you answer, the stricter of the two figures counts." in hands.picture()
        await hands.press("1")
        assert bench_view.read_bench(shop).house.hours.unanswered is None
        await hands.let_pass(seconds=3)
        assert hands.app.alarms.known.up == ()
        newest = bench_view.read_bench(shop).reading()
        assert newest is not None
        assert newest.air_c == 30


async def test_a_week_of_a_probes_readings_fits_the_screen(shop: Shop, clock: ManualClock) -> None:
    for hour in range(0, 24 * 7, 3):
        done(readings.take_reading(shop, "Kit", air_c=10 + hour % 8, rh_pct=60, metal_c=9))
        clock.advance(hours=3)
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        await hands.press("/ 2 - -")
        rows = hands.app.screen.canvas.lines  # type: ignore[attr-defined]
        assert len(rows) == 40
        assert all(len(row) == 132 for row in rows)
        assert "Mon 07:30" in hands.picture()
