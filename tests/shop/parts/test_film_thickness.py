"""How thick a coat came out: said once its last face is done, kept on its step, put right later.

Epoxy primer: 16 h at 20 C to the next coat, 7 d until it is keyed, 60 um dry (placeholders of the
shipped product). Half as long again when heavy: common practice, no source.
"""

from __future__ import annotations

import io
from datetime import datetime
from pathlib import Path

import pytest

from bench.process.stock.mixing import MixStart
from bench.records.as_text import text
from bench.records.job_record import sheet_page
from bench.shop.core.transaction import Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.thickness_facts import FilmOfCoat, WeightOfCoat
from bench.shop.corrections.undo import undo
from bench.shop.data import backups
from bench.shop.data.backups import Whole
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, lots, placement, steps, testing
from bench.shop.parts.film_thickness import record_thickness
from bench.shop.queries.log import log_page
from bench.shop.records.gathering import sheet_of
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.conftest import LONDON
from tests.living import done_once

from ..doing import begin_over, done, part, refused, stand, state, told

pytestmark = pytest.mark.sqlite

PRIMER = 3
"""The step of the epoxy primer on bare steel."""


def at(hour: int, minute: int, day: int = 9) -> datetime:
    """An hour of the Monday, or of a later day."""
    return datetime(2025, 6, day, hour, minute, tzinfo=LONDON)


def primed_on(shop: Shop, clock: ManualClock, stand_number: int = 1) -> None:
    """Fourteen blasted brackets, primed from pot A in twenty minutes at 20 C."""
    brackets = {"route": "steel-blasted", "shape": "bracket", "count": 14}
    done(placement.place(shop, stand_number, "Kit", **brackets))  # type: ignore[arg-type]
    for _ in range(PRIMER - 1):
        done(holds_and_rework.skip(shop, stand_number, "Kit", "already done"))
    done(steps.begin(shop, stand_number, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, stand_number, "Kit", all_faces=True))


@pytest.fixture
@done_once
def primed(shop: Shop, clock: ManualClock) -> Shop:
    """Sprayed from 07:30 to 07:50, in a shop of 20 C by day and by night."""
    done(set_settings(shop, "Kit", day_c=20, night_c=20))
    done(readings.take_reading(shop, "Mo", air_c=20, rh_pct=60, metal_c=20))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    primed_on(shop, clock)
    return shop


def hours(shop: Shop, number: int = 1) -> tuple[datetime | None, datetime | None]:
    """When it opens and closes."""
    shown = stand(shop, number)
    return tuple(edge and edge.at.astimezone(LONDON) for edge in (shown.opens, shown.closes))  # type: ignore[return-value]


AS_MEANT = at(23, 50), at(7, 30, day=16)
HEAVY = at(7, 50, day=10), at(7, 30, day=16)


def test_a_coat_that_nobody_says_anything_of_came_out_as_meant(primed: Shop) -> None:
    assert part(primed).steps[PRIMER - 1].weight == "as meant"
    assert hours(primed) == AS_MEANT


def test_a_heavy_coat_opens_half_as_long_again_later_and_the_answer_says_which_hour_moved(
    primed: Shop, clock: ManualClock
) -> None:
    clock.advance(minutes=2)
    answer = done(record_thickness(primed, 1, "Mo", weight="heavy"))
    assert hours(primed) == HEAVY
    assert answer.text == (
        "tag 1 Bracket: Epoxy primer, says Mo; heavy coat: waits half as long again"
    )
    assert answer.notes == ("tag 1 opens ~Tue 07:50? now, not ~23:50?",)
    line = log_page(primed, 1)[0]
    assert (line.action, line.painter, line.at) == ("coat", "Mo", clock.now())
    assert state(primed) == told(primed)
    assert check(primed).faults == ()


