"""Equipment: what a step takes, what stands against it, and the air of one compressor.

170 l/min for an air-fed set: source seen (a breathing-air standard as a safety page tells it). What a
gun (250-400 l/min for an HVLP one) and a blast cabinet take: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from bench.process.sheets.route import Step
from bench.process.stock.equipment import (
    AirUse,
    Equipment,
    air_caution,
    air_of,
    air_sum,
    equipment_against,
    kinds_needed,
    now_words,
    stand_in_words,
    to_take,
    training_against,
    training_caution,
)
from bench.process.wording.display_units import ShopUnits

from ..making import product

TEN_PAST_NINE = datetime(2026, 3, 2, 9, 10, tzinfo=UTC)
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)

MASK = Equipment("air-fed-set", "Air-fed set", "air-fed set", needs_l_min=170)
TOP_GUN = Equipment("gun-1", "Top coat gun", "gun", needs_l_min=300)
OTHER_GUN = Equipment("gun-2", "Primer gun", "gun", needs_l_min=300)
CABINET = Equipment("blast-cabinet", "Blast cabinet", "blast cabinet", needs_l_min=400)
COMPRESSOR = Equipment("compressor", "Compressor", "compressor", gives_l_min=600)
SHOP = (MASK, TOP_GUN, OTHER_GUN, CABINET, COMPRESSOR)

GLOSS = replace(product(), name="Two-pack gloss", kind="top coat", isocyanate=True)
SPRAYED = Step("gloss", "coat", "p", equipment=("air-fed set", "compressor", "gun"))
PRIMED = Step("primer", "coat", "p", equipment=("compressor", "gun"))
BLASTED = Step("blast", "work", equipment=("blast cabinet", "compressor"))


def held(thing: Equipment, by: str, *, tag: str = "", **more: object) -> Equipment:
    """The thing in somebody's hands since ten past nine."""
    return replace(thing, holder=by, held_at=TEN_PAST_NINE, held_for=tag, **more)  # type: ignore[arg-type]


def shop(*changed: Equipment) -> tuple[Equipment, ...]:
    """The shop with some things as they are now."""
    now = {thing.key: thing for thing in changed}
    return tuple(now.get(thing.key, thing) for thing in SHOP)


def against(step: Step, things: tuple[Equipment, ...], *painters: str) -> list[str]:
    """What stands against Kit, or whoever is named, beginning at noon."""
    paint = GLOSS if step.kind == "coat" else None
    paint = None if step is PRIMED else paint
    found = list(equipment_against(step, paint, things, painters or ("Kit",), NOON))
    assert all(refused.override != "never" for refused in found)
    return [str(refused) for refused in found]


def test_isocyanate_paint_needs_an_air_fed_set_whatever_the_step_names() -> None:
    assert kinds_needed(Step("gloss", "coat", "p"), GLOSS) == ("air-fed set",)
    assert kinds_needed(SPRAYED, GLOSS) == ("air-fed set", "compressor", "gun")
    assert kinds_needed(PRIMED, product()) == ("compressor", "gun")
    assert kinds_needed(Step("abrade", "work", "p"), GLOSS) == ()


def test_a_step_takes_a_free_one_of_each_kind_and_leaves_the_compressor_to_all() -> None:
    kinds = kinds_needed(SPRAYED, GLOSS)
    assert [thing.key for thing in to_take(kinds, SHOP, ["Kit"])] == ["air-fed-set", "gun-1"]
    assert against(SPRAYED, SHOP) == []


def test_the_second_gun_is_taken_where_the_first_is_in_other_hands() -> None:
    taken = to_take(("gun",), shop(held(TOP_GUN, "Mo")), ["Kit"])
    assert [thing.key for thing in taken] == ["gun-2"]


def test_of_two_free_guns_the_one_is_taken_that_is_named_for_the_paint() -> None:
    primer = product()
    assert to_take(("gun",), SHOP, ["Kit"], primer) == (OTHER_GUN,)
    assert to_take(("gun",), SHOP, ["Kit"], GLOSS) == (TOP_GUN,)
    in_hands = shop(held(OTHER_GUN, "Mo"))
    assert [t.key for t in to_take(("gun",), in_hands, ["Kit"], primer)] == ["gun-1"]
    assert stand_in_words(TOP_GUN, in_hands, primer) == (
        "not the primer gun, Mo has it: clean the top coat gun before its next paint"
    )
    assert stand_in_words(OTHER_GUN, SHOP, primer) == stand_in_words(TOP_GUN, SHOP, None) == ""


def test_nothing_is_taken_twice_by_the_same_hands() -> None:
    assert to_take(("gun",), shop(held(TOP_GUN, "Kit")), ["Kit"]) == ()
    assert to_take(("gun",), shop(held(TOP_GUN, "Mo")), ["Kit", "Mo"]) == ()


def test_a_two_pack_step_is_refused_without_the_air_fed_set_and_says_who_has_it() -> None:
    things = shop(held(MASK, "Mo", tag="5"))
    assert against(SPRAYED, things) == [
        "the air-fed set is taken (Mo since 09:10, for tag 5): wait, or ask for it; "
        "left booked out: return it"
    ]
    assert against(SPRAYED, things, "Kit", "Mo") == [], "one of its painters has it on"
    assert against(PRIMED, things) == []


def test_a_shop_that_wrote_no_air_fed_set_down_is_told_how() -> None:
    assert against(SPRAYED, ()) == [
        "no air-fed mask is recorded here (Two-pack gloss: isocyanate): write it down first "
        "(/ then equipment), or paintbench equipment usual"
    ]
    assert against(PRIMED, ()) == [], "guns that nobody wrote down are nobody's business"


