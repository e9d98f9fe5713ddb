"""A shop that reads Fahrenheit, mils and US fluid ounces sees and types them on every screen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.parts.part import Part, StepRecord
from bench.process.parts.spray_guidance import spray_line
from bench.process.sheets.route import Step
from bench.screens.bench.spray_card import SprayCard
from bench.screens.dialogs.choices import NumberQuestion, Numbers
from bench.screens.sums.answer_page import SumResult
from bench.screens.sums.input_questions import Solved
from bench.screens.sums.known_values import ShopFacts
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.settings import settings_change
from bench.sums.model import Result, SumAnswer
from bench.sums.table import CALCULATIONS
from bench.testing import ManualClock

from ..driving import at_the_bench
from ..stock.test_mix import open_mix
from ..sums.pressing import go_to

# Conversions: COMPUTED by closed form from 1 in = 2.54 cm, 1 US gal = 231 in3, F = 1.8 C + 32.


@pytest.fixture
def us_shop(shop: Shop) -> Shop:
    answer = settings_change.set_settings(shop, "Kit", units="F, mil, US fl oz, ft2, in")
    assert isinstance(answer, Outcome)
    return shop


async def test_the_air_line_is_in_fahrenheit(us_shop: Shop, clock: ManualClock) -> None:
    """20 C and 18 C; dew point 9.26 C at 50 %, so 8.7 C of margin is 15.7 F."""
    readings.take_reading(us_shop, "Kit", air_c=20, rh_pct=50, metal_c=18)
    async with at_the_bench(us_shop, clock) as hands:
        picture = hands.picture()
        assert "air 68 F  50 %  surface 64.4 F  dew 48.7 F  margin 15.7 F" in picture


async def test_a_bare_temperature_is_fahrenheit_and_a_written_one_its_own(
    us_shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(us_shop, clock) as hands:
        await hands.press("/ 2 + 6 8")
        assert "68_ F" in hands.picture()
        await hands.press("enter 5 0 enter 1 8 C enter")
        reading = bench_view.read_bench(us_shop).reading()
        assert reading is not None
        assert (reading.air_c, reading.rh_pct, reading.metal_c) == (20, 50, 18)


async def test_enter_takes_the_start_that_is_shown_in_mils(
    us_shop: Shop, clock: ManualClock
) -> None:
    asked = [NumberQuestion("dry film", "um", 60.0), NumberQuestion("area", "m2", such_as=7.5)]
    taken: list[tuple[float | None, ...] | None] = []
    async with at_the_bench(us_shop, clock) as hands:
        hands.app.push_screen(Numbers("Film", asked), taken.append)
        await hands.settled()
        assert "_ mil   (Enter: 2.36)" in hands.picture()
        await hands.play(
            ("enter", "2.36 mil", "_ ft2   (such as 80.7)"),
            ("1 0 enter",),
        )
        assert taken == [(60.0, pytest.approx(0.9290304))]


async def test_the_cup_is_filled_by_fluid_ounces(us_shop: Shop, clock: ManualClock) -> None:
    """33 US fl oz at 1:1 is 975.9 ml: 16.5 and 33 on the cup."""
    async with at_the_bench(us_shop, clock) as hands:
        await open_mix(hands, "etch-primer", "33")
        picture = hands.picture()
        assert "pour 16.5 US fl oz" in picture
        assert "| 33 activator" in picture
        assert "in all 33 US fl oz" in picture
        await hands.press("enter")
        assert bench_view.read_bench(us_shop).pots[0].total_ml == pytest.approx(975.926, abs=0.001)


SHOWN = (
    Result("wet", "wet film", "um"),
    Result("margin", "margin", "C", "down", 1, difference=True),
    Result("least", "surface at least", "C", "up", 1),
    Result(
        "cup", "cup: {role}", kind="list",
        each=(Result("ml", "", "ml"), Result("to", "fill to", "ml")),
    ),
    Result("rate", "spreading rate", "m2 a litre"),
)  # fmt: skip


async def test_the_answer_of_a_sum_is_in_the_shops_units(us_shop: Shop, clock: ManualClock) -> None:
    calculation = replace(CALCULATIONS[0], results=SHOWN)
    answer = SumAnswer(
        {
            "wet": 125,
            "margin": 3.0,
            "least": 15.3,
            "cup": [{"role": "base", "ml": 200, "to": 300}],
            "rate": 7.5,
        }
    )
    asked = [NumberQuestion("air", "C")]
    async with at_the_bench(us_shop, clock) as hands:
        facts = ShopFacts(hands.app.view, hands.app.now())
        screen = SumResult(calculation, asked, [20.0], Solved(answer, {}), facts)
        hands.app.push_screen(screen)
        await hands.settled()
        picture = hands.picture()
        for words in (
            "air: 68 F",
            "4.92 mil",
            "5.4 F",
            "59.6 F",
            "6.76 US fl oz, fill to 10.1 US fl oz",
            "7.5 m2 a litre",
        ):
            assert words in picture


async def test_a_sum_walked_by_keys_reaches_its_answer_in_fahrenheit(
    us_shop: Shop, clock: ManualClock
) -> None:
    """68 F is 20 C."""
    async with at_the_bench(us_shop, clock) as hands:
        await go_to(hands, "water in the air")
        await hands.press("6 8 enter 5 0 enter")
        assert "air: 68 F" in hands.picture()


async def test_the_gun_is_held_off_by_inches_and_the_film_is_in_mils(
    us_shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(us_shop, clock) as hands:
        view = hands.app.view
        product = next(p for p in view.products.values() if p.film and p.volume_solids_pct)
        tool = next(t for t in view.tools.values() if t.distance_cm and t.speed_cm_s)
        coat = StepRecord(1, Step("coat", "coat", product.key))
        part = Part("1", "axle", 1, "", "", "steel", "", 1, 1, (coat,))
        hands.app.push_screen(SprayCard(part, product, tool, []))
        await hands.settled()
        picture = hands.picture()
        assert "in off" in picture
        assert "mil wet" in picture
        assert " um " not in picture
        spoken = spray_line(product, tool, view.house.units)
        assert " in off" in spoken
        assert " in/s" in spoken
        assert " mil wet = " in spoken
        assert " cm " in spray_line(product, tool)


async def test_the_voc_of_a_mix_is_typed_and_shown_in_pounds_a_gallon(
    shop: Shop, clock: ManualClock
) -> None:
    """3.5 lb/US gal is 419.4 g/l (NIST SP 811 B.8, from memory: 119.8264 kg/m3)."""
    settings_change.set_settings(shop, "Kit", units="lb/US gal")
    asked = [NumberQuestion("VOC of its sheet", "g/l", such_as=420.0)]
    taken: list[tuple[float | None, ...] | None] = []
    async with at_the_bench(shop, clock) as hands:
        hands.app.push_screen(Numbers("VOC", asked), taken.append)
        await hands.settled()
        assert "_ lb/US gal   (such as 3.51)" in hands.picture()
        await hands.press("3 . 5 enter")
        assert taken == [(pytest.approx(419.392, abs=0.01),)]
