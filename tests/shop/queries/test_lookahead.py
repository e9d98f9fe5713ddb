"""Looking ahead from a real shop: what it says is what the bench then shows."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.queries.lookahead import (
    MixAhead,
    PartAhead,
    ahead_of,
    ahead_of_mix,
    closed_hours_tasks,
)
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.store.schema.tables import SettingRow
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.living import done_once

pytestmark = pytest.mark.sqlite

NEW_YEAR = "FREQ=YEARLY;BYMONTH=1;BYMONTHDAY=1"


def done(answer: Outcome | Refusal) -> Outcome:
    assert isinstance(answer, Outcome), answer
    return answer


def looked(answer: PartAhead | Refusal) -> PartAhead:
    assert isinstance(answer, PartAhead), answer
    return answer


def blasted(shop: Shop, stand: int = 1, tag: str = "") -> None:
    """Brackets of bare steel, washed and blasted before they came."""
    done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket", tag=tag))
    for _ in range(2):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))


def read(shop: Shop) -> None:
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))


@done_once
def primed(shop: Shop, clock: ManualClock, minutes: int = 20) -> None:
    blasted(shop)
    read(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=minutes)
    done(steps.finish(shop, 1, "Kit", all_faces=True))


def settings(shop: Shop, **house: Any) -> None:
    """Settings of the house as they are typed today: straight into the store."""
    with shop.act("settings", "Kit") as act:
        row = act.session.get_one(SettingRow, "house")
        row.value = {**row.value, **house}
        done(act.done("", "settings"))


def local(shop: Shop, at: datetime | None) -> str:
    assert at is not None
    return f"{bench_view.read_bench(shop).local(at):%a %H:%M}"


def test_what_it_says_is_what_the_bench_then_shows(shop: Shop, clock: ManualClock) -> None:
    blasted(shop)
    read(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    found = looked(ahead_of(shop, 1))
    assert found.against == ()
    assert found.ahead is not None
    assert found.ahead.opens is not None
    assert found.ahead.closes is not None
    assert found.ahead.length.known_from == 0
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(seconds=found.ahead.length.lasts.total_seconds())
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    state = bench_view.read_bench(shop).state(1, clock.now())
    assert (state.opens.at, state.closes.at) == (
        found.ahead.opens.edge.at,
        found.ahead.closes.edge.at,
    )


def test_the_rules_against_it_are_told_beside_it(shop: Shop) -> None:
    blasted(shop)
    found = looked(ahead_of(shop, 1))
    assert [refusal.rule for refusal in found.against] == [
        "no reading of the air",
        "no pot of Epoxy primer 4:1",
    ]
    assert isinstance(steps.begin(shop, 1, "Kit"), Refusal)


@pytest.mark.parametrize(
    ("target", "told"),
    [
        (9, "no stand 9: stands run from 1 to 6"),
        (2, "stand 2 is empty: place a part on it first"),
        ("99", "no tag 99: read the steel disc again"),
    ],
)
def test_what_is_not_there_is_refused(shop: Shop, target: int | str, told: str) -> None:
    assert str(ahead_of(shop, target)) == told


def test_a_part_is_found_by_its_tag_wherever_it_is(shop: Shop) -> None:
    blasted(shop, tag="42")
    done(placement.take_off(shop, 1, "Kit"))
    assert looked(ahead_of(shop, "42")).part.tag == "42"


def test_before_a_mix_each_part_that_waits_for_it_is_looked_at(
    shop: Shop, clock: ManualClock
) -> None:
    blasted(shop, 1)
    blasted(shop, 2)
    done(placement.place(shop, 3, "Kit", route="zinc-new", shape="frame"))
    read(shop)
    mix = ahead_of_mix(shop, "epoxy-primer")
    assert isinstance(mix, MixAhead)
    assert [part.tag for part, _ in mix.parts] == ["1", "2"]
    assert all(ahead.mixed and ahead.at_once for _, ahead in mix.parts)
    assert (mix.pot.use_from, mix.pot.bin_by) == (clock.now(), clock.now() + timedelta(hours=4))
    nothing = ahead_of_mix(shop, "gloss")
    assert isinstance(nothing, MixAhead)
    assert nothing.parts == ()
    assert str(ahead_of_mix(shop, "tar")).startswith("no product 'tar': one of alkaline-cleaner")


def test_a_pot_that_has_to_rest_is_counted_in(
    tmp_path: Path, clock: ManualClock, seeds: Seeds
) -> None:
    epoxy = replace(seeds.products["epoxy-primer"], induction_s=1200)
    own = replace(seeds, products={**seeds.products, "epoxy-primer": epoxy})
    shop = Shop(open_store(str(tmp_path / "rest.db")), clock, "test")
    done(open_shop(shop, own, ("Kit", "Mo"), 6, {"zone": "Europe/London"}))
    blasted(shop)
    mix = ahead_of_mix(shop, "epoxy-primer")
    assert isinstance(mix, MixAhead)
    ((_, ahead),) = mix.parts
    assert ahead.begins.at == mix.pot.use_from == clock.now() + timedelta(minutes=20)
    shop.store.close()


# --- tonight -------------------------------------------------------------------------------------


@pytest.fixture
def evening(shop: Shop, clock: ManualClock) -> Shop:
    """Monday 16:00: brackets blasted at 14:30, a pot of epoxy mixed just now."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    clock.set(MONDAY.replace(hour=14, minute=0))
    read(shop)
    done(steps.begin(shop, 1, "Kit"))
    clock.set(MONDAY.replace(hour=14, minute=30))
    done(steps.finish(shop, 1, "Kit"))
    clock.set(MONDAY.replace(hour=16, minute=0))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    return shop


