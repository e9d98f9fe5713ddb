"""The whole bench: what is seen without a key, and what each key does."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.keys import KeyWord, legend
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import placement, steps, testing
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.shop.settings.settings_change import set_settings
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from bench.widgets.digits import big
from tests.shop.doing import done

from ..driving import Hands, at_the_bench

FRAME = {"route": "zinc-new", "shape": "frame"}


def put(shop: Shop, stand: int, name: str = "Frame", **more: object) -> None:
    answer = placement.place(shop, stand, "Kit", **{**FRAME, "name": name, **more})  # type: ignore[arg-type]
    assert not isinstance(answer, Refusal), answer


async def test_six_stands_are_seen_without_a_key_with_figures_three_rows_tall(
    shop: Shop, clock: ManualClock
) -> None:
    for stand in range(1, 7):
        put(shop, stand, f"Part {stand}")
        steps.begin(shop, stand, "Kit")
    clock.advance(minutes=12, seconds=34)
    async with at_the_bench(shop, clock) as hands:
        picture = hands.picture()
        assert picture.count("WORKING") == 6
        for stand in range(1, 7):
            assert f"Part {stand}" in picture
        first, *_ = big("12 min", 3, 26)
        assert picture.count(first.rstrip()) == 6, "the first row of three"


async def test_under_a_test_that_alarms_the_list_does_not_say_there_is_nothing_to_do(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1)
    assert not isinstance(steps.begin(shop, 1, "Kit"), Refusal)
    assert not isinstance(steps.finish(shop, 1, "Kit"), Refusal)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=11)
        assert [alarm.want.word for alarm in hands.app.alarms.known.up] == ["TEST"]
        assert "nothing else to do now" in hands.picture()
        assert "nothing to do now" not in hands.picture()
        await hands.let_pass(seconds=2)
        await hands.press("enter")
        assert "TEST      >?<  stand 1: Frame" in hands.picture(), "answered it is on the list"


async def test_a_name_of_forty_letters_is_cut_and_nothing_wraps(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 1, "n" * 40)
    async with at_the_bench(shop, clock) as hands:
        rows = hands.picture().splitlines()
        assert len(rows) == 24
        assert max(len(row) for row in rows) <= 80
        assert ".." in hands.picture()


@pytest.mark.parametrize("size", [(60, 20), (40, 10), (20, 5), (80, 24), (132, 40), (200, 50)])
async def test_every_size_draws_something_readable(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    put(shop, 1)
    async with at_the_bench(shop, clock, size) as hands:
        rows = hands.picture().splitlines()
        assert len(rows) <= size[1]
        assert "OPEN" in hands.picture()


async def test_a_small_terminal_gets_a_plain_list_and_the_stands_come_back(
    shop: Shop, clock: ManualClock
) -> None:
    put(shop, 3)
    async with at_the_bench(shop, clock, (60, 20)) as hands:
        assert " 3 OPEN" in hands.picture()
        await hands.pilot.resize_terminal(80, 24)
        await hands.settled()
        assert "+ places a part here" in hands.picture()


async def test_with_eight_stands_there_are_two_pages(
    eight_stands: Shop, clock: ManualClock
) -> None:
    put(eight_stands, 7, "Seventh")
    async with at_the_bench(eight_stands, clock) as hands:
        assert "page 1 of 2" in hands.picture()
        await hands.press("enter")
        assert " 7  OPEN" in hands.picture()
        await hands.press("0")
        assert "0 again" not in hands.picture(), "it led home, and is no first of two"
        await hands.press("0")
        assert "0 again finds a part" in hands.picture()
        hands.clock.hold(2)
        hands.app.tick()
        assert "page 1 of 2" in hands.picture()
        await hands.press("7")
        assert ">7  OPEN" in hands.picture()


async def test_an_answer_too_long_for_its_line_stands_whole_above_the_stands(
    shop: Shop, clock: ManualClock
) -> None:
    long = "the computer's clock was set, to 11 Jun 2025 10:00 UTC; running clocks are moved"
    async with at_the_bench(shop, clock) as hands:
        hands.app.tell(Outcome(f"{long} 3 h forward: elapsed time stays"))
        hands.app.tick()
        assert "elapsed time stays" in " ".join(hands.picture().split())


async def test_a_double_press_of_a_glove_counts_once(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        await hands.pilot.press("plus", "plus", "plus")
        await hands.settled()
        assert "begun" in hands.said()
        part = hands.app.view.on(1)
        assert part is not None
        assert part.part.steps[0].status == "in hand"


async def test_keys_it_does_not_know_are_passed_over(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        before = hands.picture()
        await hands.press("q x f7 tab z")
        assert hands.picture() == before


async def test_numlock_off_sends_arrows_and_they_are_the_figures_on_the_caps(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        for key, stand in {"end": 1, "down": 2, "pagedown": 3, "left": 4, "right": 6}.items():
            await hands.press(key)
            assert f">{stand} " in hands.picture()
        await hands.press("insert")
        assert ">" not in "".join(row[:1] for row in hands.picture().splitlines()[4:])


async def test_the_other_terminals_work_is_seen_at_the_next_tick(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        put(shop, 2, "Axle beam")
        assert "Axle beam" not in hands.picture()
        await hands.let_pass(seconds=1)
        assert "Axle beam" in hands.picture()


async def test_what_a_person_typed_is_shown_as_it_is(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "lot [A-12] [/] [b x")
    async with at_the_bench(shop, clock) as hands:
        assert "lot [A-12] [/] [b x" in hands.picture()
        await hands.press("1 enter")
        assert "lot [A-12] [/] [b x" in hands.picture()


async def test_a_refusal_is_shown_with_its_reason(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1)
    steps.begin(shop, 1, "Kit")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 / 2 4")
        assert hands.said().startswith("File the zinc spikes is begun")
        assert "NO:" in hands.picture()


async def test_a_tag_brings_up_its_part_from_anywhere(shop: Shop, clock: ManualClock) -> None:
    put(shop, 1, "Axle beam", tag="42")
    placement.take_off(shop, 1, "Kit")
    async with at_the_bench(shop, clock) as hands:
        await hands.press("0 0 4 2 enter")
        assert "tag 42  Axle beam" in hands.picture()
        await hands.press("0 0 0 9 9 enter")
        assert "no tag 99" in hands.said()


def chosen(hands: Hands) -> int | None:
    assert isinstance(hands.app.screen, WholeBench)
    return hands.app.screen.chosen


async def test_stand_ten_is_chosen_by_its_two_figures_and_later_a_nought_leads_home(
    tmp_path: Path, clock: ManualClock, seeds: Seeds
) -> None:
    shop = Shop(open_store(str(tmp_path / "ten.db")), clock, "test")
    assert not isinstance(open_shop(shop, seeds, ("Kit", "Mo"), 20, {}), Refusal)
    put(shop, 10)
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1 0")
        assert ">10 OPEN" in hands.picture()
        await hands.press("0")
        assert chosen(hands) is None
        await hands.press("2 0 enter")
        assert "Stand 20: what is it made of" in hands.picture()
        await hands.press("escape 1")
        clock.hold(5)
        await hands.press("0")
        assert chosen(hands) is None, "not so soon after the first it leads home"
        await hands.press("3 0")
        assert chosen(hands) is None, "there is no stand 30"
    shop.store.close()


@pytest.mark.parametrize("width", [40, 60, 79, 80, 200])
def test_the_line_of_keys_is_never_cut_and_the_last_two_stay(width: int) -> None:
    """The way back and the help, which names the keys that had to make room."""
    table = [KeyWord((str(n),), str(n), "something long") for n in range(1, 7)]
    row = legend([*table, KeyWord(("0",), "0", "home")], width)
    assert len(row) <= width
    assert row.endswith(("0 home  * help", "0 home * help", "0 home * more"))
    assert ("* more" in row) == ("6 something" not in row)


async def test_what_is_due_on_another_page_is_named_on_the_first_and_may_come_first(
    eight_stands: Shop, clock: ManualClock
) -> None:
    done(readings.take_reading(eight_stands, "Mo", air_c=18, metal_c=18))
    put(eight_stands, 1, "First")
    put(eight_stands, 8, "Eighth")
    for stand in (1, 8):
        done(steps.begin(eight_stands, stand, "Mo"))
        done(steps.finish(eight_stands, stand, "Mo"))
        done(testing.pass_test(eight_stands, stand, "Mo"))
    done(steps.begin(eight_stands, 8, "Mo"))
    clock.advance(minutes=6)
    async with at_the_bench(eight_stands, clock) as hands:
        assert "page 2: 8 RINSE 4 min Mo" in hands.picture()
        assert "Eighth" not in hands.picture().split("page 2: 8", 1)[1]
        await hands.press("enter")
        assert "page 1: 1 OPEN (Mo)" in hands.picture()
        hands.app.do(set_settings, "Kit", urgent_first=True)
        await hands.press("0")
        await hands.let_pass(seconds=2)
        assert "8! RINSE" in hands.picture(), "the most urgent stand is on the first page"
        assert "page 2" not in hands.picture().replace("page 1 of 2", "")
