"""Dark and light: set for the shop or for one terminal, seen at once, undone like anything."""

from __future__ import annotations

from bench.process.refusals.refusal import Refusal
from bench.settings import Profile
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections.undo import undo
from bench.shop.settings.settings_change import set_settings
from bench.testing import ManualClock
from bench.widgets.theme import DARK, DARK_16, LIGHT, LIGHT_16, Pair

from ..driving import Hands, at_the_bench


def drawn(hands: Hands) -> Pair:
    """What plain text is drawn with."""
    style = hands.app.screen.query_one("Canvas").look.styles[""]  # type: ignore[attr-defined]
    assert style.color is not None
    assert style.bgcolor is not None
    assert hands.app.screen.styles.background.hex.lower() == style.bgcolor.name
    return style.color.name, style.bgcolor.name, bool(style.bold)


async def test_a_terminal_turns_light_and_dark_by_keypad_and_the_other_stays(
    shop: Shop, clock: ManualClock
) -> None:
    other = Shop(shop.store, shop.clock, "office")
    async with at_the_bench(shop, clock) as hands:
        assert drawn(hands) == DARK[""]
        await hands.pick("set-up", "settings: hours, masks, cup, probes, bell")
        await hands.press("6 2")
        assert hands.said() == "from now on: light on test"
        assert drawn(hands) == LIGHT[""]
        assert read_bench(shop).house.theme_on("office") == "dark"
        set_settings(other, "Kit", theme="light")
        await hands.let_pass(seconds=1)
        assert read_bench(shop).house.stored["themes"] == {}, (
            "it is as the shop, and follows it from now on"
        )
        undo(shop, "Kit")
        undo(shop, "Kit")
        await hands.let_pass(seconds=1)
        assert drawn(hands) == DARK[""]


async def test_on_sixteen_colours_the_theme_is_that_of_the_console(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock, profile=Profile(16, "console")) as hands:
        assert drawn(hands) == DARK_16[""]
        hands.app.do(set_settings, "Kit", theme="light")
        await hands.let_pass(seconds=1)
        assert drawn(hands) == LIGHT_16[""]


def test_another_theme_is_refused_and_nothing_is_set(shop: Shop) -> None:
    for named in ({"theme": "green"}, {"theme_here": "green"}):
        refused = set_settings(shop, "Kit", **named)  # type: ignore[arg-type]
        assert isinstance(refused, Refusal)
        assert str(refused).endswith("one of dark, light")
    assert read_bench(shop).house.stored["theme"] == "dark"
    assert isinstance(set_settings(shop, "Kit", theme="light"), Outcome)


async def test_what_the_terminal_was_said_to_be_and_is_not_is_told(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock, profile=Profile(256, "full", "hall")) as hands:
        assert "one of console, plain, full" in hands.said()
