"""The to-do list: what can still be saved comes before what is lost already."""

from __future__ import annotations

from dataclasses import replace

from bench.process.attention.todo_list import is_near, is_soon, task_of, tasks
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import StandState
from tests.process.making import MON, after, coated

WET = StandState("RINSE", "down", after(4), zone="ALL")


def test_a_rinse_with_minutes_left_stands_above_a_pot_past_its_life() -> None:
    part = coated(MON, MON)
    pot = Pot("A", "p", "paint", MON, MON, after(-60))
    order = [task.word for task in tasks([(part, WET)], [pot], MON)]
    assert order == ["RINSE", "BIN"]
    late = replace(WET, word="RINSE NOW", counts="up", target=after(-1))
    assert [task.word for task in tasks([(part, late)], [pot], MON)] == ["RINSE NOW", "BIN"]


def test_what_asks_for_hands_or_runs_out_within_the_hour_is_soon() -> None:
    assert is_soon(WET, MON)
    assert is_soon(StandState("FLASH", "down", after(60)), MON)
    assert not is_soon(StandState("FLASH", "down", after(61)), MON)
    assert not is_soon(StandState("WORKING", "up", after(-30)), MON)
    assert is_soon(StandState("TEST", "up", after(-600)), MON)
    assert not is_near(StandState("TEST", "up", after(-600)), MON)


def test_what_cures_by_itself_is_touched_up_and_not_started() -> None:
    touch = StandState("OPEN", "down", after(60), note="touch up before it closes")
    said = [task_of(coated(MON, MON, then=then), touch, MON).text for then in ("cure", "coat")]
    assert said == ["bracket: cure: touch up before it closes", "bracket: coat can start"]
