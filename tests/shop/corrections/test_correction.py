"""An older fact is put right with a reason: the old one stays, the clocks that hang on it move."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from bench.commands.reports.bench_data import bench_data
from bench.commands.reports.bench_text import bench_lines
from bench.process.clocks.pots import pot_word
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.records.as_text import text
from bench.records.job_record import sheet_page
from bench.shop.clock import timekeeping
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.part_facts import DefectOfPart, Naming
from bench.shop.corrections.pot_facts import (
    FiguresOfReading,
    HourOfMix,
    PoursOfPot,
    pot_of_line,
    pots_it_may_be,
    reading_of_line,
)
from bench.shop.corrections.step_facts import (
    HourOfMark,
    HourOfStep,
    HourOfTest,
    PaintersOfStep,
    PotOfCoat,
    ReasonOfSkip,
)
from bench.shop.corrections.undo import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.people.painters import set_pin
from bench.shop.queries.log import log_page
from bench.shop.queries.search import SearchPage, find_parts
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.stock import pots, tins
from bench.store.queries.tin_rows import tins_listed
from bench.testing import ManualClock
from tests.conftest import LONDON
from tests.living import done_once

from ..doing import begin_over, done, part, read_20c, refused, stand, state, told

pytestmark = pytest.mark.sqlite

LATE = "the key was pressed late"
PRIMER = 3
"""The step of the epoxy primer on bare steel."""


def at(hour: int, minute: int, day: int = 9) -> datetime:
    """An hour of the Monday, or of a later day."""
    return datetime(2025, 6, day, hour, minute, tzinfo=LONDON)


def sheet(shop: Shop, tag: str = "1") -> Sheet:
    found = sheet_of(shop, tag)
    assert isinstance(found, Sheet), found
    return found


@pytest.fixture
@done_once
def primed(shop: Shop, clock: ManualClock) -> Shop:
    """Fourteen brackets, blasted 07:30-07:50, primed 08:10 to 08:30 by Kit and Mo from pot A."""
    called = {"name": "Brackets", "job": "TROLLEY", "owner": "Rowing club", "count": 14}
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", **called))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit"))
    done(testing.pass_test(shop, 1, "Kit"))
    done(readings.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=20))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    clock.advance(minutes=20)
    done(steps.begin(shop, 1, "Kit", helper="Mo"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(minutes=30)


# --- hours ---------------------------------------------------------------------------------------


def test_a_last_face_put_right_moves_what_counts_from_it_and_says_so(primed: Shop) -> None:
    before = stand(primed)
    answer = done(
        correct(primed, 1, "Mo", LATE, HourOfStep(step=PRIMER, edge="last", at=at(8, 20)))
    )
    assert answer.text == (
        "tag 1 Brackets: Epoxy primer, last face: was 08:30 on Mon 09 Jun 2025, "
        f"now 08:20 on Mon 09 Jun 2025, because {LATE}"
    )
    after = stand(primed)
    assert before.opens is not None
    assert after.opens is not None
    # At 20 C by day and 11 C by night: later or sooner by about the same ten minutes.
    assert timedelta(minutes=5) < before.opens.at - after.opens.at < timedelta(minutes=20)
    assert any(note.startswith("tag 1 opens ~Tue") for note in answer.notes)
    assert not any("masks" in note for note in answer.notes), "no correction ends them early"
    record = part(primed).steps[PRIMER - 1]
    assert record.last_at == at(8, 20)
    # No face can have been sprayed after the last one.
    assert {mark.done_at for mark in record.marks} == {at(8, 20)}


def test_faces_ticked_with_the_last_one_go_with_it_to_a_later_hour(primed: Shop) -> None:
    done(correct(primed, 1, "Mo", LATE, HourOfStep(step=PRIMER, edge="last", at=at(8, 40))))
    assert {mark.done_at for mark in part(primed).steps[PRIMER - 1].marks} == {at(8, 40)}


def test_a_first_face_put_right_moves_the_window_that_closes(primed: Shop) -> None:
    before = stand(primed).closes.at
    done(correct(primed, 1, "Mo", LATE, HourOfStep(step=PRIMER, edge="first", at=at(8, 0))))
    after = stand(primed).closes.at
    assert before is not None
    assert after is not None
    assert before - after == timedelta(minutes=10)


def test_the_sheet_shows_both_values_who_when_and_why(primed: Shop) -> None:
    done(correct(primed, 1, "Mo", "misread", HourOfStep(step=PRIMER, edge="first", at=at(8, 5))))
    (correction,) = sheet(primed).steps[PRIMER - 1].corrections
    assert (correction.painter, correction.number) == ("Mo", log_page(primed, 1)[0].number)
    page = " ".join(text(sheet_page(sheet(primed))).split())
    assert (
        "Corrected tag 1 Brackets: Epoxy primer, first face: was 08:10 on Mon 09 Jun 2025, now "
        "08:05 on Mon 09 Jun 2025, because misread [Mo, 2025-06-09 09:00, line"
    ) in page


def test_the_old_value_stays_in_the_journal_and_an_undo_brings_it_back(primed: Shop) -> None:
    before = state(primed)
    done(correct(primed, 1, "Mo", LATE, HourOfStep(step=PRIMER, edge="first", at=at(8, 5))))
    assert told(primed) == state(primed)
    done(undo(primed, "Kit"))
    assert state(primed) == before
    assert sheet(primed).steps[PRIMER - 1].corrections == ()
    assert check(primed).faults == ()


@pytest.mark.parametrize(
    ("step", "edge", "when", "why"),
    [
        (PRIMER, "last", at(9, 30), "that is in the future"),
        (PRIMER, "first", at(7, 40), "that is before what came before it"),
        (PRIMER, "last", at(8, 5), "that is before what came before it"),
        (PRIMER, "first", at(8, 31), "that is after what came after it"),
        (PRIMER, "first", at(8, 10), "that is what is recorded"),
        (2, "last", at(8, 15), "that is after what came after it"),
        (1, "first", at(7, 30), "Degrease and rinse has not started yet"),
        (6, "last", at(8, 30), "Cure is not over yet"),
        (9, "last", at(8, 30), "no step 9"),
    ],
)
def test_an_hour_that_cannot_have_been_is_refused_with_both_times(
    primed: Shop, step: int, edge: str, when: datetime, why: str
) -> None:
    before = state(primed)
    answer = refused(
        correct(primed, 1, "Kit", LATE, HourOfStep(step=step, edge=edge, at=when))  # type: ignore[arg-type]
    )
    assert answer.rule == why
    assert state(primed) == before


def test_both_times_are_in_the_refusal(primed: Shop) -> None:
    answer = refused(
        correct(primed, 1, "Kit", LATE, HourOfStep(step=PRIMER, edge="first", at=at(7, 40)))
    )
    assert answer.read == "07:40 on Mon 09 Jun 2025 is before 07:50 on Mon 09 Jun 2025"


def test_an_hour_typed_to_the_minute_may_be_the_minute_of_what_came_before_it(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    clock.advance(seconds=40)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit"))
    done(correct(shop, 1, "Kit", LATE, HourOfStep(step=2, edge="last", at=at(7, 30))))
    record = part(shop).steps[1]
    assert record.last_at == record.first_at


def test_a_tested_coat_is_not_put_after_its_test(primed: Shop, clock: ManualClock) -> None:
    clock.advance(days=1)
    done(testing.pass_test(primed, 1, "Mo"))
    answer = refused(
        correct(primed, 1, "Kit", LATE, HourOfStep(step=PRIMER, edge="last", at=at(9, 1, day=10)))
    )
    assert answer.rule in ("that is in the future", "that is after what came after it")


def test_a_coat_that_was_too_early_after_all_is_flagged_on_the_sheet(
    primed: Shop, clock: ManualClock
) -> None:
    # Epoxy primer: 16 h at 20 C, 24 h at 10 C before the next coat (placeholder).
    clock.advance(days=1)
    done(testing.pass_test(primed, 1, "Mo"))
    done(readings.take_reading(primed, "Mo", air_c=20, rh_pct=55, metal_c=20))
    done(pots.mix(primed, "gloss", "Mo", known=MixStart(need_ml=330)))
    done(steps.begin(primed, 1, "Mo"))
    clock.advance(minutes=20)
    done(steps.finish(primed, 1, "Mo", all_faces=True))
    answer = done(
        correct(primed, 1, "Kit", LATE, HourOfStep(step=PRIMER, edge="last", at=at(22, 0)))
    )
    flags = part(primed).steps[PRIMER].flags
    assert flags[-1].startswith("as corrected its first face, 09:00 on Tue 10 Jun 2025, is before")
    assert flags[-1] in answer.notes


# --- why, what was wrong, and which pot ----------------------------------------------------------


def test_why_a_step_was_left_out_is_put_right(primed: Shop) -> None:
    assert part(primed).steps[0].reason == "already done"
    done(correct(primed, 1, "Mo", "misread", ReasonOfSkip(step=1, text="not needed on this part")))
    assert part(primed).steps[0].reason == "not needed on this part"
    assert "why it was left out: was already done, now not needed" in corrections(primed)
    for step, words, why in (
        (1, "not needed on this part", "that is what is recorded"),
        (PRIMER, "other", "Epoxy primer was not left out"),
        (1, "", "the reason"),
    ):
        answer = refused(correct(primed, 1, "Mo", "misread", ReasonOfSkip(step=step, text=words)))
        assert why in str(answer)
    done(undo(primed, "Kit"))
    assert part(primed).steps[0].reason == "already done"


def test_what_was_wrong_is_put_right_and_the_next_coat_is_told_so(primed: Shop) -> None:
    assert (
        refused(correct(primed, 1, "Mo", "misread", DefectOfPart(text="run"))).rule == "no defect"
    )
    done(holds_and_rework.rework(primed, 1, "Kit", "run"))
    done(correct(primed, 1, "Mo", "misread", DefectOfPart(text="fish-eyes")))
    assert [told.defect for told in sheet(primed).defects] == ["fish-eyes"]
    assert part(primed).rework == "fish-eyes"
    assert "was run, now fish-eyes" in corrections(primed)
    answer = refused(correct(primed, 1, "Mo", "misread", DefectOfPart(text="sag", defect=2)))
    assert (answer.rule, answer.read) == ("no defect 2", "there are 1")
    assert check(primed).faults == ()


def test_an_earlier_defect_of_the_same_words_leaves_what_is_reworked_now(primed: Shop) -> None:
    for _ in range(2):
        done(holds_and_rework.rework(primed, 1, "Kit", "run"))
    done(correct(primed, 1, "Mo", "misread", DefectOfPart(text="fish-eyes", defect=1)))
    assert part(primed).rework == "run"
    assert [told.defect for told in sheet(primed).defects] == ["fish-eyes", "run"]


@pytest.mark.sqlite(False)  # the pots it may be are asked for here alone
def test_a_coat_came_from_another_pot(primed: Shop, clock: ManualClock) -> None:
    def number_of(letter: str) -> int:
        found = pot_of_line(primed, line_of(primed, f"pot {letter}: "))
        assert isinstance(found, int)
        return found

    done(pots.mix(primed, "epoxy-primer", "Kit", known=MixStart(need_ml=200), at=at(7, 45)))
    done(pots.mix(primed, "epoxy-primer", "Kit", known=MixStart(need_ml=200)))
    done(pots.mix(primed, "etch-primer", "Kit", known=MixStart(need_ml=200)))
    began = part(primed).steps[PRIMER - 1].first_at
    assert began is not None
    may_be = pots_it_may_be(primed, "epoxy-primer", began)
    assert [told.split()[1] for told in may_be.values()] == ["A", "B"]
    wanted = {"step": PRIMER}
    for letter, why in (
        ("A", "that is what is recorded"),
        ("C", "was not mixed yet"),
        ("D", "is etch-primer"),
    ):
        told = refused(correct(primed, 1, "Mo", LATE, PotOfCoat(pot=number_of(letter), **wanted)))
        assert why in told.rule
    assert refused(
        correct(primed, 1, "Mo", LATE, PotOfCoat(step=2, pot=number_of("B")))
    ).rule.endswith("was sprayed from no pot")
    assert (
        refused(correct(primed, 1, "Mo", LATE, PotOfCoat(pot=999, **wanted))).rule == "no pot 999"
    )
    done(correct(primed, 1, "Mo", LATE, PotOfCoat(pot=number_of("B"), **wanted)))
    (mix,) = sheet(primed).steps[PRIMER - 1].pots
    assert mix.pot.letter == "B"
    assert "sprayed from: was pot A mixed 07:50" in corrections(primed)
    assert told_as_it_is(primed)


def test_a_coat_may_come_from_a_pot_mixed_in_the_minute_it_began(primed: Shop) -> None:
    began = part(primed).steps[PRIMER - 1].first_at
    done(pots.mix(primed, "epoxy-primer", "Kit", known=MixStart(need_ml=200), at=began))
    found = pot_of_line(primed, line_of(primed, "pot B: "))
    assert isinstance(found, int)
    done(correct(primed, 1, "Mo", LATE, PotOfCoat(step=PRIMER, pot=found)))
    (mix,) = sheet(primed).steps[PRIMER - 1].pots
    assert mix.pot.letter == "B"


def told_as_it_is(shop: Shop) -> bool:
    """The journal tells the state."""
    return told(shop) == state(shop) and check(shop).faults == ()


def test_what_a_part_is_made_of_is_put_right(primed: Shop) -> None:
    done(correct(primed, 1, "Mo", "misread", Naming(substrate="aluminium")))
    assert part(primed).substrate == "aluminium"
    answer = refused(correct(primed, 1, "Mo", "misread", Naming(substrate="glass")))
    assert answer.rule == "no substrate 'glass'"
    assert "aluminium" in answer.remedy


# --- who, and what it is called --------------------------------------------------------------------


# --- one face, one zone, a test, a mix -----------------------------------------------------------


def corrections(shop: Shop) -> str:
    """The newest line of the journal."""
    return log_page(shop, 1)[0].text


def test_a_face_that_is_not_sprayed_yet_came_from_no_pot_and_those_that_are_get_named(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="frame", name="Frame"))
    for _ in range(2):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    pot = pot_of_line(shop, line_of(shop, "pot A: "))
    assert isinstance(pot, int)
    done(begin_over(shop, 1, "Kit", "other"))
    first, second, *_ = (mark.name for mark in part(shop).steps[PRIMER - 1].marks)
    done(steps.finish(shop, 1, "Kit", mark=first))
    why = refused(correct(shop, 1, "Mo", LATE, PotOfCoat(step=PRIMER, pot=pot, mark=second)))
    assert (why.rule, why.remedy) == (f"no face '{second}' was sprayed", f"sprayed: {first}")


def test_one_face_ticked_late_is_put_right_and_the_others_stay(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="frame", name="Frame"))
    for _ in range(2):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=20))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    clock.advance(minutes=20)
    done(begin_over(shop, 1, "Kit", "other"))
    faces = [mark.name for mark in part(shop).steps[PRIMER - 1].marks]
    for face in faces:
        clock.advance(minutes=4)
        done(steps.finish(shop, 1, "Kit", mark=face))
    before = part(shop).steps[PRIMER - 1]
    last = before.marks[-1].done_at
    assert last == before.last_at
    right = last - timedelta(minutes=3)
    done(
        correct(shop, 1, "Mo", LATE, HourOfMark(step=PRIMER, mark=faces[-1], edge="last", at=right))
    )
    after = part(shop).steps[PRIMER - 1]
    assert after.marks[:-1] == before.marks[:-1]
    assert (after.marks[-1].done_at, after.last_at, after.first_at) == (
        *(right, right),
        before.first_at,
    )
    assert f"Epoxy primer, {faces[-1]} ticked: was" in corrections(shop)
    later = before.marks[0].done_at + timedelta(minutes=1)
    done(
        correct(
            *(shop, 1, "Mo", LATE),
            HourOfMark(step=PRIMER, mark=faces[0], edge="last", at=later),
        )
    )
    face = part(shop).steps[PRIMER - 1].marks[0]
    assert (face.begun_at, face.done_at) == (later, later), "it was only ever ticked"
    first = {"step": PRIMER, "mark": faces[0]}
    for edge, when, why in (
        ("last", before.first_at - timedelta(minutes=1), "that is before what came before it"),
        ("first", right, f"{faces[0]} is a face"),
    ):
        assert (
            why
            in refused(correct(shop, 1, "Mo", LATE, HourOfMark(edge=edge, at=when, **first))).rule
        )
    other = {"step": PRIMER, "edge": "last", "at": right}
    told = refused(correct(shop, 1, "Mo", LATE, HourOfMark(mark="belly", **other)))
    assert faces[0] in told.remedy
    assert check(shop).faults == ()


@pytest.fixture
@done_once
def soaked(shop: Shop, clock: ManualClock) -> Shop:
    """A mordant wash of which every zone was wetted at once and rinsed 12 minutes later, but for
    the first: nobody pressed for it until 20 minutes were over."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", name="Frame"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    zones = [mark.name for mark in part(shop).current().marks]  # type: ignore[union-attr]
    read_20c(shop)
    for zone in zones:
        done(steps.begin(shop, 1, "Kit", zone=zone))
    clock.advance(minutes=12)
    for zone in zones[1:]:
        done(steps.finish(shop, 1, "Kit", mark=zone))
    clock.advance(minutes=8)
    done(steps.finish(shop, 1, "Kit", mark=zones[0]))
    return shop