def test_going_home_what_will_be_missed_is_told_most_harm_first(evening: Shop) -> None:
    found = closed_hours_tasks(evening)
    assert [(missed.word, missed.text) for missed in found.missed] == [
        ("BIN", "pot A Epoxy primer 4:1: bin it by 20:00?"),
        ("ABRADE", "Bracket: Epoxy primer closes ~18:00, then ABRADE"),
    ]
    assert found.away is not None
    assert [local(evening, at) for at in found.away] == ["Mon 17:30", "Tue 07:30"]


def test_a_day_long_shop_misses_nothing(evening: Shop) -> None:
    settings(evening, always_in=True)
    found = closed_hours_tasks(evening)
    assert (found.away, found.missed) == (None, ())
    ahead = looked(ahead_of(evening, 1)).ahead
    assert ahead is not None
    assert ahead.always_in


def test_holidays_in_the_settings_close_the_shop(evening: Shop) -> None:
    settings(evening, holidays=["DTSTART:20250610 FREQ=DAILY;COUNT=1"])
    found = closed_hours_tasks(evening)
    assert found.away is not None
    assert local(evening, found.away[1]) == "Wed 07:30"
    assert found.bad_holidays == ()


def test_a_holiday_that_cannot_be_read_is_left_out_and_told(evening: Shop) -> None:
    settings(evening, holidays=["Christmas", NEW_YEAR])
    found = closed_hours_tasks(evening)
    assert len(found.bad_holidays) == 1
    assert found.bad_holidays[0].startswith("holiday 'Christmas': it has one FREQ")
    assert bench_view.read_bench(evening).house.hours.holidays == (NEW_YEAR,)


def test_a_shop_is_not_opened_with_a_holiday_that_cannot_be_read(
    tmp_path: Path, clock: ManualClock, seeds: Seeds
) -> None:
    shop = Shop(open_store(str(tmp_path / "h.db")), clock, "test")
    refused = open_shop(shop, seeds, ("Kit",), 6, {"holidays": ["FREQ=YEARLY"]})
    assert isinstance(refused, Refusal)
    assert "names no day" in str(refused)
    assert isinstance(open_shop(shop, seeds, ("Kit",), 6, {"holidays": [NEW_YEAR]}), Outcome)
    shop.store.close()
