"""The plan's page where there is little to plan with: words, and never a fault."""

from __future__ import annotations

import pytest

from bench.screens.plan import plan_page
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework
from bench.shop.people.away import away
from bench.shop.plan import agreeing
from bench.shop.settings.settings_change import set_settings
from bench.testing import ManualClock
from tests import same_process
from tests.same_process import SameProcess
from tests.shop.doing import done

from ..driving import Gone, Hands, at_the_bench
from .test_plan_page import two_parts

__all__ = ["two_parts"]


@pytest.fixture(autouse=True)
def beside(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan_page, "PlannerProcess", SameProcess)
    monkeypatch.setattr(SameProcess, "running", 0)


async def planned(hands: Hands) -> str:
    """The page once a plan was asked for and the planner ended."""
    await hands.press("u *")
    for _ in range(6):
        await hands.let_pass(seconds=1)
    assert SameProcess.running == 0
    return hands.picture()


async def test_one_painter_is_given_everything(two_parts: Shop, clock: ManualClock) -> None:
    done(away(two_parts, "Kit", "Mo", "2025-06-09..2025-07-20"))
    async with at_the_bench(two_parts, clock) as hands:
        picture = await planned(hands)
        assert "Kit next:" in picture
        assert "Mo next:" not in picture
        await hands.play(("+", "plan agreed: 16 steps of 2 parts"))


async def test_where_nobody_is_there_it_says_that_nothing_fits_in(
    two_parts: Shop, clock: ManualClock
) -> None:
    for name in ("Kit", "Mo"):
        done(away(two_parts, "Kit", name, "2025-06-09..2025-06-23"))
    async with at_the_bench(two_parts, clock) as hands:
        picture = await planned(hands)
        assert f"tag 1, 2: no room within {same_process.DAYS} days. Ask why, with a day" in picture
        assert "No window missed" not in picture
        await hands.play(("+", Gone("plan agreed"), Gone("+ agree"), Gone("7 risk")))
        await hands.play(
            (". 1 enter 1 2 enter enter enter", "tag 1 by Thu 12 Jun is not possible"),
        )
        assert bench_view.read_bench(two_parts).plan is None


async def test_two_weeks_of_holidays_are_planned_around(
    two_parts: Shop, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(same_process, "DAYS", 28)
    done(set_settings(two_parts, "Kit", holidays=["2025-06-09..2025-06-22"]))
    async with at_the_bench(two_parts, clock) as hands:
        await planned(hands)
        await hands.play(("6", "Plan NOT AGREED YET: Mon 23 Jun, day 2 of"))


async def test_a_plan_that_is_over_says_so(two_parts: Shop, clock: ManualClock) -> None:
    async with at_the_bench(two_parts, clock) as hands:
        await planned(hands)
        await hands.play(("+", "Plan agreed", Gone("is over")))
        await hands.let_pass(hours=24 * 21)
        await hands.play(
            ("", "All of this plan is over: * plans again", "is 21 d late"),
            ("*", "NOT AGREED YET", Gone("is over")),
        )


async def test_two_terminals_that_agree_at_once_get_one_plan_and_one_refusal(
    two_parts: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(two_parts, clock) as hands:
        await planned(hands)
        draft = hands.app.screen.plan  # type: ignore[attr-defined]
        done(agreeing.agree(two_parts, "Mo", draft))
        await hands.press("+")
        assert "the plan is older than what happened (plan agreed: 16 steps" in hands.said()
        assert hands.said().endswith(": plan again")
        # The draft stays, and what is agreed is what the other terminal agreed.
        await hands.play(("", "NOT AGREED YET", "no step moved"))
        assert bench_view.read_bench(two_parts).plan == draft


async def test_a_plan_of_which_all_is_done_says_no_more(
    two_parts: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(two_parts, clock) as hands:
        await planned(hands)
        await hands.press("+")
        for stand in (1, 2) * 8:
            done(holds_and_rework.skip(two_parts, stand, "Kit", "already done"))
        await hands.let_pass(seconds=2)
        await hands.play(
            ("", "Plan agreed: Mon 09 Jun, day 1 of 1", Gone("next:"), Gone("7 risk")),
            ("* ", "nothing to plan"),
        )
