"""Keys: what terminals send is read as what is printed on the caps, once, and never by holding."""

from __future__ import annotations

import pytest
from textual import events

from bench.process.refusals.refusal import Refusal
from bench.screens.bench.stand_page import StandPage
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.help import Help
from bench.screens.core.keys import DOUBLE_PRESS_S, REPEATS_FROM_S, Presses, cap, know_every_keypad
from bench.screens.data.first_start import Names
from bench.screens.dialogs.choices import Choose, Numbers
from bench.screens.dialogs.numbered import ChooseByNumber
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from bench.textual_hooks import SteadyParser
from tests.keypads import KEYPADS

from ..driving import Hands, at_the_bench


def read(sent: str) -> list[str]:
    """The caps that are pressed when a terminal sends this."""
    know_every_keypad()
    found = SteadyParser().feed(sent)
    return [cap(each.key, each.character) for each in found if isinstance(each, events.Key)]


@pytest.mark.parametrize("terminal", KEYPADS)
def test_every_key_of_the_keypad_is_read_as_its_cap(terminal: str) -> None:
    sent = KEYPADS[terminal]
    assert len(sent) == 16
    assert {name: read(bytes_) for name, bytes_ in sent.items()} == {name: [name] for name in sent}


@pytest.mark.parametrize("terminal", KEYPADS)
def test_a_burst_of_keys_is_read_one_by_one(terminal: str) -> None:
    sent = KEYPADS[terminal]
    assert read("".join(sent.values())) == list(sent)


def test_the_comma_of_a_keypad_is_its_point_and_the_equal_sign_is_no_key() -> None:
    assert read(",") == ["."]
    assert read("\x1bOl") == ["."]
    assert read("\x1b[57416;129;44u") == ["."]
    assert read("\x1bOX") == []
    assert read("5\x1bOX5") == ["5", "5"]


@pytest.mark.parametrize("sent", ["\x1bOP", "\x1b[[A", "\x1b[11~", "?"])
def test_f1_is_the_question_mark_on_xterm_on_the_console_and_on_a_vt(sent: str) -> None:
    """kf1 of terminfo's xterm and linux (seen); CSI 11 ~ of a vt220 (from memory)."""
    assert read(sent) == ["?"]


# -- twice and for long ---------------------------------------------------------


def given(*presses: tuple[str, float]) -> list[str]:
    """What is done of keys pressed at some seconds, and of the one that waits at the end."""
    told, done = Presses(), []
    for pressed, at_s in presses:
        done += told.taken(pressed, at_s)
    return done + (told.due(told.waiting) if told.waiting else [])


def held(from_s: float, delay_s: float, every_s: float, times: int) -> list[tuple[str, float]]:
    """A key held down, as its terminal repeats it."""
    return [("+", from_s)] + [("+", from_s + delay_s + every_s * n) for n in range(times)]


def test_a_glove_that_presses_twice_within_250_ms_presses_once() -> None:
    assert given(("+", 10.0), ("+", 10.0 + DOUBLE_PRESS_S - 0.01)) == ["+"]
    assert given(("+", 10.0), ("+", 10.0 + DOUBLE_PRESS_S)) == ["+", "+"]
    assert given(("+", 10.0), ("-", 10.01), ("+", 10.02)) == ["+", "-", "+"]


@pytest.mark.parametrize(("delay_s", "every_s"), [(0.25, 0.033), (0.5, 0.033), (0.66, 0.04)])
def test_a_key_that_is_held_down_is_one_press(delay_s: float, every_s: float) -> None:
    """Of the Linux console, a desktop and X: their usual delays, from memory."""
    assert given(*held(10.0, delay_s, every_s, 60)) == ["+"]
    assert given(*held(10.0, delay_s, every_s, 2)) == ["+"]
    assert given(*held(10.0, delay_s, every_s, 60), ("+", 15.0)) == ["+", "+"]