def test_a_zone_that_was_rinsed_in_time_after_all_is_no_longer_told_as_late(
    soaked: Shop, clock: ManualClock
) -> None:
    wash = next(r for r in part(soaked).steps if r.step.kind == "dwell")
    zone = wash.marks[0]
    assert wash.flags == (f"{zone.name} rinsed late, after 20 min",)
    right = zone.begun_at + timedelta(minutes=12)
    done(
        correct(
            soaked,
            1,
            "Mo",
            LATE,
            HourOfMark(step=wash.number, mark=zone.name, edge="last", at=right),
        )
    )
    after = part(soaked).steps[wash.number - 1]
    assert after.flags == ()
    assert after.last_at == right
    assert f"{zone.name} rinsed: was" in corrections(soaked)
    # Wetted five minutes before the key was pressed, as it turns out: the step began with it.
    done(undo(soaked, "Mo"))
    earlier = zone.begun_at - timedelta(minutes=5)
    answer = done(
        correct(
            soaked,
            1,
            "Mo",
            LATE,
            HourOfMark(step=wash.number, mark=zone.name, edge="first", at=earlier),
        )
    )
    after = part(soaked).steps[wash.number - 1]
    assert (after.first_at, after.marks[0].begun_at) == (earlier, earlier)
    assert after.flags == (f"{zone.name} rinsed late, after 25 min",)
    assert f"{zone.name} rinsed late, after 25 min" in answer.notes
    assert check(soaked).faults == ()


