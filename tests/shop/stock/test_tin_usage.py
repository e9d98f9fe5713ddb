"""What is poured is taken from tins, and a tin that is out of date is asked about.

90 days for an opened isocyanate hardener, 28 for zinc-rich: shipped placeholders, common practice,
no source.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from sqlmodel import select

from bench.process.refusals.overrides import Override
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, lots, placement, steps
from bench.shop.queries.lookahead import ahead_of
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet
from bench.shop.stock import pots, tins
from bench.store.schema.tables import MixRow, StepRow
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import begin_over, done, part, refused, state, told
from tests.shop.stock.test_tins import tin

pytestmark = pytest.mark.sqlite

CUP = MixStart(need_ml=330)
"""Gloss 2:1 with 10 % thinner: 200 ml base, 100 ml hardener, 30 ml thinner."""


@done_once
def gloss_tins(shop: Shop) -> None:
    """Tin 1 base, tin 2 hardener, tin 3 thinner."""
    for product, role, size_ml, batch in (
        ("gloss", "base", 1000, "B-12"),
        ("gloss", "hardener", 500, "H-204"),
        ("thinner", "", 1000, "T-7"),
    ):
        done(tins.record_tin(shop, product, "Kit", role=role, size_ml=float(size_ml), batch=batch))


def mild(shop: Shop) -> None:
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=55, metal_c=20))


def mix_row(shop: Shop, number: int = 1) -> MixRow:
    with shop.store.reading() as session:
        found = session.get_one(MixRow, number)
        session.expunge(found)
        return found


def coat_row(shop: Shop, name: str) -> StepRow:
    with shop.store.reading() as session:
        rows = session.exec(select(StepRow)).all()
        found = next(row for row in rows if row.plan["name"] == name)
        session.expunge(found)
        return found


@done_once
def to_coat(shop: Shop, route: str, shape: str, product: str, stand: int = 1) -> str:
    """A part whose next step is its first coat of a product; that coat's name."""
    done(placement.place(shop, stand, "Kit", route=route, shape=shape))
    while True:
        record = part(shop, str(stand)).current()
        assert record is not None
        if record.step.product == product and record.step.kind == "coat":
            return record.step.name
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))


# --- mixing --------------------------------------------------------------------------------------


@pytest.mark.sqlite(False)
def test_a_mix_takes_each_part_from_its_tin_and_lifts_the_lids(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    clock.advance(hours=1)
    answer = done(pots.mix(shop, "gloss", "Mo", known=CUP))
    assert "from tins: base 1 (B-12), hardener 2 (H-204), thinner 3 (T-7)" in answer.notes
    assert [tin(shop, n).left_ml for n in (1, 2, 3)] == [800, 400, 970]
    assert {tin(shop, n).opened_at for n in (1, 2, 3)} == {clock.now()}
    assert mix_row(shop).tins == [
        {"id": 1, "ml": 200.0, "role": "base"},
        {"id": 2, "ml": 100.0, "role": "hardener"},
        {"id": 3, "ml": 30.0, "role": "thinner"},
    ]


def test_the_clock_of_a_tin_does_not_start_anew_with_the_second_mix(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_tins(shop)
    opened = clock.now()
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    clock.advance(days=3)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    assert tin(shop, 2).opened_at == opened
    assert tin(shop, 2).left_ml == 300


def test_a_mix_that_was_made_earlier_lifted_the_lid_then(shop: Shop, clock: ManualClock) -> None:
    gloss_tins(shop)
    clock.advance(hours=2)
    earlier = clock.now() - timedelta(minutes=40)
    done(pots.mix(shop, "gloss", "Mo", known=CUP, at=earlier))
    assert tin(shop, 2).opened_at == earlier


def test_a_shop_without_tins_mixes_as_ever_and_hears_nothing_of_them(shop: Shop) -> None:
    answer = done(pots.mix(shop, "gloss", "Mo", known=CUP))
    assert not [note for note in answer.notes if "tin" in note]
    assert mix_row(shop).tins == []


def test_where_no_tin_of_a_part_is_listed_mixing_goes_on_with_one_note(shop: Shop) -> None:
    done(tins.record_tin(shop, "gloss", "Kit", role="base", size_ml=1000))
    answer = done(pots.mix(shop, "gloss", "Mo", known=CUP))
    about = [note for note in answer.notes if "tin" in note]
    assert about == [
        "from tins: base 1 (no batch number)",
        "no tin of hardener and thinner is listed: no batch number",
    ]


def test_more_poured_than_the_figures_say_is_a_note_and_never_a_refusal(shop: Shop) -> None:
    gloss_tins(shop)
    done(tins.count_tin(shop, 2, "Kit", left_ml=60))
    answer = done(pots.mix(shop, "gloss", "Mo", known=CUP))
    assert "tin 2: 40 ml more than its figures say was left: count it" in answer.notes
    assert tin(shop, 2).left_ml == 0
    assert mix_row(shop).tins[1] == {"id": 2, "ml": 100.0, "role": "hardener"}


def test_an_opened_tin_is_used_up_before_a_fresh_one_is_opened(shop: Shop) -> None:
    gloss_tins(shop)
    done(tins.record_tin(shop, "gloss", "Kit", role="hardener", size_ml=500, batch="H-300"))
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=1320)))  # 400 of the 500 ml
    answer = done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=660)))
    assert "hardener 2 (H-204), hardener 4 (H-300)" in " ".join(answer.notes)
    assert (tin(shop, 2).left_ml, tin(shop, 4).left_ml) == (0, 400)


