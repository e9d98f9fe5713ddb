"""Who is on what: take a part, help, hand it over, give it back, share the faces; notes; undo."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import assignment, equipment, holds_and_rework, notes, placement, steps
from bench.shop.queries import log
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import done, part, refused, state, told

pytestmark = pytest.mark.sqlite


def frame(shop: Shop, stand: int = 1) -> None:
    """A frame from bare zinc on."""
    done(placement.place(shop, stand, "Kit", route="zinc-new", shape="frame"))


@done_once
def build_in_hand(shop: Shop) -> None:
    """A frame whose etch primer is being built up by Kit."""
    frame(shop)
    for _ in range(5):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=600)))
    done(steps.begin(shop, 1, "Kit"))


def holder(shop: Shop, key: str) -> str:
    """Who holds a thing."""
    return next(thing.holder for thing in bench_view.read_bench(shop).equipment if thing.key == key)


def test_a_part_is_taken_by_one_and_the_other_is_told_who_has_it(shop: Shop) -> None:
    frame(shop)
    assert done(assignment.take_part(shop, 1, "Kit")).text == (
        "tag 1 Frame: Kit takes it, File the zinc spikes"
    )
    assert part(shop).taken_by == ("Kit",)
    assert refused(assignment.take_part(shop, 1, "Kit")).rule == "Kit is on it already"
    assert str(refused(assignment.take_part(shop, 1, "Mo"))) == (
        "tag 1 Frame: Kit is on it: help, or it is handed over"
    )
    assert str(refused(steps.begin(shop, 1, "Mo"))) == (
        "Kit has taken it: help, or Kit hands it over"
    )
    done(steps.begin(shop, 1, "Kit"))


def test_beginning_takes_the_part_and_finishing_gives_it_back(shop: Shop) -> None:
    frame(shop)
    done(steps.begin(shop, 1, "Kit"))
    assert part(shop).on_it() == ("Kit",)
    done(steps.finish(shop, 1, "Mo"))
    assert part(shop).on_it() == ()
    assert part(shop).steps[0].painters == ("Kit",)


def test_helping_puts_two_on_one_part_begun_or_not(shop: Shop) -> None:
    frame(shop)
    assert refused(holds_and_rework.join_step(shop, 1, "Mo")).rule == "tag 1 Frame: nobody is on it"
    done(assignment.take_part(shop, 1, "Kit"))
    done(holds_and_rework.join_step(shop, 1, "Mo"))
    assert part(shop).on_it() == ("Kit", "Mo")
    done(steps.begin(shop, 1, "Mo"))
    assert part(shop).on_it() == ("Kit", "Mo")
    assert refused(holds_and_rework.join_step(shop, 1, "Mo")).rule == "Mo is on it already"


def test_a_coat_in_hand_is_handed_over_with_the_gun_it_took(shop: Shop) -> None:
    build_in_hand(shop)
    assert holder(shop, "gun-2") == "Kit"
    done(equipment.ask_for(shop, "gun-2", "Mo"))
    assert done(assignment.hand_to(shop, 1, "Kit", "Mo")).text == (
        "tag 1 Frame: Kit hands it to Mo, Etch primer, build"
    )
    record = part(shop).current()
    assert record is not None
    assert (part(shop).on_it(), record.painters) == (("Mo",), ("Kit", "Mo"))
    assert holder(shop, "gun-2") == "Mo"
    assert not next(t for t in bench_view.read_bench(shop).equipment if t.key == "gun-2").queue


def test_what_the_other_forgot_to_hand_over_one_takes_himself(shop: Shop) -> None:
    frame(shop)
    assert refused(assignment.hand_to(shop, 1, "Mo", "Mo")).rule == "tag 1 Frame: nobody is on it"
    done(assignment.take_part(shop, 1, "Kit"))
    done(assignment.hand_to(shop, 1, "Mo", "Mo"))
    assert part(shop).on_it() == ("Mo",)
    assert refused(assignment.hand_to(shop, 1, "Kit", "Mo")).rule == "Mo is on it already"
    assert refused(assignment.hand_to(shop, 1, "Mo", "Zed")).rule == "no painter 'Zed'"


def test_somebody_stays_on_what_is_in_hand(shop: Shop) -> None:
    build_in_hand(shop)
    assert str(refused(assignment.give_part_back(shop, 1, "Kit"))) == (
        "tag 1 Frame: Etch primer, build is in progress (nobody but Kit is on it): "
        "finish it, or hand it over"
    )
    done(holds_and_rework.join_step(shop, 1, "Mo"))
    done(assignment.give_part_back(shop, 1, "Kit"))
    assert part(shop).on_it() == ("Mo",)
    assert holder(shop, "gun-2") == "Mo"


def test_a_part_taken_and_not_begun_is_given_back_by_anybody(shop: Shop) -> None:
    frame(shop)
    done(assignment.take_part(shop, 1, "Kit"))
    assert done(assignment.give_part_back(shop, 1, "Mo")).text == (
        "tag 1 Frame: given back by Mo, for Kit"
    )
    assert refused(assignment.give_part_back(shop, 1, "Mo")).rule == "tag 1 Frame: nobody is on it"


def test_rails_are_shared_and_each_face_bears_the_name_of_whom_it_was_given_to(
    shop: Shop, clock: ManualClock
) -> None:
    build_in_hand(shop)
    answer = done(
        assignment.share_faces(shop, 1, "Kit", {"kit": ["L-in", "xmem"], "Mo": ["R-in", "UND"]})
    )
    assert answer.text == "tag 1 Frame: Etch primer, build: Kit L-in XMEM, Mo R-in UND"
    assert part(shop).on_it() == ("Kit", "Mo")
    clock.advance(minutes=5)
    done(steps.finish(shop, 1, "Kit", mark="R-in"))
    done(steps.finish(shop, 1, "Mo", mark="OUT-L"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    marks = {mark.name: mark.by for mark in part(shop).steps[5].marks}
    assert marks["L-in"] == marks["XMEM"] == "Kit"
    assert marks["R-in"] == marks["UND"] == "Mo", "Mo had the gun, whoever was at the keys"
    assert marks["OUT-L"] == "Mo"
    assert marks["TOP"] == "Kit", "nobody was named for it: who ticked it"


def test_faces_shared_before_the_coat_begins_make_nobody_its_painter_yet(shop: Shop) -> None:
    frame(shop)
    for _ in range(5):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(assignment.share_faces(shop, 1, "Kit", {"Mo": ["TOP"]}))
    assert part(shop).steps[5].painters == ()
    assert part(shop).on_it() == ("Kit", "Mo")
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=600)))
    done(steps.begin(shop, 1, "Kit"))
    done(assignment.share_faces(shop, 1, "Kit", {"Mo": ["UND"]}))
    assert part(shop).steps[5].painters == ("Kit", "Mo")


def test_of_two_on_a_part_one_takes_it_over_from_the_other(shop: Shop) -> None:
    build_in_hand(shop)
    done(holds_and_rework.join_step(shop, 1, "Mo"))
    assert "Kit hands it to Mo" in done(assignment.hand_to(shop, 1, "Mo", "Mo")).text
    assert part(shop).on_it() == ("Mo",)


def test_only_open_faces_of_a_coat_are_shared(shop: Shop, clock: ManualClock) -> None:
    build_in_hand(shop)
    clock.advance(minutes=5)
    done(steps.finish(shop, 1, "Kit", mark="L-in"))
    assert str(refused(assignment.share_faces(shop, 1, "Kit", {"Mo": ["L-in"]}))) == (
        "face L-in is sprayed already (by Kit): share the open ones"
    )
    wrong = refused(assignment.share_faces(shop, 1, "Kit", {"Mo": ["ROOF"]}))
    assert (wrong.rule, wrong.remedy[:9]) == ("no face 'ROOF' in Etch primer, build", "L-in R-in")
    assert (
        refused(assignment.share_faces(shop, 1, "Kit", {"Zed": ["TOP"]})).rule == "no painter 'Zed'"
    )
    assert refused(assignment.share_faces(shop, 1, "Kit", {})).rule == "no face is named"
    frame(shop, 2)
    assert str(refused(assignment.share_faces(shop, 2, "Kit", {"Mo": ["TOP"]}))) == (
        "tag 2 Frame: no faces to share (File the zinc spikes): share those of a coat"
    )


def test_a_face_pressed_twice_keeps_its_first_hour_and_its_painter(
    shop: Shop, clock: ManualClock
) -> None:
    build_in_hand(shop)
    clock.advance(minutes=5)
    done(steps.finish(shop, 1, "Kit", mark="L-in"))
    before, sprayed_at = state(shop), clock.now()
    clock.advance(minutes=5)
    no = refused(steps.finish(shop, 1, "Mo", mark="L-in"))
    assert no.rule == "face L-in is sprayed already"
    assert no.read.endswith("by Kit")
    assert state(shop) == before
    assert part(shop).steps[5].marks[0].done_at == sprayed_at


def test_who_joins_a_two_pack_coat_without_a_set_is_told_to_stay_out(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(3):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    assert done(holds_and_rework.join_step(shop, 1, "Mo")).notes == (
        "nobody recorded that Mo is trained for isocyanate",
        "isocyanate: Mo has no air-fed mask, and stays out of the spray space",
    )


def test_pieces_sent_to_rework_are_nobodys(shop: Shop, clock: ManualClock) -> None:
    build_in_hand(shop)
    clock.advance(minutes=5)
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    assert part(shop).on_it() == ()


# --- notes ---------------------------------------------------------------------------------------


def test_a_note_on_a_part_that_is_not_there_is_refused_and_stands_nowhere(shop: Shop) -> None:
    assert "77" in str(refused(notes.write_note(shop, "Kit", "bolt is loose", target="77")))
    assert bench_view.read_bench(shop).notes == ()


@pytest.mark.sqlite(False)
def test_three_notes_at_most_are_on_the_bench_and_struck_ones_make_room(shop: Shop) -> None:
    for text in ("receiver is not drained", "thinner runs short", "keep the door closed: dust"):
        done(notes.write_note(shop, "Kit", text))
    assert str(refused(notes.write_note(shop, "Mo", "one more"))) == (
        "3 notes are on the bench (receiver is not drained): strike one first"
    )
    first = bench_view.read_bench(shop).notes[0]
    assert done(notes.strike_note(shop, "Mo", first.number)).text == (
        "note on the bench struck: receiver is not drained (Kit, 07:30)"
    )
    done(notes.write_note(shop, "Mo", "one more"))
    assert [note.text for note in bench_view.read_bench(shop).notes] == [
        "thinner runs short",
        "keep the door closed: dust",
        "one more",
    ]
    assert [line.text for line in log.log_page(shop, 5)][-1] == (
        "note on the bench by Kit: receiver is not drained"
    )


def test_a_note_on_a_part_goes_with_its_tag(shop: Shop) -> None:
    frame(shop)
    done(notes.write_note(shop, "Kit", "threads to be cleared", target=1))
    done(placement.move(shop, 1, "Mo", to=4))
    placed = bench_view.read_bench(shop).on(4)
    assert placed is not None
    assert [(note.text, note.tag, note.painter) for note in placed.notes] == [
        ("threads to be cleared", "1", "Kit")
    ]
    assert bench_view.read_bench(shop).notes == ()
    for _ in range(2):
        done(notes.write_note(shop, "Kit", "mind it", target="1"))
    assert refused(notes.write_note(shop, "Kit", "mind it", target="1")).rule == (
        "3 notes are on tag 1 Frame"
    )


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "the note is empty"),
        ("x" * 61, "the note is too long"),
        ("a\x1b[2J", "the note has a control character"),
    ],
)
def test_odd_notes_are_refused_in_words(shop: Shop, text: str, rule: str) -> None:
    assert refused(notes.write_note(shop, "Kit", text)).rule == rule


def test_a_note_that_is_not_there_is_answered_with_those_that_are(shop: Shop) -> None:
    assert str(refused(notes.strike_note(shop, "Kit", 7))) == "no note 7: there is none"
    done(notes.write_note(shop, "Kit", "thinner runs short"))
    number = bench_view.read_bench(shop).notes[0].number
    assert str(refused(notes.strike_note(shop, "Kit", 99))) == f"no note 99: there are: {number}"
    done(notes.strike_note(shop, "Kit", number))
    assert refused(notes.strike_note(shop, "Kit", number)).rule == f"no note {number}"


# --- undo, and two terminals ---------------------------------------------------------------------

Deed = Callable[[Shop], Outcome | Refusal]

DEEDS: dict[str, Deed] = {
    "take": lambda s: assignment.take_part(s, 2, "Mo"),
    "hand to": lambda s: assignment.hand_to(s, 1, "Kit", "Mo"),
    "help": lambda s: holds_and_rework.join_step(s, 1, "Mo"),
    "give back": lambda s: assignment.give_part_back(s, 3, "Kit"),
    "faces": lambda s: assignment.share_faces(s, 1, "Kit", {"Mo": ["TOP", "ENDS"]}),
    "note": lambda s: notes.write_note(s, "Mo", "mind it", target=2),
    "strike": lambda s: notes.strike_note(s, "Mo", 1),
}


@pytest.mark.sqlite(False)
@pytest.mark.parametrize("deed", DEEDS)
def test_every_deed_is_undone_exactly_and_the_journal_agrees(shop: Shop, deed: str) -> None:
    build_in_hand(shop)
    frame(shop, 2)
    frame(shop, 3)
    done(assignment.take_part(shop, 3, "Kit"))
    done(notes.write_note(shop, "Kit", "receiver is not drained"))
    before = state(shop)
    done(DEEDS[deed](shop))
    assert state(shop) == told(shop)
    assert state(shop) != before
    done(undo.undo(shop, "Mo"))
    assert state(shop) == before
    assert check(shop).faults == ()


@pytest.mark.sqlite(False)
def test_of_two_terminals_one_takes_the_part_and_the_other_is_told_who(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    frame(shop)
    other = Shop(open_store(str(data)), clock, "other")
    done(assignment.take_part(shop, 1, "Kit"))
    assert "Kit is on it" in str(refused(assignment.take_part(other, 1, "Mo")))
    assert part(other).taken_by == ("Kit",)
    other.store.close()