def test_a_wash_that_ended_sooner_is_told_by_its_zones_too(soaked: Shop) -> None:
    wash = next(r for r in part(soaked).steps if r.step.kind == "dwell")
    assert wash.first_at is not None
    right = wash.first_at + timedelta(minutes=12)
    done(correct(soaked, 1, "Mo", LATE, HourOfStep(step=wash.number, edge="last", at=right)))
    after = part(soaked).steps[wash.number - 1]
    assert after.last_at == right
    assert {mark.done_at for mark in after.marks} == {right}
    assert after.flags == ()


def test_a_zone_is_not_rinsed_before_it_was_wet_itself(soaked: Shop) -> None:
    wash = next(r for r in part(soaked).steps if r.step.kind == "dwell")
    zone, began = wash.marks[-1].name, wash.marks[-1].begun_at
    assert began is not None
    step, late = wash.number, began + timedelta(minutes=6)
    done(correct(soaked, 1, "Mo", LATE, HourOfMark(step=step, mark=zone, edge="first", at=late)))
    dry = HourOfMark(step=step, mark=zone, edge="last", at=began + timedelta(minutes=3))
    assert refused(correct(soaked, 1, "Mo", LATE, dry)).rule == "that is before what came before it"


def test_a_face_without_a_name_is_not_the_whole_step(soaked: Shop) -> None:
    before, wash = state(soaked), next(r for r in part(soaked).steps if r.step.kind == "dwell")
    assert wash.first_at is not None
    earlier = wash.first_at - timedelta(minutes=1)
    right = HourOfMark(step=wash.number, mark="", edge="first", at=earlier)
    assert refused(correct(soaked, 1, "Mo", LATE, right)).rule == "Mordant wash has no ''"
    assert state(soaked) == before


