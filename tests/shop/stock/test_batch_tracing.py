"""From a batch number to pots and parts, and from a part back to its batches."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.stock.mixing import MixStart
from bench.records import as_text
from bench.records.job_record import sheet_page
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.pot_facts import pot_of_line
from bench.shop.corrections.step_facts import PotOfCoat
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, lots, placement, steps, testing
from bench.shop.queries.log import log_page
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet, SheetTin
from bench.shop.stock import batch_tracing, pots, tins
from bench.shop.stock.batch_tracing import BatchTrace
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import done, part, refused
from tests.shop.stock.test_tin_usage import gloss_tins, mild, to_coat

pytestmark = pytest.mark.sqlite


def traced(shop: Shop, batch: str) -> BatchTrace:
    found = batch_tracing.trace_batch(shop, batch)
    assert isinstance(found, BatchTrace), found
    return found


def batches(shop: Shop, tag: str) -> list[list[str]]:
    """Of each coat that was begun the parts and batches of its tins, as its sheet has them."""
    sheet = sheet_of(shop, tag)
    assert isinstance(sheet, Sheet), sheet
    coats = [s for s in sheet.steps if s.plan.kind == "coat" and s.record.first_at is not None]
    taken = [[tin for pot in coat.pots for tin in pot.tins] or coat.tins for coat in coats]
    return [sorted({f"{tin.role} {tin.batch}".strip() for tin in tins}) for tins in taken]


def epoxy_tins(shop: Shop) -> None:
    """Tin 1 base, tin 2 hardener."""
    for role, size_ml, batch in (("base", 1000.0, "B-1"), ("hardener", 250.0, "H-1")):
        done(tins.record_tin(shop, "epoxy-primer", "Kit", role=role, size_ml=size_ml, batch=batch))


@done_once
def primed(shop: Shop, clock: ManualClock, stand: int = 1, count: int = 1) -> None:
    """Brackets sprayed with epoxy from the pot there is."""
    mild(shop)
    done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket", count=count))
    for _ in range(2):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    done(steps.begin(shop, stand, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, stand, "Kit", all_faces=True))


def test_a_batch_leads_to_its_pots_and_to_every_part_sprayed_from_them(
    shop: Shop, clock: ManualClock
) -> None:
    epoxy_tins(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    primed(shop, clock)
    primed(shop, clock, 2, count=14)
    found = traced(shop, " h-1 ")
    assert [one.number for one in found.tins] == [2]
    assert [(pot.letter, pot.name, pot.painter, pot.tins) for pot in found.pots] == [
        ("A", "Epoxy primer 4:1", "Mo", (2,))
    ]
    assert [(coat.tag, coat.count, coat.coat, coat.pot) for coat in found.coats] == [
        ("1", 1, "Epoxy primer", "A"),
        ("2", 14, "Epoxy primer", "A"),
    ]


def test_a_batch_poured_in_when_topping_up_is_in_the_pot_too(
    shop: Shop, clock: ManualClock
) -> None:
    epoxy_tins(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=150)))
    done(tins.record_tin(shop, "epoxy-primer", "Kit", role="hardener", size_ml=250, batch="H-2"))
    done(pots.top_up(shop, "A", "Mo", known=MixStart(need_ml=100), tins=(3,)))
    primed(shop, clock)
    assert [coat.tag for coat in traced(shop, "H-2").coats] == ["1"]
    (coat,) = batches(shop, "1")
    assert coat == ["base B-1", "hardener H-1", "hardener H-2"]


def test_another_batch_is_not_mixed_up_with_it(shop: Shop, clock: ManualClock) -> None:
    for _ in range(11):
        gloss_tins(shop)  # tins 1 to 33: 1 is not 11, nor 31
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=330), tins=(31, 32, 33)))
    done(tins.correct_tin(shop, 1, "Kit", batch="first"))
    done(tins.correct_tin(shop, 31, "Kit", batch="last"))
    assert traced(shop, "first").pots == ()
    assert [pot.tins for pot in traced(shop, "last").pots] == [(31,)]


def test_an_unknown_batch_is_shown_as_unknown(shop: Shop) -> None:
    gloss_tins(shop)
    for batch in ("2-B", "", "   ", "%", "\x1b"):
        answer = refused(batch_tracing.trace_batch(shop, batch))  # type: ignore[arg-type]
        assert answer.rule.startswith("no tin of batch")
        assert answer.remedy == "read the tin again"


def test_a_tin_of_brush_enamel_leads_straight_to_the_part(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000, batch="E-1"))
    mild(shop)
    to_coat(shop, "cast-iron", "axle", "enamel-brush")
    done(steps.begin(shop, 1, "Kit"))
    found = traced(shop, "E-1")
    assert found.pots == ()
    assert [(coat.tag, coat.pot) for coat in found.coats] == [("1", "")]


@pytest.mark.sqlite(False)
def test_pieces_that_left_the_lot_are_found_and_those_put_back_say_where(
    shop: Shop, clock: ManualClock
) -> None:
    epoxy_tins(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    primed(shop, clock, count=14)
    done(lots.split(shop, 1, "Kit", 2))
    assert [coat.tag for coat in traced(shop, "B-1").coats] == ["1", "1b"]
    done(lots.merge(shop, 1, "Kit", "1b"))
    merged = {coat.tag: coat.now_in for coat in traced(shop, "B-1").coats}
    assert merged == {"1": "", "1b": "1"}


def test_a_part_long_gone_is_still_found(shop: Shop, clock: ManualClock) -> None:
    epoxy_tins(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    primed(shop, clock)
    while (record := part(shop).current()) is not None:
        if record.step.kind == "cure":
            break
        done(holds_and_rework.skip(shop, 1, "Kit", "other"))
    clock.advance(days=60)
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=55, metal_c=20))
    done(testing.pass_test(shop, 1, "Mo"))
    done(placement.take_off(shop, 1, "Kit"))
    assert [(coat.tag, coat.away) for coat in traced(shop, "B-1").coats] == [("1", True)]
    assert batches(shop, "1") == [["base B-1", "hardener H-1"]]


def test_a_coat_without_a_listed_tin_has_no_batch(shop: Shop, clock: ManualClock) -> None:
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    primed(shop, clock)
    assert batches(shop, "1") == [[]]


def test_a_tin_whose_batch_nobody_entered_says_so_until_it_is(
    shop: Shop, clock: ManualClock
) -> None:
    done(tins.record_tin(shop, "epoxy-primer", "Kit", role="base", size_ml=1000))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    primed(shop, clock)
    assert batches(shop, "1") == [["base"]]
    done(tins.correct_tin(shop, 1, "Kit", batch="B-9"))
    assert batches(shop, "1") == [["base B-9"]]


def test_the_sheet_of_a_part_tells_its_batches_as_they_are_known_now(
    shop: Shop, clock: ManualClock
) -> None:
    epoxy_tins(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    primed(shop, clock)
    done(tins.correct_tin(shop, 2, "Kit", batch="H-9"))
    sheet = sheet_of(shop, "1")
    assert isinstance(sheet, Sheet)
    mix = next(pot for step in sheet.steps for pot in step.pots)
    assert [(tin.role, tin.batch, tin.ml) for tin in mix.tins] == [
        ("base", "B-1", 240),
        ("hardener", "H-9", 60),
    ]


def test_a_coat_from_a_can_tells_its_batch_on_the_sheet(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000, batch="E-1"))
    mild(shop)
    to_coat(shop, "cast-iron", "plain", "enamel-brush")
    done(steps.begin(shop, 1, "Kit"))
    sheet = sheet_of(shop, 1)
    assert isinstance(sheet, Sheet)
    (coat,) = [step for step in sheet.steps if step.tins]
    assert coat.tins == (SheetTin("", "E-1", None),), "its area is not known: only which tin"


@pytest.mark.sqlite(False)
def test_a_coat_that_took_two_pots_names_the_faces_of_each(shop: Shop, clock: ManualClock) -> None:
    epoxy_tins(shop)
    done(tins.record_tin(shop, "epoxy-primer", "Kit", role="hardener", size_ml=250, batch="H-2"))
    mild(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=100), tins=(1, 2)))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(2):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(steps.begin(shop, 1, "Kit"))
    first, *others = [mark.name for mark in part(shop).steps[2].marks]
    clock.advance(minutes=5)
    done(steps.finish(shop, 1, "Kit", mark=first))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=100), tins=(1, 3)))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    found = {batch: traced(shop, batch).coats for batch in ("B-1", "H-1", "H-2")}
    assert [(coat.pot, coat.faces) for coats in found.values() for coat in coats] == [
        ("A B", ()),
        ("A", (first,)),
        ("B", tuple(others)),
    ]
    assert f"pot B, faces {' '.join(others)}" in batch_tracing.coat_words(
        found["H-2"][0], clock.now()
    )
    sheet = sheet_of(shop, "1")
    assert isinstance(sheet, Sheet)
    assert [pot.faces for pot in sheet.steps[2].pots] == [(first,), tuple(others)]
    record = as_text.text(sheet_page(sheet))
    assert f"faces {first}: pot A, " in record
    assert [gun for gun in read_bench(shop).guns if gun.letter == "B"], "its gun is to be flushed"


def test_a_pot_that_another_coat_is_sprayed_from_is_not_this_coats(
    shop: Shop, clock: ManualClock
) -> None:
    epoxy_tins(shop)
    mild(shop)
    for stand, painter in ((1, "Kit"), (2, "Mo")):
        done(placement.place(shop, stand, painter, route="steel-blasted", shape="bracket"))
        for _ in range(2):
            done(holds_and_rework.skip(shop, stand, painter, "already done"))
        done(pots.mix(shop, "epoxy-primer", painter, known=MixStart(need_ml=100)))
        done(steps.begin(shop, stand, painter))
        clock.advance(minutes=5)
    for stand, painter in ((1, "Kit"), (2, "Mo")):
        done(steps.finish(shop, stand, painter, all_faces=True))
    sheets = [sheet_of(shop, tag) for tag in ("1", "2")]
    letters = [[pot.pot.letter for pot in sheet.steps[2].pots] for sheet in sheets]  # type: ignore[union-attr]
    assert letters == [["A"], ["B"]]
    face = part(shop).steps[2].marks[0].name
    number = pot_of_line(shop, next(e.number for e in log_page(shop) if "pot B: " in e.text))
    right = PotOfCoat(step=3, pot=number, mark=face)  # type: ignore[arg-type]
    clock.advance(minutes=5)
    refusal = refused(correct(shop, 1, "Kit", "B was in the gun", replace(right, mark="roof")))
    assert refusal.rule == "no face 'roof' was sprayed"
    done(correct(shop, 1, "Kit", "Mo passed his gun over", right))
    sheet = sheet_of(shop, "1")
    assert isinstance(sheet, Sheet)
    assert [(pot.pot.letter, face in pot.faces) for pot in sheet.steps[2].pots] == [
        ("A", False),
        ("B", True),
    ]
    assert "sprayed from: was pot A mixed" in log_page(shop)[0].text
