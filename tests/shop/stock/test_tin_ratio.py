"""The ratio of a placeholder is read off the tins before it is mixed."""

from __future__ import annotations

import pytest

from bench.process.stock.mixing import MixStart, TinRatio, ratio_doubt
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections.undo import last_action, undo
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.stock import pots, tins
from bench.shop.stock.tin_ratio import confirm_ratio
from bench.testing import ManualClock
from tests.shop.doing import done, refused

pytestmark = pytest.mark.sqlite

SOME = MixStart(need_ml=300)


def doubt(shop: Shop, batches: tuple[str, ...] = ()) -> str:
    view = bench_view.read_bench(shop)
    return ratio_doubt(view.products["gloss"], view.tin_ratios.get("gloss"), batches)


def read(shop: Shop, by: str = "Kit") -> str:
    return done(confirm_ratio(shop, "gloss", by, says="2:1", known=SOME)).text


def came(shop: Shop, role: str, batch: str) -> None:
    done(tins.record_tin(shop, "gloss", "Kit", role=role, size_ml=1000, batch=batch))


def test_reading_the_tin_is_a_line_of_its_own_and_takes_the_mark_off(shop: Shop) -> None:
    assert doubt(shop) == "?"
    assert read(shop, "mo") == "the tin says 2:1 base:hardener: Two-pack gloss 2:1"
    line = last_action(shop)
    assert line is not None
    assert (line.action, line.painter) == ("tin ratio", "Mo")
    assert doubt(shop) == ""


def test_it_is_undone_like_anything_else(shop: Shop) -> None:
    read(shop)
    done(undo(shop, "Kit"))
    assert (doubt(shop), bench_view.read_bench(shop).tin_ratios) == ("?", {})
    read(shop)
    came(shop, "base", "B-1")
    read(shop)
    done(undo(shop, "Kit"))
    assert (doubt(shop), doubt(shop, ("base B-1",))) == ("", "?")


def test_a_second_reading_of_the_same_tins_writes_nothing(shop: Shop) -> None:
    read(shop)
    before = bench_view.read_bench(shop).line
    assert read(shop) == "the ratio of Two-pack gloss 2:1 is known"
    assert bench_view.read_bench(shop).line == before


def test_it_holds_for_the_batches_it_was_read_off(shop: Shop) -> None:
    came(shop, "base", "B-1")
    came(shop, "hardener", "H-1")
    assert read(shop).endswith(", base B-1, hardener H-1")
    assert doubt(shop, ("base B-1", "hardener H-1")) == ""
    assert doubt(shop, ("base B-1", "hardener H-2")) == "?"


def test_an_earlier_batch_stays_read_when_a_new_one_is(shop: Shop) -> None:
    came(shop, "base", "B-1")
    read(shop)
    done(tins.bin_tin(shop, 1, "Kit"))
    came(shop, "base", "B-2")
    read(shop)
    assert doubt(shop, ("base B-1", "base B-2")) == ""


def test_of_tins_without_a_batch_number_every_new_one_on_the_shelf_is_asked_about(
    shop: Shop,
) -> None:
    came(shop, "base", "")
    assert read(shop).endswith(", base tin 1")
    assert read(shop) == "the ratio of Two-pack gloss 2:1 is known", "the same tin"
    done(tins.bin_tin(shop, 1, "Kit"))
    came(shop, "base", "")
    assert read(shop).endswith(", base tin 2")


def test_another_ratio_in_the_sheet_is_asked_about_again(shop: Shop) -> None:
    read(shop)
    gloss = bench_view.read_bench(shop).products["gloss"]
    text = sheet_text(gloss).replace("base = 2", "base = 3")
    done(sheet_editing.set_product(shop, "Kit", "gloss", text, sure=True))
    assert doubt(shop) == "?"
    told = refused(confirm_ratio(shop, "gloss", "Kit", says="2:1", known=SOME))
    assert told.rule == "the tin does not say the ratio of Two-pack gloss 2:1"
    assert bench_view.read_bench(shop).tin_ratios["gloss"] == TinRatio("2 base : 1 hardener")


def test_batches_that_said_another_ratio_are_not_taken_for_the_new_one(shop: Shop) -> None:
    came(shop, "base", "B-1")
    read(shop)
    text = sheet_text(bench_view.read_bench(shop).products["gloss"]).replace("base = 2", "base = 3")
    done(sheet_editing.set_product(shop, "Kit", "gloss", text, sure=True))
    done(tins.bin_tin(shop, 1, "Kit"))
    came(shop, "base", "B-2")
    done(confirm_ratio(shop, "gloss", "Kit", says="3:1", known=SOME))
    assert doubt(shop, ("base B-2",)) == ""
    assert doubt(shop, ("base B-1",)) == "?"


def test_of_a_typed_sheet_nothing_is_written(shop: Shop) -> None:
    gloss = bench_view.read_bench(shop).products["gloss"]
    text = sheet_text(gloss).replace('"placeholder"', '"sheet"\nplaceholder = []')
    done(sheet_editing.set_product(shop, "Kit", "gloss", text))
    assert doubt(shop) == ""
    assert read(shop) == "the ratio of Two-pack gloss 2:1 is known"
    assert bench_view.read_bench(shop).tin_ratios == {}


def test_nobody_who_is_not_listed_reads_a_tin(shop: Shop) -> None:
    told = refused(confirm_ratio(shop, "gloss", "Zed", says="2:1", known=SOME))
    assert told.rule == "no painter 'Zed'"
    told = refused(confirm_ratio(shop, "glos", "Kit", says="2:1", known=SOME))
    assert told.rule == "no product 'glos'"


def test_the_pot_wears_the_mark_of_its_life_whatever_the_tin_says_of_the_ratio(
    shop: Shop, clock: ManualClock
) -> None:
    read(shop)
    assert done(pots.mix(shop, "gloss", "Kit", known=SOME)).text.endswith("bin by 09:30?")