def test_a_test_made_sooner_than_the_key_was_pressed(primed: Shop, clock: ManualClock) -> None:
    clock.set(at(9, 0, day=10))
    done(testing.put_test_off(primed, 1, "Kit", minutes=60))
    clock.set(at(10, 30, day=10))
    done(testing.pass_test(primed, 1, "Kit"))
    coat = {"step": PRIMER}
    told = refused(correct(primed, 1, "Mo", LATE, HourOfTest(at=at(8, 0, day=10), **coat)))
    assert told.rule == "that is before what came before it"
    others = [record for record in part(primed).steps if record.number != PRIMER]
    done(correct(primed, 1, "Mo", LATE, HourOfTest(at=at(10, 10, day=10), **coat)))
    assert part(primed).steps[PRIMER - 1].passed_at == at(10, 10, day=10)
    assert [record for record in part(primed).steps if record.number != PRIMER] == others
    assert "Epoxy primer, passed by Kit: was 10:30 on Tue 10 Jun 2025" in corrections(primed)
    done(correct(primed, 1, "Mo", LATE, HourOfTest(at=at(8, 50, day=10), test=1, **coat)))
    assert [t.at for t in sheet(primed).steps[PRIMER - 1].tests] == [
        at(8, 50, day=10),
        at(10, 10, day=10),
    ]
    told = refused(correct(primed, 1, "Mo", LATE, HourOfTest(at=at(8, 50, day=10), test=3, **coat)))
    assert told.read == "there are 2"
    told = refused(correct(primed, 1, "Mo", LATE, HourOfTest(at=at(8, 50), step=1)))
    assert told.read == "nobody tested it yet"
    assert check(primed).faults == ()


