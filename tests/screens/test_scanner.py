"""A scanned tag opens its part's page from every page, and nothing else comes of it."""

from __future__ import annotations

import pytest

from bench.process.stock.mixing import MixStart
from bench.screens.bench.stand_page import StandPage
from bench.screens.dialogs.batch_number import BatchNumber
from bench.screens.menus.palette import Palette
from bench.screens.parts.record_pages import RecordPage
from bench.screens.parts.scanned import NoSuchTag
from bench.screens.stock.mix import MixScreen
from bench.shop.core.transaction import Shop
from bench.shop.parts import lots, placement
from bench.shop.people import handover
from bench.shop.settings.settings_change import set_settings
from bench.testing import ManualClock
from tests.shop.doing import done

from .core.test_alarm_watch import put, wash
from .driving import Hands, Said, at_the_bench
from .pictures import every_screen, name_of
from .test_enter import GIVES_WAY, MADE, TYPED, late, typed_on

BARRED = {"data.clock_wrong.ClockWrong", "data.no_data.NoData"}
"""What has to be answered before anything opens."""


def tag_shown(hands: Hands) -> str:
    """Whose page is on top."""
    screen = hands.app.screen
    return screen.tag if isinstance(screen, StandPage | RecordPage | NoSuchTag) else ""


async def test_from_every_page_a_scan_opens_the_part_and_leads_back(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, 2, "Frame", "frame")
    wash(shop, 2)
    done(placement.place(shop, 3, "Kit", route="zinc-new", shape="frame", tag="115"))
    async with at_the_bench(shop, clock) as hands:
        await late(hands)
        await hands.read_alarms()
        app, mark = hands.app, shop.store.change_mark()
        alarms = app.alarms.known.up
        assert alarms
        for name in sorted({name_of(kind) for kind in every_screen()} - BARRED):
            screen = Palette() if name in GIVES_WAY else MADE[name](app)
            if screen is not None:
                app.push_screen(screen)
                await hands.settled()
            if name in TYPED:
                await hands.press("6 5")
            over = app.screen
            if not getattr(over, "TAKES_SCANS", False):
                await hands.scan("10412")
                assert isinstance(app.screen, NoSuchTag), name
                assert "no tag 10412" in hands.picture(), name
            await hands.scan("115")
            assert isinstance(app.screen, StandPage), name
            assert app.screen.tag == "115", name
            await hands.press("0")
            assert app.screen is over, f"{name}: it comes back"
            assert typed_on(over) == ("65" if name in TYPED else ""), name
            assert app.alarms.known.up == alarms, f"{name}: no alarm is answered"
            assert shop.store.change_mark() == mark, f"{name}: nothing is written"
            app.go_home()
            await hands.settled()


async def test_neither_a_mix_nor_a_half_filled_form_is_lost_by_what_is_done_after_a_scan(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, 0, "Frame")
    async with at_the_bench(shop, clock) as hands:
        mix = MixScreen(hands.app.view.products["etch-primer"], MixStart(need_ml=600.0))
        hands.app.push_screen(mix)
        await hands.press("enter 1 +")
        over, picture = hands.app.screen, hands.picture()
        await hands.scan("1")
        await hands.press("- escape")
        assert (hands.app.screen, hands.picture()) == (over, picture)
        await hands.home()
        await hands.press("r 1 5 enter 6")
        await hands.scan("1")
        await hands.press("/ 1 escape")
        await hands.play(("2 enter enter", Said("..air 15 C, 62 %..")))


async def test_the_tag_of_a_lot_s_piece_is_found_by_scanner_keyboard_and_keypad(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", count=5, tag="4"))
    done(lots.split(shop, "4", "Kit", 2))
    async with at_the_bench(shop, clock) as hands:
        await hands.scan("4B")
        assert tag_shown(hands) == "4b"
        await hands.scan("4")
        assert tag_shown(hands) == "4", "exactly that part's"
        await hands.press("0 0 0 4 b enter")
        assert tag_shown(hands) == "4b"
        await hands.home()
        await hands.press("0 0 4 enter")
        assert "2   tag 4b" in hands.picture()
        await hands.press("2")
        assert tag_shown(hands) == "4b"


async def test_a_line_takes_a_code_that_is_no_tag_but_the_painter_s_own_enter_ends_it(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, 0, "Frame")
    async with at_the_bench(shop, clock) as hands:
        answers: list[str | None] = []
        hands.app.push_screen(BatchNumber("Which?", "none"), answers.append)
        await hands.settled()
        await hands.scan("A77-1")
        assert (typed_on(hands.app.screen), answers) == ("A77-1", [])  # type: ignore[arg-type]
        await hands.scan("1")
        assert tag_shown(hands) == "1", "a tag is a tag here too"
        await hands.press("0")
        done(set_settings(shop, "Kit", scan_prefix="~"))
        hands.app.look_again()
        await hands.scan("1")
        await hands.press("enter")
        assert answers == ["A77-11"]
        await hands.scan("~1")
        assert tag_shown(hands) == "1"


async def test_nothing_is_done_in_the_name_of_who_left(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, 0, "Frame")
    async with at_the_bench(shop, clock) as hands:
        done(handover.leave(shop, "Kit"))
        hands.app.look_again()
        await hands.scan("1")
        assert "Who is in?" in hands.picture()
        await hands.press("2")
        assert (hands.app.painter, tag_shown(hands)) == ("Mo", "1")


@pytest.mark.parametrize("prefix", ["7", "a", "+", "~~~~", "é"])
def test_a_prefix_is_no_key_of_a_hand(shop: Shop, prefix: str) -> None:
    answer = set_settings(shop, "Kit", scan_prefix=prefix)
    assert "one to 3 signs that are on no key of the keypad" in str(answer)