def test_the_same_key_pressed_quickly_on_purpose_counts_every_time_and_in_its_place() -> None:
    assert given(("0", 10.0), ("0", 10.4), ("0", 10.8)) == ["0", "0", "0"]
    assert given(("0", 10.0), ("0", 10.4), ("enter", 10.45)) == ["0", "0", "enter"]
    assert given(("0", 10.0), ("0", 10.0 + REPEATS_FROM_S)) == ["0", "0"]


async def test_a_held_key_neither_ends_what_it_began_nor_opens_anything(
    shop: Shop, clock: ManualClock
) -> None:
    placed = placement.place(shop, 1, "Kit", route="zinc-new", shape="frame")
    assert not isinstance(placed, Refusal)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        clock.hold(1)
        for _ in range(1 + 30):
            hands.app.simulate_key("plus")
            await hands.settled()
            clock.hold(0.5 if _ == 0 else 0.033)
        await hands.wait_until(lambda: hands.app._keypad.presses.waiting is None)
        assert "begun" in hands.said()
        part = hands.app.view.on(1)
        assert part is not None
        assert part.part.steps[0].status == "in hand"


async def test_the_same_key_soon_after_is_done_without_another_key(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("r")
        for _ in range(3):
            clock.hold(0.4)
            hands.app.simulate_key("1")
            await hands.settled()
        screen = hands.app.screen
        assert isinstance(screen, Numbers)
        await hands.wait_until(lambda: screen.typed == "111")


# -- home and help --------------------------------------------------------------


async def test_escape_leads_home_from_the_middle_of_a_question(
    shop: Shop, clock: ManualClock
) -> None:
    placed = placement.place(shop, 1, "Kit", route="zinc-new", shape="frame")
    assert not isinstance(placed, Refusal)
    async with at_the_bench(shop, clock) as hands:
        for keys, what in {
            "1 enter": StandPage,
            "1 enter /": Choose,
            "1 enter / 1": Choose,
            "1 enter / 3": Choose,
            "1 enter *": ChooseByNumber,
            "2 + 1 1 1": Numbers,
            "s 1 1 5": Numbers,
            "?": Help,
            "1 enter / ?": Help,
        }.items():
            await hands.press(keys)
            assert isinstance(hands.app.screen, what), keys
            await hands.press("escape")
            assert isinstance(hands.app.screen, WholeBench), keys
            assert not hands.app.screen.asking
            assert hands.app.screen.chosen is None, "whoever comes home chooses again"


async def test_nought_leads_back_one_screen_at_a_time_and_is_a_figure_where_figures_are_typed(
    shop: Shop, clock: ManualClock
) -> None:
    placed = placement.place(shop, 1, "Kit", route="zinc-new", shape="frame")
    assert not isinstance(placed, Refusal)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 enter / 3")
        await hands.press("0")
        assert isinstance(hands.app.screen, StandPage)
        await hands.press("0")
        assert isinstance(hands.app.screen, WholeBench)
        await hands.press("r 0")
        assert isinstance(hands.app.screen, Numbers)
        assert hands.app.screen.typed == "0"
        await hands.press("/")
        assert isinstance(hands.app.screen, WholeBench)


async def at_the_names(hands: Hands) -> Names:
    await hands.press("1")
    screen = hands.app.screen
    assert isinstance(screen, Names)
    return screen


async def test_a_name_is_typed_as_fast_as_a_keyboard_gives_it(
    tmp_path: object, clock: ManualClock
) -> None:
    fresh = Shop(open_store(f"{tmp_path}/new.db"), clock, "test")
    async with at_the_bench(fresh, clock) as hands:
        await at_the_names(hands)
        await hands.pilot.press(*"Anna", "minus", *"Lotta", "question_mark", "comma")
        await hands.settled()
        screen = hands.app.screen
        assert isinstance(screen, Names)
        assert screen.query("Input").first().value == "Anna-Lotta?,"  # type: ignore[attr-defined]
        await hands.press("f1")
        assert isinstance(hands.app.screen, Help)
        await hands.press("0")
        assert hands.app.screen is screen
        await hands.play(
            ("escape", "start empty"),
            ("escape", "start empty"),  # nothing lies behind the first screen
        )
    fresh.store.close()