def test_a_not_yet_put_right_asks_again_so_much_sooner(primed: Shop, clock: ManualClock) -> None:
    clock.set(at(9, 0, day=10))
    done(testing.put_test_off(primed, 1, "Kit", minutes=60))
    assert part(primed).steps[PRIMER - 1].not_before == at(10, 0, day=10)
    done(correct(primed, 1, "Kit", LATE, HourOfTest(step=PRIMER, at=at(8, 45, day=10))))
    assert part(primed).steps[PRIMER - 1].not_before == at(9, 45, day=10)
    done(undo(primed, "Kit"))
    assert part(primed).steps[PRIMER - 1].not_before == at(10, 0, day=10)


def test_a_pot_mixed_sooner_than_the_key_was_pressed_ends_sooner(primed: Shop) -> None:
    pot = next(pot for pot in read_bench(primed).pots if pot.letter == "A")
    assert pot.bin_by is not None
    number = pot_of_line(primed, line_of(primed, "pot A: "))
    assert isinstance(number, int)
    told = refused(correct(primed, "", "Mo", LATE, HourOfMix(number, at(8, 20))))
    assert told.rule == "that is after what came after it"
    done(correct(primed, "", "Mo", LATE, HourOfMix(number, at(7, 35))))
    after = next(pot for pot in read_bench(primed).pots if pot.letter == "A")
    moved = pot.mixed_at - at(7, 35)
    assert after.mixed_at == at(7, 35)
    assert after.bin_by == pot.bin_by - moved
    assert after.use_from == pot.use_from - moved
    assert "pot A: mixed: was 07:50 on Mon 09 Jun 2025, now 07:35" in corrections(primed)
    assert check(primed).faults == ()
    done(undo(primed, "Mo"))
    assert next(pot for pot in read_bench(primed).pots if pot.letter == "A") == pot


def test_the_life_of_a_pot_that_is_binned_and_flushed_moves_with_the_hour_it_was_mixed(
    primed: Shop,
) -> None:
    number = pot_of_line(primed, line_of(primed, "pot A: "))
    assert isinstance(number, int)
    done(pots.bin_pot(primed, "A", "Kit"))
    done(pots.flush(primed, "A", "Kit"))
    (before,) = sheet(primed).steps[PRIMER - 1].pots
    done(correct(primed, "", "Mo", LATE, HourOfMix(number, at(7, 35))))
    (after,) = sheet(primed).steps[PRIMER - 1].pots
    assert before.pot.bin_by is not None
    assert after.pot.bin_by == before.pot.bin_by - (before.pot.mixed_at - at(7, 35))
    # Over 500 ml a fifth off (common practice, no source).
    done(correct(primed, "", "Mo", LATE, PoursOfPot(number, {1: 440.0, 2: 110.0})))
    (big,) = sheet(primed).steps[PRIMER - 1].pots
    assert big.pot.bin_by == at(7, 35) + (after.pot.bin_by - at(7, 35)) * 0.8


def test_a_coat_sprayed_from_a_pot_that_was_past_its_life_says_so(
    primed: Shop, clock: ManualClock
) -> None:
    number = pot_of_line(primed, line_of(primed, "pot A: "))
    assert isinstance(number, int)
    answer = done(correct(primed, "", "Mo", LATE, HourOfMix(number, at(20, 0, day=8))))
    flags = part(primed).steps[PRIMER - 1].flags
    assert any(flag.startswith("as corrected its pot A was past its life") for flag in flags)
    assert any("past its life" in note for note in answer.notes)


