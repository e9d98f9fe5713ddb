"""A quote beside a hand calculation: a frame of 7.5 m2 and forty brackets of 0.03 m2.

The paint is made up: 45 % solids, 60 um dry, 4:1, thinned by 15 % of the mixed paint. Of it lands
30 % by HVLP on a frame and 15 % on small parts (common practice, no source). By hand:

- wet film: 60 um / 0.45 x 1.15 = 153.33 um
- frame: 7.5 m2 x 153.33 ml/m2 / 0.30 = 3833 ml
- brackets: 40 x 0.03 m2 = 1.2 m2; 1.2 x 153.33 / 0.15 = 1227 ml
- together 5060 ml, of it thinner 5060 x 0.15 / 1.15 = 660 ml, base 4400 x 4/5 = 3520 ml, hardener
  880 ml
- in tins of 2 l, 1 l and 500 ml: 2 of base, 1 of hardener, 2 of thinner
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from bench.process.ahead.quote import QuoteItem, part_of_item, quote_hours
from bench.process.parts.durations import Length, PastStep, usual_length
from bench.process.sheets.product import Film, Product, Thinner
from bench.process.sheets.route import Route, Shape, Step
from bench.process.stock.shopping import (
    all_needs,
    amount_words,
    counted_words,
    shopping,
    tins_words,
)
from bench.trade.mixing import Ratio, Share

EPOXY = Product(
    "epoxy",
    "Epoxy",
    "primer",
    source="sheet",
    ratio=Ratio((Share("base", 4), Share("hardener", 1))),
    thinner=Thinner(15, 20, "mixed"),
    volume_solids_pct=45.0,
    film=Film(40, 60, 100),
    tool="hvlp",
)
STEPS = (
    Step("blast", "work"),
    Step("epoxy", "coat", "epoxy"),
    Step("cure", "cure"),
)
ROUTE = Route("steel", "Steel", "steel", STEPS)
FRAME = QuoteItem(ROUTE, Shape("frame", "Frame", ("ALL",)), 7.5)
BRACKETS = QuoteItem(ROUTE, Shape("bracket", "Bracket", ("A",), like="small"), 0.03, 40)
SIZES = {("epoxy", "base"): 2000.0, ("epoxy", "hardener"): 1000.0, ("epoxy", "thinner"): 500.0}


def lines_of(*items: QuoteItem) -> dict[str, tuple[str, str, str]]:
    parts = [part_of_item(item, str(n)) for n, item in enumerate(items, start=1)]
    shapes = {item.shape.key: item.shape for item in items}
    needs = all_needs(parts, {"epoxy": EPOXY}, shapes)
    found = shopping(needs, (), {"epoxy": EPOXY}, SIZES, datetime(2026, 3, 2, tzinfo=UTC))
    return {
        line.role: (amount_words(line), tins_words(line), counted_words(line, "lots"))
        for line in found.wanted
    }


@pytest.mark.parametrize(
    ("items", "by_role"),
    [
        ((FRAME,), {"base": "2667 ml", "hardener": "667 ml", "thinner": "500 ml"}),
        ((BRACKETS,), {"base": "853 ml", "hardener": "213 ml", "thinner": "160 ml"}),
        ((FRAME, BRACKETS), {"base": "3520 ml", "hardener": "880 ml", "thinner": "660 ml"}),
    ],
)
def test_litres_are_those_worked_by_hand(
    items: tuple[QuoteItem, ...], by_role: dict[str, str]
) -> None:
    assert {role: words[0] for role, words in lines_of(*items).items()} == by_role


def test_whole_tins_are_bought_and_a_lot_without_an_area_is_said() -> None:
    tins = {role: words[1] for role, words in lines_of(FRAME, BRACKETS).items()}
    assert tins == {"base": "2 x 2000 ml", "hardener": "1 x 1000 ml", "thinner": "2 x 500 ml"}
    unknown = QuoteItem(ROUTE, Shape("plain", "Other", ("ALL",)))
    assert lines_of(FRAME, unknown)["base"][2] == ": 1 of 2 lots counted"


def test_hours_are_the_routes_corrected_by_past_steps_with_their_spread() -> None:
    """By hand: blasting 15 min + 6 a m2 is 60 min on 7.5 m2 and 22.2 min on 1.2 m2.

    Six past steps took twice what their route says: the logarithm ln 2 x 6 / 9 is 0.4621, so times
    1.5874. 60 becomes 95.24 min, 22.2 becomes 35.24. The spread is 0.35 x 3 / 9 = 0.11667, and
    exp(0.11667) = 1.12374. The coat is nowhere in the log: 10 min + 3 a m2, spread 0.35.
    """
    past = [PastStep("blast", "work", "", 7200.0, 3600.0)] * 6

    def length(step: Step, area_m2: float | None) -> Length:
        return usual_length(step, "", area_m2, past)

    blast, epoxy = quote_hours([FRAME, BRACKETS], length).lengths
    assert (blast.name, blast.times, blast.past, blast.doubt) == ("blast", 2, 6, "")
    assert blast.usual.total_seconds() / 60 == pytest.approx(95.24 + 35.24, abs=0.02)
    assert blast.longer / blast.usual == pytest.approx(1.12374, abs=1e-4)
    assert blast.usual / blast.shorter == pytest.approx(1.12374, abs=1e-4)
    assert (epoxy.past, epoxy.doubt) == (0, "?"), "a cure is no work"
    assert epoxy.usual == timedelta(minutes=10 + 3 * 7.5 + 10 + 3 * 1.2)
    assert quote_hours([FRAME], length).words == "2 h 08 min? (1 h 48 min to 2 h 34 min)"
