"""What the shop's own pots say lands on a part, beside hand calculations."""

from __future__ import annotations

from math import exp, log

import pytest

from bench.process.sheets.route import Shape
from bench.process.stock.paint_use import OwnUse, PaintUse, own_uses, transfer_by
from bench.process.stock.shopping import need_of

from ..actions.test_begin_rules import route, step
from .test_paint_needs import EPOXY, FRAME


def used(*times: float) -> list[PaintUse]:
    """Pots whose coats would have taken 1000 ml with 30 % landing, and took so many times that."""
    return [PaintUse("p", "hvlp", 1000 * each, 1000.0, 300.0) for each in times]


@pytest.mark.parametrize(
    ("times", "pots", "factor"),
    [
        ((1.5,), 1, 1.5**0.25),
        ((1.5, 1.5, 1.5), 3, 1.5**0.5),
        ((1.5,) * 5, 5, exp(5 * log(1.5) / 8)),
        # A pot that was mostly spilled is over three times the median.
        ((1.5, 1.5, 1.5, 4.6), 3, 1.5**0.5),
    ],
)
def test_the_tables_figure_weighs_as_much_as_three_pots(
    times: tuple[float, ...], pots: int, factor: float
) -> None:
    own = own_uses(used(*times))["p", "hvlp"]
    assert (own.pots, own.factor) == (pots, pytest.approx(factor))
    assert own.transfer_pct == pytest.approx(30 / factor)


def own(pots: int, factor: float = 1.5) -> OwnUse:
    return OwnUse("p", "hvlp", factor, 0.2, pots, 20.0)


@pytest.mark.parametrize(("pots", "pct"), [(4, 30.0), (5, 20.0)])
def test_only_from_five_pots_on_is_it_calculated_by(pots: int, pct: float) -> None:
    assert transfer_by(own(pots), 30.0) == pytest.approx(pct)
    assert transfer_by(None, 30.0) == 30.0
    assert transfer_by(own(5, factor=0.1), 30.0) == 100.0, "more than all of it never lands"


@pytest.mark.parametrize(("pots", "times"), [(4, 1.0), (5, 1.5)])
def test_what_a_coat_takes_goes_by_the_shops_own_pots(pots: int, times: float) -> None:
    part = route(step())
    shapes: dict[str, Shape] = {part.shape: FRAME}
    by_table = need_of(part, part.steps[0], {"p": EPOXY}, shapes)
    found = need_of(part, part.steps[0], {"p": EPOXY}, shapes, {("p", "hvlp"): own(pots)})
    assert sum(found.ml.values()) == pytest.approx(times * sum(by_table.ml.values()))
    assert (found.own is not None) == (pots >= 5)
    other = need_of(part, part.steps[0], {"p": EPOXY}, shapes, {("p", "brush"): own(9)})
    assert other == by_table, "another tool says nothing of this one"
