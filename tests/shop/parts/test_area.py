"""The area of a part: typed where its shape has none, and then paint is counted by it."""

from __future__ import annotations

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.parts import lots, placement
from bench.shop.parts.area import set_area
from bench.shop.queries.log import log_page
from bench.shop.stock.tin_list import shopping

from ..doing import done, part, refused

pytestmark = pytest.mark.sqlite


@pytest.fixture
def plates(shop: Shop) -> Shop:
    """Four plates of blasted steel; nobody knows how big."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="plate", count=4))
    return shop


def test_a_plate_is_not_counted_until_its_area_is_typed_and_then_it_is(plates: Shop) -> None:
    before = shopping(plates)
    assert before.wanted == ()
    assert {unknown.why for unknown in before.unknown} == {"its area is not known: type it"}
    answer = done(set_area(plates, 1, "Kit", area_m2=0.25))
    assert answer.text == "tag 1 Plate: each piece 0.25 m2, says Kit"
    after = shopping(plates)
    assert after.unknown == ()
    assert {one.product for one in after.wanted} >= {"epoxy-primer", "gloss"}
    assert check(plates).faults == ()


def test_an_area_measured_again_says_what_it_was(plates: Shop) -> None:
    done(set_area(plates, 1, "Kit", area_m2=0.25))
    done(set_area(plates, 1, "Mo", area_m2=0.3, sizes="plate 500x300x4 mm"))
    assert log_page(plates)[0].text.endswith(
        "each piece 0.3 m2, plate 500x300x4 mm, was 0.25 m2, says Mo"
    )


@pytest.mark.parametrize("area_m2", [0.0, -1.0, 10_001.0])
def test_an_area_that_cannot_be_is_refused(plates: Shop, area_m2: float) -> None:
    assert refused(set_area(plates, 1, "Kit", area_m2=area_m2)).remedy == "over 0, up to 10,000"
    assert part(plates).area_m2 is None


def test_pieces_of_two_lots_have_the_mean_of_their_areas(plates: Shop) -> None:
    done(set_area(plates, 1, "Kit", area_m2=0.2))
    done(lots.split(plates, 1, "Kit", 1, stand=2))
    assert part(plates, "1b").area_m2 == 0.2
    done(set_area(plates, 2, "Kit", area_m2=0.4))
    done(lots.merge(plates, 1, "Kit", "1b"))
    assert part(plates).area_m2 == pytest.approx(0.25)