def test_every_gun_in_other_hands_names_them_all() -> None:
    things = shop(held(TOP_GUN, "Mo", tag="5"), held(OTHER_GUN, "Una"))
    assert against(PRIMED, things) == [
        "every gun is taken (Mo since 09:10, for tag 5 and Una since 09:10): wait, or ask for it; "
        "left booked out: return it"
    ]


def test_a_compressor_somebody_took_for_himself_alone_is_not_shared() -> None:
    things = shop(held(COMPRESSOR, "Mo"))
    assert against(PRIMED, things) == [
        "the compressor is taken (Mo since 09:10): wait, or ask for it; left booked out: return it"
    ]
    assert against(PRIMED, things, "Mo") == []


def test_whoever_asked_first_comes_first_although_it_is_free() -> None:
    things = shop(replace(MASK, queue=("Mo", "Kit")))
    assert against(SPRAYED, things) == [
        "Mo is next for the air-fed set: Mo takes it, or leaves the queue"
    ]
    assert against(SPRAYED, things, "Mo") == []


def test_where_the_mask_would_starve_it_is_refused_with_the_figures() -> None:
    blasting = shop(held(CABINET, "Mo", tag="3"))
    assert against(SPRAYED, blasting) == [
        "the air-fed set would starve (air-fed set 170 + top coat gun 300 + blast cabinet 400 = 870 "
        "of 600 l/min): one waits"
    ]
    spraying = shop(held(MASK, "Kit", tag="5"), held(TOP_GUN, "Kit", tag="5"))
    assert against(BLASTED, spraying, "Mo") == against(SPRAYED, blasting)


def test_a_gun_in_other_hands_takes_a_reason_a_mask_does_not() -> None:
    everything = [held(thing, "Mo") for thing in (MASK, TOP_GUN, OTHER_GUN)]
    found = equipment_against(SPRAYED, GLOSS, shop(*everything), ("Kit",), NOON)
    assert [(rule.name, rule.override) for rule in found] == [
        ("air-taken", "air supply"),
        ("taken-gun", "reason"),
        ("air-short", "air supply"),
    ]


def test_who_sprays_isocyanate_is_trained_for_it() -> None:
    (rule,) = training_against(SPRAYED, GLOSS, ("Kit", "Mo"), ("Mo", "Una"))
    assert str(rule) == (
        "Mo is not trained for isocyanate (Two-pack gloss): who is trained sprays it"
    )
    assert list(training_against(PRIMED, product(), ("Mo",), ("Mo",))) == []
    assert training_caution(SPRAYED, GLOSS, ("Kit", "Mo"), ("Mo",)) == (
        "nobody recorded that Kit is trained for isocyanate"
    )
    assert training_caution(SPRAYED, GLOSS, ("Mo",), ("Mo",)) == ""
    assert training_caution(PRIMED, product(), ("Kit",), ()) == ""


def test_short_of_air_without_a_mask_is_a_caution_and_no_refusal() -> None:
    things = shop(held(CABINET, "Mo", tag="3"))
    assert against(PRIMED, things) == []
    air = air_of(things, to_take(kinds_needed(PRIMED, None), things, ["Kit"]))
    assert air_caution(air) == (
        "short of air: top coat gun 300 + blast cabinet 400 = 700 of 600 l/min"
    )
    assert not air.starves


def test_just_enough_air_is_enough() -> None:
    things = shop(held(MASK, "Kit"), held(TOP_GUN, "Kit"), replace(COMPRESSOR, gives_l_min=470))
    assert air_caution(air_of(things)) == ""
    weaker = shop(held(MASK, "Kit"), held(TOP_GUN, "Kit"), replace(COMPRESSOR, gives_l_min=469))
    assert air_of(weaker).starves


def test_where_nobody_knows_what_the_compressor_gives_nothing_is_judged() -> None:
    things = tuple(held(thing, "Kit") for thing in (MASK, TOP_GUN, CABINET))
    air = air_of(things)
    assert (air.needs_l_min, air.gives_l_min, air.short) == (870, None, False)
    assert air_sum(air) == "air-fed set 170 + top coat gun 300 + blast cabinet 400 = 870 l/min"


def test_a_figure_that_nobody_typed_wears_a_question_mark() -> None:
    things = (held(TOP_GUN, "Kit", placeholder=True), replace(COMPRESSOR, placeholder=True))
    assert air_sum(air_of(things)) == "top coat gun 300? of 600? l/min"
    assert air_sum(air_of((held(TOP_GUN, "Kit"), things[1]))) == "top coat gun 300 of 600? l/min"


def test_one_line_says_who_has_it_since_when_what_for_and_who_waits() -> None:
    thing = held(MASK, "Kit", tag="10", queue=("Mo",))
    assert now_words(thing, NOON) == "Kit since 09:10, for tag 10; Mo waits"
    assert now_words(replace(MASK, queue=("Mo",)), NOON) == "free; Mo is next"
    assert now_words(COMPRESSOR, NOON) == "free; gives 600 l/min"
    assert now_words(COMPRESSOR, NOON, units=ShopUnits(air="cfm")) == "free; gives 21.2 cfm"


def test_the_air_is_added_up_in_cubic_feet_where_the_shop_reads_them() -> None:
    """NIST SP 811 B.8, from memory: 1 ft3/min is 4.719474E-04 m3/s, so 300 l/min is 10.59 cfm."""
    gun = Equipment("gun", "Gun", "gun", needs_l_min=300, holder="Kit")
    told = air_sum(AirUse((gun,), 600.0, gives_typed=True), ShopUnits(air="cfm"))
    assert told == "gun 10.6 of 21.2 cfm"
