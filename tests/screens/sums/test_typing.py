"""Typing numbers: bare figures on a keypad, quantities with their units on a keyboard."""

from __future__ import annotations

import pytest
from textual import events

from bench import units
from bench.screens.dialogs.choices import NumberQuestion, Numbers
from bench.screens.dialogs.number_input import number
from bench.shop.core.transaction import Shop
from bench.testing import ManualClock
from bench.units import PINT
from tests.screens.driving import NAMES, Hands, at_the_bench

ML = NumberQuestion("needed", "ml", 300.0)


async def ask(hands: Hands, *asked: NumberQuestion) -> Numbers:
    """A screen of numbers over the bench."""
    screen = Numbers("Numbers", asked)
    hands.app.push_screen(screen)
    await hands.settled()
    return screen


async def typed(hands: Hands, text: str) -> None:
    """A text as a keyboard sends it: its signs come faster than a glove's second press."""
    for sign in text:
        hands.app.post_message(events.Key({" ": "space", **NAMES}.get(sign, sign), sign))
        await hands.settled()


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("2,5 l", "ml", 2500),
        ("2.5l", "ml", 2500),
        ("1 US pt", "ml", 473.176473),
        ("2.4 mil", "um", 60.96),
        ("68 F", "C", 20),
        ("68 degF", "C", 20),
        ("45%", "%", 45),
        ("45 %", "%", 45),
        ("4 m2", "m2", 4),
        ("0,4 kg", "g", 400),
        ("420 g/l", "g/l", 420),
        ("40 m3/h", "m3/h", 40),
        ("18.5", "C", 18.5),
        ("1 h", "min", 60),
        ("610 g/m2", "g/m2", 610),
    ],
)
async def test_quantities_are_read_as_people_write_them(
    text: str, unit: str, value: float, shop: Shop, clock: ManualClock
) -> None:
    """Pint's figures: 1 US liquid pint is 473.176473 ml, 1 mil 25.4 um by definition."""
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, NumberQuestion("it", unit))
        await typed(hands, text)
        await hands.press("enter")
        assert screen.wrong == ""
        assert screen.answers == [pytest.approx(value)]


@pytest.mark.parametrize(
    ("text", "asked", "refused"),
    [
        ("2 kg", ML, "needed: read '2 kg'; wanted it in ml, such as 300 ml"),
        ("ten", ML, "needed: read 'ten', which is not a number with a unit; wanted it in ml"),
        ("5 xyz", NumberQuestion("film", "um"), "film: read '5 xyz'; wanted it in um"),
        ("3 m", NumberQuestion("stand"), "stand: read '3 m'; wanted a bare number"),
        (
            "2.5",
            NumberQuestion("how many", whole=True),
            "how many: read 2.5; wanted a whole number",
        ),
        (
            "4",
            NumberQuestion("cup", choices=("a", "b")),
            "cup: read 4; wanted the number of a choice, 1 to 2",
        ),
        (
            "0",
            NumberQuestion("cup", choices=("a", "b")),
            "cup: read 0; wanted the number of a choice, 1 to 2",
        ),
        ("1.5", NumberQuestion("cup", choices=("a", "b")), "wanted the number of a choice, 1 to 2"),
        ("", NumberQuestion("film", "um"), "film: type a number"),
        (".", NumberQuestion("film", "um"), "film: type a number"),
    ],
)
async def test_what_is_wrong_is_said_on_the_screen_and_may_be_put_right(
    text: str, asked: NumberQuestion, refused: str, shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, asked)
        await typed(hands, text)
        await hands.press("enter")
        assert refused in hands.picture()
        assert screen.answers == []
        await hands.press("- " * (len(text) + 1) + "1 enter")
        assert screen.answers == [1]


async def test_a_long_refusal_is_not_cut(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await ask(hands, NumberQuestion("evaporating solvent all the while", "g/min", 20))
        await typed(hands, "12345 US fl oz/year")
        await hands.press("enter")
        assert ".." not in hands.picture()
        assert "wanted it in g/min, such as 20 g/min" in " ".join(hands.picture().split())


async def test_pint_is_not_asked_where_only_figures_are_typed(
    shop: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    def asked_for(*_: object, **__: object) -> float:
        raise AssertionError("units were read")

    monkeypatch.setattr(units, "read", asked_for)
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, ML, NumberQuestion("metal", "C"))
        await hands.press("2 5 . 5 enter + 3 enter")
        assert screen.answers == [25.5, -3]


async def test_a_keypad_alone_does_all_it_did(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(
            hands, ML, NumberQuestion("metal", "C"), NumberQuestion("left", "ml", must=False)
        )
        await hands.press("1 2 - 5 . . 5")
        assert screen.typed == "15.5"
        await hands.press("- - - - - enter")
        assert screen.answers == [300]
        await hands.press("-")
        assert screen.answers == [], "rubbing out an empty line goes back a line"
        await hands.press("enter + 4 enter enter")
        assert screen.answers == [300, -4, None]


async def test_a_glove_that_presses_a_figure_twice_types_it_once(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, ML)
        await hands.pilot.press("5", "5", "m", "m")
        clock.hold(1)
        await hands.settled()
        assert screen.typed == "5mm"


async def test_a_slash_belongs_to_a_unit_and_else_leads_back(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, NumberQuestion("VOC", "g/l"))
        assert "/ back" in hands.picture()
        await typed(hands, "420 g/l")
        assert screen.typed == "420 g/l"
        assert "Esc home" in hands.picture()
        await hands.press("escape")
        assert not isinstance(hands.app.screen, Numbers)
        await ask(hands, NumberQuestion("VOC", "g/l"))
        await hands.press("4 /")
        assert not isinstance(hands.app.screen, Numbers)


async def test_keys_pressed_after_the_last_number_belong_to_what_comes_next(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, ML)
        screen.press("enter")
        screen.press("7")
        assert hands.app.ahead[-1] == "7"
        hands.app.ahead.clear()


async def test_more_numbers_than_lines_scroll_with_the_one_that_is_asked(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await ask(hands, *(NumberQuestion(f"reading {n}", "um") for n in range(1, 41)))
        for _ in range(30):
            await hands.press("6 0 enter")
        assert "reading 31" in hands.picture()
        assert "_ um" in hands.picture()
        assert len(hands.picture().splitlines()) == 24


async def test_choices_stand_below_with_their_numbers(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, NumberQuestion("cup", start=2, choices=("fine", "coarse")), ML)
        assert "(Enter: 2 coarse)" in hands.picture()
        assert "2  coarse" in hands.picture()
        await hands.press("enter")
        assert screen.answers == [2]
        assert "1  fine" not in hands.picture()


@pytest.mark.parametrize("unit", [unit for unit in PINT if unit not in ("", "degrees C")])
def test_every_unit_that_is_shown_is_one_that_pint_knows(unit: str) -> None:
    written = {"degrees": "deg", "m3/h": "m3/h"}.get(unit, unit)
    assert number(f"2 {written}", unit) == pytest.approx(2)


def test_no_unit_takes_everything() -> None:
    with pytest.raises(ValueError, match="wanted a bare number, such as 4"):
        number("nan", "", 4)
    assert number("1e2", "") == 100


async def test_the_number_of_a_choice_has_no_sign(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await ask(hands, NumberQuestion("anodised", choices=("yes", "no")), ML)
        assert "plus/minus" not in hands.picture()
        await hands.press("+ 2 enter")
        assert screen.answers == [2.0]
        assert "+ plus/minus" in hands.picture()
        await hands.press("+ 5")
        assert "-5_" in hands.picture()
