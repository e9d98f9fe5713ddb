"""How long a step is taken to last: the route's figure, corrected by the shop's own steps.

What the estimate is held against is made up here: lengths drawn at random around a truth that the
estimate does not know.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from math import exp, log
from random import Random
from statistics import mean, median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.process.parts.durations import (
    Length,
    PastStep,
    expected_s,
    learned,
    usual_length,
    was_interrupted,
)
from bench.process.sheets.route import Step, StepKind

FILING = Step("File", "work", labour_s=600.0, labour_s_m2=120.0)


def past(
    *minutes: float, name: str = "File", kind: StepKind = "work", tool: str = ""
) -> list[PastStep]:
    """Steps that their route takes to last 20 min."""
    return [PastStep(name, kind, tool, 60 * each, 1200.0) for each in minutes]


@pytest.mark.parametrize(
    ("steps", "minutes", "known", "like"),
    [
        # 10 min + 2 a m2 on 5 m2 are 20 min; by hand 20 x exp(n x ln(median / 20) / (n + 3)).
        ([], 20.0, 0, ""),
        (past(40), 20 * 2**0.25, 1, "step"),
        (past(40, 40, 40), 20 * 2**0.5, 3, "step"),
        (past(14, 40, 40), 20 * 2**0.5, 3, "step"),
        # A press within a minute says nothing, and one forgotten over lunch nearly nothing.
        (past(0.9, 40, 40, 40), 20 * 2**0.5, 3, "step"),
        (past(40, 40, 40, 121), 20 * 2**0.5, 3, "step"),
        (past(40, 40, 40, 13), 20 * 2**0.5, 3, "step"),
        (past(40, 40, 40, 119, 119), 20 * exp(5 * log(2) / 8), 5, "step"),
        # Only the newest thirty count.
        (past(*[40] * 30, *[20] * 90), 20 * exp(30 * log(2) / 33), 30, "step"),
        # Without one of its name those of its kind and tool count, of another tool none.
        (past(40, 40, 40, name="Key"), 20 * 2**0.5, 3, "tool"),
        (past(40, name="Key", tool="grinder"), 20.0, 0, ""),
        (past(40, name="Key", kind="coat"), 20.0, 0, ""),
        (past(40) + past(5, 5, 5, name="Key"), 20 * 2**0.25, 1, "step"),
        # Two that are far apart say nothing.
        (past(2, 40), 20.0, 0, ""),
    ],
)
def test_the_routes_figure_is_drawn_to_what_past_steps_took(
    steps: list[PastStep], minutes: float, known: int, like: str
) -> None:
    found = usual_length(FILING, "", 5.0, steps)
    assert found.lasts.total_seconds() == pytest.approx(60 * minutes, abs=0.5)
    assert (found.known_from, found.like) == (known, like)


@pytest.mark.parametrize(
    ("steps", "spread", "doubt"),
    [
        ([], 0.35, "?"),
        # Deviations of 0, 0, 0, ln 2, ln 2: their median is 0.
        (past(20, 20, 20, 40, 40), 0.35 * 3 / 8, ""),
        # Of ln 1, ln 1.5, ln 2 around ln 1.5: ln (4 / 3) is the median.
        (past(20, 30, 40), (1.48 * log(4 / 3) * 3 + 0.35 * 3) / 6, "?"),
        (past(20, 20, 20, 20, 20, name="Key"), 0.35 * 3 / 8, "?"),
    ],
)
def test_the_spread_is_that_of_the_past_steps_and_few_leave_a_mark(
    steps: list[PastStep], spread: float, doubt: str
) -> None:
    found = usual_length(FILING, "", 5.0, steps)
    assert found.spread == pytest.approx(spread)
    assert found.doubt == doubt


@given(st.lists(st.floats(0.1, 10.0), max_size=40))
def test_an_estimate_lies_between_the_routes_figure_and_what_was_seen(ratios: list[float]) -> None:
    found = learned(ratios)
    ends = [0.0, *(log(ratio) for ratio in ratios)]
    assert min(ends) - 1e-9 <= found.shift <= max(ends) + 1e-9
    assert found.count <= min(len(ratios), 30)
    assert 0 < found.spread < 1.48 * log(3) + 0.35


SEEN = {0: 27, 1: 21, 3: 15, 5: 12, 10: 9, 30: 5}
"""The median error in percent by the number of past steps: of an earlier experiment of this kind,
with 5 % forgotten presses. Ours draws by a seed of its own, so it comes within four points."""


def test_the_error_falls_as_steps_are_learned_though_presses_are_forgotten() -> None:
    """A route is off by a factor whose logarithm has a deviation of 0.4, each step by 0.3.

    Of twenty presses one is forgotten and comes four to twenty times too late. The plain mean of
    thirty steps is worse than ours by half.
    """
    random = Random(20261201)
    errors: dict[int, list[float]] = {n: [] for n in SEEN}
    plain: list[float] = []
    for _ in range(600):
        truth = exp(random.gauss(0, 0.4))
        steps = [
            truth * exp(random.gauss(0, 0.3)) * (random.uniform(4, 20) if forgotten else 1.0)
            for forgotten in (random.random() < 0.05 for _ in range(30))
        ]
        for n, of in errors.items():
            of.append(abs(exp(learned(steps[:n]).shift) / truth - 1))
        plain.append(abs(mean(steps) / truth - 1))
    found = {n: 100 * median(of) for n, of in errors.items()}
    assert found == pytest.approx(SEEN, abs=4)
    assert list(found.values()) == sorted(found.values(), reverse=True)
    assert 100 * median(plain) > 1.5 * found[30]


@pytest.mark.parametrize(
    ("step", "minutes"),
    [
        (Step("s", "work"), 15 + 6 * 5),
        (Step("s", "coat"), 10 + 3 * 5),
        # A wash soaks besides, zone by zone.
        (Step("s", "dwell", least_s=600, most_s=900), 5 + 2 * 5 + 10),
        # What soaks as a whole is rinsed within its time.
        (Step("s", "work", least_s=180, most_s=600), 10),
        (Step("s", "work", least_s=6000, most_s=9000), 100),
        (Step("s", "work", labour_s=300, labour_s_m2=60), 10),
        (Step("s", "work", labour_s=300), 5),
        (Step("s", "work", labour_s_m2=60), 20),
    ],
)
def test_what_a_route_alone_says_of_a_lot_of_five_m2(step: Step, minutes: float) -> None:
    assert expected_s(step, 5.0) == 60 * minutes


def test_a_lot_of_unknown_area_counts_as_one_m2() -> None:
    assert expected_s(Step("s", "coat"), None) == expected_s(Step("s", "coat"), 1.0)


MON = datetime(2026, 3, 9, 8, tzinfo=UTC)
STAYS = [(MON.replace(hour=h), MON.replace(hour=h + 4)) for h in (8, 13)]


@pytest.mark.parametrize(
    ("begins", "minutes", "interrupted"),
    [
        (9, 60, False),
        (8, 240, False),
        (11, 90, True),
        (16, 90, True),
        (18, 60, False),
        (18, 25 * 60, True),
    ],
)
def test_a_step_across_closing_time_or_the_break_says_nothing(
    begins: int, minutes: int, interrupted: bool
) -> None:
    first = MON.replace(hour=begins)
    assert was_interrupted(first, first + timedelta(minutes=minutes), STAYS) is interrupted


def test_a_length_is_said_with_its_spread_and_what_it_rests_on() -> None:
    twice = Length(timedelta(minutes=40), 3, log(2), "tool")
    assert twice.words == "40 min? (20 min to 1 h 20 min), from 3 past steps of its kind and tool"
