"""CLOCK WRONG, as a painter meets it: one question, three keys, and "at least" until it is answered."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta

import pytest

from bench.process.refusals.refusal import Refusal
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.data.clock_wrong import BIG, ClockWrong
from bench.shop.clock import timekeeping
from bench.shop.clock.timekeeping import set_clock
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import placement, steps
from bench.shop.people.painters import set_pin
from bench.shop.queries.log import log_page
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from bench.widgets.stand import number_of

from ..driving import Gone, Hands, at_the_bench

OLD = datetime(1970, 1, 1, 0, 1, tzinfo=UTC)


@pytest.fixture
def busy(shop: Shop, clock: ManualClock) -> Shop:
    """A wash in hand and a reading; the last line is at 07:45 on Monday."""
    for answer in (
        placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"),
        steps.begin(shop, 1, "Kit"),
    ):
        assert not isinstance(answer, Refusal), answer
    clock.advance(minutes=15)
    readings.take_reading(shop, "Mo", air_c=18)
    return shop


@asynccontextmanager
async def after_a_power_cut(
    shop: Shop, shown: datetime, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[Hands]:
    """The computer is on for a minute, and its clock shows this."""
    clock = ManualClock(shown, boot="the next start", up=timedelta(minutes=1))
    async with at_the_bench(Shop(shop.store, clock, "test"), clock, size) as hands:
        yield hands


async def test_before_anything_else_it_says_clock_wrong_and_asks_one_question(busy: Shop) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        picture = hands.picture()
        assert all(row.rstrip() in picture for row in BIG)
        assert "The computer's clock says 01:01 on Thu 01 Jan 1970." in picture
        assert "earlier than this software" in picture
        assert "Is it 07:46 on Mon 09 Jun 2025?" in picture
        for key in ("Enter   yes", "1       type the day and the hour", "0       later"):
            assert key in picture
        assert "EMPTY" not in picture


async def test_yes_leads_to_the_bench_and_every_clock_is_true_again(busy: Shop) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        await hands.press("enter")
        assert isinstance(hands.app.screen, WholeBench)
        assert "CLOCK WRONG" not in hands.picture()
        assert "Mon 09 Jun  07:46" in hands.picture()
        assert log_page(hands.app.shop, 1)[0].action == "clock set"


async def test_later_shows_at_least_and_marks_what_is_done(busy: Shop) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        await hands.press("0")
        picture = hands.picture()
        assert "CLOCK WRONG >= Mon 07:46" in picture
        assert hands.app.view.state(1, hands.app.now()).doubtful
        await hands.press("1 + ")
        assert log_page(hands.app.shop, 1)[0].doubtful
        await hands.let_pass(minutes=1)
        assert isinstance(hands.app.screen, WholeBench), "it is asked once"


@pytest.mark.parametrize(("size", "sign"), [((80, 24), "█ "), ((132, 40), "██")])
async def test_the_big_number_wears_a_sign(busy: Shop, size: tuple[int, int], sign: str) -> None:
    async with after_a_power_cut(busy, OLD, size) as hands:
        await hands.press("0")
        state = hands.app.view.state(1, hands.app.now())
        assert number_of(state, hands.app.now()) == ">16 min", "at least so long in hand"
        below = hands.picture().splitlines()
        head = next(place for place, row in enumerate(below) if "WORKING" in row)
        assert below[head + 1].startswith(sign)


async def test_another_time_is_typed_with_figures_alone_and_the_computer_is_left_alone(
    busy: Shop,
) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        await hands.press("1 enter enter enter 1 0 enter 3 0 enter")
        assert "10:30 on Mon 09 Jun 2025?" in hands.picture()
        await hands.press("enter")
        assert isinstance(hands.app.screen, WholeBench)
        assert "Mon 09 Jun  10:30" in hands.picture()
        assert "CLOCK WRONG" not in hands.picture()
        assert hands.clock.now() == OLD
        state = hands.app.view.state(1, hands.app.now())
        assert state.seconds_left(hands.app.now()) == -180 * 60, "the power was off for it too"


async def test_a_day_that_is_not_is_refused_and_asked_again(busy: Shop) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        await hands.press("1 3 1 enter 2 enter enter enter enter")
        assert isinstance(hands.app.screen, ClockWrong)
        assert "there is no 31.2.2025" in hands.said()


async def test_a_time_before_the_last_line_is_told_what_it_means(busy: Shop) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        await hands.press("1 enter enter enter 6 enter 0 enter")
        assert "all running clocks are put back with it" in hands.picture()
        await hands.press("0")
        assert isinstance(hands.app.screen, ClockWrong)


async def test_when_the_network_puts_the_clock_right_the_question_goes_away(busy: Shop) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        really = datetime(2025, 6, 9, 9, 0, tzinfo=UTC)
        hands.clock.step(seconds=(really - hands.clock.now()).total_seconds())
        hands.app.tick()
        await hands.settled()
        assert isinstance(hands.app.screen, WholeBench)
        assert "Mon 09 Jun  10:00" in hands.picture(), "London's summer"


async def test_an_answer_at_the_other_terminal_is_an_answer_here(busy: Shop, data: object) -> None:
    async with after_a_power_cut(busy, OLD) as hands:
        other = Shop(open_store(str(data)), hands.clock, "window")
        timekeeping.start_clock(other)
        set_clock(other, "Mo", datetime(2025, 6, 9, 9, 0, tzinfo=UTC))
        hands.app.tick()
        await hands.settled()
        assert isinstance(hands.app.screen, WholeBench)
        other.store.close()


async def test_a_clock_set_while_it_runs_is_told_and_nothing_is_asked(
    busy: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(busy, clock) as hands:
        before = hands.app.view.state(1, hands.app.now()).seconds_left(hands.app.now())
        clock.step(hours=3)
        hands.app.tick()
        await hands.settled()
        after = hands.app.view.state(1, hands.app.now()).seconds_left(hands.app.now())
        assert before == after
        assert "10:45" in hands.picture()
        assert "moved 3 h forward" in hands.said()


async def test_a_clock_set_to_1970_while_somebody_types_is_asked_about_at_home(
    busy: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(busy, clock) as hands:
        await hands.press("/ 2 + 1 8")
        clock.step(days=-20250)
        hands.app.tick()
        await hands.settled()
        assert not isinstance(hands.app.screen, ClockWrong), "nobody is interrupted"
        await hands.press("/ 0")
        hands.app.tick()
        await hands.settled()
        assert isinstance(hands.app.screen, ClockWrong)
        assert "Is it 07:45 on Mon 09 Jun 2025?" in hands.picture()
        told = " ".join(hands.picture().split())
        assert "running clocks show the time since they really began" in told


async def test_a_painter_who_sees_a_wrong_hour_says_what_time_it_is(
    busy: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(busy, clock) as hands:
        await hands.play(
            ("c", "The bench goes by 07:45 on Mon 09 Jun 2025.", Gone("CLOCK WRONG")),
            ("0",),
        )
        assert isinstance(hands.app.screen, WholeBench)
        await hands.pick("set-up", "the clock: say what time it is")
        assert isinstance(hands.app.screen, ClockWrong)


async def test_a_clock_that_is_believed_is_set_with_a_reason_and_signed(
    busy: Shop, clock: ManualClock
) -> None:
    assert not isinstance(set_pin(busy, "Kit", "4711"), Refusal)
    async with at_the_bench(busy, clock) as hands:
        await hands.pick("set-up", "the clock: say what time it is")
        await hands.play(
            ("enter", "Why set the clock?"),
            ("1", "Kit: your PIN"),
        )
        for key in ("4", "7", "1", "1", "enter"):
            await hands.press(key)
        assert "says Kit: the computer's clock is slow" in log_page(busy)[0].text


async def test_a_new_shop_with_a_dead_battery_asks_first_and_proposes_nothing(
    busy: Shop, tmp_path: object
) -> None:
    new = Shop(open_store(f"{tmp_path}/new.db"), ManualClock(OLD), "test")
    async with after_a_power_cut(new, OLD) as hands:
        assert "What time is it?" in hands.picture()
        assert "Enter" not in hands.picture()
        await hands.press("0")
        assert "there is no shop here yet" in hands.picture()
    new.store.close()


async def test_a_small_window_says_it_on_one_line(busy: Shop) -> None:
    async with after_a_power_cut(busy, OLD, (60, 20)) as hands:
        assert "CLOCK WRONG" in hands.picture()
        assert "Is it 07:46 on Mon 09 Jun 2025?" in hands.picture()
