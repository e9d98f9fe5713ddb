"""Overriding by keypad: nothing is begun over a rule that nobody saw and answered."""

from __future__ import annotations

from bench.process.parts.part import StepRecord
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import equipment, holds_and_rework, placement, steps
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.shop.doing import done, part

from ..driving import Gone, Said, at_the_bench


def next_step(shop: Shop) -> StepRecord:
    record = part(shop).current()
    assert record is not None
    return record


def to_gloss(shop: Shop) -> None:
    """A bracket whose next step is isocyanate; no reading, no pot, and Mo has the mask."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(3):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(equipment.take(shop, "air-fed-set", "Mo"))


def to_epoxy(shop: Shop) -> None:
    """A bracket whose next step is epoxy; no reading and no pot."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(2):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))


async def test_three_keys_do_not_start_an_isocyanate_coat(shop: Shop, clock: ManualClock) -> None:
    to_gloss(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 7 1")
        assert next_step(shop).status == "todo"
        await hands.press("1 1 1")
        assert next_step(shop).status == "todo", "the rules are still on the screen"
        picture = " ".join(hands.picture().split())
        assert "Start Two-pack gloss 1: 3 rules in the way" in picture
        for rule in ("no reading of the air", "no pot of Two-pack gloss", "air-fed set is taken"):
            assert rule in picture


async def test_each_rule_is_asked_about_and_keeps_its_own_reason(
    shop: Shop, clock: ManualClock
) -> None:
    to_epoxy(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            (
                "1 / 7 enter",
                "reason 1 of 2: why override this?",
                "no reading of the air (none yet)",
            ),
            ("1",),
        )
        assert next_step(shop).status == "todo", "one reason is not two"
        assert "reason 2 of 2: why override this?" in hands.picture()
        assert "no pot of Epoxy primer 4:1 (none open)" in hands.picture()
        await hands.press("1")
        flags = (
            "override: no reading of the air (none yet): measured at the part: within limits",
            "override: no pot of Epoxy primer 4:1 (none open): it is mixed, not recorded",
        )
        assert next_step(shop).flags == flags
        card = " ".join(hands.picture().split())
        assert all(flag in card for flag in flags), "on the spray card too"


async def test_back_from_the_second_rule_begins_nothing(shop: Shop, clock: ManualClock) -> None:
    to_epoxy(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 7 enter 1 0")
        assert next_step(shop).status == "todo"
        assert hands.said().startswith("no reading of the air (none yet)")


async def test_another_reason_is_typed(shop: Shop, clock: ManualClock) -> None:
    to_epoxy(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 7 enter 2 w i n d enter 2 enter")
        first, second = next_step(shop).flags
        assert first.endswith(": wind")
        assert second.endswith(": other"), "Enter alone"


async def test_a_mask_in_other_hands_asks_for_another_air_supply_and_a_second_person(
    shop: Shop, clock: ManualClock
) -> None:
    to_gloss(shop)
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 7")
        picture = " ".join(hands.picture().split())
        assert "no reason overrides this, only another air supply and a second person" in picture
        await hands.press("3 enter")
        assert next_step(shop).status == "todo", "an air supply has a name"
        await hands.play(
            (
                "/ 7 1",
                "who stays with it?",
                "1   Mo",
                Gone("2   "),
            ),  # Kit, who sprays, is not the second person
            ("1",),
        )
        (flag,) = next_step(shop).flags
        assert flag.endswith(": air supply breathing-air cylinders, second person Mo")


async def test_a_rule_that_came_while_the_others_were_answered_begins_nothing(
    shop: Shop, clock: ManualClock
) -> None:
    to_epoxy(shop)
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 7")
        assert "reason 1 of 1: why override this?" in hands.picture()
        await hands.let_pass(hours=5)
        await hands.press("1")
        assert next_step(shop).status == "todo"
        assert hands.said().startswith("the last reading is too old")


async def test_what_nobody_may_override_ends_it_at_once(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    for _ in range(4):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=300)))
    clock.advance(minutes=20)
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 7")
        assert hands.said().startswith("the coat below has not flashed off")
        await hands.press("enter 1 1")
        assert next_step(shop).status == "todo"


async def test_with_no_rule_in_the_way_nothing_is_begun_over_one(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 7")
        assert hands.said() == "no rule is in the way: start it without an override"
        assert next_step(shop).status == "todo"


async def test_more_rules_than_a_page_holds_are_all_shown_before_the_first_answer(
    shop: Shop, clock: ManualClock
) -> None:
    to_gloss(shop)
    async with at_the_bench(shop, clock, (60, 9)) as hands:
        await hands.play(
            ("1 / 7", Gone("answer each")),
            ("enter", "rules in the way"),  # the rest was not seen yet
        )
        while "answer each" not in hands.picture():
            await hands.press("9")
        await hands.press("enter")
        assert "what feeds the mask instead?" in hands.picture()


async def test_who_is_trained_is_recorded_from_the_painters_page(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 1 5", "nobody recorded whether Mo is trained for isocyanate"),
            ("2 2", Said("recorded: Mo is not trained for isocyanate")),
        )
        assert bench_view.read_bench(shop).trained == {"Kit": None, "Mo": False}