def test_the_painter_names_another_tin(shop: Shop) -> None:
    gloss_tins(shop)
    done(tins.record_tin(shop, "gloss", "Kit", role="hardener", size_ml=500, batch="H-300"))
    done(pots.mix(shop, "gloss", "Mo", known=CUP, tins=(4,)))
    assert (tin(shop, 2).left_ml, tin(shop, 4).left_ml) == (500, 400)
    before = state(shop)
    answer = refused(pots.mix(shop, "gloss", "Mo", known=CUP, tins=(99,)))
    assert str(answer) == ("tin 99 holds no part of this mix: name tins of base, hardener, thinner")
    assert state(shop) == before


@pytest.mark.sqlite(False)
def test_topping_up_takes_from_tins_too(shop: Shop) -> None:
    gloss_tins(shop)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    done(pots.top_up(shop, "A", "Kit", known=MixStart(need_ml=165)))
    assert [tin(shop, n).left_ml for n in (1, 2, 3)] == [700, 350, 955]
    assert [taken["ml"] for taken in mix_row(shop).tins] == [200, 100, 30, 100, 50, 15]


@pytest.mark.sqlite(False)
def test_undo_puts_back_what_was_poured_and_the_lid_on(shop: Shop) -> None:
    gloss_tins(shop)
    before = state(shop)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    mixed = state(shop)
    done(pots.top_up(shop, "A", "Kit", known=CUP))
    assert told(shop) == state(shop)
    assert check(shop).faults == ()
    done(undo.undo(shop, "Kit"))
    assert state(shop) == mixed
    done(undo.undo(shop, "Kit"))
    assert state(shop) == before
    assert tin(shop, 2).opened_at is None


# --- out of date ---------------------------------------------------------------------------------


def dead_hardener(shop: Shop, clock: ManualClock) -> None:
    """The tins of the gloss, its hardener opened 214 days ago."""
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=214)


def why(reason: str) -> Override:
    """A reason for the hardener that is out of date."""
    return Override({"tin-out-of-date-2": reason})


def test_mixing_from_a_hardener_opened_too_long_ago_asks_first(
    shop: Shop, clock: ManualClock
) -> None:
    dead_hardener(shop, clock)
    before = state(shop)
    answer = refused(pots.mix(shop, "gloss", "Mo", known=CUP))
    assert answer.override == "reason"
    assert str(answer) == (
        "tin 2, hardener of Two-pack gloss 2:1, is out of date "
        "(opened 214 d ago, keeps 90 d? once open): "
        "open a fresh one. Cloudy, skinned, gelled or full of crystals: bin it"
    )
    assert state(shop) == before


