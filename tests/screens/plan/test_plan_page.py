"""The plan by keypad: made, agreed, worked, late, made again, taken back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.parts.job import Job
from bench.screens.plan import plan_page
from bench.screens.plan.plan_page import PlanPage
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement, steps
from bench.shop.parts.jobs import promise_job
from bench.shop.plan.planner_process import EARLY, Ended
from bench.testing import ManualClock
from tests.same_process import SameProcess
from tests.shop.doing import done

from ..driving import Gone, at_the_bench


@pytest.fixture(autouse=True)
def beside(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan_page, "PlannerProcess", SameProcess)
    monkeypatch.setattr(SameProcess, "running", 0)


@pytest.fixture
def two_parts(shop: Shop) -> Shop:
    for stand in (1, 2):
        done(placement.place(shop, stand, "Kit", route="zinc-new", shape="bracket"))
    return shop


async def test_a_plan_is_made_shown_agreed_and_taken_back(
    two_parts: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(two_parts, clock) as hands:
        await hands.press("u")
        assert isinstance(hands.app.screen, PlanPage)
        await hands.play(
            ("*", "Working out a plan. ", "* stops it"),
        )
        for _ in range(6):
            await hands.let_pass(seconds=1)
        await hands.play(
            ("8", "agree"),
            ("0", "NOT AGREED YET", "not proven: nobody there", Gone("Working")),
        )
        assert SameProcess.running == 0
        assert bench_view.read_bench(two_parts).plan is None
        await hands.press("+")
        assert hands.said().startswith("plan agreed: ")
        plan = bench_view.read_bench(two_parts).plan
        assert plan is not None
        assert {step.tag for step in plan.steps} == {"1", "2"}
        assert "Plan agreed" in hands.picture()
        assert "Kit next:" in hands.picture()
        await hands.play(("0", "plan 0"), (". ", "plan agreed"))


async def test_a_step_that_is_late_says_what_it_pushes_and_planning_again_what_moves(
    two_parts: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(two_parts, clock) as hands:
        await hands.press("u * + 0")
        plan = bench_view.read_bench(two_parts).plan
        assert plan is not None
        first = plan.steps[0]
        await hands.let_pass(minutes=45)
        assert "PLAN" in hands.picture()
        await hands.press("u")
        assert f"tag {first.tag} {first.name} is" in hands.picture()
        await hands.press("*")
        for _ in range(6):
            await hands.let_pass(seconds=1)
        assert " moved:" in hands.picture()
        assert " -> " in hands.picture()


async def test_leaving_the_page_ends_the_planner_and_stopping_keeps_the_best_so_far(
    two_parts: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(SameProcess, "stays", True)
    async with at_the_bench(two_parts, clock) as hands:
        await hands.press("u *")
        assert SameProcess.running == 1
        await hands.press("0")
        assert SameProcess.running == 0
        await hands.press("u *")
        await hands.let_pass(seconds=1)
        await hands.press("*")
        assert SameProcess.running == 0
        assert "Stopped working out a plan. The best so far is shown." in hands.picture()
        assert "NOT AGREED YET" in hands.picture()


async def test_an_older_plan_is_refused_and_nothing_is_agreed(
    two_parts: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(two_parts, clock) as hands:
        await hands.press("u *")
        await hands.let_pass(seconds=1)
        done(placement.place(two_parts, 3, "Mo", route="zinc-new", shape="bracket"))
        await hands.press("+")
        assert "the plan is older than what happened" in hands.said()
        assert bench_view.read_bench(two_parts).plan is None


async def test_with_nothing_to_plan_it_says_so(shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.press("u *")
        for _ in range(3):
            await hands.let_pass(seconds=1)
        assert "nothing to plan" in hands.said()
        assert "No plan is agreed" in hands.picture()


async def test_the_key_that_stops_names_what_it_stops_and_ends_nothing_else(
    two_parts: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(SameProcess, "stays", True)
    async with at_the_bench(two_parts, clock) as hands:
        await hands.play(("u *", "Working out a plan. ", "* stops it", "* stop"))
        await hands.let_pass(seconds=1)
        await hands.play(("", "Working out a plan. The best so far is shown. * stops it"))
        # A question beside the plan: the plan is stopped for it, and the page says so.
        await hands.press(". 1 enter 1 0 enter enter enter")
        await hands.play(
            ("", "Working out why tag 1 cannot be ready by", "* stops it"),
            ("", "Stopped working out a plan. The best so far is shown."),
        )
        assert SameProcess.running == 1
        # What stops the question leaves the draft as it is, and begins no plan.
        await hands.play(
            ("*", "Stopped working out why tag 1 cannot be ready by", "NOT AGREED YET", "* plan"),
            ("", Gone("Working out"), Gone("* stop ")),
        )
        assert SameProcess.running == 0
        await hands.play(("*", "Working out a plan. ", Gone("Stopped")))


async def test_a_question_that_agreeing_stops_is_named(
    two_parts: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_the_bench(two_parts, clock) as hands:
        await hands.press("u *")
        for _ in range(6):
            await hands.let_pass(seconds=1)
        monkeypatch.setattr(SameProcess, "stays", True)
        await hands.press(". 1 enter 1 0 enter enter enter")
        await hands.play(("+", "Plan agreed", "Stopped working out why tag 1"))
        assert SameProcess.running == 0


class KilledFromOutside(SameProcess):
    """One whose process is killed after its first answer."""

    def come(self) -> list[object]:
        self.end()
        return [*self.answers[:1], Ended(EARLY)]


async def test_a_planner_that_is_killed_leaves_the_best_so_far_and_says_so(
    two_parts: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plan_page, "PlannerProcess", KilledFromOutside)
    async with at_the_bench(two_parts, clock, size=(132, 40)) as hands:
        await hands.press("u *")
        await hands.let_pass(seconds=1)
        await hands.play(
            ("", "NOT AGREED YET", f"T{EARLY[1:]}. The best so far is shown.", "+ agree", "* plan")
        )


async def test_a_part_is_shown_step_by_step_over_all_days(
    two_parts: Shop, clock: ManualClock
) -> None:
    done(steps.begin(two_parts, 1, "Kit"))
    async with at_the_bench(two_parts, clock, size=(132, 40)) as hands:
        await hands.press("u *")
        for _ in range(6):
            await hands.let_pass(seconds=1)
        draft = hands.app.screen.plan  # type: ignore[attr-defined]
        names = [step.name for step in draft.of_part("1")]
        await hands.play(
            ("", "Kit next: in hand until ", ": tag 1 File the zinc spikes", "5 part"),
            ("5 1 enter", "tag 1, step by step:", "in hand until ", *names, "5 all"),
            ("", Gone("tag 2"), Gone(" next:")),
            ("5", "Kit next:", Gone("step by step")),
            ("5 9 enter", "no tag 9", Gone("step by step")),
            ("5 2 enter 6", "day 2 of", Gone("step by step")),
        )


async def test_an_answer_says_what_was_asked_and_stands_until_the_next(
    two_parts: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(two_parts, clock, size=(132, 40)) as hands:
        await hands.press("u *")
        for _ in range(6):
            await hands.let_pass(seconds=1)
        # The risk is that of the plan that is shown, agreed or not.
        await hands.play(("7", "window is missed in "))
        await hands.press("1 7 5 1 enter enter")
        await hands.play(("", "When 1 x Tube or post can be ready: It is in no plan: "))
        await hands.press(". 1 enter 1 0 enter enter enter")
        await hands.play(
            ("", "tag 1 by Tue 10 Jun is not possible: work and drying"),
            ("6", "day 2 of", Gone("is not possible")),
            ("7", "window is missed in "),
            ("+", "Plan agreed", Gone("window is missed in ")),
        )


async def test_a_promise_warns_days_before_once_a_step_falls_a_day_behind(
    shop: Shop, clock: ManualClock
) -> None:
    """Two parts that nobody begins; the second one is promised."""
    for stand, job in ((1, "Gate"), (2, "Rack")):
        done(placement.place(shop, stand, "Kit", route="zinc-new", shape="bracket", job=job))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("u *")
        for _ in range(6):
            await hands.let_pass(seconds=1)
        await hands.press("+ 0")
        days = bench_view.read_bench(shop).job_days(Job("Rack"), hands.app.now())
        assert days is not None
        assert days.ready is not None
        done(promise_job(shop, "Kit", job="Rack", day=days.ready))
        await hands.let_pass(minutes=9)
        assert "BROKEN" not in hands.picture()
        await hands.let_pass(hours=24)
        assert (days.ready - hands.app.now().date()).days >= 4
        # First in the list, with both days; on its stand; on its page; on the plan's page.
        ready = days.ready + timedelta(days=1)
        words = f"PROMISE BROKEN: tag 2 ready {ready:%a %d %b}, not {days.ready:%a %d %b}"
        await hands.play(("", "PROMISE BROKEN | plan Mo.."))
        assert hands.picture().splitlines()[1].startswith(f" PLAN      ->!  stand 2: {words[:50]}")
        await hands.play(
            ("2 enter", "PROMISE BROKEN: tag 2", "plan Mon 07:30 LATE"),
            ("0 u", f"tag 2 (Rack): ready {ready:%a %d %b}", "LATE by 1 shop day"),
        )


async def test_beside_an_alarm_a_narrow_legend_keeps_what_agrees_and_plans(
    two_parts: Shop, clock: ManualClock
) -> None:
    done(steps.begin(two_parts, 1, "Kit"))
    async with at_the_bench(two_parts, clock) as hands:
        await hands.press("u *")
        for _ in range(6):
            await hands.let_pass(seconds=1)
        done(steps.finish(two_parts, 1, "Kit"))
        await hands.let_pass(minutes=30)
        await hands.read_alarms()
        legend = hands.picture().splitlines()[-1]
        assert "Enter answers" in legend
        assert "+ agree" in legend
        assert "* plan" in legend
