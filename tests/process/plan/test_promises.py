"""When parts are ready by a plan, against what the planner itself counts by slot; what breaks one.

The figures are invented; that a part may be taken off a day after its last coat is common practice,
no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from bench.process.attention.plan_tasks import late_tasks
from bench.process.parts.job import Job
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.checking import Cost
from bench.process.plan.drafting import draft
from bench.process.plan.grid import Grid
from bench.process.plan.late_steps import slipped
from bench.process.plan.problem import span
from bench.process.plan.promises import JobDays, Promised, Promises

from .random_plans import BENCHES, planned
from .test_building import NOW, WARM, coat, done, inputs, part

COST = Cost(0, 0, 0, 0, 0, 0, 0, 0, 0)
NEVER = 200
"""So many shop days ahead is no day but a cure that never comes."""


def checked(seed: int) -> int:
    """Hold the promised days of a random bench against the planner's; give how many there were."""
    inputs, built, schedule = planned(seed)
    made = WorkPlan(inputs.now, 1, inputs.now, ())
    found = {each.tag: each for each in draft(built, inputs, schedule, COST, made).promised}
    expected = {}
    for piece in built.problem.pieces:
        placed, job = schedule.placed[piece.tasks[-1]], inputs.jobs.get(piece.key)
        if placed is None or piece.promised_day is None or job is None or job.promised is None:
            continue
        day = piece.done_day[span(built.problem.tasks[piece.tasks[-1]], placed)[1]]
        if day < NEVER:
            ready, days = built.grid.shop_date(day), piece.promised_day - day
            expected[piece.key] = Promised(piece.key, job.name, ready, job.promised, days)
    assert found == expected, f"bench {seed}"
    return len(found)


def test_a_part_is_ready_by_the_plan_on_the_day_that_the_planner_counts() -> None:
    assert sum(checked(seed) for seed in BENCHES) > 5


# --- one part, its last coat on Tuesday afternoon, ready a day later ------------------------------

AT = datetime.combine(NOW.date() + timedelta(days=1), time(16, 30), UTC)
FIRST = AgreedStep("1", 1, "prime", AT - timedelta(hours=4), AT - timedelta(hours=3), ("Una",))
LAST = AgreedStep("1", 2, "gloss", AT, AT + timedelta(minutes=30), ("Una",))
PLAN = WorkPlan(NOW, 1, AT, (FIRST, LAST))
TROLLEY = replace(part(coat("prime"), coat("gloss")), job="Trolley")
WEDNESDAY = AT.date() + timedelta(days=1)


def promises(promised: date | None = WEDNESDAY, of: object = TROLLEY) -> Promises:
    jobs = {"1": Job("Trolley", promised=promised)}
    return Promises({"1": of}, jobs, inputs(TROLLEY).around, 24.0, Grid.of(NOW, 7, WARM))  # type: ignore[dict-item]


@pytest.mark.parametrize(
    ("promised", "days", "words"),
    [
        (WEDNESDAY, 0, "0 shop days to spare"),
        (WEDNESDAY + timedelta(days=1), 1, "1 shop day to spare"),
        (WEDNESDAY + timedelta(days=4), 3, "3 shop days to spare"),  # Sunday: by Saturday
        (WEDNESDAY - timedelta(days=1), -1, "LATE by 1 shop day"),
        (NOW.date(), -2, "LATE by 2 shop days"),
    ],
)
def test_days_to_spare_are_shop_days(promised: date, days: int, words: str) -> None:
    (found,) = promises(promised).of(PLAN)
    assert (found.ready, found.days) == (WEDNESDAY, days)
    assert found.words == (
        f"tag 1 (Trolley): ready {WEDNESDAY:%a %d %b}, promised {promised:%a %d %b}: {words}"
    )
    by_plan = promises(promised).of_job(PLAN, Job("TROLLEY", promised=promised))
    assert by_plan == JobDays(WEDNESDAY, days)
    assert by_plan.words == f"by the plan: ready {WEDNESDAY:%a %d %b}, {words}"


def test_a_part_whose_last_step_is_in_no_plan_has_no_day_and_one_that_is_done_has_its_own() -> None:
    job = Job("Trolley")
    assert promises(None).of(PLAN) == ()
    assert promises().of_job(PLAN, Job("other")) is None
    assert promises().of_job(PLAN, job) == JobDays(WEDNESDAY, None)
    half = replace(PLAN, steps=(FIRST,))
    assert promises().of(half) == ()
    by_plan = promises().of_job(half, job)
    assert by_plan is not None
    assert by_plan.words == "by the plan: no day for tag 1"
    whole = TROLLEY
    for number in (1, 2, 3):
        whole = done(whole, number, NOW, NOW)
    whole = replace(whole, steps=(*whole.steps[:2], replace(whole.steps[2], passed_at=NOW)))
    assert promises(of=whole).of_job(half, job) == JobDays(NOW.date(), None)


@pytest.mark.parametrize(
    ("late", "promised", "broken"),
    [
        (timedelta(minutes=9), WEDNESDAY, None),
        # Begun at once it ends within the day; an hour later the shop is closed: Wednesday morning.
        (timedelta(minutes=15), WEDNESDAY, False),
        (timedelta(minutes=45), WEDNESDAY, True),
        (timedelta(hours=1), WEDNESDAY, True),
        (timedelta(hours=1), WEDNESDAY + timedelta(days=1), False),
        # What is late already is no news.
        (timedelta(hours=1), WEDNESDAY - timedelta(days=1), False),
    ],
)
def test_a_late_step_that_breaks_a_promise_says_so_in_its_task(
    late: timedelta, promised: date, broken: bool | None
) -> None:
    plan, now = PLAN, FIRST.starts + late
    # The gloss waits for the primer: what that is late, it is.
    tasks = late_tasks(plan, {"1": 1}, (), now, promises(promised))
    assert [task.word for task in tasks] == ([] if broken is None else ["PLAN"])
    for task in tasks:
        ready = f"{WEDNESDAY + timedelta(days=1):%a %d %b}"
        said = f"PROMISE BROKEN: tag 1 ready {ready}, not {promised:%a %d %b}: tag 1 prime is "
        assert ("PROMISE BROKEN" in task.text) is task.text.startswith(said) is broken, task.text
        assert "PROMISE" not in late_tasks(plan, {"1": 1}, (), now)[0].text


def test_a_plan_as_it_stands_has_what_is_pushed_within_the_shops_hours() -> None:
    now = FIRST.starts + timedelta(hours=1)
    prime, gloss = slipped(PLAN, [FIRST], now, WARM).steps
    assert (prime.begins, prime.ends) == (now, now + timedelta(hours=1))
    morning = datetime.combine(WEDNESDAY, time(7, 30), UTC)
    assert (gloss.begins, gloss.ends) == (morning, morning + timedelta(minutes=30))
    assert slipped(PLAN, [], now, WARM) == PLAN
    always = replace(WARM, always_in=True)
    assert slipped(PLAN, [FIRST], now, always).steps[1].begins == AT + timedelta(hours=1)