def test_a_coat_that_was_from_another_pot_is_judged_by_the_life_of_that_one(
    primed: Shop, clock: ManualClock
) -> None:
    done(pots.mix(primed, "epoxy-primer", "Kit", known=MixStart(need_ml=300)))
    other = next(pot for pot in read_bench(primed).pots if pot.letter != "A").letter
    number = pot_of_line(primed, line_of(primed, f"pot {other}: "))
    assert isinstance(number, int)
    done(correct(primed, "", "Mo", LATE, HourOfMix(number, at(20, 0, day=8))))
    answer = done(correct(primed, 1, "Mo", LATE, PotOfCoat(step=PRIMER, pot=number)))
    assert any("past its life" in note for note in answer.notes)


@pytest.mark.parametrize(("value", "fits"), [(0, False), (0.1, True), (100, True), (100.1, False)])
def test_a_humidity_is_over_0_and_up_to_100(value: float, fits: bool) -> None:
    assert (readings.unlikely("humidity", value) is None) is fits


# --- who, and what it is called ------------------------------------------------------------------


def test_who_sprayed_is_put_right(primed: Shop) -> None:
    answer = done(
        correct(
            primed, 1, "Mo", "it was somebody else", PaintersOfStep(step=PRIMER, painters=["mo"])
        )
    )
    assert "done by: was Kit and Mo, now Mo, because it was somebody else" in answer.text
    record = part(primed).steps[PRIMER - 1]
    assert record.painters == ("Mo",)
    assert {mark.by for mark in record.marks} == {"Mo"}
    assert sheet(primed).steps[PRIMER - 1].corrections
    for names, why in ((["Zoe"], "no painter 'Zoe'"), ([], "nobody is named")):
        answer_no = correct(primed, 1, "Mo", LATE, PaintersOfStep(step=PRIMER, painters=names))
        assert refused(answer_no).rule == why
    assert refused(
        correct(primed, 1, "Mo", LATE, PaintersOfStep(step=5, painters=["Mo"]))
    ).rule == ("Two-pack gloss 2 is not begun")


def test_a_parts_name_job_owner_and_count_are_put_right_in_one_line(primed: Shop) -> None:
    right = Naming(name="Keel brackets", job="", owner="Rowing club, Zoë", count=13)
    answer = done(correct(primed, 1, "Mo", "mistyped", right))
    assert answer.text == (
        "tag 1 Brackets: was name Brackets, job TROLLEY, owner Rowing club, count 14, "
        "now name Keel brackets, job none, owner Rowing club, Zoë, count 13, because mistyped"
    )
    told_sheet = sheet(primed)
    assert (told_sheet.part.name, told_sheet.part.job, told_sheet.part.count) == (
        "Keel brackets",
        "",
        13,
    )
    assert [one.text for one in told_sheet.corrections] == [answer.text]


@pytest.mark.sqlite(False)  # the log and the lots of a tag are asked for here alone
def test_a_wrong_tag_is_put_right_and_its_story_goes_with_it(primed: Shop) -> None:
    done(holds_and_rework.rework(primed, 1, "Mo", "fish-eye", count=2))
    before = [line.text for line in sheet(primed).journal]
    done(correct(primed, "1", "Mo", "misread", Naming(tag="17")))
    told_sheet = sheet(primed, "17")
    assert [line.text for line in told_sheet.journal[:-1]] == before
    assert [lot.tag for lot in told_sheet.lots] == ["1b"]
    assert sheet(primed, "1b").split_from == "17"
    # The old tag may be given again: what is done under it is another part's.
    done(placement.place(primed, 2, "Kit", route="zinc-new", shape="frame", tag="1"))
    assert len(sheet(primed, "1").journal) == 1
    assert [line.text for line in sheet(primed, "17").journal[:-1]] == before
    found = find_parts(primed, "17")
    assert isinstance(found, SearchPage)
    assert [one.tag for one in found.parts] == ["17"]
    assert told(primed) == state(primed)


@pytest.mark.parametrize(
    ("right", "why"),
    [
        (Naming(tag="2"), "tag 2 is taken"),
        (Naming(tag="123456789"), "the tag is too long"),
        (Naming(tag="a\x1b"), "the tag has a control character"),
        (Naming(name=""), "the name is empty"),
        (Naming(name="x" * 1000), "the name is too long"),
        (Naming(job="a\u202eb"), "the job has a control character"),
        (Naming(count=0), "a lot of 0"),
        (Naming(count=14), "that is what is recorded"),
        (Naming(), "that is what is recorded"),
    ],
)
def test_what_cannot_be_kept_is_refused_and_nothing_is_half_changed(
    primed: Shop, right: Naming, why: str
) -> None:
    done(placement.place(primed, 2, "Kit", route="zinc-new", shape="frame", tag="2"))
    before = state(primed)
    assert refused(correct(primed, 1, "Mo", LATE, right)).rule == why
    assert state(primed) == before


# --- readings and pots ---------------------------------------------------------------------------


def line_of(shop: Shop, text: str) -> int:
    return next(line.number for line in log_page(shop) if line.text.startswith(text))


