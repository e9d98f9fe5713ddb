"""The palette on ctrl+p: everything behind the bench by its words, where nothing is in its way."""

from __future__ import annotations

from functools import partial

import pytest
from textual.command import CommandInput, CommandList
from textual.strip import Strip

from bench.screens.bench.whole_bench import LETTERS, WholeBench
from bench.screens.core.help import Help
from bench.screens.dialogs.choices import Choose, Numbers
from bench.screens.menus.menu_list import ACTIONS
from bench.screens.menus.palette import Palette, places, score, shown
from bench.settings import Profile
from bench.shop.core.transaction import Shop
from bench.shop.people import handover
from bench.shop.settings.settings_change import set_settings
from bench.store.databases.faults import StoreFault
from bench.sums.table import CALCULATIONS
from bench.testing import ManualClock
from bench.widgets.theme import DARK, DARK_16, LIGHT, LIGHT_16
from tests.shop.doing import done
from tests.simulation import LONG

from ..core.test_alarm_watch import wash
from ..driving import Hands, at_the_bench
from ..pictures import fits

FIRST = 3
"""The row of the first place that is listed."""


def colours_of(strip: Strip) -> set[tuple[str, str]]:
    """Letters and what they are on, along one row; what the cursor turns over is left out."""
    styles = [piece.style for piece in strip if piece.style and piece.text.strip("+-| ")]
    return {
        (style.color.get_truecolor().hex, style.bgcolor.get_truecolor().hex)
        for style in styles
        if style.color and style.bgcolor and not style.reverse
    }


async def type_in(hands: Hands, words: str) -> None:
    """As from a keyboard, which has no double presses to mind."""
    hands.app.screen.query_one(CommandInput).value = words
    await hands.settled()


def found(hands: Hands) -> list[str]:
    """What the palette lists, in its order."""
    options = hands.app.screen.query_one(CommandList).options
    return [str(option.prompt) for option in options]


def opened(hands: Hands) -> bool:
    return isinstance(hands.app.screen, Palette)


