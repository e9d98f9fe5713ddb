"""What two painters share, by keypad: who is on what, equipment, notes, the hand-over."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bench.process.stock.equipment import Equipment
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import equipment, holds_and_rework, notes, placement, steps
from bench.shop.people import handover
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.testing import ManualClock

from ..driving import Gone, Hands, Said, at_the_bench


def ok(answer: object) -> None:
    """It was done."""
    assert isinstance(answer, Outcome), answer


def thing(shop: Shop, key: str = "air-fed-set") -> Equipment:
    """A thing as it is now."""
    return next(t for t in bench_view.read_bench(shop).equipment if t.key == key)


def on_it(shop: Shop, stand: int = 1) -> tuple[str, ...]:
    """Who is on what stands there."""
    placed = bench_view.read_bench(shop).on(stand)
    assert placed is not None
    return placed.part.on_it()


def frame(shop: Shop, stand: int = 1) -> None:
    """A frame from bare zinc on."""
    ok(placement.place(shop, stand, "Kit", route="zinc-new", shape="frame"))


def build_next(shop: Shop) -> None:
    """A frame whose etch primer is to be built up."""
    frame(shop)
    for _ in range(5):
        ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    ok(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    ok(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=600)))


# --- equipment -----------------------------------------------------------------------------------


def holds(key: str, holder: str) -> Callable[[Shop], bool]:
    """Whether a thing is in those hands."""
    return lambda shop: thing(shop, key).holder == holder


async def test_the_air_fed_set_is_taken_waited_for_and_given_back_with_four_keys(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 6", "2   Air-fed set: free"),
            ("2 1", Said("Kit has the air-fed set from 07:30")),
        )
        assert "air-fed set Kit" in hands.picture().splitlines()[-3], "at a glance, beside the pots"
        await hands.play(
            ("/ 6 2 2", holds("air-fed-set", "")),
            ("home",),
            ("/ 6 2 1 w / 6 2", "4   Mo waits for it", "2   Kit forgot: return it now"),
            ("4", "air-fed set Kit, Mo waits"),
            ("w / 6 2 2", "Air-fed set is free: Mo is next"),
            ("0", "air-fed set FREE, Mo is next"),
            ("/ 6 2 1", Said("Mo is next for the air-fed set: Mo takes it, or leaves the queue")),
            ("w / 6 2 1", holds("air-fed-set", "Mo")),
        )


async def test_what_was_forgotten_is_given_back_at_an_earlier_hour(
    shop: Shop, clock: ManualClock
) -> None:
    ok(equipment.take(shop, "air-fed-set", "Mo"))
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(hours=2)
        given_back = "the air-fed set given back by Kit, for Mo 09:00"
        await hands.play(("/ 6 2 3 3 0 enter", Said(given_back)))


async def test_where_the_mask_would_starve_another_air_supply_and_a_second_person_are_asked_for(
    shop: Shop, clock: ManualClock
) -> None:
    ok(equipment.take(shop, "air-fed-set", "Kit"))
    ok(equipment.take(shop, "gun-1", "Kit"))
    asked = "Take the blast cabinet: what feeds the mask instead?"
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("/ 6 5 1", asked, "the air-fed set would starve"),
            ("0", holds("blast-cabinet", "")),
            ("/ 6 5 1 1", "Air supply, breathing-air cylinders: who stays with it?"),
            ("", Gone("Kit")),  # not the one who does the work
            ("1", holds("blast-cabinet", "Kit")),
            ("", Said("..air supply breathing-air cylinders, second person Mo")),
            ("0", "SHORT OF AIR 870 of 600 l/min"),
            ("/ 6", "short of air: air-fed set 170? + top coat gun 300?"),
        )


async def test_what_the_compressor_gives_is_typed_by_keypad(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.play(("/ 6 6", "free; gives 600? l/min"), ("6 4 5 0 enter",))
        compressor = thing(shop, "compressor")
        assert (compressor.gives_l_min, compressor.placeholder) == (450, False)


async def test_a_shop_without_equipment_is_offered_the_usual(
    shop: Shop, clock: ManualClock
) -> None:
    with shop.store.writing() as session:
        for row in _rows(session):
            session.delete(row)
        session.commit()
    async with at_the_bench(shop, clock) as hands:
        await hands.play(("/ 6", "2   write down what a shop usually has"), ("2",))
    assert len(bench_view.read_bench(shop).equipment) == 5


def _rows(session: object) -> list[object]:
    from bench.store.queries import people_rows

    return list(people_rows.equipment(session))  # type: ignore[arg-type]


async def test_beginning_shows_whose_the_gun_is_and_a_refusal_names_who_has_it(
    shop: Shop, clock: ManualClock
) -> None:
    build_next(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(("1 + 0", "primer gun Kit"))
        ok(steps.finish(shop, 1, "Kit", all_faces=True))
        await hands.let_pass(seconds=1)
        assert "top coat gun" not in hands.picture(), "another terminal finished it"


# --- who is on what ------------------------------------------------------------------------------


async def test_a_part_is_taken_helped_with_handed_over_and_given_back(
    shop: Shop, clock: ManualClock
) -> None:
    frame(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("1 / 6", "nobody is on it"),
            ("1 0", "taken: Kit"),
            ("w 1 +", Said("Kit has taken it: help, or Kit hands it over")),
            ("1 / 6", "2   Mo helps", "3   Kit hands it to Mo"),
            ("2", lambda at: on_it(at) == ("Kit", "Mo")),
            ("1 / 6", "4   Mo returns it"),
            ("4", lambda at: on_it(at) == ("Kit",)),
            ("1 / 6 3", lambda at: on_it(at) == ("Mo",)),
            ("1 / 6", "3   hand it to Kit", "2   Kit helps"),
            ("3", lambda at: on_it(at) == ("Kit",)),
        )


async def test_two_on_one_coat_share_its_faces(shop: Shop, clock: ManualClock) -> None:
    build_next(shop)
    ok(steps.begin(shop, 1, "Kit", helper="Mo"))
    shared = "tag 1 Frame: Etch primer, build: Kit L-in OUT-L TOP, Mo R-in XMEM UND OUT-R ENDS"
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("1 / 6", "5   share the faces between two"),
            ("5", "1   L-in       Kit", "2   R-in       Mo"),
            ("3 enter", Said(shared)),
            ("1 enter", "faces: x is sprayed; K Kit, M Mo", "2 R-in M"),
            ("2",),
        )
    placed = bench_view.read_bench(shop).on(1)
    assert placed is not None
    assert placed.part.steps[5].marks[1].by == "Mo", "Kit is signed in, Mo had the gun"


# --- notes ---------------------------------------------------------------------------------------


def noted(*texts: str) -> Callable[[Shop], bool]:
    """Whether these notes and no others stand on the bench."""
    return lambda shop: [note.text for note in bench_view.read_bench(shop).notes] == [*texts]


async def test_a_note_for_the_bench_is_written_by_phrase_or_letter_and_struck(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("/ 6 1 1 1 escape")
        hands.clock.hold(2)
        hands.app.tick()
        assert "note: receiver is not drained" in hands.picture().splitlines()[-2]
        await hands.play(
            ("/ 6", "notes on the bench: 1 of 3"),
            ("1 2", noted()),
            ("home",),
            ("/ 6 1 1 8 [ b ] o i l enter", noted("[b]oil")),
            ("escape", "note: [b]oil"),
        )


async def test_a_note_on_a_part_stands_on_its_stand_and_on_its_page(
    shop: Shop, clock: ManualClock
) -> None:
    frame(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("1 / 6 6 5 0", "note: threads to be clea"),
            ("1 enter", "note: threads to be cleared (Kit 07:30)"),
            ("/ 6", "threads to be cleared (Kit 07:30)"),
            ("7",),
        )
        assert "threads" not in hands.picture().replace(hands.said(), "")


async def test_a_tall_terminal_gives_each_note_a_line(shop: Shop, clock: ManualClock) -> None:
    for text in ("receiver is not drained", "thinner runs short", "mask filters to be changed"):
        ok(notes.write_note(shop, "Mo", text))
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        rows = hands.picture().splitlines()
        assert " note: thinner runs short (Mo 07:30)" in rows
        assert len(rows) == 40


# --- the end of a shift --------------------------------------------------------------------------


async def test_leaving_by_keypad_and_coming_in_the_next_morning(
    shop: Shop, clock: ManualClock
) -> None:
    frame(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(hours=9)
        await hands.play(
            ("/ 1 3", "Hand-over, Mon 16:30 until Tue 07:30"),
            ("+", Said("Kit hands over and leaves"), "painter: Mo"),
            ("1 + 0 / 1 3 +", "painter: nobody"),
        )
        await hands.let_pass(hours=15)
        await hands.play(
            ("1", "Who is in?", "1   Kit (left Mon 16:30)"),
            ("1", "Kit: since you left Mon 16:30"),
            ("", "Mon 16:30 Mo: tag 1 Frame: File the zinc spikes begun 16:30"),
        )
        await hands.answer_all()
        await hands.play(("enter", in_but("Mo"), "painter: Kit"))


def in_but(*left: str) -> Callable[[Shop], bool]:
    """Whether all painters are in but these."""
    return lambda shop: bench_view.read_bench(shop).left.keys() == {*left}


async def test_a_painter_who_comes_to_the_keys_sees_what_was_done_since(
    shop: Shop, clock: ManualClock
) -> None:
    ok(handover.leave(shop, "Mo"))
    frame(shop)
    async with at_the_bench(shop, clock) as hands:
        await hands.play(
            ("w", "Mo: since you left 07:30"),
            ("", "07:30 Kit: tag 1 Frame placed on stand 1: New galvanised"),
            ("0", in_but("Mo")),  # not seen: it is shown again
            ("1 1", Gone("Who is in?")),
        )


async def test_since_you_left_is_there_to_be_read_again(shop: Shop, clock: ManualClock) -> None:
    ok(handover.leave(shop, "Kit"))
    ok(handover.come_in(shop, "Kit"))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(("/ 1 4", "DONE BY OTHERS: nothing", Gone("seen: I am in")))


@pytest.fixture
def full(tmp_path: Path, clock: ManualClock, seeds: Seeds) -> Iterator[Shop]:
    """Twenty-four stands, every one taken by a part with the longest name there may be."""
    shop = Shop(open_store(str(tmp_path / "full.db")), clock, "test")
    ok(open_shop(shop, seeds, ("Kit", "Mo"), 24, {"zone": "Europe/London"}))
    for number in range(1, 25):
        name = f"{'Long name of a bracket of stand ' * 2}"[: 57 - len(str(number))] + f" {number}"
        ok(placement.place(shop, number, "Kit", route="steel-blasted", shape="bracket", name=name))
        ok(holds_and_rework.skip(shop, number, "Kit", "already done"))
        if number % 3 == 0:
            ok(notes.write_note(shop, "Mo", "m" * 60, target=number))
    clock.advance(hours=9)
    for number in range(1, 25):
        ok(steps.begin(shop, number, "Mo"))
        if number % 2:
            ok(steps.finish(shop, number, "Mo"))
    yield shop
    shop.store.close()


@pytest.mark.parametrize("size", [(80, 24), (132, 40), (60, 20)])
async def test_a_full_bench_is_handed_over_in_pages_and_nothing_is_cut(
    full: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    found = handover.handover(full)
    async with at_the_bench(full, clock, size) as hands:
        await hands.press("/ 1 3")
        first = hands.picture()
        (count,) = re.findall(r"page 1 of (\d+)", first)
        shown = await _pages(hands, int(count))
        assert hands.picture() == first, "after the last page comes the first"
    assert not [row for row in shown if row.endswith("..")]
    text = _joined([row for row in shown if not row.endswith(", continued")])
    for section in found.sections:
        for told in section.lines:
            assert _joined([told]) in text, told
    assert sum(len(section.lines) for section in found.sections) > 24


async def _pages(hands: Hands, count: int) -> list[str]:
    """The lines of all pages, without title, painters and keys."""
    shown: list[str] = []
    for _ in range(count):
        rows = hands.picture().splitlines()
        top = next(n for n, row in enumerate(rows) if "Hand-over," in row)
        shown += rows[top + 2 : -1]
        await hands.press("9")
    return shown


def _joined(rows: list[str]) -> str:
    """Lines as one text, with bullets, blanks and the ends of lines gone."""
    return re.sub(r"\s+", "", " ".join(row.strip().removeprefix("- ") for row in rows))


async def test_a_thing_the_other_gave_back_and_took_again_meanwhile_is_not_given_back(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    other = Shop(open_store(str(data)), clock, "window")
    ok(equipment.take(shop, "air-fed-set", "Mo"))
    async with at_the_bench(shop, clock) as hands:
        await hands.play(("/ 6 2", "2   Mo forgot: return it now"))
        ok(equipment.give_back(other, "air-fed-set", "Mo"))
        ok(equipment.take(other, "air-fed-set", "Mo"))
        await hands.play(("2", Said("Mo changed this at 07:30.."), holds("air-fed-set", "Mo")))
    other.store.close()
