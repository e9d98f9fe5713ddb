"""The shop's settings on the screen, each with its present value."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Input

from bench import zones
from bench.process.safety.masks import ClearanceMeasurement
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.settings.settings_change import set_settings
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.shop.doing import done

from ..driving import Hands, at_the_bench

ROAD = ("set-up", "settings: hours, masks, cup, probes, bell")


async def change(hands: Hands, digits: str, text: str) -> None:
    """Press digits in the list, and type a line."""
    await hands.press(digits)
    hands.app.screen.query_one(Input).value = text
    await hands.press("enter")


async def test_every_setting_is_shown_and_changed(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROAD)
        assert "masks on 30 min? (not measured)" in hands.picture()
        await change(hands, "1", "Mon-Thu 08:00-16:00")
        await hands.press("2 1 9 enter 7 enter")
        await hands.press("3 2")
        await hands.press("4 2 5 enter 2 enter enter enter enter")
        await hands.press("5 6 0 0 enter 5 enter")
        await change(hands, "6 1", "F, mil")
        await hands.press("7 1")
        hands.app.screen.query_one(Input).value = "/run/air"
        await hands.press("enter")
        await hands.press("8 1 2")
        await change(hands, "8 2", "/opt/relay --on 'bay 2'")
        picture = hands.picture()
        for text in (
            "hours: Mon-Thu 08:00-16:00",
            "usual day 19 C, night 7 C",
            "always somebody in: yes",
            "masks on 25 min, measured 09 Jun 2025 by Kit",
            "cup of 600 ml, marks every 5 ml",
            "F, mil",
            "probes: air",
            "at an alarm: the bell rings; runs /opt/relay --on 'bay 2'",
        ):
            assert text in picture, text
    house = bench_view.read_bench(shop).house
    assert (house.clearance.typed.total_seconds(), house.clearance.measured) == (
        1500.0,
        ClearanceMeasurement(date(2025, 6, 9), "Kit"),
    )
    assert house.alarm_command == ("/opt/relay", "--on", "bay 2")
    assert check(shop).faults == ()


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("4 1 enter enter", "clearance time 1 min: from 5 min to 24 h"),
        ("5 1 0 enter enter", "a cup of 10 ml: from 50 to 20000 ml"),
        ("5 1 0 0 enter 9 0 enter", "marks every 90 ml (a cup of 100 ml): two marks at least"),
        ("2 9 0 enter enter", "day 90 C"),
    ],
)
async def test_what_cannot_be_so_is_refused(
    shop: Shop, clock: ManualClock, keys: str, says: str
) -> None:
    before = bench_view.read_bench(shop).house
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROAD)
        await hands.press(keys)
        assert says in hands.said()
    assert bench_view.read_bench(shop).house == before


async def test_hours_and_commands_that_cannot_be_read_are_said(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROAD)
        await change(hands, "1", "whenever")
        assert "whenever" in hands.said()
        await change(hands, "8 2", "relay 'open")
        assert "close its quotes" in hands.said()


async def test_the_zone_is_shown_and_typed(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROAD, "time zone: Europe/London")
        await change(hands, "", "Dublin")
        assert "no such time zone ('Dublin'): type Europe/Dublin" in hands.said()
        await hands.press("9")
        await change(hands, "1", "Asia/Tokyo")
        assert hands.app.now().hour == 15, "06:30 UTC, nine hours ahead"
        await hands.press("9")
        await change(hands, "1", "")
        assert hands.said() == "from now on: time zone the computer's own, UTC"


async def test_a_zone_set_at_another_terminal_is_taken_over_by_a_running_screen(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        assert "07:30" in hands.picture()
        other = Shop(open_store(str(shop.store.place)), clock, "other")
        done(set_settings(other, "Mo", zone="Asia/Tokyo"))
        other.store.close()
        await hands.let_pass(seconds=1)
        assert "15:30" in hands.picture()


async def test_a_computer_that_is_set_to_another_zone_is_followed_by_a_running_screen(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    done(set_settings(shop, "Kit", zone="local"))
    monkeypatch.delenv("TZ")
    monkeypatch.setattr(zones, "LOCALTIME", link := tmp_path / "localtime")
    link.symlink_to("/usr/share/zoneinfo/Europe/Dublin")
    async with at_the_bench(shop, clock) as hands:
        assert "07:30" in hands.picture()
        link.unlink()
        link.symlink_to("/usr/share/zoneinfo/Asia/Tokyo")
        await hands.let_pass(seconds=1)
        assert "15:30" in hands.picture()