def test_said_by_mistake_it_is_undone_exactly(primed: Shop) -> None:
    before = state(primed)
    done(record_thickness(primed, 1, "Mo", weight="heavy"))
    done(undo(primed, "Mo"))
    assert hours(primed) == AS_MEANT
    assert part(primed).steps[PRIMER - 1].weight == "as meant"
    changed = {**before, "part": None}  # type: ignore[dict-item]
    assert {**state(primed), "part": None} == changed  # type: ignore[dict-item]


def test_said_to_be_as_meant_after_all_it_opens_when_it_did(primed: Shop) -> None:
    done(record_thickness(primed, 1, "Mo", weight="heavy"))
    done(record_thickness(primed, 1, "Kit", weight="as meant"))
    assert hours(primed) == AS_MEANT


def test_the_measured_film_counts_before_what_a_painter_saw(primed: Shop) -> None:
    """90 um for 60: (90 / 60) squared is 2.25, so 36 h."""
    answer = done(record_thickness(primed, 1, "Mo", weight="heavy", dry_um=90))
    assert "the measured film counts" in answer.notes
    assert hours(primed) == (at(19, 50, day=10), at(7, 30, day=16))
    done(record_thickness(primed, 1, "Mo", weight="thin"))
    assert hours(primed)[0] == at(19, 50, day=10)
    done(record_thickness(primed, 1, "Mo", dry_um=60))
    assert hours(primed) == AS_MEANT


def test_a_test_passed_before_it_was_said_to_be_heavy_is_asked_anew(
    primed: Shop, clock: ManualClock
) -> None:
    clock.set(at(0, 30, day=10))
    done(testing.pass_test(primed, 1, "Mo"))
    assert stand(primed).word == "OPEN"
    done(record_thickness(primed, 1, "Mo", weight="heavy"))
    assert stand(primed).word == "WAIT"
    clock.set(HEAVY[0])
    assert stand(primed).word == "TEST"
    done(testing.pass_test(primed, 1, "Kit"))
    assert stand(primed).word == "OPEN"


def test_the_next_coat_is_refused_until_the_heavy_one_opens(
    primed: Shop, clock: ManualClock
) -> None:
    done(record_thickness(primed, 1, "Mo", weight="heavy"))
    clock.set(at(3, 0, day=10))
    assert refused(steps.begin(primed, 1, "Kit")).rule.startswith("too soon")


def test_while_it_is_sprayed_and_once_the_next_step_has_begun_one_key_does_not_do(
    primed: Shop, clock: ManualClock
) -> None:
    done(begin_over(primed, 1, "Kit", "tested on the coupon"))
    no = refused(record_thickness(primed, 1, "Kit", weight="heavy"))
    assert no.rule == "Two-pack gloss 1 is in progress"
    assert no.remedy == "finish it first; an older coat is corrected on the job record"


@pytest.mark.parametrize(
    ("how", "told_of"),
    [
        ({}, "nothing is said of it"),
        ({"weight": "gold"}, "no coat is 'gold'"),
        ({"weight": "as meant"}, "that is recorded already"),
        ({"dry_um": 0.0}, "DFT 0 um: must be over 0"),
        ({"wet_um": float("inf")}, "WFT inf um"),
    ],
)
def test_what_says_nothing_or_cannot_be_is_refused_and_changes_nothing(
    primed: Shop, how: dict[str, object], told_of: str
) -> None:
    before = state(primed)
    assert told_of in str(refused(record_thickness(primed, 1, "Mo", **how)))  # type: ignore[arg-type]
    assert state(primed) == before


