"""What the planner answers, in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random

import pytest

from bench.process.plan.answers import (
    CanBeReady,
    RiskAnswer,
    StepRisk,
    WhenAnswer,
    WhyAnswer,
    risk_words,
    when_of,
    when_words,
    why_words,
)
from bench.process.plan.figures import PainterFigures
from bench.process.plan.problem import Schedule

from ..making import MON
from .test_building import built, coat, part

NOW = datetime(2026, 3, 9, 8, tzinfo=UTC)
LATER = CanBeReady(date(2026, 3, 19), datetime(2026, 3, 18, 15, 30, tzinfo=UTC))
SOONER = CanBeReady(date(2026, 3, 17), datetime(2026, 3, 16, 11, 0, tzinfo=UTC), 3)
BESIDE = "Ready Thu 19 Mar, last coat Wed 18 Mar 15:30, and nothing else moves"


@pytest.mark.parametrize(
    ("beside", "moved", "words"),
    [
        (None, None, ["Not within the days that are planned"]),
        (LATER, LATER, [BESIDE]),
        (
            LATER,
            SOONER,
            [
                BESIDE,
                "Ready Tue 17 Mar, last coat Mon 16 Mar 11:00 if 3 steps of others move; "
                "no promise is broken",
            ],
        ),
        # Moves that save no day are no news.
        (SOONER, CanBeReady(SOONER.ready, NOW, 1), ["Ready Tue 17 Mar, last coat Mon 16 Mar 11:00, "
         "and nothing else moves"]),
        (
            None,
            CanBeReady(LATER.ready, LATER.last_step_ends, 1),
            [
                "Not without moving others",
                "Ready Thu 19 Mar, last coat Wed 18 Mar 15:30 if 1 step of others move; "
                "no promise is broken",
            ],
        ),
    ],
)  # fmt: skip
def test_when_a_part_could_be_ready(
    beside: CanBeReady | None, moved: CanBeReady | None, words: list[str]
) -> None:
    assert [*when_words(WhenAnswer(beside, moved), NOW)] == words


def test_several_new_parts_are_ready_when_the_last_of_them_is() -> None:
    # One painter, seven hours a coat, and a day to handle it: a day for each.
    one, two, held = (part(coat("a"), tag=tag) for tag in "123")
    held = replace(held, hold="damaged")
    una = {"painters": (PainterFigures("Una"),), "minutes": {"a": 420.0}}
    first, both = ("1", built(one, **una)), ("2", built(one, two, **una))
    for builts, ready in (([first], MON), ([first, both], MON + timedelta(days=1))):
        answer = when_of(builts, Schedule(()), Random(1))
        assert answer.beside == answer.with_moves
        assert answer.beside is not None
        assert (answer.beside.ready, answer.beside.moved) == ((ready + timedelta(days=1)).date(), 0)
        assert answer.beside.last_step_ends.date() == ready.date()
    left = when_of([first, ("3", built(one, held, **una))], Schedule(()), Random(1))
    assert (left.beside, left.with_moves) == (None, None)
    assert left.reason


def test_why_a_new_part_is_in_no_plan() -> None:
    answer = WhenAnswer(None, None, "nobody is trained")
    assert when_words(answer, NOW) == ("It is in no plan: nobody is trained",)


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (WhyAnswer((), (), True), ["tag 4 by Tue 17 Mar: It can be: plan again"]),
        (WhyAnswer((), (), False), ["tag 4 by Tue 17 Mar: No reason was found: plan again"]),
        (
            WhyAnswer(("1 x spray space", "tag 3 has to be ready by"), ("possible with 1 more",), True),
            [
                "tag 4 by Tue 17 Mar is not possible with all of these together:",
                "  1 x spray space",
                "  tag 3 has to be ready by",
                "possible with 1 more",
            ],
        ),
        (
            WhyAnswer(("2 x painter",), (), False),
            [
                "tag 4 by Tue 17 Mar is not possible: 2 x painter",
                "Not proven: the bench's own planner did not find a way",
            ],
        ),
    ],
)  # fmt: skip
def test_why_a_part_is_not_ready_by_a_day(answer: WhyAnswer, words: list[str]) -> None:
    assert [*why_words(answer, "4", date(2026, 3, 17))] == words


def test_how_likely_windows_are_missed_worst_first() -> None:
    assert [*risk_words(RiskAnswer(0.0, ()))] == [
        "No window is missed in any of 500 tries with other luck"
    ]
    steps = (StepRisk("4", "Gloss 1", 0.094), StepRisk("7", "Build", 0.004))
    assert [*risk_words(RiskAnswer(0.096, steps))] == [
        "Some window is missed in 10 of 100 tries with other luck:",
        "  tag 4 Gloss 1: 9 of 100",
        "  tag 7 Build: less than 1 of 100",
    ]
