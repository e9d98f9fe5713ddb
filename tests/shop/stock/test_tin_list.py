"""The shopping list of the bench, and what a month's paint cost.

Prices are invented. The sums are worked out by hand beside each figure.
"""

from __future__ import annotations

import pytest

from bench.process.stock.costs import Month, ProductSpending
from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.stock import pots, tin_list, tins
from bench.testing import ManualClock
from tests.shop.doing import done, part, refused
from tests.shop.stock.test_tin_usage import mild, to_coat

pytestmark = pytest.mark.sqlite

CUP = MixStart(need_ml=330)


def priced(shop: Shop, *, thinner: float | None = 8.0) -> None:
    """Tin 1 base 1 l at 30.00, tin 2 hardener 0.5 l at 25.00, tin 3 thinner 1 l."""
    for product, role, size_ml, price in (
        ("gloss", "base", 1000.0, 30.0),
        ("gloss", "hardener", 500.0, 25.0),
        ("thinner", "", 1000.0, thinner),
    ):
        done(tins.record_tin(shop, product, "Kit", role=role, size_ml=size_ml, price=price))


def june(shop: Shop) -> Month:
    return tin_list.costs(shop, 2025, 6)


def gloss(month: Month) -> ProductSpending:
    return next(one for one in month.products if one.name == "Two-pack gloss 2:1")


def test_a_month_worked_by_hand(shop: Shop, clock: ManualClock) -> None:
    priced(shop)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))  # 200 base, 100 hardener, 30 thinner
    clock.advance(hours=1)
    done(pots.bin_pot(shop, "A", "Mo", left_ml=110))  # a third of it
    done(tins.bin_tin(shop, 2, "Mo"))  # 400 of its 500 ml
    found = gloss(june(shop))
    assert found.used.ml == pytest.approx(330)
    assert found.used.cost == pytest.approx(200 * 0.030 + 100 * 0.050 + 30 * 0.008)  # 11.24
    assert (found.binned.ml, found.binned.cost) == pytest.approx((110, 11.24 / 3))
    assert (found.thrown.ml, found.thrown.cost) == pytest.approx((400, 20.0))
    assert (found.wasted.ml, found.wasted.cost) == pytest.approx((510, 20 + 11.24 / 3))
    assert june(shop).total.used == found.used
    assert june(shop).unmeasured == 0


def test_a_tin_used_up_and_thrown_away_cost_what_was_paid_for_it(shop: Shop) -> None:
    priced(shop)
    for _ in range(2):
        done(pots.mix(shop, "gloss", "Mo", known=CUP))
    done(tins.bin_tin(shop, 2, "Mo"))
    hardener = 2 * 100 * 0.050
    assert hardener + june(shop).total.thrown.cost == pytest.approx(25.0)


def test_what_has_no_price_is_said_and_not_taken_as_nothing(shop: Shop) -> None:
    priced(shop, thinner=None)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    found = gloss(june(shop)).used
    assert (found.ml, found.unpriced_ml) == pytest.approx((330, 30))
    assert found.cost == pytest.approx(11.0)


def test_what_came_from_no_listed_tin_has_no_price_either(shop: Shop) -> None:
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    found = gloss(june(shop)).used
    assert (found.ml, found.unpriced_ml, found.cost) == pytest.approx((330, 330, 0))


def test_a_pot_that_nobody_measured_is_counted_apart(shop: Shop) -> None:
    priced(shop)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    done(pots.bin_pot(shop, "A", "Mo"))
    month = june(shop)
    assert month.unmeasured == 1
    assert gloss(month).binned.ml == 0


@pytest.mark.sqlite(False)
def test_a_price_typed_later_counts_from_then_on(shop: Shop) -> None:
    priced(shop, thinner=None)
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    done(tins.correct_tin(shop, 3, "Kit", price=10.0))
    assert gloss(june(shop)).used.cost == pytest.approx(11.3)


def test_a_coat_that_is_not_mixed_costs_what_it_took(shop: Shop) -> None:
    done(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=1000, price=40.0))
    mild(shop)
    to_coat(shop, "cast-iron", "axle", "enamel-brush")
    done(steps.begin(shop, 1, "Kit"))
    (found,) = june(shop).products
    needed_ml = 0.85 * 40 / 0.45 / 0.85  # m2 x um / solids / what lands from a brush
    assert found.used.cost == pytest.approx(needed_ml * 0.040, abs=0.01)


