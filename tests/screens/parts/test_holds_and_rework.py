"""Everything that is not the plain way on, by keypad alone."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.screens.bench.whole_bench import WholeBench
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, placement, steps
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.shop.doing import begin_over

from ..driving import Gone, Hands, at_the_bench


def put(shop: Shop, stand: int, name: str, count: int = 1, route: str = "steel-blasted") -> None:
    answer = placement.place(
        shop, stand, "Kit", route=route, shape="bracket", name=name, count=count
    )
    assert not isinstance(answer, Refusal)


def part_on(hands: Hands, stand: int) -> Part | None:
    placed = bench_view.read_bench(hands.app.shop).on(stand)
    return placed.part if placed else None


def name_on(hands: Hands, stand: int) -> str:
    part = part_on(hands, stand)
    return part.name if part else ""


async def test_a_part_is_moved_to_an_empty_stand(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "Axle")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 4 5 enter")
        assert (name_on(hands, 1), name_on(hands, 5)) == ("", "Axle")


async def test_two_parts_swap_stands_after_a_second_key(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "Axle")
    put(shop, 2, "Frame")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 4 2 enter")
        assert "Swap the two?" in hands.picture()
        await hands.press("0")
        assert name_on(hands, 1) == "Axle"
        await hands.press("1 / 4 2 enter enter")
        assert (name_on(hands, 1), name_on(hands, 2)) == ("Frame", "Axle")


async def test_hold_with_a_reason_and_release(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "Axle")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 1 2")
        assert "HOLD" in hands.picture()
        assert "waiting for the customer" in part_on(hands, 1).hold  # type: ignore[union-attr]
        await hands.press("+")
        assert "HOLD" not in hands.picture()


async def test_skip_a_step_with_a_reason(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "Axle")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 2 4")
        part = part_on(hands, 1)
        assert part is not None
        assert (part.steps[0].status, part.steps[0].reason) == ("skipped", "weather")


async def test_two_of_fourteen_go_to_rework(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "Roller brackets", count=14)
    for _ in range(2):
        holds_and_rework.skip(shop, 1, "Kit", "already done")
    begin_over(shop, 1, "Kit", "tested on the coupon")
    steps.finish(shop, 1, "Kit", all_faces=True)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 3 5 2 enter")
        view = bench_view.read_bench(shop)
        parted = view.find("1b")
        assert parted is not None
        assert (parted.part.count, parted.part.rework) == (2, "fish-eye")
        assert part_on(hands, 1).count == 12  # type: ignore[union-attr]
        hands.app.said = None
        hands.app.tick()
        assert "1b x2 REWORK, no stand" in hands.picture(), "on the card of its lot"


async def test_a_part_without_a_stand_is_put_back_from_the_list(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, "Axle")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 5 enter")
        assert name_on(hands, 1) == ""
        await hands.press("3 + 2")
        assert name_on(hands, 3) == "Axle"


async def test_an_event_is_put_back_by_five_minute_steps_and_undone(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, "Axle")
    clock.advance(minutes=30)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 +")
        began = clock.now()
        await hands.press("- - - enter")
        part = part_on(hands, 1)
        assert part is not None
        assert part.steps[0].first_at == began - timedelta(minutes=15)
        await hands.press(". enter")
        assert isinstance(hands.app.screen, WholeBench), "home, and nothing older is undone"
        part = part_on(hands, 1)
        assert part is not None
        assert part.steps[0].first_at == began


async def test_the_last_action_is_shown_first_and_undone_by_another_key(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, "Axle")
    async with at_the_bench(shop, clock) as hands:
        await hands.press(".")
        assert "placed on stand 1" in hands.picture()
        await hands.press(".")
        assert name_on(hands, 1) == "Axle"
        await hands.press(". enter")
        assert name_on(hands, 1) == ""
        await hands.press("enter")
        assert isinstance(hands.app.screen, WholeBench)
        await hands.press(".")
        assert "nothing to undo" in hands.picture()


async def test_what_was_undone_by_mistake_is_put_back_by_one_key(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, "Axle")
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            (".", Gone("+ redo")),
            ("enter .", "undone: tag 1 Axle"),
            ("+",),
        )
        assert name_on(hands, 1) == "Axle"
        assert isinstance(hands.app.screen, WholeBench)
        assert hands.said().startswith("redone: ")
        await hands.press(".")
        assert "+ redo" not in hands.picture()


async def test_one_more_coat_from_the_trouble_list(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "Axle", route="zinc-new")
    for _ in range(7):
        holds_and_rework.skip(shop, 1, "Kit", "already done")
    begin_over(shop, 1, "Kit", "tested on the coupon")
    steps.finish(shop, 1, "Kit", all_faces=True)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 9 1")
        part = part_on(hands, 1)
        assert part is not None
        current = part.current()
        assert current is not None
        assert current.step.name == "Aerosol top coat 2"


async def test_a_pot_is_binned_after_a_second_key(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("* 1 7 1 3 0 0 enter 1 enter")
        assert len(bench_view.read_bench(shop).pots) == 1
        await hands.press("/ 3 2 /")
        assert len(bench_view.read_bench(shop).pots) == 1
        await hands.press("/ 3 2 4 0 enter")
        assert bench_view.read_bench(shop).pots == ()
        assert hands.said() == "pot A binned, 40 ml left in it"


async def test_a_reading_is_written_down_with_figures_alone(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 2 + 1 8 . 5 enter 6 5 enter + 1 5 enter")
        reading = bench_view.read_bench(shop).reading()
        assert reading is not None
        assert (reading.air_c, reading.rh_pct, reading.metal_c) == (18.5, 65.0, -15.0)
        assert "STOP" in hands.picture()


async def test_an_odd_reading_is_refused_in_words(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 2 + 5 5 enter enter enter")
        assert "from -30 to 50 C" in hands.said()
        assert bench_view.read_bench(shop).reading() is None


async def test_a_shop_is_opened_empty_with_enter_alone(tmp_path: Path, clock: ManualClock) -> None:
    fresh = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    async with at_the_bench(fresh, clock) as hands:
        await hands.press("1")
        await hands.press("enter")
        await hands.press("enter")
        await hands.press("8 enter")
        view = bench_view.read_bench(fresh)
        assert view.painters == ("Painter 1", "Painter 2")
        assert len(view.stands) == 8
        assert "shop opened with 8 stands" in hands.picture()
        assert "painter: Painter 1" in hands.picture()
    fresh.store.close()


async def test_the_first_start_can_look_at_the_demo(tmp_path: Path, clock: ManualClock) -> None:
    fresh = Shop(open_store(str(tmp_path / "new.db")), clock, "test")
    async with at_the_bench(fresh, clock) as hands:
        await hands.press("2")
        assert "DEMO CLOCK" in hands.picture()
        assert "demo clock Wed 11 Jun 09:00, runs as yours" in hands.picture()
    fresh.store.close()
