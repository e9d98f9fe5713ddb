"""The far view: the room and the most urgent few in five rows, back by any key, by itself if wanted."""

from __future__ import annotations

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.screens.bench.far_view import FarView
from bench.screens.bench.stand_page import StandPage
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.help import Help
from bench.screens.dialogs.choices import Choose
from bench.settings import Profile
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import placement, steps, testing
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import pots
from bench.testing import ManualClock
from bench.widgets.digits import tall

from ..driving import Hands, at_the_bench


def put(shop: Shop, stand: int) -> None:
    placed = placement.place(
        shop, stand, "Kit", route="zinc-new", shape="frame", name=f"Part {stand}"
    )
    assert not isinstance(placed, Refusal)


def seen(hands: Hands, text: str) -> bool:
    """Whether the text stands there in five rows, one or two cells a dot."""
    picture = hands.picture()
    return any(
        all(row.rstrip() in picture for row in tall(text, cells, ascii_only=hands.app.ascii_only))
        for cells in (1, 2)
    )


async def test_plus_shows_it_from_the_bench_and_any_key_leads_back_and_does_no_more(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        assert "+ far view" in hands.picture()
        before = hands.picture()
        for key in ("0", "1", "+", "enter", ".", "/", "-", "x", "escape"):
            await hands.press("+")
            assert isinstance(hands.app.screen, FarView)
            assert seen(hands, "1 OPEN")
            await hands.press(key)
            assert isinstance(hands.app.screen, WholeBench), key
            assert hands.picture() == before, key
        await hands.press("1")
        assert "far view" not in hands.picture(), "with a stand chosen, plus starts its clock"
        await hands.press("0 + *")
        assert isinstance(hands.app.screen, Help)


@pytest.mark.parametrize(
    ("size", "shown"), [((80, 24), 2), ((132, 40), 4), ((200, 60), 4), ((60, 20), 1), ((40, 10), 0)]
)
async def test_two_on_a_small_screen_and_four_at_most_on_a_large_one(
    shop: Shop, clock: ManualClock, size: tuple[int, int], shown: int
) -> None:
    for stand in range(1, 7):
        put(shop, stand)
    async with at_the_bench(shop, clock, size) as hands:
        await hands.press("+")
        rows = hands.picture().splitlines()
        assert len(rows) <= size[1]
        assert max(map(len, rows)) <= size[0]
        assert [seen(hands, f"{stand} OPEN") for stand in range(1, 7)] == [
            stand <= shown for stand in range(1, 7)
        ]
        assert "OPEN" in hands.picture() or shown > 0


async def test_nothing_large_stands_there_while_no_mask_is_known_to_be_needed(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("+")
        first, *place = hands.picture().splitlines()[:8]
        assert first.startswith(" no spraying recorded since 07:30 ")
        assert not any(place), "and nothing else comes into its place"


async def test_when_nothing_wants_doing_it_shows_what_comes_next_the_soonest_first(
    shop: Shop, clock: ManualClock
) -> None:
    assert isinstance(readings.take_reading(shop, "Kit", air_c=18, metal_c=18), Outcome)
    for stand in (1, 2):
        put(shop, stand)
        for step in range(2):
            assert isinstance(steps.begin(shop, stand, "Kit"), Outcome)
            clock.advance(minutes=20)
            assert isinstance(steps.finish(shop, stand, "Kit"), Outcome), step
            if step == 0:
                assert isinstance(testing.pass_test(shop, stand, "Kit"), Outcome)
    put(shop, 3)
    assert isinstance(steps.begin(shop, 3, "Kit"), Outcome)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("+")
        assert seen(hands, "1 DRYING")
        assert seen(hands, "2 DRYING")
        assert hands.picture().index("Part 1") < hands.picture().index("Part 2")
        assert not seen(hands, "3 WORKING"), "somebody is on it already"
        assert "(Kit) | Part 1" in hands.picture(), "and who was on it"


async def test_an_alarm_stands_above_it_and_is_answered_there(
    shop: Shop, clock: ManualClock
) -> None:
    answer = pots.mix(shop, "etch-primer", "Kit", known=MixStart(need_ml=300.0))
    assert not isinstance(answer, Refusal), answer
    async with at_the_bench(shop, clock) as hands:
        await hands.press("+")
        await hands.let_pass(hours=30)
        assert isinstance(hands.app.screen, FarView)
        assert hands.app.alarms.known.up
        await hands.let_pass(seconds=2)
        assert "Enter answers" in hands.picture().splitlines()[0]
        assert seen(hands, "POT A BIN")
        await hands.press("enter")
        assert isinstance(hands.app.screen, FarView)
        assert not hands.app.alarms.known.up
        await hands.press("enter")
        assert isinstance(hands.app.screen, WholeBench)


async def test_in_ascii_its_letters_are_drawn_with_plain_signs(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1)
    async with at_the_bench(shop, clock, profile=Profile(0, "ascii")) as hands:
        await hands.press("+")
        assert hands.picture().isascii()
        assert seen(hands, "1 OPEN")


async def test_without_a_key_it_comes_by_itself_if_the_shop_wants_that(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("0")
        await hands.let_pass(hours=5)
        assert isinstance(hands.app.screen, WholeBench), "never, until somebody wants it"
        hands.app.do(set_settings, "Kit", far_after_min=10)
        await hands.press("0")
        await hands.let_pass(minutes=9)
        assert isinstance(hands.app.screen, WholeBench)
        await hands.let_pass(minutes=1)
        assert isinstance(hands.app.screen, FarView)
        await hands.press("1")
        await hands.press("1 enter")
        await hands.let_pass(minutes=10)
        assert isinstance(hands.app.screen, FarView)
        await hands.press("0")
        assert isinstance(hands.app.screen, StandPage), "back to what lay under it"
        await hands.press("/")
        await hands.let_pass(hours=1)
        assert isinstance(hands.app.screen, Choose), "never over a question"


def test_how_long_is_refused_below_nought_and_above_a_day(shop: Shop) -> None:
    for minutes in (-1, 24 * 60 + 1):
        refused = set_settings(shop, "Kit", far_after_min=minutes)
        assert isinstance(refused, Refusal)
        assert "0: never" in str(refused)
    assert isinstance(set_settings(shop, "Kit", far_after_min=15), Outcome)
    told = set_settings(shop, "Kit", far_after_min=0)
    assert isinstance(told, Outcome)
    assert told.text == "from now on: the far view never by itself"