async def test_every_place_is_found_by_its_own_words_and_opened(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        there = places(hands.app)
        every = [action.words(hands.app) for action in there]
        for words in every:
            assert max(every, key=partial(score, words)) == words
        for action in there if LONG else there[::6]:
            words = action.words(hands.app)
            await hands.press("ctrl+p")
            await type_in(hands, words)
            assert found(hands)[0] == shown(action, hands.app)
            await hands.press("enter")
            home = isinstance(hands.app.screen, WholeBench)
            assert not home or hands.said(), words
            assert not opened(hands)
            hands.app.go_home()
            await hands.settled()


async def test_menus_letters_and_sums_are_all_there_and_each_of_them_once(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        there = places(hands.app)
        words = [action.words(hands.app) for action in there]
        assert len(set(words)) == len(words)
        assert len({action.flow for action in there}) == len(there)
        assert sorted(action.letter for action in ACTIONS if action.letter) == sorted(LETTERS)
        assert {action for action in ACTIONS if action.when(hands.app)} <= set(there)
        sums = [f"sum: {each.title}" for each in CALCULATIONS]
        assert words[-len(sums) :] == sums
        await hands.press("ctrl+p")
        listed = [shown(action, hands.app) for action in there]
        assert found(hands) == listed, "none of Textual's own"


def test_any_words_of_it_in_any_order_and_letters_left_out_are_enough() -> None:
    words = "holidays: days the shop is closed"
    assert score("closed holi", words) > 0
    assert score("HOLIDAYS", words) > 0
    assert score("hldys", words) > 0
    assert score("holidays", words) > score("hldys", words)
    assert score("days the", words) > score("the days", words)
    assert score("holidays axle", words) == 0
    assert score("", words) == 0


async def test_the_sum_takes_what_the_chosen_stand_needs_next(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("ctrl+p")
        await type_in(hands, "dew point")
        await hands.press("enter")
        assert isinstance(hands.app.screen, Numbers)
        assert hands.picture().startswith(" Dew point, and is it fit")


async def test_escape_leads_back_and_nothing_was_done(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        line = hands.app.view.line
        await hands.press("ctrl+p")
        assert opened(hands)
        await hands.press("escape")
        assert isinstance(hands.app.screen, WholeBench)
        assert hands.app.view.line == line
        await hands.press("+")
        assert not isinstance(hands.app.screen, WholeBench), "the far view: keys are taken again"


@pytest.mark.parametrize("road", ["/", "/ 2", "1", "?", "r 1", "/ 7 5"])
async def test_it_does_not_open_over_a_question_or_another_screen(
    shop: Shop, clock: ManualClock, road: str
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press(road)
        home, before = isinstance(hands.app.screen, WholeBench), hands.picture()
        await hands.press("ctrl+p")
        assert opened(hands) == home
        if not home:
            assert hands.picture() == before


async def test_an_alarm_comes_first_and_closes_it(shop: Shop, clock: ManualClock) -> None:
    """10 to 15 min for the mordant: common practice, no source."""
    wash(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("ctrl+p")
        assert opened(hands)
        await hands.let_pass(minutes=10)
        assert hands.app.alarms.known.up
        assert isinstance(hands.app.screen, WholeBench), "it gives way to the alarm"
        await hands.press("ctrl+p")
        assert isinstance(hands.app.screen, WholeBench)
        assert "ctrl+p" not in [key.shown for key in hands.app.screen.keys_beside()]
        await hands.answer()
        await hands.press("ctrl+p")
        assert opened(hands)


async def test_while_nothing_can_be_written_or_the_hour_is_not_known_it_stays_shut(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("ctrl+p")
        monkeypatch.setattr(type(hands.app.view), "doubtful", property(lambda _: True))
        hands.app.screen.redraw()  # type: ignore[attr-defined]
        await hands.settled()
        assert isinstance(hands.app.screen, WholeBench)
        await hands.press("ctrl+p")
        assert not opened(hands)
        monkeypatch.undo()
        hands.app.data.fault = StoreFault("no room", "full")
        await hands.press("ctrl+p")
        assert not opened(hands)


async def test_nobody_who_has_left_opens_it(shop: Shop, clock: ManualClock) -> None:
    for name in ("Kit", "Mo"):
        done(handover.leave(shop, name))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("ctrl+p")
        assert isinstance(hands.app.screen, Choose)
        assert hands.picture().startswith(" Who is in?")


async def test_in_a_kiosk_it_stays_shut_and_the_help_does_not_name_it(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock, kiosk=True) as hands:
        await hands.press("ctrl+p")
        assert not await hands.app.run_action("command_palette")
        assert isinstance(hands.app.screen, WholeBench)
        await hands.press("?")
        assert isinstance(hands.app.screen, Help)
        assert "ctrl+p" not in hands.picture()
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        await hands.press("?")
        assert "ctrl+p  all of it, by words" in hands.picture()


async def test_what_is_typed_and_what_a_painter_is_called_is_no_markup(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        hands.app.painter = "[red]Kit[/] [b"
        await hands.press("ctrl+p")
        for typed in ("[red]Kit[/]", "[b"):
            await type_in(hands, typed)
            assert found(hands)[0].startswith("painters: sign in (now [red]Kit[/] [b)")
        await type_in(hands, "[/] [@click=app.quit]x[/]")
        assert found(hands) == []


@pytest.mark.parametrize("glyphs", ["ascii", "console"])
@pytest.mark.parametrize("size", [(60, 20), (80, 24), (132, 40)])
async def test_only_signs_that_the_terminal_has_are_drawn(
    shop: Shop, clock: ManualClock, glyphs: str, size: tuple[int, int]
) -> None:
    profile = Profile(0 if glyphs == "ascii" else 16, glyphs)  # type: ignore[arg-type]
    async with at_the_bench(shop, clock, size, profile=profile) as hands:
        await hands.press("ctrl+p")
        fits(hands, size)
        assert hands.picture().isascii()
        rows = hands.picture().splitlines()
        assert len(rows) == size[1]
        assert rows[-1].endswith("Enter: open   Esc: back -+")
        await type_in(hands, "nothing like it")
        assert hands.picture().isascii()


PAIRS = {
    ("dark", 256): DARK,
    ("light", 256): LIGHT,
    ("dark", 16): DARK_16,
    ("light", 16): LIGHT_16,
}


@pytest.mark.parametrize(("theme", "colours"), PAIRS)
async def test_its_colours_are_those_of_plain_text_turned_over_where_one_is_chosen(
    shop: Shop, clock: ManualClock, theme: str, colours: int
) -> None:
    done(set_settings(shop, "Kit", theme=theme))
    ink, paper, _ = PAIRS[theme, colours][""]
    async with at_the_bench(shop, clock, profile=Profile(colours, "console")) as hands:
        await hands.press("ctrl+p")
        rows = [colours_of(strip) for strip in hands.app.screen._compositor.render_strips()]
        assert set().union(*rows) == {(ink, paper), (paper, ink)}
        assert [n for n, row in enumerate(rows) if (paper, ink) in row and n > 1] == [FIRST]


async def test_without_colours_the_chosen_place_is_bold_and_underlined(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock, profile=Profile(0, "ascii")) as hands:
        await hands.press("ctrl+p down")
        row = hands.app.screen._compositor.render_strips()[FIRST + 1]
        styles = [piece.style for piece in row if "the air" in piece.text]
        assert [(style.bold, style.underline) for style in styles if style] == [(True, True)]
