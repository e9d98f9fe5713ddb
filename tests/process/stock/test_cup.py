"""What is in the cup, what must still be poured, and that the pot written is what is in it."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from random import Random

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product, Thinner
from bench.process.stock.cup import Cup, Pouring
from bench.process.stock.mixing import MixStart, ratio_with_thinner
from bench.trade.batch import ratio_errors, recover
from bench.trade.mixing import Ratio, Share, by_volume

FOUR = Ratio((Share("base", 4), Share("hardener", 1)))
TWO = Ratio((Share("base", 2), Share("hardener", 1)))
EPOXY = Product("epoxy", "Epoxy", "primer", ratio=FOUR)
GLOSS = Product("gloss", "Gloss", "top coat", ratio=TWO, thinner=Thinner(10, 15, "mixed"))
PUTTY = Product(
    "putty",
    "Putty",
    "primer",
    ratio=Ratio(TWO.shares, by="weight"),
    densities={"base": 1.5, "hardener": 1.0},
)


def cup(known: MixStart, *keys: str, product: Product = EPOXY, size_ml: float = 1000) -> Cup:
    """A cup marked every 10 ml after some keys: a part's name is one line too much of it."""
    found = Cup(product, known, size_ml, 10, product.thinner.least_pct if product.thinner else None)
    for key in keys:
        found = pressed(found, key)
    return found


def pressed(found: Cup, key: str) -> Cup:
    keys = {"*": found.to_lines, "+": lambda: found.thinned(1), "-": lambda: found.thinned(-1)}
    role, less, _ = key.partition(" back")
    after = keys[key]() if key in keys else found.less(role) if less else found.more(role)
    assert isinstance(after, Cup), after
    return after


def poured(found: Cup) -> Pouring:
    pouring = found.pouring
    assert isinstance(pouring, Pouring), pouring
    return pouring


def lines(found: Cup) -> list[tuple[str, float, float]]:
    return [(pour.role, round(pour.ml), round(pour.fill_to_ml)) for pour in poured(found).pours]


def test_a_second_part_past_its_line_keeps_the_first() -> None:
    """400 + 60 of base takes 115 of hardener; 10 past that is 125, which takes 500 of base: 40 more
    to the line at 625. Arithmetic."""
    found = cup(MixStart(need_ml=500), *["base"] * 6, "hardener")
    assert lines(found) == [("base", 460, 460), ("hardener", 125, 585), ("base", 40, 625)]
    assert found.contents == {"base": 460, "hardener": 125}
    assert found.over_words() == (
        "base is 60 ml past its line; hardener is 10 ml past its line: new lines"
    )
    parts = poured(found).parts(EPOXY)
    assert [(p.role, p.in_ml, p.pour_ml, p.fill_to_ml) for p in parts] == [
        ("base", 460, pytest.approx(40), pytest.approx(625)),
        ("hardener", 125, 0, 585),
    ]


def test_a_part_that_went_over_twice_is_taken_past_its_new_line() -> None:
    """Of the 40 of base for 125 of hardener 50 went in: 510 takes 127.5 of hardener. Arithmetic."""
    found = cup(MixStart(need_ml=500), *["base"] * 6, "hardener", "base")
    assert found.contents == {"base": pytest.approx(510), "hardener": pytest.approx(125)}
    assert poured(found).total_ml == pytest.approx(637.5)


def test_taking_an_over_pour_back_leads_to_what_was_before_it() -> None:
    start = MixStart(need_ml=500)
    back = ("hardener back", "base back", "base back")
    assert cup(start, "base", "base", "hardener", *back).pouring == cup(start).pouring
    assert cup(start, "base", "hardener", "base back").contents["base"] == 410, "not the last one"


def test_the_lines_of_the_cup_go_on_from_what_is_in_it_and_back_to_the_exact_ones() -> None:
    """434 of base at 4:1 takes 108.5; with 6 more it is 440 and 110: the line at 550. Arithmetic."""
    found = cup(MixStart(poured={"base": 434}), "*")
    assert lines(found) == [("base", 434, 434), ("base", 6, 440), ("hardener", 110, 550)]
    assert lines(pressed(found, "*")) == [("base", 434, 434), ("hardener", 108, 542)]
    again = cup(MixStart(need_ml=310), "*", "base")
    assert lines(again) == [("base", 290, 290), ("base", 30, 320), ("hardener", 80, 400)]


def test_more_thinner_leaves_what_is_in_the_cup_as_it_is() -> None:
    """210 of base takes 105 of hardener, and 11 % of 315 is 34.65 of thinner. Arithmetic."""
    found = cup(MixStart(need_ml=330), "base", "+", product=GLOSS)
    assert found.contents == {"base": pytest.approx(210)}
    assert poured(found).by_role() == {
        "base": pytest.approx(210),
        "hardener": pytest.approx(105),
        "thinner": pytest.approx(34.65),
    }


def test_what_is_in_the_cup_comes_first_whichever_part_it_is() -> None:
    """70 of hardener at 4:1 takes 280 of base: 350. Arithmetic."""
    found = cup(MixStart(poured={"hardener": 70}))
    assert (lines(found), poured(found).in_cup) == ([("hardener", 70, 70), ("base", 280, 350)], 1)


def test_several_parts_in_the_cup_already_are_taken_as_they_are() -> None:
    """As ``sum mix 4:1 --over base=460ml,hardener=125ml`` says: 40 of base to 625."""
    found = cup(MixStart(poured={"base": 460, "hardener": 125}))
    assert lines(found)[-1] == ("base", 40, 625)


