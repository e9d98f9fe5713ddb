"""Topping up, binning, and the guns that are loaded from a pot.

Pot lives are the shipped placeholders; a big pot's fifth and a gun's hour: common practice, no
source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from sqlmodel import select

from bench.process.ahead.lookahead import ahead_words
from bench.process.clocks.pots import Gun, Pot
from bench.process.parts.spray_guidance import spray_line
from bench.process.refusals.overrides import Override
from bench.process.stock.mixing import MOST_ML, MixStart
from bench.shop.core import bench_view
from bench.shop.core.conflicts import SeenEntries
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.corrections.correction import correct
from bench.shop.corrections.pot_facts import (
    FiguresOfReading,
    HourOfMix,
    pot_of_line,
    reading_of_line,
)
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.queries.lookahead import MixAhead, ahead_of_mix
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.seeds.seed_files import Seeds
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_product
from bench.shop.stock import pots
from bench.store.schema.tables import MixRow, StepRow
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import begin_over, done, in_the_cold, part, refused, state, told

pytestmark = pytest.mark.sqlite

CUP = MixStart(need_ml=300)


@pytest.fixture
def mild(shop: Shop) -> Shop:
    """The shop at 20 C: lives are as the sheets say."""
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=55, metal_c=20))
    return shop


def pot(shop: Shop, letter: str = "A") -> Pot:
    return next(pot for pot in bench_view.read_bench(shop).pots if pot.letter == letter)


def row(shop: Shop, number: int = 1) -> MixRow:
    with shop.store.reading() as session:
        found = session.get_one(MixRow, number)
        session.expunge(found)
        return found


# --- big pots ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("need_ml", "minutes"), [(500, 240), (501, 192)])
def test_over_500_ml_a_fifth_of_the_life_is_off(mild: Shop, need_ml: float, minutes: int) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=need_ml)))
    assert pot(mild).bin_by == mild.clock.now() + timedelta(minutes=minutes)


def test_the_answer_to_a_mix_says_how_its_tool_sprays_it(mild: Shop, seeds: Seeds) -> None:
    paint = seeds.products["epoxy-primer"]
    notes = done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP)).notes
    assert spray_line(paint, seeds.tools[paint.tool]) in notes


# --- warm and cold -------------------------------------------------------------------------------


@pytest.mark.parametrize("by", ["Kit", readings.PROBE])
def test_a_room_that_warms_up_ends_a_pot_sooner_and_writes_nothing_on_the_pot(
    mild: Shop, clock: ManualClock, by: str
) -> None:
    """1 h of 4 h used at 20 C is charged at the warmer end, 30 C: of its 96 min 36 are left."""
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    mixed_at, before = clock.now(), state(mild)
    clock.advance(minutes=60)
    as_mixed = row(mild)
    answer = done(readings.take_reading(mild, by, air_c=30, rh_pct=40))
    assert pot(mild).bin_by == mixed_at + timedelta(minutes=96)
    assert answer.notes == ()
    assert row(mild) == as_mixed
    assert told(mild) == state(mild)
    done(undo.undo(mild, "Mo"))
    assert state(mild) == before


@pytest.mark.parametrize("air_c", [20, 5])
def test_no_reading_makes_a_pot_younger(mild: Shop, clock: ManualClock, air_c: float) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    before = pot(mild)
    clock.advance(minutes=60)
    answer = done(readings.take_reading(mild, "Kit", air_c=air_c, rh_pct=40))
    assert pot(mild) == before
    assert answer.notes == ()


def test_a_reading_put_right_gives_a_pot_its_life_back(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    before = pot(mild).bin_by
    clock.advance(minutes=60)
    line = done(readings.take_reading(mild, "Kit", air_c=40, rh_pct=40)).line
    assert before is not None
    assert (pot(mild).bin_by or before) < before
    number = reading_of_line(mild, line)
    assert isinstance(number, int)
    answer = done(correct(mild, "", "Kit", "misread", FiguresOfReading(number, {"air": 20.0})))
    assert pot(mild).bin_by == before
    assert any(note.startswith("pot A bin by 11:30? now") for note in answer.notes)


def test_a_pot_that_is_over_stays_over(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    before = pot(mild).bin_by
    clock.advance(hours=5)
    done(readings.take_reading(mild, "Kit", air_c=35, rh_pct=40))
    assert pot(mild).bin_by == before


def test_undoing_a_warm_reading_gives_a_pot_its_life_back(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    before = pot(mild).bin_by
    clock.advance(minutes=60)
    done(readings.take_reading(mild, "Kit", air_c=40, rh_pct=40))
    assert pot(mild).bin_by != before
    done(undo.undo(mild, "Kit"))
    assert pot(mild).bin_by == before


def test_a_colder_reading_written_down_late_gives_nothing_back(
    mild: Shop, clock: ManualClock
) -> None:
    """30 C read 1 h after mixing ends it after 96 min: / 2.5 per 10 C, the house rule."""
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    mixed_at = clock.now()
    clock.advance(minutes=60)
    done(readings.take_reading(mild, "Kit", air_c=30))
    clock.advance(minutes=5)
    late = mixed_at + timedelta(minutes=30)
    done(readings.take_reading(mild, "Kit", air_c=20, at=late))
    assert pot(mild).bin_by == mixed_at + timedelta(minutes=96)
    done(readings.take_reading(mild, "Kit", air_c=40, at=late))
    ends = pot(mild).bin_by
    assert ends is not None
    assert ends < mixed_at + timedelta(minutes=96), "a warmer one takes more, late or not"


def test_both_terminals_show_the_end_by_a_reading_of_either(mild: Shop, clock: ManualClock) -> None:
    other = Shop(mild.store, clock, "other")
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    assert pot(other) == pot(mild)
    clock.advance(minutes=60)
    done(readings.take_reading(other, "Kit", air_c=30))
    assert pot(mild) == pot(other)
    assert pot(Shop(mild.store, clock, "started now")) == pot(mild)


def test_a_pot_forgotten_for_weeks_shows_the_end_it_had(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    clock.advance(minutes=60)
    done(readings.take_reading(mild, "Kit", air_c=30))
    ended = pot(mild).bin_by
    for _ in range(3):
        clock.advance(days=9)
        done(readings.take_reading(mild, "Kit", air_c=12))
    assert pot(mild).bin_by == ended
    done(pots.bin_pot(mild, "A", "Mo"))
    assert row(mild).bin_by == ended


def test_a_coat_is_refused_from_a_pot_that_a_warm_reading_has_ended(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    done(placement.place(mild, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(mild).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(mild, 1, "Kit", "already done"))
    clock.advance(hours=2, minutes=30)
    assert "past its life" not in str(steps.begin(mild, 1, "Mo", override=Override()))
    done(readings.take_reading(mild, "Kit", air_c=35, rh_pct=40, metal_c=30))
    assert "past its life" in str(steps.begin(mild, 1, "Mo", override=Override()))


def test_cold_read_too_late_for_the_mix_lengthens_its_rest(
    mild: Shop, clock: ManualClock, seeds: Seeds
) -> None:
    """20 min at 20 C are 40 min at 10 C: twice as long 10 C colder (a maker's page, seen)."""
    resting = sheet_text(replace(seeds.products["epoxy-primer"], induction_s=1200))
    done(set_product(mild, "Mo", "epoxy-primer", resting))
    line = done(readings.take_reading(mild, "Kit", air_c=20)).line
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    assert pot(mild).use_from == clock.now() + timedelta(minutes=20)
    number = reading_of_line(mild, line)
    assert isinstance(number, int)
    done(correct(mild, "", "Kit", "misread", FiguresOfReading(number, {"air": 10.0})))
    assert pot(mild).use_from == clock.now() + timedelta(minutes=40)


def test_a_warm_reading_takes_no_key_from_who_is_at_the_pot(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    seen = SeenEntries(bench_view.read_bench(mild).line)
    clock.advance(minutes=30)
    done(readings.take_reading(mild, readings.PROBE, air_c=32))
    done(pots.bin_pot(mild.as_seen(seen), "A", "Mo"))


@pytest.mark.parametrize(
    ("air_c", "metal_c", "minutes"), [(30, 13, 96), (30, None, 96), (18, 30, 240), (10, 10, 240)]
)
def test_a_pot_is_as_warm_as_the_air_whatever_the_metal_is(
    shop: Shop, air_c: float, metal_c: float | None, minutes: int
) -> None:
    """4 h at 20 C are 96 min at 30 C, and no more in the cold (house rule; a maker's page, source
    seen, says 2 h)."""
    done(readings.take_reading(shop, "Kit", air_c=air_c, rh_pct=55, metal_c=metal_c))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=CUP))
    assert pot(shop).bin_by == shop.clock.now() + timedelta(minutes=minutes)


