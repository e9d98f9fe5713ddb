"""Overriding: one answer to each rule, none to those about breathing but another air supply.

The names of the rules and what is offered as a reason: house rule, no source.
"""

from __future__ import annotations

import re
from collections import Counter

import pytest

from bench.process.refusals import refusal
from bench.process.refusals.overrides import Override, check_override
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import (
    AIR_SHORT,
    AIR_TAKEN,
    HUMIDITY,
    IN_THE_WAY_OF_BEGINNING,
    LEFT_ON_PART,
    NO_POT,
    NOT_FLASHED,
    POT_PAST_LIFE,
    RINSED_EARLY,
    RULES,
    TAKEN,
    TOO_SOON,
    UNTESTED,
)

EARLY = TOO_SOON.refuses("too soon", "opens 09:00", "wait")
DAMP = HUMIDITY.refuses("outside its limits", "humidity 90 %", "warm the air")
POTLESS = NO_POT.refuses("no pot of gloss", "none open", "mix one first")
PROBED = UNTESTED.refuses("nobody has passed the test", "", "test it")
FOUR = (EARLY, DAMP, POTLESS, PROBED)
STARVING = AIR_SHORT.refuses("the air-fed set would starve", "770 of 600 l/min", "one waits")
MASK_TAKEN = AIR_TAKEN.refuses("the air-fed set is taken", "Mo since 08:00", "wait")
CYLINDERS = Override(air_supply="cylinder set 2", second="Bo")


def names_in(answer: Refusal | None) -> list[str]:
    """The names of the rules a refusal lists."""
    assert answer is not None
    return [rule.name for rule in (answer, *answer.also)]


def test_one_reason_does_not_answer_four_rules() -> None:
    one = Override({"too-soon": "tested on the coupon"})
    assert names_in(check_override(FOUR, one)) == ["humidity", "no-pot", "untested"]


def test_four_rules_with_a_reason_each_are_answered() -> None:
    each = Override({rule.name: f"why {rule.name}" for rule in FOUR})
    assert check_override(FOUR, each) is None
    assert [each.words(rule) for rule in FOUR] == [
        "too soon (opens 09:00): why too-soon",
        "outside its limits (humidity 90 %): why humidity",
        "no pot of gloss (none open): why no-pot",
        "nobody has passed the test: why untested",
    ]


def test_without_an_override_every_rule_is_listed() -> None:
    assert names_in(check_override(FOUR, None)) == ["too-soon", "humidity", "no-pot", "untested"]
    assert names_in(check_override(FOUR, Override())) == [
        "too-soon",
        "humidity",
        "no-pot",
        "untested",
    ]
    assert check_override((), None) is None


def test_a_rule_that_came_since_they_were_listed_is_refused_as_unanswered() -> None:
    answered = Override({"too-soon": "tested on the coupon"})
    assert check_override((EARLY,), answered) is None
    assert names_in(check_override((EARLY, POTLESS), answered)) == ["no-pot"]


def test_a_rule_that_nobody_may_override_is_said_first_and_ends_it() -> None:
    wet = NOT_FLASHED.refuses("the coat below has not flashed off", "opens 09:00", "wait")
    assert names_in(check_override((*FOUR, wet), None)) == ["not-flashed"]
    every = Override({rule.name: "other" for rule in (*FOUR, wet)})
    assert names_in(check_override((*FOUR, wet), every)) == ["not-flashed"]


def test_an_answer_to_a_rule_that_is_not_in_the_way_is_refused_with_those_that_are() -> None:
    stray = Override({"too-soon": "x", "window-missed": "x"})
    assert str(check_override((EARLY, POTLESS), stray)) == (
        "'window-missed' is not in the way (in the way: too-soon, no-pot): answer those"
    )
    assert str(check_override((), stray)) == "no rule is in the way: start it without an override"
    assert str(check_override((EARLY,), CYLINDERS)) == (
        "no rule about breathing is in the way (in the way: too-soon): name no air supply"
    )


@pytest.mark.parametrize("rule", [STARVING, MASK_TAKEN], ids=["starving", "taken"])
def test_a_reason_waves_no_rule_about_breathing_through(rule: Refusal) -> None:
    assert names_in(check_override((rule,), Override({rule.name: "the foreman says so"}))) == [
        rule.name
    ]
    assert names_in(check_override((rule,), Override(air_supply="cylinder set 2"))) == [rule.name]
    assert names_in(check_override((rule,), Override(second="Bo"))) == [rule.name]
    assert check_override((rule,), CYLINDERS) is None


def test_another_air_supply_and_who_stays_with_it_are_kept_beside_the_rule() -> None:
    assert CYLINDERS.words(STARVING) == (
        "the air-fed set would starve (770 of 600 l/min): "
        "air supply cylinder set 2, second person Bo"
    )


def test_another_air_supply_answers_no_other_rule() -> None:
    assert names_in(check_override((STARVING, EARLY), CYLINDERS)) == ["too-soon"]


def test_a_rinse_and_a_part_that_leaves_have_rules_that_beginning_a_step_has_not() -> None:
    assert set(RULES) - set(IN_THE_WAY_OF_BEGINNING) == {LEFT_ON_PART, RINSED_EARLY}


def test_every_rule_has_a_name_of_its_own() -> None:
    assert [name for name, count in Counter(rule.name for rule in RULES).items() if count > 1] == []
    hoist = TAKEN.refuses("the hoist is taken", which="Hoist, 2 t")
    assert hoist.name == "taken-hoist-2-t"
    assert (TAKEN.written, TOO_SOON.written) == ("taken-THING", "too-soon")


def test_the_tree_at_the_head_of_the_refusals_holds_each_rule_by_what_overrides_it() -> None:
    _, *kinds = re.split(r"   [|`]- (never|reason|air supply):", refusal.__doc__ or "")
    drawn = {
        kind: set(re.findall(r"[\w-]+", text))
        for kind, text in zip(kinds[::2], kinds[1::2], strict=True)
    }
    for rule in RULES:
        holders = [kind for kind, names in drawn.items() if rule.written in names]
        assert holders == [rule.override], rule.written


def test_what_is_no_reason_is_not_offered() -> None:
    offered = {reason for rule in RULES for reason in rule.reasons}
    assert not offered & {
        *("the foreman says so", "it was done so already", "there is no other"),
        *("it does not matter on this part", "tried on the coupon: it hardens"),
    }
    assert POT_PAST_LIFE.reasons == ("the data sheet gives a longer life",)
    breathing = [rule for rule in RULES if rule.override == "air supply"]
    assert len(breathing) == 5
    assert {rule.reasons for rule in breathing} == {()}