def test_a_binned_can_wastes_what_was_left_in_it_once(shop: Shop) -> None:
    done(tins.record_tin(shop, "two-pack-aerosol", "Kit", size_ml=400, price=20.0))
    done(pots.mix(shop, "two-pack-aerosol", "Mo"))
    done(pots.bin_pot(shop, "A", "Mo", left_ml=100))
    total = june(shop).total
    assert (total.wasted.ml, total.wasted.cost) == pytest.approx((100, 5.0))


@pytest.mark.sqlite(False)
def test_a_month_begins_and_ends_at_midnight_in_the_shop(shop: Shop, clock: ManualClock) -> None:
    priced(shop)
    clock.advance(days=21, hours=16, minutes=29)  # 30 June 23:59 in London, 22:59 in UTC
    done(pots.mix(shop, "gloss", "Mo", known=CUP))
    clock.advance(minutes=1)
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=165)))
    assert june(shop).total.used.ml == pytest.approx(330)
    assert tin_list.costs(shop, 2025, 7).total.used.ml == pytest.approx(165)
    assert tin_list.costs(shop, 2025, 8) == Month(2025, 8)
    assert tin_list.costs(shop, 2025, 12) == Month(2025, 12), "a year ends too"


@pytest.mark.parametrize(
    "text", ["2025-13", "June", "2025", "2025-06-01", "0000-01", "x" * 99, "9999-01"]
)
def test_a_month_that_is_none_is_refused(shop: Shop, text: str) -> None:
    answer = refused(tin_list.month_of(shop, text))  # type: ignore[arg-type]
    assert answer.remedy == "such as 2025-06"


def test_without_a_word_it_is_this_month(shop: Shop) -> None:
    assert tin_list.month_of(shop) == (2025, 6)
    assert tin_list.month_of(shop, "9998-12") == (9998, 12), "a month later is still a date"
    assert tin_list.month_of(shop, " 2024-2 ") == (2024, 2)


# --- shopping ------------------------------------------------------------------------------------


@pytest.mark.sqlite(False)
def test_the_list_is_of_the_coats_that_the_parts_on_the_bench_still_take(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-weathered", shape="axle"))
    done(tins.record_tin(shop, "etch-primer", "Kit", role="base", size_ml=1000))
    found = tin_list.shopping(shop)
    lines = {(one.product, one.role): one for one in found.wanted}
    etch_ml = 0.85 * 12 / 0.10 / 0.30 / 2  # m2 x um / solids / what lands; half of it base
    base = lines["etch-primer", "base"]
    assert (base.need_ml, base.left_ml, base.buy_ml) == pytest.approx((etch_ml, 1000, 0))
    assert lines["etch-primer", "activator"].buy_ml == pytest.approx(etch_ml)
    cans = lines["enamel-aerosol", ""]
    assert cans.need_ml == pytest.approx(2 * 0.85 * 20 / 0.18 / 0.25), "two coats"
    assert cans.buy_tins == 2
    assert cans.guessed
    assert found.unknown == ()


def test_a_part_set_down_beside_the_stands_still_takes_its_paint(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-weathered", shape="axle"))
    before = tin_list.shopping(shop).wanted
    assert before != ()
    done(placement.take_off(shop, 1, "Kit"))
    assert tin_list.shopping(shop).wanted == before


def test_a_coat_that_was_begun_is_off_the_list(shop: Shop) -> None:
    mild(shop)
    to_coat(shop, "cast-iron", "axle", "enamel-brush")
    assert [one.product for one in tin_list.shopping(shop).wanted] == ["enamel-brush"]
    before = tin_list.shopping(shop).wanted[0].need_ml
    done(steps.begin(shop, 1, "Kit"))
    after = sum(one.need_ml for one in tin_list.shopping(shop).wanted)
    assert after < before


def test_a_part_without_an_area_stands_on_the_list_with_why(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="cast-iron", shape="plain"))
    found = tin_list.shopping(shop)
    assert {one.why for one in found.unknown} == {"its area is not known: type it"}
    while part(shop).current().step.kind != "cure":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "other"))
    assert tin_list.shopping(shop).unknown == ()