@pytest.mark.parametrize(
    ("air_c", "told"),
    [
        (-5, "-5 C is below its range, 10? C: read its sheet first"),
        (9, "9 C is below its range, 10? C: read its sheet first"),
        (45, "45 C is above its range, 40? C: read its sheet first"),
    ],
)
def test_mixing_colder_or_warmer_than_its_sheet_coats_at_is_said(
    shop: Shop, air_c: float, told: str
) -> None:
    done(readings.take_reading(shop, "Kit", air_c=air_c))
    assert told in done(pots.mix(shop, "epoxy-primer", "Mo", known=CUP)).notes


def test_mixing_within_its_range_says_nothing_of_it(mild: Shop) -> None:
    answer = done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    assert not any("range" in note for note in answer.notes)


# --- topping up ----------------------------------------------------------------------------------


def test_a_pot_topped_up_keeps_the_deadline_of_its_oldest_drop(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=150)))
    bin_by = pot(mild).bin_by
    clock.advance(hours=2, minutes=40)
    answer = done(pots.top_up(mild, "a", "Kit", known=MixStart(need_ml=100)))
    assert pot(mild).bin_by == bin_by
    assert pot(mild).total_ml == pytest.approx(250)
    assert "100 ml Epoxy primer 4:1, 250 ml in all, still bin by 11:30?" in answer.text
    assert (
        "OLD POT, 2 h 40 min of 4 h?: the whole mix keeps that end. Better a fresh small cup"
        in (answer.notes)
    )


