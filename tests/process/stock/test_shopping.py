"""The shopping list: what coats take, less what is left in tins that are in date."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from bench.process.clocks.pots import Pot
from bench.process.sheets.product import Product
from bench.process.stock.shopping import (
    NO_AREA,
    Need,
    Shopping,
    ShoppingLine,
    Unknown,
    buy_words,
    due_until,
    due_words,
    need_words,
    pots_words,
    shopping,
)

from ..actions.test_begin_rules import route, step
from ..making import MON
from .test_paint_needs import ENAMEL, EPOXY
from .test_tins import DAY_S, tin

PRODUCTS = {
    "epoxy": replace(EPOXY, key="epoxy"),
    "enamel": replace(ENAMEL, key="enamel"),
    "thin": Product("thin", "Thinner", "thinner"),
}
COAT = Need("4", "epoxy", {"base": 800.0, "hardener": 200.0, "thinner": 150.0})


def bought(*needs: Need, tins: tuple[object, ...] = (), **sizes: float) -> Shopping:
    found = {tuple(key.split("_")) if "_" in key else (key, ""): ml for key, ml in sizes.items()}
    return shopping(needs, tins, PRODUCTS, found, MON)  # type: ignore[arg-type]


def line(found: Shopping, product: str, role: str = "") -> ShoppingLine:
    return next(one for one in found.wanted if (one.product, one.role) == (product, role))


def test_what_two_coats_take_is_added_and_what_is_left_is_taken_off() -> None:
    have = tin(1, product="epoxy", role="base", left_ml=500.0)
    found = bought(COAT, replace(COAT, tag="9"), tins=(have,), epoxy_base=1000.0)
    base = line(found, "epoxy", "base")
    assert (base.need_ml, base.left_ml, base.buy_ml, base.buy_tins) == (1600, 500, 1100, 2)
    assert base.tags == ("4", "9")


def test_a_tin_that_is_out_of_date_or_empty_is_not_counted_as_left() -> None:
    old = tin(1, product="epoxy", opened_at=MON - timedelta(days=214), opened_life_s=90 * DAY_S)
    none = tin(2, product="epoxy", empty_at=MON)
    found = bought(COAT, tins=(old, none))
    assert line(found, "epoxy", "hardener").left_ml == 0


def test_enough_left_is_nothing_to_buy() -> None:
    have = tin(1, product="epoxy", left_ml=197.0)
    hardener = line(bought(COAT, tins=(have,), epoxy_hardener=250.0), "epoxy", "hardener")
    assert (hardener.buy_ml, hardener.buy_tins) == (0, 0), "3 ml short is no tin"
    assert replace(hardener, need_ml=202.0).buy_ml == 0
    assert replace(hardener, need_ml=202.5).buy_ml == 5.5


def test_thinner_is_drawn_from_the_thinner_for_everything_unless_a_product_has_its_own() -> None:
    shared = tin(1, product="thin", role="", left_ml=100.0)
    found = bought(COAT, tins=(shared,))
    assert (line(found, "thin").need_ml, line(found, "thin").left_ml) == (150, 100)
    own = tin(2, product="epoxy", role="thinner", left_ml=120.0)
    found = bought(COAT, tins=(shared, own))
    assert line(found, "epoxy", "thinner").left_ml == 120


def test_cans_are_counted_in_cans_even_before_one_ever_came() -> None:
    found = bought(Need("1", "enamel", {"": 3333.0}))
    assert (line(found, "enamel").tin_ml, line(found, "enamel").buy_tins) == (400, 9)


def test_what_nobody_knows_the_tin_of_is_bought_by_the_millilitre() -> None:
    base = line(bought(COAT), "epoxy", "base")
    assert (base.buy_ml, base.buy_tins) == (800, None)


def test_a_placeholder_anywhere_marks_the_whole_line() -> None:
    found = bought(COAT, replace(COAT, guessed=True))
    assert line(found, "epoxy", "base").guessed
    rough = replace(line(found, "epoxy", "base"), need_ml=19_556.0, tin_ml=400.0)
    assert buy_words(rough) == "BUY about 49? x 400 ml"
    assert need_words(rough) == "needs 20000? ml, 0 left"
    assert buy_words(replace(rough, guessed=False)) == "BUY 19556 ml = 49 x 400 ml"
    assert not line(bought(COAT), "epoxy", "base").guessed


def test_a_coat_that_cannot_be_reckoned_stands_below_with_why() -> None:
    found = bought(Need("7", "enamel", {}, unknown="no area is known of its shape"))
    assert found.wanted == ()
    assert found.unknown == (Unknown("Enamel", "no area is known of its shape", ("7",)),)


def test_nothing_is_enough_while_a_coat_of_it_has_no_area() -> None:
    have = tin(1, product="epoxy", role="base", left_ml=5000.0)
    no_area = Need("7", "epoxy", {}, unknown=NO_AREA)
    base = line(bought(COAT, no_area, tins=(have,)), "epoxy", "base")
    assert buy_words(base) == "not known: 1 of 2 parts counted"
    assert buy_words(line(bought(COAT, tins=(have,)), "epoxy", "base")) == "enough"
    thinner = line(bought(COAT, no_area), "thin")
    assert buy_words(thinner) == "BUY at least 150 ml: 1 of 2 parts counted", (
        "it is thinned from the common tin"
    )


def test_what_is_to_be_bought_is_the_least_while_a_coat_of_it_has_no_area() -> None:
    no_area = Need("7", "epoxy", {}, unknown=NO_AREA)
    found = bought(COAT, no_area, epoxy_base=500.0)
    assert buy_words(line(found, "epoxy", "base")) == (
        "BUY at least 800 ml = 2 x 500 ml: 1 of 2 parts counted"
    )


def test_an_empty_bench_needs_nothing() -> None:
    assert bought() == Shopping((), ())


def test_open_pots_of_what_is_needed_are_told_and_not_taken_off() -> None:
    """Nobody measured what is left in one, and it may go off before the coat is begun."""
    use, over = MON + timedelta(hours=2), MON - timedelta(minutes=1)
    there = Pot("A", "epoxy", "Epoxy", MON, MON, use, total_ml=500.0)
    past = replace(there, letter="B", bin_by=over)
    other = replace(there, letter="C", product="gloss")
    can = replace(there, letter="D", total_ml=None)
    found = shopping([COAT], (), PRODUCTS, {}, MON, [there, past, other, can])
    assert line(found, "epoxy", "base").buy_ml == 800
    assert found.open_pots == (there,), "past its life, not needed, and a can are no question"
    assert pots_words(found.open_pots, MON) == (
        f"not counted: pot A Epoxy (bin by {use:%H:%M}): leftover not measured, and it goes off"
    )


def test_several_open_pots_stand_in_one_line_and_one_without_an_end_has_none() -> None:
    pots = [Pot(letter, "epoxy", "Epoxy", MON, MON, None, total_ml=9.0) for letter in "AB"]
    assert pots_words(pots, MON) == (
        "not counted: pot A Epoxy, pot B Epoxy: leftover not measured, and it goes off"
    )


def test_until_a_day_leaves_out_what_is_promised_later_and_says_what_nothing_is_promised_of() -> (
    None
):
    parts = [replace(route(step()), tag=tag, job=job) for tag, job in (
        ("1", "Gate"), ("2", "Boat"), ("3", ""), ("4", "GATE"))]  # fmt: skip
    promised = {"gate": date(2026, 3, 9), "boat": date(2026, 3, 10)}
    due = due_until(parts, promised, date(2026, 3, 9))
    assert [part.tag for part in due.parts] == ["1", "3", "4"]
    assert due_words(due) == (
        "not in it, promised after 2026-03-09: tag 2",
        "counted, though nothing is promised: tag 3",
    )
    assert due_words(due_until(parts, promised, date(2026, 3, 10)))[0].startswith("counted")
