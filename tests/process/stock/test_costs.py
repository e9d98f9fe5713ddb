"""What is in a pot, and what of it has a price."""

from __future__ import annotations

import pytest

from bench.process.stock.costs import PouredAmount, pot_amounts


@pytest.mark.parametrize(("ml", "unpriced"), [(100.5, []), (100.51, [0.51])])
def test_more_than_half_a_millilitre_that_came_from_no_tin_has_no_price(
    ml: float, unpriced: list[float]
) -> None:
    """What was taken is kept to a tenth of a millilitre."""
    priced, *rest = pot_amounts({"base": ml}, [("base", 100.0, 12.0)])
    assert priced == PouredAmount(100.0, 12.0)
    assert [(round(each.ml, 2), each.price_per_l) for each in rest] == [
        (ml, None) for ml in unpriced
    ]