def test_a_reading_put_right_moves_every_clock_that_rests_on_it(primed: Shop) -> None:
    before = stand(primed)
    number = reading_of_line(primed, line_of(primed, "reading"))
    assert isinstance(number, int)
    answer = done(correct(primed, "", "Kit", "misread", FiguresOfReading(number, {"metal": 12.0})))
    assert answer.text == (
        "reading of 07:50 on Mon 09 Jun 2025: read by Mo: was surface 20 C, now surface 12 C, "
        "because misread"
    )
    after = stand(primed)
    assert before.opens is not None
    assert after.opens is not None
    assert after.opens.at - before.opens.at > timedelta(hours=1)
    assert any(note.startswith("tag 1 opens") for note in answer.notes)
    assert read_bench(primed).around.readings[-1].metal_c == 12.0
    coat = sheet(primed).steps[PRIMER - 1]
    assert [len(one.corrections) for one in coat.readings] == [1]
    assert "reading 2025-06-09 07:50: reading of 07:50" in " ".join(
        text(sheet_page(sheet(primed))).split()
    )


def test_a_metal_that_nobody_read_can_be_taken_out(primed: Shop) -> None:
    number = reading_of_line(primed, line_of(primed, "reading"))
    assert isinstance(number, int)
    done(
        correct(
            primed,
            "",
            "Kit",
            "misread",
            FiguresOfReading(number, {"metal": None, "humidity": 55.0}),
        )
    )
    newest = read_bench(primed).reading()
    assert newest is not None
    assert (newest.air_c, newest.rh_pct, newest.metal_c) == (20, 55, None)
    for figures, why in (
        ({"air": None}, "a reading without the air"),
        ({"air": 80.0}, "air 80 C"),
        ({"humidity": 101.0}, "humidity 101 %"),
        ({"air": 20.0}, "that is what is recorded"),
        ({"wind": 3.0}, "no wind in a reading"),
    ):
        assert (
            refused(correct(primed, "", "Kit", LATE, FiguresOfReading(number, figures))).rule == why
        )
    assert isinstance(reading_of_line(primed, line_of(primed, "pot A")), Refusal)
    assert isinstance(reading_of_line(primed, 999), Refusal)


def test_a_pot_poured_otherwise_than_written_says_so_on_the_sheets_of_its_coats(
    primed: Shop,
) -> None:
    # 4:1; 240 ml of base and 90 ml of hardener are half as much again of it.
    number = pot_of_line(primed, line_of(primed, "pot A"))
    assert isinstance(number, int)
    answer = done(correct(primed, "", "Mo", "misread", PoursOfPot(number, {2: 90.0})))
    assert "poured: was hardener 60 ml, now hardener 90 ml, because misread" in answer.text
    assert "pot A: 50 % too much hardener" in answer.notes
    coat = sheet(primed).steps[PRIMER - 1]
    (pot,) = coat.pots
    assert [ml for _, ml in pot.pours] == [240.0, 90.0]
    assert pot.pot.total_ml == 330.0
    assert pot.number == number
    assert len(pot.corrections) == 1
    assert coat.corrections == ()
    assert coat.record.flags[-1] == "as corrected its pot A had 50 % too much hardener"
    for pours, why in (
        ({3: 10.0}, "no pour 3"),
        ({1: -1.0}, "-1 ml"),
        ({1: 0.0, 2: 0.0}, "too much for one pot"),
        ({2: 90.0}, "that is what is recorded"),
    ):
        assert refused(correct(primed, "", "Mo", LATE, PoursOfPot(number, pours))).rule == why


def test_a_pot_corrected_to_a_wrong_ratio_is_to_bin_until_it_is_corrected_back(
    primed: Shop,
) -> None:
    """4:1: of 240 and 90 ml the hardener is half as much again as 60 ml. Arithmetic."""
    number = pot_of_line(primed, line_of(primed, "pot A"))
    assert isinstance(number, int)
    off = "50 % too much hardener"
    done(correct(primed, "", "Mo", "misread", PoursOfPot(number, {2: 90.0})))
    view, now = read_bench(primed), primed.clock.now()
    (pot,) = view.pots
    assert (pot.off, pot_word(pot, now)) == (off, "BIN")
    assert f"pot A Epoxy primer 4:1: bin it: {off}" in [want.text for want in view.wants(now)]
    assert all(alarm.cause.who != "pot A" for alarm in view.alarming(now)), "who typed it knows it"
    assert f"BIN        pot A: Epoxy primer 4:1, 330 ml: {off}" in [
        row.strip() for row in bench_lines(view, now)
    ]
    data = bench_data(view, now)["pots"]
    assert [(each["state"], each["off_ratio"]) for each in data] == [("bin", off)]
    done(placement.place(primed, 2, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(2):
        done(holds_and_rework.skip(primed, 2, "Kit", "already done"))
    no = refused(steps.begin(primed, 2, "Kit"))
    assert str(no) == f"the pot of Epoxy primer 4:1 is off its ratio ({off}): bin it and mix fresh"
    no = refused(pots.top_up(primed, "A", "Kit", known=MixStart(need_ml=100)))
    assert str(no) == f"pot A is off its ratio ({off}): bin it and mix fresh"
    flags = part(primed).steps[PRIMER - 1].flags
    assert [flag for flag in flags if "pot A" in flag] == [f"as corrected its pot A had {off}"]
    done(correct(primed, "", "Mo", "right after all", PoursOfPot(number, {2: 60.0})))
    (pot,) = read_bench(primed).pots
    assert (pot.off, pot_word(pot, primed.clock.now())) == ("", "USE")
    assert part(primed).steps[PRIMER - 1].flags == ()
    done(steps.begin(primed, 2, "Kit"))


def test_a_pot_that_was_a_big_one_after_all_ends_sooner(primed: Shop) -> None:
    # Over 500 ml a fifth off (common practice, no source).
    number = pot_of_line(primed, line_of(primed, "pot A"))
    assert isinstance(number, int)
    (before,) = read_bench(primed).pots
    answer = done(correct(primed, "", "Mo", LATE, PoursOfPot(number, {1: 440.0, 2: 110.0})))
    (after,) = read_bench(primed).pots
    assert before.bin_by is not None
    assert after.bin_by is not None
    assert (before.bin_by - before.mixed_at) * 0.8 == after.bin_by - after.mixed_at
    assert any(note.startswith("pot A bin by") for note in answer.notes)


def test_no_more_was_binned_of_a_pot_than_was_poured(primed: Shop) -> None:
    number = pot_of_line(primed, line_of(primed, "pot A"))
    assert isinstance(number, int)
    done(pots.bin_pot(primed, "A", "Kit", left_ml=100))
    for base_ml, fits in ((79.0, False), (80.0, True)):
        pours = PoursOfPot(number, {1: base_ml, 2: 20.0})
        answer = correct(primed, "", "Mo", "misread", pours)
        if fits:
            done(answer)
        else:
            assert str(refused(answer)) == "100 ml of it were binned (99 ml in all): more poured"


def test_a_lid_lifted_for_a_pot_was_lifted_when_it_was_mixed(
    shop: Shop, clock: ManualClock
) -> None:
    for role in ("base", "hardener"):
        done(tins.record_tin(shop, "epoxy-primer", "Kit", role=role, size_ml=1000))
    clock.advance(hours=1)
    done(pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=100)))
    number = pot_of_line(shop, line_of(shop, "pot A"))
    assert isinstance(number, int)
    sooner = clock.now() - timedelta(minutes=20)
    done(correct(shop, "", "Kit", LATE, HourOfMix(number, sooner)))
    with shop.store.reading() as session:
        assert {tin.opened_at for tin in tins_listed(session)} == {sooner}


