"""Two terminals on one bench: each shows the other's work, and no key does what was not meant."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from bench import app as program
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.databases import pytest_generate_tests

from .driving import Hands, Said, at_the_bench

__all__ = ["pytest_generate_tests"]


def done(answer: object) -> None:
    assert isinstance(answer, Outcome), answer


@pytest.fixture
def other(shop: Shop, data: Path, clock: ManualClock) -> Iterator[Shop]:
    """The other terminal, with Mo at its keys; a bracket is on stand 1."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    opened = Shop(open_store(str(data)), clock, "window")
    yield opened
    opened.store.close()


def word(hands: Hands, stand: int = 1) -> str:
    return hands.app.view.state(stand, hands.clock.now()).word


async def test_a_tick_shows_what_the_other_terminal_did_and_reads_nothing_when_nobody_did_anything(
    shop: Shop, other: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked: list[Any] = []
    look: Callable[[Shop], Any] = bench_view.read_bench
    monkeypatch.setattr(program, "read_bench", lambda shop: looked.append(shop) or look(shop))
    async with at_the_bench(shop, clock) as hands:
        looked.clear()
        for _ in range(3):
            await hands.let_pass(seconds=1)
        assert looked == []
        done(steps.begin(other, 1, "Mo"))
        await hands.let_pass(seconds=1)
        assert len(looked) == 1
        assert "WORKING" in hands.picture()


async def test_a_key_chosen_by_the_picture_of_a_second_ago_does_not_do_something_else(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        done(steps.begin(other, 1, "Mo"))
        await hands.play(
            (
                "+",
                Said(
                    "Mo changed this at 07:30 (tag 1 Bracket: Degrease and rinse begun 07:30): check again"
                ),
                "WORKING",
            ),  # and the new state is shown
            ("1 +",),
        )
        assert word(hands) != "WORKING", "looked at, it is finished with the same key"


async def test_a_picture_that_changed_under_the_finger_was_not_looked_at(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        done(steps.begin(other, 1, "Mo"))
        hands.app.tick()
        hands.app.pressed("+", gloved=False)
        await hands.settled()
        assert "Mo changed this" in hands.said()


async def test_what_was_done_behind_a_question_is_told_when_it_is_answered(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 1")
        done(steps.begin(other, 1, "Mo"))
        await hands.let_pass(minutes=3)
        await hands.press("2")
        assert "Mo changed this at 07:30" in hands.said()
        assert word(hands) == "WORKING"
        await hands.press("1 / 1 2")
        assert word(hands) == "HOLD"


async def test_what_the_other_does_elsewhere_holds_nobody_up(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        done(placement.place(other, 2, "Mo", route="steel-blasted", shape="bracket"))
        done(readings.take_reading(other, "Mo", air_c=18.0))
        await hands.press("+")
        assert word(hands) == "WORKING"


async def test_ones_own_keys_in_quick_succession_are_no_conflict(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        for key in ("1", "+", "1", "+"):
            hands.app.pressed(key, gloved=False)
            await hands.settled()
        assert "finished" in hands.said()


async def test_a_pot_that_was_binned_meanwhile_is_told(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("pots, guns and tins", "bin pot A Epoxy primer 4:1")
        done(pots.bin_pot(other, "A", "Mo"))
        await hands.press("enter")
        assert hands.said() == "Mo changed this at 07:30 (pot A binned): check again"


async def test_on_the_stands_page_the_new_state_is_seen_and_counts(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 enter")
        done(holds_and_rework.hold(other, 1, "Mo", "weather"))
        await hands.let_pass(seconds=1)
        await hands.press("+")
        assert "released" in hands.said()


async def test_a_shop_that_the_other_terminal_opened_meanwhile_is_shown(
    tmp_path: Path, clock: ManualClock, seeds: Seeds
) -> None:
    fresh = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    async with at_the_bench(fresh, clock) as hands:
        done(open_shop(fresh, seeds, ("Kit", "Mo"), 3))
        await hands.press("1 enter enter enter")
        assert "this shop is open already" in hands.said()
        assert "painter: Kit" in hands.picture()
    fresh.store.close()