def test_corrected_when_the_next_coat_is_on_it_is_said_that_this_one_was_begun_too_soon(
    primed: Shop, clock: ManualClock
) -> None:
    clock.set(at(0, 30, day=10))
    done(testing.pass_test(primed, 1, "Mo"))
    done(begin_over(primed, 1, "Kit", "tested on the coupon"))
    answer = done(correct(primed, 1, "Mo", "misread", WeightOfCoat(PRIMER, "heavy")))
    flag = "is before the window below opened, ~old 07:50 on Tue 10 Jun 2025?"
    assert any(flag in note for note in answer.notes)
    assert any(flag in flagged for flagged in part(primed).steps[PRIMER].flags)
    sheet = sheet_of(primed, 1)
    page = " ".join(text(sheet_page(sheet)).split())  # type: ignore[arg-type]
    assert "Thickness heavy coat: waits half as long again" in page
    assert "Epoxy primer, came out: was as meant, now heavy, because misread [Mo," in page


def test_a_film_that_was_read_wrong_or_never_is_taken_back_with_a_reason(primed: Shop) -> None:
    done(record_thickness(primed, 1, "Mo", wet_um=200, dry_um=90))
    answer = done(correct(primed, 1, "Kit", "misread", FilmOfCoat(PRIMER, {"dry": None})))
    assert "Epoxy primer: was DFT 90 um, now DFT not measured, because misread" in answer.text
    record = part(primed).steps[PRIMER - 1]
    assert (record.wet_um, record.dry_um) == (200.0, None)
    no = refused(correct(primed, 1, "Kit", "misread", FilmOfCoat(PRIMER, {"dry": None})))
    assert no.rule == "that is what is recorded"
    no = refused(correct(primed, 1, "Kit", "misread", FilmOfCoat(PRIMER, {"wet": -1.0})))
    assert "WFT -1 um: must be over 0, up to 10000 um" in str(no)


def test_what_is_no_finished_coat_has_no_thickness_to_correct(primed: Shop) -> None:
    for number in (1, PRIMER + 1):
        no = refused(correct(primed, 1, "Kit", "misread", WeightOfCoat(number, "heavy")))
        assert "is no finished coat" in str(no)


def test_pieces_split_off_a_heavy_lot_are_heavy_too(primed: Shop) -> None:
    done(record_thickness(primed, 1, "Mo", weight="heavy"))
    done(lots.split(primed, 1, "Mo", 2, stand=2))
    assert hours(primed, 2) == hours(primed, 1) == HEAVY
    done(record_thickness(primed, 2, "Mo", weight="as meant"))
    assert (hours(primed, 2), hours(primed, 1)) == (AS_MEANT, HEAVY)


@pytest.mark.parametrize("kept", [1, 2])
def test_of_two_lots_put_together_the_heavy_one_governs(primed: Shop, kept: int) -> None:
    done(lots.split(primed, 1, "Mo", 2, stand=2))
    done(record_thickness(primed, 2, "Mo", weight="heavy"))
    done(lots.merge(primed, kept, "Mo", "1b" if kept == 1 else "1"))
    assert hours(primed, kept) == HEAVY
    assert state(primed) == told(primed)


def test_pieces_that_are_reworked_begin_as_meant_again(primed: Shop, clock: ManualClock) -> None:
    done(record_thickness(primed, 1, "Mo", weight="heavy"))
    done(holds_and_rework.rework(primed, 1, "Mo", "sag", count=2, stand=2))
    again = [r for r in part(primed, "1b").steps if r.status == "todo" and r.step.kind == "coat"]
    assert {record.weight for record in again} == {"as meant"}
    assert hours(primed, 1) == HEAVY


def test_a_shop_that_is_brought_to_another_place_knows_its_heavy_coats(
    primed: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    done(record_thickness(primed, 1, "Mo", weight="heavy", wet_um=150.5))
    out = io.StringIO()
    backups.export_shop(primed, out)
    whole = backups.read_export(out.getvalue().encode(), "it")
    assert isinstance(whole, Whole)
    other = Shop(open_store(str(tmp_path / "other.db")), clock, "test")
    backups.import_shop(other, whole)
    record = part(other).steps[PRIMER - 1]
    assert (record.weight, record.wet_um, record.dry_um) == ("heavy", 150.5, None)
    assert hours(other) == hours(primed)
    other.store.close()