def test_mixing_from_a_tin_past_its_use_by_asks_first(shop: Shop, clock: ManualClock) -> None:
    done(
        tins.record_tin(
            shop, "epoxy-primer", "Kit", role="base", size_ml=1000, use_by=date(2025, 6, 30)
        )
    )
    clock.advance(days=30)
    answer = refused(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    assert (answer.rule, answer.read) == (
        "tin 1, base of Epoxy primer 4:1, is out of date",
        "its use-by was 30 Jun 2025",
    )


def test_the_reason_is_seen_on_the_pot_and_again_on_every_part_sprayed_from_it(
    shop: Shop, clock: ManualClock
) -> None:
    dead_hardener(shop, clock)
    empty = refused(pots.mix(shop, "gloss", "Mo", known=CUP, override=why("  ")))
    assert empty.rule == "the reason for tin-out-of-date-2 is empty"
    answer = done(pots.mix(shop, "gloss", "Mo", known=CUP, override=why("clear and thin")))
    against = (
        "tin 2, hardener of Two-pack gloss 2:1, is out of date "
        "(opened 214 d ago, keeps 90 d? once open): clear and thin"
    )
    assert answer.text.endswith(f"; override: {against}")
    assert [pot.against for pot in bench_view.read_bench(shop).pots] == [(against,)]

    mild(shop)
    name = to_coat(shop, "aluminium", "plate", "gloss")
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    name = part(shop).current().step.name  # type: ignore[union-attr]
    no = refused(steps.begin(shop, 1, "Mo"))
    assert no.override == "reason"
    assert str(no) == (
        f"pot A was mixed from a tin out of date ({against}): "
        "bin it and mix from a tin that is in date"
    )
    done(begin_over(shop, 1, "Mo", "tested on the coupon"))
    (flag,) = coat_row(shop, name).flags
    assert flag == (
        f"override: pot A was mixed from a tin out of date ({against}): tested on the coupon"
    )
    sheet = sheet_of(shop, "1")
    assert isinstance(sheet, Sheet)
    assert [pot.pot.against for step in sheet.steps for pot in step.pots] == [(against,)]


def test_a_fresh_tin_is_taken_and_the_dead_one_named_for_the_bin(
    shop: Shop, clock: ManualClock
) -> None:
    dead_hardener(shop, clock)
    done(tins.record_tin(shop, "gloss", "Kit", role="hardener", size_ml=500, batch="H-300"))
    answer = done(pots.mix(shop, "gloss", "Mo", known=CUP))
    assert "tin 2 is out of date: bin it" in answer.notes
    assert bench_view.read_bench(shop).pots[0].against == ()


def test_topping_up_from_a_dead_tin_asks_too(shop: Shop, clock: ManualClock) -> None:
    gloss_tins(shop)
    done(tins.open_tin(shop, 2, "Kit"))
    clock.advance(days=89, hours=23, minutes=30)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    clock.advance(hours=1)
    assert "is out of date" in refused(pots.top_up(shop, "A", "Mo", known=CUP)).rule
    done(pots.top_up(shop, "A", "Mo", known=CUP, override=why("other")))
    (against,) = bench_view.read_bench(shop).pots[0].against
    assert against.endswith("once open): other")


# --- what is not mixed ---------------------------------------------------------------------------


def test_a_coat_of_brush_enamel_takes_what_it_needs_by_the_figures(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000, batch="E-1"))
    mild(shop)
    name = to_coat(shop, "cast-iron", "axle", "enamel-brush")
    answer = done(steps.begin(shop, 1, "Kit"))
    assert "from tins: 1 (E-1)" in answer.notes
    needed_ml = 0.85 * 40 / 0.45 / 0.85  # m2 x um dry / solids / what lands from a brush
    assert coat_row(shop, name).tins == [{"id": 1, "ml": pytest.approx(needed_ml, abs=0.06)}]
    assert tin(shop).left_ml == pytest.approx(1000 - needed_ml, abs=0.11)
    assert tin(shop).opened_at is not None


def test_a_coat_whose_area_nobody_knows_says_only_which_tin(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000))
    mild(shop)
    name = to_coat(shop, "cast-iron", "plain", "enamel-brush")
    done(steps.begin(shop, 1, "Kit"))
    assert coat_row(shop, name).tins == [{"id": 1, "ml": 0.0}]
    assert (tin(shop).left_ml, tin(shop).opened_at) == (1000, shop.clock.now())


