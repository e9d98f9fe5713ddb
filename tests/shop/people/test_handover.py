"""The end of a shift: the page, who left with what, and what was done since."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from bench.process.attention.handover import pages
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import (
    assignment,
    equipment,
    holds_and_rework,
    notes,
    placement,
    steps,
    testing,
)
from bench.shop.people import handover
from bench.shop.settings import settings_change
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import done, part, refused, state, told

pytestmark = pytest.mark.sqlite

STARTS, TO_MISS = "TUE 10 JUN FROM 07:30, IN THIS ORDER", "DO NOT MISS BEFORE Tue 07:30"
TITLES = [STARTS, TO_MISS, "ALARMS NOT ANSWERED", "DONE TODAY"]
"""What always stands there, in this order; the rest only where there is something."""

OPENED = ("07:30 Kit: shop opened with 6 stands",)


def page(shop: Shop) -> dict[str, tuple[str, ...]]:
    """The page as it is now."""
    return {section.title: section.lines for section in handover.handover(shop).sections}


@done_once
def etch_in_hand(shop: Shop, stand: int = 1) -> None:
    """A frame with its etch being built up, in a room kept at 20 C."""
    done(settings_change.set_settings(shop, "Kit", day_c=20.0, night_c=20.0))
    done(placement.place(shop, stand, "Kit", route="zinc-new", shape="frame"))
    for _ in range(5):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=20))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=600)))
    done(steps.begin(shop, stand, "Kit"))


def test_a_bench_with_nothing_on_it_hands_over_nothing_in_so_many_words(shop: Shop) -> None:
    found = handover.handover(shop)
    assert [section.title for section in found.sections] == TITLES
    assert [section.lines for section in found.sections] == [(), (), (), OPENED]
    assert found.who == "Kit and Mo are in"
    assert found.room == "no spraying recorded since 07:30"
    assert f"{found.until:%a %H:%M}" == "Tue 07:30", "when somebody is in again"


def test_the_page_says_what_is_unfinished_who_has_what_and_what_goes_off(
    shop: Shop, clock: ManualClock
) -> None:
    etch_in_hand(shop)
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", mark="L-in"))
    done(equipment.take(shop, "air-fed-set", "Mo"))
    done(equipment.ask_for(shop, "air-fed-set", "Kit"))
    done(notes.write_note(shop, "Mo", "receiver is not drained"))
    done(placement.place(shop, 2, "Kit", route="steel-blasted", shape="bracket"))
    done(assignment.take_part(shop, 2, "Mo"))
    found = page(shop)
    assert found[STARTS] == ("07:30 OPEN stand 2 tag 2: Degrease and rinse (Mo)",)
    assert found[TO_MISS] == (
        "BIN pot A and FLUSH its gun by 10:42?",
        "WORKING stand 1 tag 1: Etch primer, build, 7 faces left (Kit)",
    )
    assert found["EQUIPMENT"] == (
        "Air-fed set: Mo since 07:40; Kit waits",
        "Primer gun: Kit since 07:30, for tag 1",
    )
    assert found["PARTS BOOKED OUT"] == ("stand 2 tag 2: Degrease and rinse: Mo",)
    assert found["NOTES"] == ("bench: receiver is not drained (Mo 07:40)",)
    assert found["DONE TODAY"][-1] == "07:40 Mo: tag 2 Bracket: Mo takes it, Degrease and rinse"
    assert handover.handover(shop).room == "MASKS ON: Kit sprays Zinc etch primer 1:1"


@pytest.mark.sqlite(False)
def test_what_was_undone_or_done_yesterday_is_not_what_was_done_today(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    done(steps.begin(shop, 1, "Mo"))
    done(undo.undo(shop, "Mo"))
    assert (
        page(shop)["DONE TODAY"][-1] == "07:30 Kit: tag 1 Frame placed on stand 1: New galvanised"
    )
    clock.advance(hours=16, minutes=29)
    assert page(shop)["DONE TODAY"] != (), "a minute before midnight"
    clock.advance(minutes=1)
    assert handover.handover(shop).sections[-1].lines == ()
    done(notes.write_note(shop, "Mo", "the night begins"))
    assert [line[:9] for line in page(shop)["DONE TODAY"]] == ["00:00 Mo:"], "as midnight struck"


def test_a_coat_is_named_for_the_day_it_opens_and_for_the_evening_it_closes(
    shop: Shop, clock: ManualClock
) -> None:
    # Etch primer: open 24 h after its last face, closed 2 days after the first (common practice).
    etch_in_hand(shop)
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    top = "stand 1 tag 1: gloved thumb, Aerosol top coat 1"
    assert page(shop)[STARTS] == (f"~07:40? TEST {top} (Kit)",), "ten minutes after the opening"
    clock.advance(days=1)
    wednesday = handover.handover(shop).sections
    assert wednesday[0].lines == (
        "07:30 ABRADE stand 1 tag 1: abrade, then Aerosol top coat 1 (Kit)",
    )
    done(testing.pass_test(shop, 1, "Mo"))
    clock.advance(hours=10)
    assert not any("stand 1" in row for row in handover.handover(shop).sections[1].lines), (
        "at 07:30 somebody is in"
    )


def test_a_window_that_closes_at_night_is_not_to_be_missed(shop: Shop, clock: ManualClock) -> None:
    # Bare steel after blasting: 4 h to its primer (common practice, no source).
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    clock.advance(hours=9)
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit"))
    done(testing.pass_test(shop, 1, "Kit"))
    assert page(shop)[TO_MISS] == ("by ~18:30? stand 1 tag 1: Epoxy primer, or ABRADE (Kit)",)
    assert page(shop)[STARTS] == (), "it is the evening's"


def test_who_leaves_gives_back_what_no_step_in_hand_needs(shop: Shop, clock: ManualClock) -> None:
    etch_in_hand(shop)
    done(placement.place(shop, 2, "Kit", route="steel-blasted", shape="bracket"))
    done(assignment.take_part(shop, 2, "Kit"))
    done(equipment.take(shop, "air-fed-set", "Kit"))
    done(equipment.ask_for(shop, "air-fed-set", "Mo"))
    cylinders = Override(air_supply="cylinder set 2", second="Kit")
    done(equipment.take(shop, "blast-cabinet", "Mo", override=cylinders))
    done(equipment.ask_for(shop, "blast-cabinet", "Kit"))
    clock.advance(hours=10)
    answer = done(handover.leave(shop, "Kit"))
    assert answer.text == "Kit hands over and leaves; given back: tag 2, Air-fed set"
    assert answer.notes == (
        "tag 1 Frame: Etch primer, build is in progress, with Kit alone",
        "Air-fed set is free: Mo is next",
        "Kit still has the Primer gun, for tag 1, in progress",
    )
    view = bench_view.read_bench(shop)
    assert {t.key: t.holder for t in view.equipment if t.holder} == {
        "gun-2": "Kit",
        "blast-cabinet": "Mo",
    }
    assert view.left.keys() == {"Kit"}
    assert handover.handover(shop).who == "Mo is in, Kit left 17:30"
    assert str(refused(handover.leave(shop, "kit"))) == (
        "Kit left already (17:30): Kit comes in first"
    )


def test_of_two_on_a_coat_the_one_who_stays_keeps_the_gun(shop: Shop) -> None:
    etch_in_hand(shop)
    done(holds_and_rework.join_step(shop, 1, "Mo"))
    assert done(handover.leave(shop, "Kit")).text.endswith("given back: tag 1")
    assert part(shop).on_it() == ("Mo",)
    assert {t.holder for t in bench_view.read_bench(shop).equipment if t.held_for} == {"Mo"}


@pytest.mark.sqlite(False)
def test_the_next_morning_one_sees_what_others_did_since(shop: Shop, clock: ManualClock) -> None:
    assert str(refused_since(shop, "Kit")) == "Kit never handed over: hand over when you leave"
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    clock.advance(hours=9)
    done(handover.leave(shop, "Kit"))
    clock.advance(minutes=10)
    done(steps.begin(shop, 1, "Mo"))
    done(undo.undo(shop, "Mo"))
    done(steps.begin(shop, 1, "Mo", at=clock.now() - timedelta(minutes=5)))
    clock.advance(hours=15)
    found = handover.changes_since(shop, "kit")
    assert isinstance(found, handover.ChangesSince)
    assert [(line.text, line.undone) for line in found.lines] == [
        ("tag 1 Frame: File the zinc spikes begun 16:40", True),
        ("undone: tag 1 Frame: File the zinc spikes begun 16:40 (Mo, 16:40)", False),
        ("tag 1 Frame: File the zinc spikes begun 16:35", False),
    ]
    assert f"{found.left_at:%H:%M}" == "16:30"
    assert done(handover.come_in(shop, "Kit")).text == "Kit is in"
    assert refused(handover.come_in(shop, "Kit")).rule == "Kit is in already"
    again = handover.changes_since(shop, "Kit")
    assert isinstance(again, handover.ChangesSince)
    assert again.lines == found.lines, "it can be read again after coming in"
    assert refused_since(shop, "Zed").rule == "no painter 'Zed'"


def refused_since(shop: Shop, name: str) -> Refusal:
    """Why there is nothing to show."""
    found = handover.changes_since(shop, name)
    assert isinstance(found, Refusal)
    return found


@pytest.mark.sqlite(False)
@pytest.mark.parametrize("deed", [handover.leave, handover.come_in])
def test_leaving_and_coming_in_are_undone_exactly(
    shop: Shop, deed: Callable[[Shop, str], Outcome | Refusal]
) -> None:
    etch_in_hand(shop)
    done(equipment.take(shop, "air-fed-set", "Kit"))
    if deed is handover.come_in:
        done(handover.leave(shop, "Kit"))
    before = state(shop)
    done(deed(shop, "Kit"))
    assert state(shop) == told(shop)
    done(undo.undo(shop, "Mo"))
    assert state(shop) == before
    assert check(shop).faults == ()


def test_pages_leave_nothing_out_and_say_where_a_heading_goes_on() -> None:
    blocks = [
        (f"TITLE {n}", [[f"line {n}.{m}.{k}" for k in range(1 + (n + m) % 4)] for m in range(n)])
        for n in range(9)
    ]
    for room in range(3, 30):
        found = pages(blocks, room)
        assert all(0 < len(rows) <= room for rows in found)
        rows = [row for page_rows in found for row in page_rows]
        told_lines = [row.strip() for row in rows if row.startswith("  ")]
        assert told_lines == [line for _, items in blocks for item in items for line in item]
        for item in (item for _, items in blocks for item in items if len(item) < room):
            on = [n for n, page_rows in enumerate(found) for row in page_rows if row[2:] in item]
            assert len(set(on)) == 1, "an item stands on one page"
        assert [row for row in rows if row.startswith("TITLE") and "continued" not in row] == [
            "TITLE 0: nothing",
            *(f"TITLE {n}" for n in range(1, 9)),
        ]
        for page_rows in found:
            assert not page_rows[0].startswith(" "), "a page never begins without its heading"
            bare = page_rows[-1].startswith("TITLE") and "nothing" not in page_rows[-1]
            assert not bare, "nor ends with a bare one"