def test_what_is_in_the_cup_wears_no_mark_and_thinner_that_of_its_product() -> None:
    pouring = poured(cup(MixStart(poured={"base": 200}), product=GLOSS))
    assert pouring.doubts(GLOSS, "?") == ("", "?", "?")
    assert pouring.doubts(GLOSS, "") == ("", "", "?"), "the tin was read for its ratio only"


def test_a_cup_that_is_too_small_is_said_with_what_to_do() -> None:
    assert cup(MixStart(need_ml=1000)).too_small_words() == ""
    assert cup(MixStart(need_ml=1200)).too_small_words("?") == (
        "200? ml more than the 1000 ml cup: take a bigger cup, or mix twice"
    )
    assert cup(MixStart(need_ml=990), *["hardener"] * 2).too_small_words() == (
        "90 ml more than the 1000 ml cup: empty it into a bigger cup first, then pour the rest"
    )


def test_where_an_over_pour_needs_more_than_is_left_it_says_so() -> None:
    """Of 340 and 70 ml left at 4:1, 290 of base takes 72.5 of hardener. Arithmetic."""
    start = MixStart(left_ml={"base": 340, "hardener": 70})
    assert cup(start).lacking_words() == ""
    assert cup(start, "base").lacking_words() == "short of 2.5 ml hardener: open another tin first"


def test_what_no_pot_holds_is_refused_and_the_cup_stays_as_it_was() -> None:
    found = cup(MixStart(need_ml=19_990), size_ml=30_000)
    assert isinstance(found.more("hardener"), Refusal)
    assert isinstance(cup(MixStart(need_ml=0)).pouring, Refusal)
    assert isinstance(cup(MixStart(need_ml=300), product=PUTTY).to_lines(), Refusal)


# --- held against the sums of the trade, whatever is pressed --------------------------------------

PRODUCTS = (
    EPOXY,
    GLOSS,
    PUTTY,
    Product("etch", "Etch", "primer", ratio=Ratio((Share("base", 1), Share("activator", 1)))),
    Product(
        "enamel",
        "Enamel",
        "top coat",
        ratio=Ratio((Share("base", 7.5), Share("hardener", 1), Share("thinner", 0.5))),
    ),
)


def drawn_start(draw: Random, product: Product) -> MixStart:
    assert product.ratio is not None
    amounts = {share.role: draw.uniform(5, 600) for share in product.ratio.shares}
    starts = (
        MixStart(need_ml=draw.uniform(20, 1200)),
        MixStart(left_ml=amounts),
        MixStart(poured=dict(draw.sample(sorted(amounts.items()), draw.randint(1, len(amounts))))),
    )
    return draw.choice(starts)


@pytest.mark.parametrize("seed", range(120))
def test_whatever_is_pressed_the_cup_agrees_with_the_sums_of_the_trade(seed: int) -> None:
    draw = Random(seed)
    product = draw.choice(PRODUCTS)
    found = cup(drawn_start(draw, product), product=product, size_ml=draw.choice((400, 1000)))
    for _ in range(draw.randint(0, 12)):
        before = found.contents
        roles = [part.role for part in poured(found).parts(product)]
        keys = [*roles, *(f"{role} back" for role in roles), "*", "+", "-"]
        key = draw.choice([key for key in keys if key != "*" or product is not PUTTY])
        found = pressed(found, key)
        back = key.endswith(" back")
        assert back or all(found.contents[role] >= ml for role, ml in before.items())
        agrees_with_the_trade(found)


def agrees_with_the_trade(found: Cup) -> None:
    product, contents, pouring = found.product, found.contents, poured(found)
    ratio = ratio_with_thinner(product, found.thinner_pct)
    assert isinstance(ratio, Ratio)
    total, by_role = pouring.total_ml, pouring.by_role()
    # What is in is so; no pour is negative; each line is all that is in the cup by then.
    assert {p.role: p.ml for p in pouring.pours[: pouring.in_cup]} == contents
    assert all(pour.ml > 0 for pour in pouring.pours)
    assert all(a.fill_to_ml < b.fill_to_ml for a, b in pairwise(pouring.pours))
    running = 0.0
    for pour in pouring.pours:
        running += pour.ml
        assert pour.fill_to_ml == pytest.approx(running)
    assert total == pytest.approx(running) == pytest.approx(sum(by_role.values()))
    assert bool(found.too_small_words()) == (total > found.size_ml + 1e-6)
    is_right(found, ratio, by_role)
    if contents and not found.on_lines:
        again = recover(ratio, contents, 200_000, product.densities or None)
        assert total >= again.total_ml - 1e-6
        assert all(
            by_role[add.role] >= add.ml + contents.get(add.role, 0) - 1e-6 for add in again.adds
        )
    # What a pot is written of is what is in the cup in the end.
    parts = pouring.parts(product)
    assert {p.role: pytest.approx(p.in_ml + p.pour_ml) for p in parts} == by_role


def is_right(found: Cup, ratio: Ratio, by_role: Mapping[str, float]) -> None:
    """Exact; on the cup's lines every part inside of what can be read: half a mark below and above."""
    densities = found.product.densities or None
    shares = by_volume(ratio, densities)
    whole = sum(share.parts for share in shares)
    total = sum(by_role.values())
    for share in shares:
        off_ml = abs(by_role.get(share.role, 0.0) - share.parts * total / whole)
        assert off_ml <= (1.5 * found.step_ml if found.on_lines else 1e-6 * total), (share, by_role)
    sharp = [e for e in ratio_errors(ratio, by_role, densities) if e.role != "thinner"]
    assert all(error.judged == "within" for error in sharp)