def test_a_frame_empties_several_cans(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-aerosol", "Kit", size_ml=400, count=12, batch="C-5"))
    mild(shop)
    name = to_coat(shop, "zinc-weathered", "frame", "enamel-aerosol")
    done(begin_over(shop, 1, "Kit", "other"))
    taken = coat_row(shop, name).tins
    assert sum(one["ml"] for one in taken) == pytest.approx(7.5 * 20 / 0.18 / 0.25, abs=1)
    assert [tin(shop, one["id"]).left_ml for one in taken[:-1]] == [0] * 8


def test_a_coat_from_the_only_tin_that_is_out_of_date_asks_first(
    shop: Shop, clock: ManualClock
) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000, use_by=date(2025, 6, 10)))
    clock.advance(days=5)
    mild(shop)
    name = to_coat(shop, "cast-iron", "axle", "enamel-brush")
    answer = refused(steps.begin(shop, 1, "Kit"))
    assert answer.override == "reason"
    assert str(answer) == (
        "tin 1, Chassis enamel, brush, is out of date (its use-by was 10 Jun 2025): "
        "open a fresh one. Gelled, seedy or hard settled: bin it"
    )
    ahead = ahead_of(shop, 1)
    assert answer in ahead.against  # type: ignore[union-attr]
    done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    assert "its use-by was 10 Jun 2025): tested on the coupon" in coat_row(shop, name).flags[0]


def test_zinc_rich_opened_for_weeks_is_out_of_date(shop: Shop, clock: ManualClock) -> None:
    done(tins.record_tin(shop, "zinc-rich", "Kit", size_ml=500))
    done(tins.open_tin(shop, 1, "Kit"))
    clock.advance(days=28)
    assert tin(shop).opened_life_s == 28 * 86400.0
    one = tins.open_tin(shop, 1, "Kit")
    assert "open already" in refused(one).rule


@pytest.mark.sqlite(False)
def test_beginning_a_coat_and_undoing_it_puts_the_tin_back(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000))
    mild(shop)
    to_coat(shop, "cast-iron", "axle", "enamel-brush")
    before = state(shop)
    done(steps.begin(shop, 1, "Kit"))
    assert told(shop) == state(shop)
    done(undo.undo(shop, "Mo"))
    assert state(shop) == before


def test_pieces_that_leave_a_lot_keep_the_batch_but_take_no_paint_twice(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000, batch="E-1"))
    mild(shop)
    done(placement.place(shop, 1, "Kit", route="cast-iron", shape="axle", count=14))
    while part(shop).current().step.product != "enamel-brush":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(steps.begin(shop, 1, "Kit"))
    left = tin(shop).left_ml
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    done(lots.split(shop, 1, "Kit", 2))
    assert tin(shop).left_ml == left
    sheet = sheet_of(shop, "1b")
    assert isinstance(sheet, Sheet)
    assert [tin.batch for step in sheet.steps for tin in step.tins] == ["E-1"]
    with shop.store.reading() as session:
        poured = [one["ml"] for row in session.exec(select(StepRow)).all() for one in row.tins]
    assert sorted(poured)[0] == 0
    assert len(poured) == 2


# --- two-pack aerosols ---------------------------------------------------------------------------


@pytest.mark.sqlite(False)
def test_activating_a_can_opens_it_and_its_coats_take_from_that_can(shop: Shop) -> None:
    done(tins.record_tin(shop, "two-pack-aerosol", "Kit", size_ml=400, count=2, batch="K-3"))
    answer = done(pots.mix(shop, "two-pack-aerosol", "Mo"))
    assert "from tins: 1 (K-3)" in answer.notes
    mild(shop)
    name = to_coat(shop, "old-paint", "bracket", "two-pack-aerosol")
    done(steps.begin(shop, 1, "Kit"))
    needed_ml = 0.03 * 20 / 0.18 / 0.15
    assert coat_row(shop, name).tins == [{"id": 1, "ml": pytest.approx(needed_ml, abs=0.06)}]
    assert tin(shop, 2).opened_at is None


def test_the_next_can_that_is_activated_is_a_sealed_one(shop: Shop) -> None:
    done(tins.record_tin(shop, "two-pack-aerosol", "Kit", size_ml=400, count=2))
    done(pots.mix(shop, "two-pack-aerosol", "Mo"))
    done(pots.mix(shop, "two-pack-aerosol", "Mo"))
    assert [mix_row(shop, n).tins[0]["id"] for n in (1, 2)] == [1, 2]


def test_a_binned_can_is_no_tin_any_more(shop: Shop) -> None:
    done(tins.record_tin(shop, "two-pack-aerosol", "Kit", size_ml=400))
    done(pots.mix(shop, "two-pack-aerosol", "Mo"))
    answer = done(pots.bin_pot(shop, "A", "Mo"))
    assert answer.notes == ("tin 1 is binned with it",)
    assert tin(shop).empty_at == shop.clock.now()
    before_it = done(undo.undo(shop, "Mo"))
    assert "undone" in before_it.text
    assert tin(shop).empty_at is None
