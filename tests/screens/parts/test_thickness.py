"""How thick the last coat came out: one key on its page, none at all where it came out as meant."""

from __future__ import annotations

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.records.as_text import text as as_text
from bench.records.job_record import sheet_page
from bench.screens.bench.spray_card import SprayCard
from bench.screens.bench.stand_page import StandPage
from bench.screens.core.help import Help
from bench.screens.dialogs.choices import Choose
from bench.screens.menus.palette import places
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.queries.log import log_page
from bench.shop.records.gathering import sheet_of
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.shop.doing import done, part

from ..driving import Hands, at_the_bench

PRIMER = 3
HEAVY = "9 heavy coat: waits half as long again"


@pytest.fixture
def primed(shop: Shop, clock: ManualClock) -> Shop:
    """A bracket with epoxy on, its faces done just now; a frame beside it, nothing done yet."""
    return prime(shop, clock)


def prime(shop: Shop, clock: ManualClock) -> Shop:
    """Put the epoxy on."""
    done(set_settings(shop, "Kit", day_c=20, night_c=20))
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=60, metal_c=20))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(placement.place(shop, 2, "Kit", route="zinc-new", shape="frame"))
    for _ in range(PRIMER - 1):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(minutes=3)
    return shop


def keys(hands: Hands) -> str:
    """The legend of the screen."""
    return hands.picture().splitlines()[-1]


async def test_one_key_after_the_last_face_says_that_the_coat_came_out_heavy(
    primed: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(primed, clock) as hands:
        await hands.press("1 enter")
        assert "9 heavy" in keys(hands)
        assert "opens ~23:30?" in hands.picture()
        await hands.press("9")
        assert isinstance(hands.app.screen, Choose)
        await hands.press("3")
        assert isinstance(hands.app.screen, StandPage)
        assert HEAVY in hands.picture()
        assert "opens ~Tue 07:30?" in hands.picture()
        await hands.press("?")
        assert isinstance(hands.app.screen, Help)
        assert "9  heavy" in hands.picture()
    assert part(primed).steps[PRIMER - 1].weight == "heavy"


async def test_a_coat_as_meant_takes_no_line_of_the_page_and_no_key(
    primed: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(primed, clock) as hands:
        await hands.press("1 enter")
        assert not [row for row in hands.picture().splitlines() if row[36:].startswith((" 9", "9"))]
    assert log_page(primed, 1)[0].action == "finish"


async def test_a_film_that_was_measured_is_typed_behind_the_same_key(
    primed: Shop, clock: ManualClock
) -> None:
    """90 um for 60 is half as much again: 2.25 times the wait (common practice, no source)."""
    async with at_the_bench(primed, clock, (132, 40)) as hands:
        await hands.press("1 enter 9 5 9 0 enter enter")
        told = "9 heavy coat, DFT 90 um, target 60? um: waits 2.25 times as long"
        assert told in hands.picture()
    record = part(primed).steps[PRIMER - 1]
    assert (record.weight, record.wet_um, record.dry_um) == ("as meant", None, 90.0)


async def test_said_by_mistake_it_is_undone_with_two_keys(primed: Shop, clock: ManualClock) -> None:
    async with at_the_bench(primed, clock) as hands:
        await hands.press("1 enter 9 3 . enter")
    assert part(primed).steps[PRIMER - 1].weight == "as meant"


async def test_where_no_coat_waits_the_key_is_not_named_and_does_nothing(
    primed: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(primed, clock) as hands:
        await hands.press("2 enter")
        assert "heavy" not in keys(hands)
        await hands.press("9")
        assert isinstance(hands.app.screen, StandPage)


async def test_while_it_is_tested_the_digits_of_the_test_are_as_ever(
    primed: Shop, clock: ManualClock
) -> None:
    clock.advance(hours=17)
    async with at_the_bench(primed, clock) as hands:
        await hands.press("1 enter")
        assert keys(hands).startswith(" 1-3 test")
        assert "9 heavy" in keys(hands)
        await hands.press("9 3")
        assert "WAIT" in hands.picture()


async def test_all_that_can_be_done_lists_it_for_the_chosen_part_and_no_other(
    primed: Shop, clock: ManualClock
) -> None:
    words = "the chosen part's last coat: thin or heavy"
    async with at_the_bench(primed, clock) as hands:
        for stand, there in ((1, True), (2, False), (3, False)):
            await hands.press(f"0 {stand}")
            listed = [action.words(hands.app) for action in places(hands.app)]
            assert (words in listed) == there, stand
        await hands.press("0 1")
        (action,) = (a for a in places(hands.app) if a.words(hands.app) == words)
        hands.app.screen.ask(action.flow(hands.app))  # type: ignore[attr-defined]
        await hands.settled()
        await hands.press("1")
    assert part(primed).steps[PRIMER - 1].weight == "thin"


def right_column(hands: Hands) -> str:
    """What stands beside the route on a part's page, its lines joined."""
    return " ".join(" ".join(row[37:] for row in hands.picture().splitlines()).split())


async def test_a_mist_shows_no_film_on_its_page_its_card_and_its_record(
    shop: Shop, clock: ManualClock
) -> None:
    looks = "thin and broken: metal shows through"
    done(set_settings(shop, "Kit", day_c=20, night_c=20))
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=60, metal_c=20))
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", name="Frame"))
    while "mist" not in part(shop).current().step.name:  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(pots.mix(shop, "etch-primer", "Kit", known=MixStart(need_ml=300)))
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        await hands.press("1 enter")
        assert looks in right_column(hands)
        assert "um wet" not in hands.picture()
        await hands.press("+")
        assert isinstance(hands.app.screen, SprayCard)
        assert looks in hands.picture()
        assert "um wet" not in hands.picture()
        done(steps.finish(shop, 1, "Kit", all_faces=True))
        clock.advance(minutes=12)
        done(testing.pass_test(shop, 1, "Kit"))
        await hands.press("0")
        await hands.let_pass(seconds=2)
        await hands.press("0 1 enter")
        assert "120? um wet = 12? dry, mist and build together" in right_column(hands)
    sheet = sheet_of(shop, 1)
    assert not isinstance(sheet, Refusal)
    record = " ".join(as_text(sheet_page(sheet)).split())
    assert f"Thickness {looks}" in record