def test_a_pot_is_topped_up_to_as_much_as_one_may_hold(mild: Shop) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=MOST_ML - 500)))
    no = refused(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=600)))
    assert no.rule == "too much for one pot"
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=500)))
    assert pot(mild).total_ml == MOST_ML


def test_what_was_poured_in_is_kept_part_by_part_with_its_lines(mild: Shop) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=150)))
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=100)))
    poured = [(p["role"], p["ml"], p["fill_to_ml"]) for p in row(mild).pours]
    assert poured == [
        ("base", 120, 120),
        ("hardener", 30, 150),
        ("base", 80, 230),
        ("hardener", 20, 250),
    ]


def test_the_rest_after_stirring_begins_anew_for_the_fresh_part(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    clock.advance(minutes=30)
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=100)))
    assert pot(mild).use_from >= clock.now()


def test_a_pot_that_becomes_a_big_one_ends_no_later_than_a_big_one_would(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=400)))
    clock.advance(minutes=5)
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=400)))
    assert pot(mild).bin_by == clock.now() + timedelta(minutes=192)


@pytest.mark.parametrize("topped_up_after_min", [30, 90])
def test_a_topped_up_pot_grows_no_younger_when_a_reading_is_corrected(
    mild: Shop, clock: ManualClock, topped_up_after_min: int
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=150)))
    mixed_at, line = clock.now(), 0
    for minutes in sorted((60, topped_up_after_min)):
        clock.set(mixed_at + timedelta(minutes=minutes))
        if minutes == 60:
            line = done(readings.take_reading(mild, "Kit", air_c=30)).line
        else:
            done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=100)))
    assert pot(mild).bin_by == mixed_at + timedelta(minutes=96)
    number = reading_of_line(mild, line)
    assert isinstance(number, int)
    before = state(mild)
    done(correct(mild, "", "Kit", "misread", FiguresOfReading(number, {"air": 20.0})))
    assert pot(mild).bin_by == mixed_at + timedelta(minutes=96)
    assert told(mild) == state(mild)
    done(correct(mild, "", "Kit", "misread", FiguresOfReading(number, {"air": 40.0})))
    ends = pot(mild).bin_by
    assert ends is not None
    assert ends < mixed_at + timedelta(minutes=96), "warmer after all"
    for _ in range(2):
        done(undo.undo(mild, "Kit"))
    assert state(mild) == before


