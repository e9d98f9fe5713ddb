"""Overriding on the command line: each rule by its name with a reason of its own."""

from __future__ import annotations

from bench.process.refusals.rules import RULES
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement
from bench.shop.stock import pots
from tests.shop.doing import in_the_cold

from ..running import Paintbench


def to_coat(shop: Shop, skipped: int) -> None:
    """A bracket of steel with its first steps left out; no reading and no pot."""
    assert isinstance(
        placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"), Outcome
    )
    for _ in range(skipped):
        holds_and_rework.skip(shop, 1, "Kit", "already done")


def flags(shop: Shop) -> tuple[str, ...]:
    placed = bench_view.read_bench(shop).on(1)
    assert placed is not None
    record = placed.part.current()
    assert record is not None
    return record.flags


BEGIN = ("begin", "1", "--by", "Kit")
READING = ("--override", "no-reading=measured at the part")
POT = ("--override", "no-pot=mixed, not recorded")


def test_every_rule_in_the_way_is_listed_with_how_to_answer_it(
    shop: Shop, paintbench: Paintbench
) -> None:
    to_coat(shop, 2)
    ran = paintbench(*BEGIN)
    assert (ran.code, ran.out) == (1, "")
    assert ran.err.splitlines() == [
        "no reading of the air (none yet): take a reading first",
        '  to override it: --override no-reading="the reason"',
        "no pot of Epoxy primer 4:1 (none open): mix one first (*)",
        '  to override it: --override no-pot="the reason"',
    ]


def test_one_reason_leaves_the_other_rule_in_the_way(shop: Shop, paintbench: Paintbench) -> None:
    to_coat(shop, 2)
    ran = paintbench(*BEGIN, *READING)
    assert (ran.code, ran.err.splitlines()[0][:26]) == (1, "no pot of Epoxy primer 4:1")
    assert "no reading" not in ran.err
    assert flags(shop) == ()


def test_each_reason_stands_beside_its_rule_in_the_log(shop: Shop, paintbench: Paintbench) -> None:
    to_coat(shop, 2)
    ran = paintbench(*BEGIN, *READING, *POT)
    assert ran.code == 0
    told = (
        "override: no reading of the air (none yet): measured at the part",
        "override: no pot of Epoxy primer 4:1 (none open): mixed, not recorded",
    )
    assert flags(shop) == told
    assert "; ".join(told) in " ".join(paintbench("journal").out.split())


def test_an_override_of_a_rule_that_is_not_in_the_way_is_refused_with_those_that_are(
    shop: Shop, paintbench: Paintbench
) -> None:
    to_coat(shop, 2)
    ran = paintbench(*BEGIN, *READING, *POT, "--override", "keep-off=tested")
    assert (ran.code, ran.err) == (
        1,
        "'keep-off' is not in the way (in the way: no-reading, no-pot): answer those\n",
    )
    ran = paintbench(*BEGIN, *READING, *READING)
    assert ran.err == "two reasons for no-reading: give one reason for each rule\n"


def test_a_reason_without_the_name_of_its_rule_is_refused_with_the_form(
    paintbench: Paintbench,
) -> None:
    ran = paintbench(*BEGIN, "--override", "the foreman says so")
    assert ran.code == 2
    assert (
        "read 'the foreman says so'; wanted a rule's name and the reason for it, such as "
        'too-soon="tested on the coupon"'
    ) in ran.err


def test_the_help_lists_every_rule_by_its_name(paintbench: Paintbench) -> None:
    helps = [paintbench(word, "--help").out for word in ("begin", "finish", "take-off")]
    told = "".join("".join(helps).split())
    for rule in RULES:
        if rule.override != "never":
            assert rule.written in told, rule


def test_breathing_takes_another_air_supply_and_another_painter(
    shop: Shop, paintbench: Paintbench
) -> None:
    to_coat(shop, 3)
    readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18)
    pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300))
    assert paintbench("equipment", "take", "air-fed-set", "--by", "Mo").code == 0
    ran = paintbench(*BEGIN, "--override", "air-taken=the foreman says so")
    assert ran.code == 1
    assert ran.err.splitlines()[1] == (
        '  air-taken: only with --air-supply "what feeds the mask" --second NAME'
    )
    supply = ("--air-supply", "cylinder set 2")
    assert paintbench(*BEGIN, *supply).code == 1
    alone = paintbench(*BEGIN, *supply, "--second", "kit")
    assert alone.err.startswith("Kit cannot be the second person")
    assert paintbench(*BEGIN, *supply, "--second", "mo").code == 0
    assert flags(shop)[0].endswith("): air supply cylinder set 2, second person Mo")


def test_blasting_while_somebody_breathes_takes_another_air_supply(paintbench: Paintbench) -> None:
    for thing in ("air-fed-set", "gun-1"):
        assert paintbench("equipment", "take", thing, "--by", "Mo").code == 0
    take = ("equipment", "take", "blast-cabinet", "--by", "Kit")
    assert 'air-short: only with --air-supply "what feeds the mask"' in paintbench(*take).err
    ran = paintbench(*take, "--air-supply", "cylinder set 2", "--second", "Mo")
    assert ran.out.endswith("): air supply cylinder set 2, second person Mo\n")


def test_who_is_trained_for_isocyanate_is_recorded(shop: Shop, paintbench: Paintbench) -> None:
    ran = paintbench("painter", "trained", "kit", "no", "--by", "Mo")
    assert ran.out == "recorded: Kit is not trained for isocyanate\n"
    to_coat(shop, 3)
    assert "not-trained: only with --air-supply" in paintbench(*BEGIN).err
    assert paintbench("painter", "trained", "Kit", "unknown", "--by", "Mo").code == 0
    assert "not-trained" not in paintbench(*BEGIN).err
    assert paintbench("painter", "trained", "Kit", "maybe", "--by", "Mo").code == 2


def test_a_mix_that_leaves_no_window_is_refused_with_how_to_answer_it(
    shop: Shop, paintbench: Paintbench
) -> None:
    in_the_cold(shop)
    ran = paintbench("mix", "etch-primer", "--need", "300ml", "--by", "Kit")
    assert (ran.code, ran.out) == (1, "")
    no = "No window at this temperature: warm the shop or type the sheet's figures"
    assert ran.err.splitlines() == [no, '  to override it: --override no-window="the reason"']
    assert f"NO: {no}" in " ".join(paintbench("ahead", "1").out.split())
    assert no in " ".join(paintbench("ahead", "--mix", "etch-primer").out.split())
