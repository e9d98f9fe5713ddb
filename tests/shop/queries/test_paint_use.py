"""What pots say of the paint that coats took: mixed, less what was left, to what was calculated.

On a bracket of 0.03 m2 epoxy takes by the shipped placeholders what ``need_of`` calculates; the
factor is checked by hand against that.
"""

from __future__ import annotations

import pytest

from bench.process.stock.mixing import MixStart
from bench.process.stock.paint_use import OwnUse
from bench.process.stock.shopping import need_of
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import placement, steps
from bench.shop.queries.paint_use import left_in_pots, uses_of
from bench.shop.stock import pots
from bench.shop.stock.quote import AskedItem, Quote, quote
from bench.testing import ManualClock
from tests.shop.doing import begin_over, done, part, skip_to_coat

pytestmark = pytest.mark.sqlite

PIECES = 100


def calculated_ml(shop: Shop, tag: str) -> float:
    """What the first coat of a lot takes by the table."""
    view, lot = read_bench(shop), part(shop, tag)
    record = next(record for record in lot.steps if record.step.kind == "coat")
    return sum(need_of(lot, record, view.products, view.shapes).ml.values())


def sprayed(shop: Shop, clock: ManualClock, stand: int, left: float | None, times: float) -> None:
    """A lot coated from a pot of its own that took so many times what is calculated."""
    done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket", count=PIECES))
    skip_to_coat(shop, stand)
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    mixed = calculated_ml(shop, str(stand)) * times + (left or 0.0)
    pot = done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=mixed)))
    letter = pot.text.split()[1].rstrip(":")
    done(begin_over(shop, stand, "Kit", "tested on the coupon"))
    clock.advance(minutes=20)
    done(steps.finish(shop, stand, "Kit", all_faces=True))
    done(pots.bin_pot(shop, letter, "Kit", left_ml=left))


def uses(shop: Shop) -> dict[tuple[str, str], OwnUse]:
    view = read_bench(shop)
    with shop.store.reading() as session:
        return dict(uses_of(session, view.products, view.shapes))


@pytest.mark.parametrize(("left", "known"), [(100.0, 1), (None, 0)])
def test_a_pot_counts_where_somebody_measured_what_was_left(
    shop: Shop, clock: ManualClock, left: float | None, known: int
) -> None:
    sprayed(shop, clock, 1, left, 1.5)
    found = uses(shop)
    assert len(found) == known
    if known:
        own = found["epoxy-primer", "hvlp"]
        assert own.factor == pytest.approx(1.5**0.25, rel=1e-3)
        assert own.transfer_pct == pytest.approx(15 / 1.5**0.25, rel=1e-3), "15 % on small parts"


def test_from_five_pots_on_a_quote_goes_by_them_and_says_so(shop: Shop, clock: ManualClock) -> None:
    """By hand: five pots took 1.5 times as much, so a coat takes 1.5^(5/8) times the table's."""

    def base_ml() -> float:
        found = quote(shop, [AskedItem("steel-blasted", "bracket", count=PIECES)])
        assert isinstance(found, Quote)
        lines = [line for line in found.paint.wanted if line.product == "epoxy-primer"]
        owns.append(found.paint.own)
        return sum(line.need_ml for line in lines)

    owns: list[tuple[OwnUse, ...]] = []
    by_table = base_ml()
    for stand in range(1, 5):
        sprayed(shop, clock, stand, 50.0, 1.5)
    assert base_ml() == pytest.approx(by_table)
    sprayed(shop, clock, 5, 50.0, 1.5)
    assert base_ml() == pytest.approx(by_table * 1.5 ** (5 / 8), rel=1e-3)
    assert [len(own) for own in owns] == [0, 0, 1]
    assert owns[-1][0].pots == 5


@pytest.mark.sqlite(False)
def test_pots_that_share_a_coat_count_together_and_an_unmeasured_one_spoils_them(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", count=PIECES))
    skip_to_coat(shop, 1)
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    half = calculated_ml(shop, "1")
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=half)))
    done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    clock.advance(minutes=5)
    done(steps.finish(shop, 1, "Kit", mark="A"))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=half)))
    clock.advance(minutes=5)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    done(pots.bin_pot(shop, "A", "Kit", left_ml=0.0))
    assert uses(shop) == {}, "half of it is not measured yet"
    done(pots.bin_pot(shop, "B", "Kit", left_ml=0.0))
    assert uses(shop)["epoxy-primer", "hvlp"].pots == 1
    assert uses(shop)["epoxy-primer", "hvlp"].factor == pytest.approx(2**0.25, rel=1e-3)


def test_what_is_left_in_an_open_pot_is_what_was_mixed_less_what_its_coats_took(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", count=PIECES))
    skip_to_coat(shop, 1)
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    takes = calculated_ml(shop, "1")
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=takes + 120)))

    def left() -> dict[str, float]:
        view = read_bench(shop)
        with shop.store.reading() as session:
            return left_in_pots(session, view.products, view.shapes, {})

    assert left() == {"A": pytest.approx(takes + 120)}
    done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    assert left() == {"A": pytest.approx(120, abs=1)}
