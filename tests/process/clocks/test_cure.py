"""When the last coat of a part is cured, and what it is called by."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.clocks.cure import cure_of_last_coat
from bench.process.clocks.part_clocks import Environment

from ..making import HOURS, MON, after, around, band, coated, product


def test_the_paint_that_cures_has_its_name_and_its_key_where_the_shop_has_it_no_more() -> None:
    part = coated(MON, MON, then="cure")
    known = cure_of_last_coat(part, around(product(band("open"))), MON)
    gone = cure_of_last_coat(part, Environment((), HOURS, {}), MON)
    assert known is not None
    assert gone is not None
    assert (known.product, gone.product) == ("paint", "p")


@pytest.mark.parametrize("then", ["coat", "work"])
def test_nothing_cures_while_a_step_is_still_to_come(then: str) -> None:
    part = coated(MON, MON, then=then)
    cure = coated(MON, MON, then="cure").steps[1]
    longer = replace(part, steps=(*part.steps, replace(cure, number=3)))
    assert cure_of_last_coat(longer, around(product(band("open"))), after(60)) is None
