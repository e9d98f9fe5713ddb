"""An abraded coat, as the judge sees it: abraded, then mixed for, then sprayed. Counted by hand.

Abraded from 10 to 12, mixed for to 14, sprayed to 17; one pair of hands does all of it. Another
coat of the paint is sprayed from the same pot, from 18 to 20.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest

from bench.process.plan import checking, embedded
from bench.process.plan.building import build
from bench.process.plan.problem import (
    Air,
    Hold,
    Paint,
    Piece,
    Placed,
    Problem,
    Resource,
    Schedule,
    Task,
    span,
    spray_start,
    work_start,
)

from ..making import band
from .test_building import PRIMER, coat, inputs, part

SLOTS = range(31)
ALL = (1 << 30) - 1
COAT = Task(
    0, 0, 3, 0, abraded_starts=ALL, abrading=4, holds=(Hold(0, 1),), paint=0, ml=9,
    opening_starts=ALL,
)  # fmt: skip
ANYWAY = replace(COAT, length=7, starts=ALL, abraded_starts=0, abrading=0, lead=4)
"""The same where it is abraded for whatever the plan."""
PAINT = Paint("primer", 2, 1, 100, [s + 6 for s in SLOTS], 0)
OPENER, JOINS = Placed(10, True, pot=0), Placed(18, pot=0)


def bench(coat: Task = COAT, paint: Paint = PAINT, nobody: int | None = None) -> Problem:
    """Return the bench, with nobody in in one slot."""
    day = [0 for _ in SLOTS]
    other = Task(1, 0, 2, ALL, ALL, 3, holds=(Hold(0, 1),), paint=0, ml=9, opening_starts=ALL)
    pieces = tuple(Piece(str(n), (n,), day, day) for n in range(2))
    hands = [0 if slot == nobody else 1 for slot in SLOTS]
    return Problem(30, (Resource("hands", hands),), (coat, other), (), pieces, (paint,))


def rules(problem: Problem, opener: Placed = OPENER, joins: Placed | None = JOINS) -> set[str]:
    """Return the rules that the two coats break."""
    return {fault.rule for fault in checking.faults(problem, Schedule((opener, joins)))}


def test_it_is_abraded_then_mixed_for_then_sprayed() -> None:
    assert (work_start(COAT, OPENER), spray_start(COAT, OPENER)) == (14, 14)
    assert (work_start(ANYWAY, Placed(10)), spray_start(ANYWAY, Placed(10))) == (10, 14)
    assert span(COAT, OPENER) == span(ANYWAY, Placed(10)) == (10, 17)
    assert rules(bench()) == set()
    assert rules(bench(ANYWAY), replace(OPENER, is_abraded=False)) == set()


@pytest.mark.parametrize("coat", [COAT, ANYWAY])
def test_the_life_of_its_pot_runs_from_the_spraying(coat: Task) -> None:
    at = replace(OPENER, is_abraded=coat is COAT)
    lives = replace(PAINT, empty_by=[s + 6 for s in SLOTS])
    short = replace(PAINT, empty_by=[s + 5 for s in SLOTS])
    assert rules(bench(coat, lives), at) == set()
    assert rules(bench(coat, short), at) == {"after the pot's life"}


def test_what_joins_its_pot_is_sprayed_after_the_mixing_and_may_be_abraded_before_it() -> None:
    early = replace(bench(), resources=(Resource("hands", [2] * 31),))
    assert rules(early, joins=Placed(11, True, pot=0)) == set()
    assert rules(early, joins=Placed(10, True, pot=0)) == {"before the pot is mixed"}
    assert rules(early, joins=Placed(13, pot=0)) == {"before the pot is mixed"}


def test_its_own_hands_mix_and_others_where_the_mixing_takes_longer() -> None:
    assert rules(bench(nobody=9)) == set()
    longer = replace(PAINT, mixing=5)
    assert rules(bench(paint=longer)) == set()
    assert rules(bench(paint=longer, nobody=9)) == {"too little of hands"}
    assert rules(bench(paint=longer, nobody=8)) == set()


def test_where_it_may_be_mixed_for_counts_by_the_spraying() -> None:
    assert rules(bench(replace(COAT, opening_starts=1 << 14))) == set()
    assert rules(bench(replace(COAT, opening_starts=ALL ^ 1 << 14))) == {"opening starts"}


def test_its_mixing_is_in_the_air_right_before_the_spraying() -> None:
    """The other coat, alone with its own hands, does not bear what mixing puts in the air."""
    paint = replace(PAINT, mixing_airs=(Air(0, 0),), flush=0)
    problem = replace(bench(paint=paint), resources=(Resource("hands", [2] * 31),))
    shy = replace(problem.tasks[1], paint=None, ml=0, airs=(Air(0, 1),))
    problem = replace(problem, tasks=(problem.tasks[0], shy))
    found = {start: rules(problem, joins=Placed(start)) for start in (8, 10, 11, 13, 14)}
    assert found == {8: set(), 10: set(), 11: {"air"}, 13: {"air"}, 14: set()}


@pytest.mark.parametrize("is_missed", [True, False])
def test_a_short_lived_paint_is_sprayed_on_what_is_abraded(*, is_missed: bool) -> None:
    """Its pot lives 40 min, of which 10 are gone before the first trigger and 10 are spared."""
    bands = (band("flash", 20), *([band("open", 40)] if is_missed else []), band("key"))
    paint = replace(PRIMER, bands=bands, pot_life=((20.0, 2400.0),))
    asked = inputs(part(coat("a"), coat("b")), paints=(paint,), minutes={"a": 20.0, "b": 20.0})
    made = build(asked)
    first, last = made.problem.tasks
    assert (last.abrading, last.lead) == ((10, 0) if is_missed else (0, 10))
    if is_missed:
        last = replace(last, starts=0)
    made = replace(made, problem=replace(made.problem, tasks=(first, last)))
    found = embedded.plan(made.problem, Random(1), 2)
    assert checking.faults(made.problem, found) == ()
    *_, sprayed = made.steps(found)
    assert (sprayed.name, sprayed.pot) == ("b", 1)
    assert sprayed.abrading_from == sprayed.begins - timedelta(minutes=30 + 20)
