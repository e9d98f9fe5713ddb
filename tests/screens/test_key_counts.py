"""How many key presses each piece of the day's work takes, on the numeric keypad alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from textual.widgets import Input

from bench.process.calendar.week import week_words
from bench.process.parts.part import Part
from bench.process.stock.mixing import MixStart
from bench.screens.setup.painters import HandOverPage
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.settings.setting_list import WEEK
from bench.shop.settings.shop_settings import read_stored_week
from bench.shop.stock import pots
from bench.shop.stock.tin_ratio import confirm_ratio
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.shop.doing import done

from .driving import Hands, at_the_bench

MADE = {"route": "aluminium", "shape": "bracket"}


@dataclass(frozen=True)
class Work:
    """One piece of work: its keys, how many that are, and what is so after them and not before.

    before: what is chosen, opened or closed already when it begins, by presses of other work.
    """

    what: str
    presses: int
    keys: str
    is_done: Callable[[Hands], bool]
    before: str = ""


def part(hands: Hands, stand: int) -> Part | None:
    placed = hands.app.view.on(stand)
    return placed.part if placed else None


def there(hands: Hands, stand: int) -> Part:
    found = part(hands, stand)
    assert found is not None
    return found


def step(hands: Hands, stand: int) -> str:
    """The step of a part and how far it is."""
    record = there(hands, stand).current()
    return f"{record.step.name} {record.status}" if record else "none"


def minutes_ago(hands: Hands, stand: int) -> float:
    record = there(hands, stand).current()
    assert record is not None
    if record.first_at is None:
        return 0.0
    return (hands.app.shop.clock.now() - record.first_at).total_seconds() / 60


def sprayed(hands: Hands, stand: int) -> bool:
    """Whether the coat is behind it."""
    return all(record.status != "in hand" for record in there(hands, stand).steps)


DAY = (
    Work("place a part", 6, "6 + enter 4 enter enter", lambda h: part(h, 6) is not None),
    Work("begin", 2, "1 +", lambda h: "in hand" in step(h, 1)),
    Work("log it ten minutes earlier", 3, "- - enter", lambda h: minutes_ago(h, 1) > 9),
    Work("undo", 2, ". enter", lambda h: minutes_ago(h, 1) < 5),
    Work("redo", 2, ". +", lambda h: minutes_ago(h, 1) > 9),
    Work(
        "write a reading",
        11,
        "/ 2 1 8 enter 5 5 enter 1 7 enter",
        lambda h: "55 %" in h.said(),
        before="0",
    ),
    Work(
        "mix 400 ml",
        8,
        "* enter 1 4 0 0 enter enter",
        lambda h: h.said().startswith("pot B"),
        before="0 2",
    ),
    Work("begin a coat", 2, "2 +", lambda h: step(h, 2) == "Etch primer, build in hand"),
    Work("tick its faces", 8, "1 2 3 4 5 6 7 8", lambda h: sprayed(h, 2), before="0 enter"),
    Work(
        "begin another coat",
        2,
        "3 +",
        lambda h: step(h, 3) == "Etch primer, build in hand",
        before="0",
    ),
    Work("tick all its faces", 2, "enter +", lambda h: sprayed(h, 3), before="0 enter"),
    Work("rework of 3 in 40", 6, "4 / 3 5 3 enter", lambda h: there(h, 4).count == 37, before="0"),
    Work("take off", 4, "5 / 5 enter", lambda h: part(h, 5) is None),
    Work(
        "to the hand-over",
        3,
        "/ 1 3",
        lambda h: isinstance(h.app.screen, HandOverPage),
        before="0",
    ),
)


def frame_to_build(shop: Shop, stand: int) -> None:
    done(placement.place(shop, stand, "Kit", route="zinc-new", shape="frame"))
    for _ in range(5):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))


def working_day(shop: Shop, clock: ManualClock) -> None:
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    for stand in (2, 3):
        frame_to_build(shop, stand)
    done(placement.place(shop, 4, "Kit", route="zinc-new", shape="bracket", count=40))
    for _ in range(5):
        done(holds_and_rework.skip(shop, 4, "Kit", "already done"))
    done(confirm_ratio(shop, "etch-primer", "Mo", says="1:1", known=MixStart(need_ml=600)))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=600)))
    done(steps.begin(shop, 4, "Kit"))
    done(steps.finish(shop, 4, "Kit", all_faces=True))
    done(placement.place(shop, 5, "Kit", **MADE))
    clock.advance(minutes=20)


async def test_the_days_work_takes_so_many_presses_and_no_more(
    shop: Shop, clock: ManualClock
) -> None:
    working_day(shop, clock)
    async with at_the_bench(shop, clock) as hands:
        await hands.answer_all()
        for work in DAY:
            await hands.press(work.before)
            assert not work.is_done(hands), f"{work.what}: so already"
            await hands.press(work.keys)
            assert work.is_done(hands), f"{work.what}: {hands.said()}\n{hands.picture()}"
            assert len(work.keys.split()) == work.presses, work.what


@pytest.mark.sqlite
async def test_a_new_shop_is_open_after_four_presses(tmp_path: Path, clock: ManualClock) -> None:
    shop = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 enter enter enter")
        assert hands.app.view.painters == ("Painter 1", "Painter 2")
        assert week_words(hands.app.view.house.hours.days) == week_words(read_stored_week(WEEK))
    shop.store.close()


@pytest.mark.sqlite
async def test_a_new_shop_has_one_to_six_painters_and_its_own_hours(
    tmp_path: Path, clock: ManualClock
) -> None:
    shop = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        names, hours = hands.app.screen.query(Input)
        names.value = "a, b, c, d, e, f, g"
        await hands.press("enter")
        assert "NO: 7 painters: up to 6" in hands.picture()
        names.value = "Una, Bo, Kim"
        await hands.press("enter")
        hours.value = "Mon-Fri 7-15:30, Sun"
        await hands.press("enter")
        assert "wanted days and hours" in hands.picture()
        hours.value = "Mon-Fri 7-15:30"
        await hands.press("enter enter")
        assert hands.app.view.painters == ("Una", "Bo", "Kim")
        assert week_words(hands.app.view.house.hours.days) == "Mon-Fri 07:00-15:30"
    shop.store.close()