def test_a_coat_from_a_topped_up_pot_is_judged_by_an_end_that_no_correction_puts_off(
    mild: Shop, clock: ManualClock
) -> None:
    """Mixed an hour later than written, it would live till 12:30; topped up it ends at 11:30."""
    done(placement.place(mild, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(2):
        done(holds_and_rework.skip(mild, 1, "Kit", "already done"))
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=150)))
    mixed_at, ends = clock.now(), pot(mild).bin_by
    assert ends is not None
    clock.advance(hours=1, minutes=30)
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=100)))
    clock.set(ends - timedelta(minutes=20))
    done(readings.take_reading(mild, "Kit", air_c=20, rh_pct=55, metal_c=20))
    done(steps.begin(mild, 1, "Kit"))
    clock.set(ends + timedelta(minutes=20))
    done(steps.finish(mild, 1, "Kit", all_faces=True))
    done(correct(mild, "", "Kit", "misread", HourOfMix(1, mixed_at + timedelta(hours=1))))
    assert pot(mild).bin_by == ends
    flags = [flag for record in part(mild, "1").steps for flag in record.flags]
    assert any("past its life" in flag for flag in flags), flags


def test_what_a_corrected_reading_gave_back_a_later_top_up_does_not_take(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=150)))
    before = pot(mild).bin_by
    clock.advance(minutes=60)
    number = reading_of_line(mild, done(readings.take_reading(mild, "Kit", air_c=30)).line)
    assert isinstance(number, int)
    done(correct(mild, "", "Kit", "misread", FiguresOfReading(number, {"air": 20.0})))
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=100)))
    assert pot(mild).bin_by == before


def test_a_topped_up_pot_mixed_later_than_written_ends_no_later(
    mild: Shop, clock: ManualClock
) -> None:
    line = done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=150))).line
    before, mixed_at = pot(mild).bin_by, clock.now()
    clock.advance(minutes=30)
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=100)))
    number = pot_of_line(mild, line)
    assert isinstance(number, int)
    clock.advance(minutes=30)
    too_late, later = (HourOfMix(number, mixed_at + timedelta(minutes=n)) for n in (31, 20))
    no = refused(correct(mild, "", "Kit", "late", too_late))
    assert no.rule == "that is after what came after it", "after it was topped up"
    done(correct(mild, "", "Kit", "late", later))
    assert pot(mild).bin_by == before


def test_warmth_after_a_top_up_ends_the_fresh_part_of_a_big_pot_too(
    mild: Shop, clock: ManualClock
) -> None:
    """800 ml last 192 min at 20 C, 76.8 min at 30 C, / 2.5 per 10 C: the house rule."""
    done(pots.mix(mild, "epoxy-primer", "Mo", known=MixStart(need_ml=400)))
    done(pots.top_up(mild, "A", "Kit", known=MixStart(need_ml=400)))
    mixed_at = clock.now()
    clock.advance(minutes=60)
    done(readings.take_reading(mild, "Kit", air_c=30))
    assert pot(mild).bin_by == mixed_at + timedelta(minutes=76.8)


def test_past_its_life_a_pot_is_topped_up_only_with_a_reason(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "gloss", "Mo", known=CUP))
    clock.advance(hours=2)
    before = state(mild)
    no = refused(pots.top_up(mild, "A", "Kit", known=CUP))
    assert (no.rule, no.remedy) == ("pot A is past its life", "bin it and mix fresh")
    assert (no.name, no.override) == ("pot-past-life", "reason")
    empty = refused(
        pots.top_up(mild, "A", "Kit", known=CUP, override=Override({"pot-past-life": "  "}))
    )
    assert "the reason for pot-past-life is empty" in empty.rule
    assert state(mild) == before
    answer = done(
        pots.top_up(
            mild,
            "A",
            "Kit",
            known=CUP,
            override=Override({"pot-past-life": "the data sheet gives 3 h"}),
        )
    )
    assert answer.text.endswith("): the data sheet gives 3 h")
    ends = pot(mild).bin_by
    assert ends is not None
    assert ends <= clock.now(), "it stays past its life"


