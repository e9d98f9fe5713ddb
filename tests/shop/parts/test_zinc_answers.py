"""What is known of a part's zinc: answered, kept on the part, told at its steps, corrected."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from bench.process.parts.zinc_answers import NOT_KNOWN, Galvanised
from bench.records.as_json import sheet_json
from bench.records.as_text import text
from bench.records.job_record import sheet_page
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.corrections.correction import correct
from bench.shop.corrections.part_facts import ZincOfPart
from bench.shop.corrections.questions import ChoiceQuestion
from bench.shop.data.opening import check
from bench.shop.parts import lots, placement, steps
from bench.shop.parts.zinc_answers import answer_zinc
from bench.shop.queries.log import log_page
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.testing import ManualClock

from ..doing import done, part, refused

pytestmark = pytest.mark.sqlite

TODAY = date(2025, 6, 9)
"""The Monday of every test."""


@pytest.fixture
def axle(shop: Shop) -> Shop:
    """Two axles of new galvanised steel."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="axle", count=2))
    return shop


def test_what_is_known_of_the_zinc_is_kept_on_the_part_and_in_the_log(axle: Shop) -> None:
    answer = done(answer_zinc(axle, 1, "Kit", galvanised=TODAY, quenched=False, passivated=False))
    assert part(axle).zinc == Galvanised(TODAY, False, False)
    assert answer.text == (
        "tag 1 Axle: galvanised 2025-06-09, quenched in water no, passivated no, says Kit"
    )
    assert answer.notes == ("bright, up to 48 h old: degrease, then an acid wash or a sweep-blast",)
    assert log_page(axle)[0].text == answer.text
    assert check(axle).faults == ()
    done(undo.undo(axle, "Kit"))
    assert part(axle).zinc is None


def test_a_day_to_come_is_refused_and_nothing_is_kept(axle: Shop) -> None:
    no = refused(answer_zinc(axle, 1, "Kit", galvanised=TODAY + timedelta(days=1)))
    assert "is to come" in no.rule
    assert part(axle).zinc is None


def test_steel_has_no_zinc_to_be_asked_about(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="axle"))
    assert refused(answer_zinc(shop, 1, "Kit", quenched=True)).read == "steel"


def test_nothing_answered_is_refused(axle: Shop) -> None:
    assert refused(answer_zinc(axle, 1, "Kit")).rule == "nothing is answered"


def test_what_was_answered_is_corrected_and_not_answered_again(axle: Shop) -> None:
    done(answer_zinc(axle, 1, "Kit", galvanised=NOT_KNOWN, quenched=True))
    assert refused(answer_zinc(axle, 1, "Mo", quenched=False)).read == "quenched in water yes"
    done(answer_zinc(axle, 1, "Mo", galvanised=TODAY, white_rust=True))
    done(answer_zinc(axle, 1, "Mo", white_rust=False))
    assert part(axle).zinc == Galvanised(TODAY, True, None, False)
    why = "misread"
    done(correct(axle, 1, "Kit", why, ZincOfPart(quenched=False, galvanised=(2025, 5, 2))))
    assert part(axle).zinc == Galvanised(date(2025, 5, 2), False, None, False)
    assert "was galvanised 2025-06-09, quenched in water yes, now" in log_page(axle)[0].text
    assert "to come" in refused(correct(axle, 1, "Kit", why, ZincOfPart((2025, 6, 10)))).rule
    assert "no day" in refused(correct(axle, 1, "Kit", why, ZincOfPart((2025, 2, 30)))).rule
    assert check(axle).faults == ()


def test_a_route_that_does_not_fit_the_zinc_is_told_when_its_steps_begin(
    axle: Shop, clock: ManualClock
) -> None:
    told = "quenched, and its route has no sweep-blast"
    assert not any(told in note for note in done(steps.begin(axle, 1, "Kit")).notes)
    done(undo.undo(axle, "Kit"))
    answer = done(answer_zinc(axle, 1, "Kit", quenched=True, passivated=False))
    assert any(told in note for note in answer.notes)
    assert any(told in note for note in done(steps.begin(axle, 1, "Kit")).notes)


def test_the_job_record_and_its_file_say_what_is_known_of_the_zinc(axle: Shop) -> None:
    before = sheet_of(axle, 1)
    assert isinstance(before, Sheet)
    assert json.loads(sheet_json(before))["sheet"]["zinc"] is None
    assert "Zinc        not recorded" in text(sheet_page(before))
    done(answer_zinc(axle, 1, "Kit", galvanised=TODAY, white_rust=True))
    sheet = sheet_of(axle, 1)
    assert isinstance(sheet, Sheet)
    assert "galvanised 2025-06-09, quenched in water not known" in text(sheet_page(sheet))
    assert json.loads(sheet_json(sheet))["sheet"]["zinc"] == {
        "galvanised": "2025-06-09",
        "quenched": None,
        "passivated": None,
        "white_rust": True,
    }


def test_pieces_split_off_take_the_answers_along_and_lots_together_know_what_both_knew(
    axle: Shop,
) -> None:
    done(answer_zinc(axle, 1, "Kit", galvanised=TODAY, quenched=False))
    done(lots.split(axle, 1, "Kit", 1, stand=2))
    assert part(axle, "1b").zinc == part(axle).zinc == Galvanised(TODAY, False)
    done(answer_zinc(axle, 2, "Kit", passivated=True))
    done(answer_zinc(axle, 1, "Kit", passivated=False))
    done(lots.merge(axle, 1, "Kit", "1b"))
    assert part(axle).zinc == Galvanised(TODAY, False)


@pytest.mark.parametrize(
    ("old", "others"),
    [
        (True, {"no": False, "not known": NOT_KNOWN}),
        (False, {"yes": True, "not known": NOT_KNOWN}),
    ],
)
def test_each_other_answer_is_offered_under_its_own_word(
    axle: Shop, old: bool, others: dict[str, object]
) -> None:
    done(answer_zinc(axle, 1, "Kit", quenched=old))
    asked = [each.asked for each in ZincOfPart.offered(part(axle)) if "quenched" in each.what]
    [choice] = [each for each in asked if isinstance(each, ChoiceQuestion)]
    assert dict(choice.choices) == {text: ZincOfPart(quenched=new) for text, new in others.items()}  # type: ignore[arg-type]
