"""All that is known of a part is on its sheet: who, when, with what, in what air, against which rule."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bench.process.refusals.refusal import Refusal
from bench.records import as_text
from bench.records.job_record import sheet_page
from bench.shop.clock import timekeeping
from bench.shop.core.transaction import Shop
from bench.shop.corrections.undo import undo
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.seeds.seed_files import Seeds
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_product
from bench.testing import ManualClock
from tests.conftest import LONDON, MONDAY
from tests.shop.doing import done

from .making import curing, told


def test_a_coat_has_its_two_faces_its_painters_its_pot_and_its_air(sheet: Sheet) -> None:
    step = sheet.steps[2]
    coat = step.record
    assert (coat.step.name, coat.step.product, coat.status) == (
        "Epoxy primer",
        "epoxy-primer",
        "done",
    )
    assert coat.first_at is not None
    assert coat.last_at is not None
    assert (coat.first_at.strftime("%H:%M"), coat.last_at.strftime("%H:%M")) == ("08:40", "09:05")
    assert coat.painters == ("Kit", "Mo")
    assert {face.by for face in coat.marks} == {"Kit"}
    (pot,) = step.pots
    assert list(pot.pours) == [
        ("base", 240.0),
        ("hardener", 60.0),
        ("base", 160.0),
        ("hardener", 40.0),
    ]
    assert (pot.pot.letter, pot.binned_ml) == ("A", 40.0)
    assert [one.when for one in step.readings[:3]] == ["before", "spraying", "drying"]
    # 16 C at 82 %: dew point 12.9 C, the metal of 15 C 2.1 C over it (psychrolib, as in published).
    assert (step.readings[1].dew_point_c, step.readings[1].margin_c) == (12.9, 2.1)


def test_both_opinions_of_a_test_the_skip_and_the_override_keep_their_reasons(sheet: Sheet) -> None:
    assert [(said.painter, said.passed) for said in sheet.steps[2].tests] == [
        ("Mo", False),
        ("Kit", True),
    ]
    assert sheet.part.steps[0].reason == "already done"
    assert all(flag.endswith(": tested on the coupon") for flag in sheet.part.steps[3].flags)
    assert any("dew point" in flag for flag in sheet.part.steps[3].flags)


def test_the_hours_are_the_shops_own_whatever_zone_the_computer_is_in(sheet: Sheet) -> None:
    assert sheet.written_at.utcoffset() == MONDAY.utcoffset()
    assert sheet.journal[0].at.astimezone(LONDON).strftime("%H:%M") == "07:30"


def test_pieces_that_left_a_lot_are_named_and_have_the_lots_story_up_to_then(
    worked_on: Shop, sheet: Sheet
) -> None:
    assert [(lot.tag, lot.count, lot.how) for lot in sheet.lots] == [("1b", 2, "split off")]
    pieces = told(worked_on, "1b")
    assert (pieces.part.count, pieces.split_from, pieces.part.rework) == (2, "1", "fish-eye")
    assert [one.defect for one in pieces.defects] == ["fish-eye"]
    texts = [line.text for line in pieces.journal]
    assert "placed on stand 1" in texts[0]
    assert texts[-1].startswith("tag 1b Roller brackets, 2 pieces to rework by Mo")
    assert not any("gloss" in text for text in texts)


def test_a_product_that_nobody_typed_a_sheet_of_is_a_placeholder(sheet: Sheet) -> None:
    assert {product.source for product in sheet.products.values()} == {"placeholder"}
    assert [p.name for p in sheet.products.values() if p.isocyanate] == ["Two-pack gloss 2:1"]


def test_a_binned_pot_and_its_coat_keep_the_data_sheet_they_were_done_by(
    worked_on: Shop, seeds: Seeds
) -> None:
    before = told(worked_on).steps[2]
    (pot,) = before.pots
    assert pot.binned_at is not None
    assert pot.pot.unconfirmed
    typed = replace(seeds.products["epoxy-primer"], source="sheet")
    done(set_product(worked_on, "Kit", "epoxy-primer", sheet_text(typed)))
    assert told(worked_on).steps[2] == before


def test_what_was_undone_stays_in_the_journal_and_says_so(worked_on: Shop) -> None:
    done(undo(worked_on, "Kit"))
    lines = told(worked_on).journal
    assert [line.undone for line in lines[-2:]] == [True, False]
    assert lines[-1].undoes == lines[-2].number


def test_what_was_written_down_while_the_clock_was_wrong_is_marked(
    shop: Shop,
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    dead = ManualClock(datetime(1970, 1, 1, tzinfo=UTC), boot="the next start", up=timedelta(0))
    again = Shop(shop.store, dead, "test")
    timekeeping.start_clock(again)
    done(holds_and_rework.skip(again, 1, "Kit", "already done"))
    sheet = told(again)
    assert sheet.doubtful
    assert [step.doubtful for step in sheet.steps[:2]] == [True, False]
    assert [line.doubtful for line in sheet.journal] == [False, True]


def test_hours_that_were_typed_more_than_an_hour_later_say_when(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    clock.advance(minutes=120)
    began = clock.now() - timedelta(minutes=110)
    done(steps.begin(shop, 1, "Kit", at=began))
    late = clock.now()
    done(placement.place(shop, 2, "Kit", route="steel-blasted", shape="bracket"))
    clock.advance(minutes=60)
    done(steps.begin(shop, 2, "Kit", at=late))
    done(steps.finish(shop, 1, "Kit"))
    sheet = told(shop)
    assert (sheet.steps[0].typed_at, told(shop, 2).steps[0].typed_at) == (late, None)
    assert as_text.text(sheet_page(sheet)).count("more than an hour after it was done") == 1
    for _ in range(4):
        done(undo(shop, "Kit"))
    assert told(shop).steps[0].typed_at is None


def test_a_part_that_has_left_the_bench_keeps_its_sheet(shop: Shop, clock: ManualClock) -> None:
    curing(shop, clock)
    clock.advance(days=30)
    done(testing.pass_test(shop, 1, "Mo"))
    done(placement.take_off(shop, 1, "Mo"))
    gone = told(shop, "1")
    assert (gone.away, gone.state.word, gone.left_to_do) == (True, "CURED", 0)
    assert gone.left_at == clock.now()
    assert gone.cure is not None
    assert gone.cure.passed_by == "Mo"


@pytest.mark.parametrize(
    ("target", "why"),
    [(5, "stand 5 is empty"), (99, "no stand 99"), ("77", "no tag 77"), ("", "no tag ")],
)
def test_what_is_not_there_is_refused_with_what_was_read(
    shop: Shop, target: str | int, why: str
) -> None:
    found = sheet_of(shop, target)
    assert isinstance(found, Refusal)
    assert found.rule == why


def test_the_same_part_gives_the_same_sheet(worked_on: Shop, sheet: Sheet) -> None:
    assert told(worked_on) == sheet