def test_the_tins_follow_what_was_really_poured(shop: Shop) -> None:
    for role in ("base", "hardener"):
        done(tins.record_tin(shop, "epoxy-primer", "Kit", role=role, size_ml=1000))
    done(pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=500)))
    number = pot_of_line(shop, line_of(shop, "pot A"))
    assert isinstance(number, int)
    answer = done(correct(shop, "", "Kit", LATE, PoursOfPot(number, {1: 450.0})))
    assert "tin 1: 550 ml left by the figures" in answer.notes
    answer = done(correct(shop, "", "Kit", LATE, PoursOfPot(number, {1: 1200.0})))
    assert "tin 1: 0 ml left by the figures" in answer.notes, "more than was in it"
    done(undo(shop, "Kit"))
    done(undo(shop, "Kit"))
    assert told(shop) == state(shop)


# --- the reason, and who may ---------------------------------------------------------------------


@pytest.mark.parametrize("reason", ["", "   ", "x" * 1000, "a\x07"])
def test_without_a_reason_nothing_is_put_right(primed: Shop, reason: str) -> None:
    before = state(primed)
    refused(correct(primed, 1, "Kit", reason, HourOfStep(step=PRIMER, edge="last", at=at(8, 20))))
    refused(correct(primed, 1, "Kit", reason, Naming(name="Other")))
    number = reading_of_line(primed, line_of(primed, "reading"))
    assert isinstance(number, int)
    refused(correct(primed, "", "Kit", reason, FiguresOfReading(number, {"air": 10.0})))
    assert state(primed) == before


def test_who_has_a_pin_signs_a_correction_with_it(primed: Shop) -> None:
    done(set_pin(primed, "Kit", "4711"))
    hour = {"step": PRIMER, "edge": "last", "at": at(8, 20)}
    answer = correct(primed, 1, "Kit", LATE, HourOfStep(**hour))  # type: ignore[arg-type]
    assert refused(answer).rule == "Kit has a PIN"
    done(correct(primed.with_pin("4711"), 1, "Kit", LATE, HourOfStep(**hour)))  # type: ignore[arg-type]


def test_a_part_that_has_left_the_bench_is_put_right_too(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-weathered", shape="plate"))
    for _ in range(5):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    clock.advance(days=30)
    done(testing.pass_test(shop, 1, "Kit"))
    done(placement.take_off(shop, 1, "Kit"))
    done(correct(shop, "1", "Kit", "mistyped", Naming(owner="Rowing club")))
    assert sheet(shop).part.owner == "Rowing club"


def test_an_hour_from_before_this_start_of_the_computer_is_not_shifted_with_its_clock(
    primed: Shop, clock: ManualClock
) -> None:
    computer = ManualClock(
        clock.now() + timedelta(hours=1), boot="the next start", up=timedelta(minutes=30)
    )
    again = Shop(primed.store, computer, "test")
    timekeeping.start_clock(again)
    done(correct(again, 1, "Mo", LATE, HourOfStep(step=PRIMER, edge="last", at=at(8, 20))))
    computer.step(minutes=40)
    assert timekeeping.move_running_clocks(again)
    assert part(again).steps[PRIMER - 1].last_at == at(8, 20)
