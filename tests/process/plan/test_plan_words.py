"""What is said of a plan: never more than somebody worked out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.plan.agreed import WorkPlan
from bench.process.plan.checking import LEFT_OUT_PRICE, Cost
from bench.process.plan.drafting import Draft
from bench.process.plan.plan_words import proof_words, worth_words
from bench.process.plan.problem import Schedule

from .test_day_page import PLAN

COST = Cost(
    missed=0, late_days=0, days=9, mixes=4, moved=0, price=1000, least_slack=3, left_out=0, begins=9
)


def draft(plan: WorkPlan = PLAN, cost: Cost = COST, no_room: tuple[str, ...] = ()) -> Draft:
    return Draft(plan, Schedule(()), cost, (), no_room, ())


@pytest.mark.parametrize(
    ("price", "bound", "proven", "words"),
    [
        (1000, 1000, True, "Proven: no plan is better"),
        (1000, None, False, "How much could still be saved is not known"),
        (1000, 891, False, "At most 11 % of days, late days and mixes could still be saved"),
        (1000, 890, False, "At most 11 % of days, late days and mixes could still be saved"),
        (1000, 889, False, "At most 12 % of days, late days and mixes could still be saved"),
        (0, 0, False, "At most 0 % of days, late days and mixes could still be saved"),
        (LEFT_OUT_PRICE, 5, False, "How much could still be saved is not known"),
    ],
)
def test_how_much_could_be_saved_is_rounded_up_and_never_guessed(
    price: int, bound: int | None, proven: bool, words: str
) -> None:
    assert proof_words(replace(PLAN, price=price, bound=bound, is_proven=proven)) == words


def test_what_is_missed_and_late_is_said_first() -> None:
    assert worth_words(draft())[0] == "No window missed, nothing late, 4 mixes: no plan misses less"
    cost = replace(COST, missed=1, late_days=2, mixes=1)
    assert worth_words(draft(cost=cost))[0] == "1 window missed, 2 late days, 1 mix"
    assert worth_words(replace(draft(), let_go=("Tag 4 is let go",)))[2:] == ("Tag 4 is let go",)
    left = worth_words(draft(no_room=("4", "9")))
    assert left[:2] == (
        "tag 4, 9: no room within 20 days. Ask why, with a day",
        "The rest: no window missed, nothing late, 4 mixes",
    )
    # Where nothing fits in, nothing is said of how good that is.
    assert worth_words(draft(replace(PLAN, steps=()), no_room=("4", "9"))) == left[:1]
