"""From where a schedule puts tasks to a plan with names, and back; what is answered about it.

Monday 07:30 is slot 0; work takes six slots, unless said. Una is asked before Bo.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import log
from random import Random
from statistics import NormalDist

import pytest

from bench.process.parts.job import Job
from bench.process.plan import checking
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.agreed_schedule import agreed_schedule
from bench.process.plan.answers import (
    CanBeReady,
    RiskAnswer,
    StepRisk,
    WhenAnswer,
    WhyAnswer,
    risk_of,
    risk_words,
    when_of,
    when_words,
    why_of,
    why_words,
)
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.crew import crew
from bench.process.plan.drafting import draft
from bench.process.plan.figures import LabourTime, PainterFigures, PlanInputs, StepFigures
from bench.process.plan.problem import Placed, Schedule
from bench.process.plan.promises import Promised

from ..making import band
from .test_building import NOW, PRIMER, coat, inputs, part, work

UNA, BO = PainterFigures("Una"), PainterFigures("Bo")
UNTRAINED = replace(BO, trained=False)
TWO = (part(work("a"), work("b")), part(work("c"), tag="2"))
COATS = (part(coat("a"), coat("b")), part(coat("c"), tag="2"))


def after(slots: int) -> timedelta:
    return timedelta(minutes=5 * slots)


def made(asked: PlanInputs, *placed: Placed | None) -> tuple[BuiltPlan, Schedule]:
    return build(asked), Schedule(placed)


def names(asked: PlanInputs, *placed: Placed | None) -> tuple[str, ...]:
    """Name the painters of each task, in one word."""
    return tuple("+".join(who) for who in crew(*made(asked, *placed), asked))


def test_a_part_stays_with_who_had_it_and_others_go_to_who_has_done_least() -> None:
    asked = inputs(*TWO)
    assert names(asked, Placed(0), Placed(6), Placed(0)) == ("Una", "Una", "Bo")
    assert names(asked, Placed(0), Placed(20), Placed(6)) == ("Una", "Una", "Bo")
    alone = inputs(*TWO, painters=(UNA,))
    assert names(alone, Placed(0), Placed(12), Placed(6)) == ("Una", "Una", "Una")
    assert names(alone, Placed(0), Placed(12), Placed(5)) == ("Una", "Una", "")
    assert names(alone, Placed(0), None, None) == ("Una", "", "")


def test_who_is_on_a_part_now_goes_on_with_it() -> None:
    of, other = TWO
    begun = replace(of.steps[0], status="in hand", first_at=NOW, painters=("Bo",))
    asked = inputs(replace(of, steps=(begun, *of.steps[1:])), other)
    assert names(asked, Placed(0), Placed(6), Placed(0)) == ("Bo", "Bo", "Una")


def test_two_hands_are_two_painters() -> None:
    asked = inputs(*TWO, figures={"a": StepFigures(hands=2)})
    assert names(asked, Placed(0), Placed(6), Placed(20)) == ("Una+Bo", "Una", "Bo")


def test_who_is_not_trained_takes_what_needs_no_mask_and_nothing_else() -> None:
    parts = (part(coat("gloss", "iso")), part(work("c"), tag="2"))
    asked = inputs(*parts, painters=(UNA, UNTRAINED))
    assert names(asked, Placed(6), Placed(0)) == ("Una", "Bo")
    assert names(asked, Placed(5), Placed(0)) == ("Una", "Bo")


@pytest.mark.parametrize(
    ("gone", "back", "who"),
    [(6, 12, "Una"), (5, 12, ""), (-9, 0, "Una"), (-9, 1, "")],
)
def test_who_is_away_for_any_of_it_takes_nothing(gone: int, back: int, who: str) -> None:
    away = replace(UNA, away=((NOW + after(gone), NOW + after(back)),))
    asked = inputs(part(work("a")), painters=(away,))
    # Its six slots, by name alone: that nobody is in then is the problem's to say.
    assert names(asked, Placed(0)) == (who,)


def test_a_coat_is_mixed_and_its_gun_cleaned_by_hands_too() -> None:
    """Mixing takes four slots before the coat of six, the gun three after the last of its pot."""
    asked = inputs(part(coat("a")), part(work("c"), tag="2"), paints=(PRIMER,), painters=(UNA,))
    pot = Placed(10, pot=0)
    assert names(asked, pot, Placed(0)) == ("Una", "Una")
    assert names(asked, pot, Placed(1)) == ("Una", "Una"), "somebody else mixes"
    assert names(asked, pot, Placed(19)) == ("Una", "Una")
    assert names(asked, pot, Placed(18)) == ("Una", "")
    two = inputs(part(coat("a")), part(work("c"), tag="2"), paints=(PRIMER,))
    leaves = replace(UNA, away=((NOW + after(16), NOW + after(99)),))
    two = replace(two, painters=(leaves, BO))
    assert names(two, pot, None) == ("Una", ""), "who cleans it for her did not spray it"
    joined = inputs(*COATS, paints=(PRIMER,), painters=(UNA,))
    shared = Placed(10, pot=0), Placed(30, pot=0), Placed(17, pot=0)
    assert names(joined, *shared) == ("Una", "Una", "Una"), "between them it is not cleaned"


def test_a_plan_is_written_down_with_its_hours_and_put_back_where_it_was() -> None:
    asked = inputs(*COATS, paints=(PRIMER,), painters=(UNA, BO))
    built, schedule = made(asked, Placed(10, pot=0), Placed(60, True, pot=1), Placed(16, pot=0))
    cost = checking.cost(built.problem, schedule)
    blank = WorkPlan(NOW, 1, NOW, ())
    drafted = draft(built, asked, schedule, cost, blank)
    first, joins, abraded = drafted.plan.steps
    assert (first.begins, first.ends, first.mixes_at) == (
        NOW + after(10),
        NOW + after(16),
        NOW + after(6),
    )
    assert (joins.tag, joins.mixes_at, joins.pot) == ("2", None, 0)
    assert (abraded.abrading_from, abraded.begins, abraded.mixes_at) == (
        NOW + after(60),
        NOW + after(70),
        NOW + after(66),
    )
    assert (drafted.no_room, drafted.left_out, drafted.promised) == ((), (), ())
    assert agreed_schedule(built, drafted.plan) == schedule
    some = draft(built, asked, Schedule((*schedule.placed[:2], None)), cost, blank)
    assert some.no_room == ("2",)
    assert agreed_schedule(built, some.plan).placed[2] is None


def test_what_is_agreed_is_put_back_where_it_is_abraded_in_any_case_or_fixed() -> None:
    keyed = replace(PRIMER, bands=(band("flash", 20), band("key")))
    asked = inputs(*COATS, paints=(keyed,), painters=(UNA, BO))
    at = Placed(4, pot=0), Placed(60, pot=1), Placed(20, pot=2)
    built, schedule = made(asked, *at)
    drafted = draft(
        built, asked, schedule, checking.cost(built.problem, schedule), WorkPlan(NOW, 1, NOW, ())
    )
    assert [s.abrading_from for s in drafted.plan.steps] == [None, None, NOW + after(60)]
    assert agreed_schedule(built, drafted.plan) == schedule
    begins = AgreedStep("1", 1, "a step", NOW + after(4), NOW + after(5))
    again = build(replace(asked, plan=WorkPlan(NOW, 1, NOW, (begins,))))
    assert again.problem.tasks[0].fixed == 4
    assert agreed_schedule(again, drafted.plan).placed[0] == at[0]
    blank, nothing = WorkPlan(NOW, 1, NOW, ()), Schedule((None,) * 3)
    gone = replace(again, let_go=(0,))
    said = draft(gone, asked, nothing, checking.cost(again.problem, nothing), blank).let_go
    assert said == ("Tag 1 a is not begun 07:50 as agreed: its part would find no room",)


def test_promised_parts_are_told_with_the_least_to_spare_first() -> None:
    jobs = {
        "1": Job("Trolley", promised=date(2026, 3, 6)),
        "2": Job("Rack", promised=date(2026, 3, 2)),
    }
    asked = inputs(*TWO, jobs=jobs)
    built, schedule = made(asked, Placed(0), Placed(6), Placed(288))
    cost = checking.cost(built.problem, schedule)
    drafted = draft(built, asked, schedule, cost, WorkPlan(NOW, 1, NOW, ()))
    assert [each.words for each in drafted.promised] == [
        "tag 2 (Rack): ready Tue 03 Mar, promised Mon 02 Mar: LATE by 1 shop day",
        "tag 1 (Trolley): ready Mon 02 Mar, promised Fri 06 Mar: 4 shop days to spare",
    ]
    none = Promised("1", "Rack", date(2026, 3, 2), date(2026, 3, 2), 0)
    assert none.words.endswith(": 0 shop days to spare")


def test_one_more_part_is_ready_after_what_is_planned_or_sooner_where_that_moves() -> None:
    """One painter: 85 % of ten hours is 17 works of half an hour; the first part has 16 and waits
    a day for its second, so that the other finds the rest of today."""
    asked = inputs(*TWO, painters=(UNA,))
    built, schedule = made(asked, Placed(0), Placed(6), None)
    answer = when_of([("2", built)], schedule, Random(1))
    assert answer.beside == CanBeReady(date(2026, 3, 2), NOW.astimezone() + after(18))
    assert answer.with_moves == answer.beside
    assert when_of([("9", built)], schedule, Random(1)).reason == "it has no step to do"
    held = build(inputs(*TWO, part(work("d"), tag="3", hold="weather")))
    assert when_of([("3", held)], schedule, Random(1)).reason == "on hold: weather"
    assert why_of(held, "3") == WhyAnswer(("on hold: weather",), (), True)


SOON = CanBeReady(date(2026, 3, 3), NOW + after(12))
LATER = CanBeReady(date(2026, 3, 4), NOW + after(300))


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (WhenAnswer(None, None, "on hold"), ["It is in no plan: on hold"]),
        (WhenAnswer(None, None), ["Not within the days that are planned"]),
        (WhenAnswer(SOON, SOON), ["Ready Tue 03 Mar, last coat 08:30, and nothing else moves"]),
        (
            WhenAnswer(LATER, replace(SOON, moved=1)),
            [
                "Ready Wed 04 Mar, last coat Tue 08:30, and nothing else moves",
                "Ready Tue 03 Mar, last coat 08:30 if 1 step of others move; no promise is broken",
            ],
        ),
        (
            WhenAnswer(None, replace(SOON, moved=2)),
            [
                "Not without moving others",
                "Ready Tue 03 Mar, last coat 08:30 if 2 steps of others move; no promise is broken",
            ],
        ),
        (
            WhenAnswer(SOON, replace(SOON, moved=2)),
            ["Ready Tue 03 Mar, last coat 08:30, and nothing else moves"],
        ),
    ],
)
def test_when_a_part_could_be_ready_in_words(answer: WhenAnswer, words: list[str]) -> None:
    assert [*when_words(answer, NOW)] == words


def test_why_not_in_words() -> None:
    """Of twelve hours of work, ten are in Monday: neither hands nor a fuller day would do."""
    day = date(2026, 3, 2)
    minutes = {"a": 300.0, "b": 420.0}
    asked = inputs(*TWO, minutes=minutes, jobs={"1": Job("Rack", promised=day)})
    assert why_of(build(asked), "1") == WhyAnswer(
        ("work and drying take longer, even with the bench to itself",),
        ("possible if tag 1 is promised 1 shop day later",),
        True,
    )
    can = why_of(build(replace(asked, jobs={"2": Job("Rack", promised=day)})), "2")
    assert can == WhyAnswer((), (), True)
    assert [*why_words(can, "2", day)] == ["tag 2 by Mon 02 Mar: It can be: plan again"]
    unsure = replace(can, is_proven=False)
    assert next(iter(why_words(unsure, "2", day))).endswith("No reason was found: plan again")
    told = WhyAnswer(("1 x hands",), ("possible with 1 more: hands",), False)
    assert [*why_words(told, "2", day)] == [
        "tag 2 by Mon 02 Mar is not possible: 1 x hands",
        "possible with 1 more: hands",
        "Not proven: the bench's own planner did not find a way",
    ]


def test_a_risk_is_that_of_the_step_whose_window_closes() -> None:
    """The second coat is due before slot 22, four after the first of six. It is missed where that
    takes over 17 slots, which a spread of 1.1 makes it do as often as the normal tail says."""
    asked = inputs(part(coat("a"), coat("b")))
    built, schedule = made(asked, Placed(0), Placed(12))
    for spread, missed in ((0.0, 0.0), (1.1, 1 - NormalDist().cdf(log(17 / 6) / 1.1))):
        asked = replace(asked, length_of=lambda *_, s=spread: LabourTime(30.0, s))
        found = risk_of(built, asked, schedule, Random(1))
        assert abs(found.missed - missed) < 0.05
        assert [(each.tag, each.name) for each in found.steps] == [("1", "b")] * bool(spread)


def test_risks_in_words() -> None:
    told = RiskAnswer(0.314, (StepRisk("1", "b", 0.3), StepRisk("2", "c", 0.02)))
    assert [*risk_words(told)] == [
        "Some window is missed in 31 of 100 tries with other luck:",
        "  tag 1 b: 30 of 100",
        "  tag 2 c: 2 of 100",
    ]
    assert [*risk_words(RiskAnswer(0.0, ()))] == [
        "No window is missed in any of 500 tries with other luck"
    ]