@pytest.mark.parametrize(
    ("letter", "known", "told"),
    [
        ("B", CUP, "no open pot B"),
        ("A", MixStart(need_ml=25_000), "too much for one pot"),
        ("A", MixStart(need_ml=19_800), "too much for one pot"),
        ("A", MixStart(need_ml=-5), "the mix cannot be worked out"),
        ("", CUP, "no open pot"),
    ],
)
def test_what_cannot_be_topped_up_is_refused_and_changes_nothing(
    mild: Shop, letter: str, known: MixStart, told: str
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    before = state(mild)
    assert told in refused(pots.top_up(mild, letter, "Kit", known=known)).rule
    assert state(mild) == before


def test_a_can_cannot_be_topped_up(mild: Shop) -> None:
    done(pots.mix(mild, "two-pack-aerosol", "Mo"))
    assert "was not mixed" in refused(pots.top_up(mild, "A", "Kit", known=CUP)).rule


def test_topping_up_is_undone_exactly(mild: Shop) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    before = state(mild)
    done(pots.top_up(mild, "A", "Kit", known=CUP))
    assert told(mild) == state(mild)
    done(undo.undo(mild, "Mo"))
    assert state(mild) == before


# --- binning -------------------------------------------------------------------------------------


def test_what_was_left_in_a_pot_is_kept_where_somebody_measured_it(mild: Shop) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    assert done(pots.bin_pot(mild, "A", "Mo", left_ml=40)).text == "pot A binned, 40 ml left in it"
    assert row(mild).binned_ml == 40
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    assert done(pots.bin_pot(mild, "A", "Mo")).text == "pot A binned"
    assert row(mild, 2).binned_ml is None, "not measured is not nothing"


def test_a_binned_pot_keeps_the_clock_it_had_whatever_is_corrected_since(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    clock.advance(minutes=60)
    line = done(readings.take_reading(mild, "Kit", air_c=30)).line
    before = pot(mild)
    done(pots.bin_pot(mild, "A", "Mo"))
    number = reading_of_line(mild, line)
    assert isinstance(number, int)
    done(correct(mild, "", "Kit", "misread", FiguresOfReading(number, {"air": 20.0})))
    kept = row(mild)
    assert (kept.use_from, kept.bin_by, kept.basis) == (
        before.use_from,
        before.bin_by,
        before.basis,
    )
    assert told(mild) == state(mild)


def test_the_sheet_of_a_part_tells_the_end_of_its_pot_open_or_binned(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    done(readings.take_reading(mild, "Kit", air_c=35))
    ends = pot(mild).bin_by
    assert ends is not None
    assert pot_on_sheet(mild).bin_by == ends
    done(pots.bin_pot(mild, "A", "Mo"))
    clock.advance(minutes=5)
    done(readings.take_reading(mild, "Kit", air_c=45))
    assert pot_on_sheet(mild).bin_by == ends, "what was read since is of the gun alone"
    done(pots.flush(mild, "A", "Mo"))
    assert pot_on_sheet(mild).bin_by == ends == row(mild).bin_by


def pot_on_sheet(shop: Shop) -> Pot:
    sheet = sheet_of(shop, 1)
    assert isinstance(sheet, Sheet)
    return next(pot.pot for step in sheet.steps for pot in step.pots)


@pytest.mark.parametrize("left_ml", [-1, 300.5, float("nan"), float("inf")])
def test_no_more_is_left_than_was_mixed(mild: Shop, left_ml: float) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    before = state(mild)
    assert "from 0 to the 300 ml" in refused(pots.bin_pot(mild, "A", "Mo", left_ml=left_ml)).remedy
    assert state(mild) == before


# --- guns ----------------------------------------------------------------------------------------


@done_once
def primed(shop: Shop, clock: ManualClock, stand: int = 1) -> datetime:
    """A bracket sprayed with epoxy in twenty minutes; when the trigger was released."""
    done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket"))
    tag = str(stand)
    while part(shop, tag).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    done(steps.begin(shop, stand, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, stand, "Kit", all_faces=True))
    return clock.now()


def guns(shop: Shop) -> tuple[Gun, ...]:
    return bench_view.read_bench(shop).guns


def test_a_coat_begun_with_a_two_pack_pot_loads_a_gun_with_a_clock_of_its_own(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    assert guns(mild) == ()
    released = primed(mild, clock)
    (gun,) = guns(mild)
    assert (gun.letter, gun.flush_by) == ("A", released + timedelta(minutes=60))


def test_while_it_is_sprayed_with_the_gun_has_until_the_pot_is_to_be_binned(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    done(placement.place(mild, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(mild).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(mild, 1, "Kit", "already done"))
    done(steps.begin(mild, 1, "Kit"))
    (gun,) = guns(mild)
    assert gun.flush_by == pot(mild).bin_by


def test_the_end_of_the_pot_comes_first_where_it_is_sooner(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    clock.advance(hours=3, minutes=20)
    done(readings.take_reading(mild, "Kit", air_c=20, rh_pct=55, metal_c=20))
    primed(mild, clock)
    (gun,) = guns(mild)
    assert gun.flush_by == pot(mild).bin_by


def test_binning_the_pot_does_not_flush_the_gun(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    answer = done(pots.bin_pot(mild, "A", "Mo", left_ml=100))
    gun, leftovers = answer.notes
    assert gun == "every gun of pot A is still to be flushed"
    assert leftovers.startswith("Leftovers heat up"), "so it is said where they are binned"
    assert [gun.letter for gun in guns(mild)] == ["A"]
    done(pots.flush(mild, "a", "Kit"))
    assert guns(mild) == ()


def test_warmth_ends_a_loaded_gun_whose_pot_is_binned(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    clock.advance(hours=1, minutes=30)
    primed(mild, clock)
    done(pots.bin_pot(mild, "A", "Mo"))
    (before,) = guns(mild)
    clock.advance(minutes=1)
    done(readings.take_reading(mild, "Kit", air_c=35))
    (gun,) = guns(mild)
    assert before.flush_by is not None
    assert gun.flush_by is not None
    assert gun.flush_by < before.flush_by


def test_its_letter_is_not_given_away_before_the_gun_is_flushed(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    done(pots.bin_pot(mild, "A", "Mo"))
    done(pots.mix(mild, "gloss", "Mo", known=CUP))
    assert [pot.letter for pot in bench_view.read_bench(mild).pots] == ["B"]
    done(pots.flush(mild, "A", "Kit"))
    done(pots.mix(mild, "gloss", "Mo", known=CUP))
    assert [pot.letter for pot in bench_view.read_bench(mild).pots] == ["B", "A"]


def test_a_shop_that_never_flushes_can_still_mix(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    done(pots.bin_pot(mild, "A", "Mo"))
    for _ in range(26):
        done(pots.mix(mild, "gloss", "Mo", known=CUP))
    assert "26 pots are open" in refused(pots.mix(mild, "gloss", "Mo", known=CUP)).rule


def test_the_list_says_when_the_gun_is_near_its_hour_and_past_it(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    for minutes, said in ((44, None), (1, "by 08:50? (15 min)"), (15, "NOW, it was due 08:50?")):
        clock.advance(minutes=minutes)
        found = [
            want for want in bench_view.read_bench(mild).wants(clock.now()) if want.word == "GUN"
        ]
        assert [want.text for want in found] == (
            [f"flush every gun of pot A Epoxy primer 4:1 {said}"] if said else []
        )


def test_sprayed_again_after_the_flush_it_is_loaded_again(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    done(pots.flush(mild, "A", "Kit"))
    released = primed(mild, clock, stand=2)
    (gun,) = guns(mild)
    assert gun.flush_by == released + timedelta(minutes=60)


def test_two_guns_are_flushed_one_by_one(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    done(pots.mix(mild, "epoxy-primer", "Kit", known=CUP))
    primed(mild, clock, stand=2)
    assert [gun.letter for gun in guns(mild)] == ["A", "B"]
    done(pots.flush(mild, "B", "Kit"))
    assert [gun.letter for gun in guns(mild)] == ["A"]


def test_a_face_ticked_when_every_pot_is_gone_is_from_the_last_that_the_coat_had(
    mild: Shop,
) -> None:
    done(placement.place(mild, 1, "Kit", route="steel-blasted", shape="frame"))
    for _ in range(2):
        done(holds_and_rework.skip(mild, 1, "Kit", "already done"))
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    done(begin_over(mild, 1, "Kit", "other"))
    first, second, third, *_ = (mark.name for mark in part(mild).current().marks)  # type: ignore[union-attr]
    done(steps.finish(mild, 1, "Kit", mark=first))
    done(pots.bin_pot(mild, "A", "Kit"))
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    done(steps.finish(mild, 1, "Kit", mark=second))
    done(pots.bin_pot(mild, "B", "Kit"))
    for letter in "AB":
        done(pots.flush(mild, letter, "Kit"))
    done(steps.finish(mild, 1, "Kit", mark=third))
    assert [mark.pot for mark in part(mild).current().marks[:3]] == [1, 2, 2]  # type: ignore[union-attr]


def test_the_newest_pot_in_use_is_the_one_a_coat_is_begun_with(
    mild: Shop, clock: ManualClock
) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    clock.advance(minutes=10)
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    assert [gun.letter for gun in guns(mild)] == ["B"]
    with mild.store.reading() as session:
        taken = [step.mix_id for step in session.exec(select(StepRow)).all() if step.mix_id]
    assert taken == [2]


def test_a_can_and_a_brush_load_no_gun(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "two-pack-aerosol", "Mo"))
    done(placement.place(mild, 1, "Kit", route="zinc-new", shape="bracket"))
    while part(mild).current().step.name != "Aerosol top coat 1":  # type: ignore[union-attr]
        done(holds_and_rework.skip(mild, 1, "Kit", "already done"))
    done(steps.begin(mild, 1, "Kit"))
    assert guns(mild) == ()


def test_flushing_what_is_not_loaded_is_refused_and_says_what_is(
    mild: Shop, clock: ManualClock
) -> None:
    no = refused(pots.flush(mild, "A", "Kit"))
    assert (no.rule, no.remedy) == ("no gun is loaded from pot A", "loaded: none")
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    assert refused(pots.flush(mild, "Q", "Kit")).remedy == "loaded: A"
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    assert refused(pots.flush(mild, "B", "Kit")).remedy == "loaded: A", "B is only mixed"


def test_loading_and_flushing_are_undone_exactly(mild: Shop, clock: ManualClock) -> None:
    done(pots.mix(mild, "epoxy-primer", "Mo", known=CUP))
    primed(mild, clock)
    before = state(mild)
    done(pots.flush(mild, "A", "Kit"))
    assert told(mild) == state(mild)
    done(undo.undo(mild, "Mo"))
    assert state(mild) == before
    done(undo.undo(mild, "Mo"))
    done(undo.undo(mild, "Mo"))
    assert guns(mild) == (), "the beginning of the coat is undone, and the gun with it"


# --- no window -----------------------------------------------------------------------------------


NO_RULE = "No window at this temperature"
NO_WINDOW = f"{NO_RULE}: warm the shop or type the sheet's figures"


def test_nothing_is_mixed_where_the_coat_it_is_for_would_leave_no_window(shop: Shop) -> None:
    in_the_cold(shop)
    before = state(shop)
    no = refused(pots.mix(shop, "etch-primer", "Kit", known=CUP))
    assert (str(no), no.name) == (NO_WINDOW, "no-window")
    assert state(shop) == before, "no pot, no clock, no tin"
    told = ahead_of_mix(shop, "etch-primer")
    assert isinstance(told, MixAhead)
    assert told.against == (no,)
    assert NO_WINDOW in ahead_words(told.parts[0][1], told.now)


def test_a_mix_without_a_window_is_made_by_name_and_the_coat_begun_by_name(shop: Shop) -> None:
    in_the_cold(shop)
    warming = Override({"no-window": "the shop is being warmed"})
    answer = done(pots.mix(shop, "etch-primer", "Kit", known=CUP, override=warming))
    assert answer.text.endswith(f"; override: {NO_RULE}: the shop is being warmed")
    assert refused(steps.begin(shop, 1, "Kit")).name == "no-window"
    done(steps.begin(shop, 1, "Kit", override=warming))
    record = part(shop).current()
    assert record is not None
    assert f"override: {NO_RULE}: the shop is being warmed" in record.flags


def test_what_nobody_waits_for_is_mixed_in_the_cold_too(shop: Shop) -> None:
    in_the_cold(shop)
    done(pots.mix(shop, "epoxy-primer", "Kit", known=CUP))
