"""What a day of a plan shows, and what a late step pushes. The rules are the shop's own."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bench.process.attention.plan_tasks import late_tasks, planned_lines
from bench.process.clocks.temperature import Hours
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.day_page import (
    NOBODY,
    SPRAY_SPACE,
    begun_by,
    days_of,
    first_of,
    hours_of,
    lanes,
    next_of,
    planned_words,
    step_words,
)
from bench.process.plan.late_steps import late_steps, late_words, moves, pushes
from bench.process.plan.plan_events import plan_events
from bench.widgets.plan_lanes import lane_lines

from ..making import HOURS

DAY = datetime(2026, 3, 9, tzinfo=UTC)
"""A Monday."""


def at(hour: float, day: int = 0) -> datetime:
    return DAY + timedelta(days=day, hours=hour)


def step(
    tag: str, number: int, begins: datetime, minutes: int, who: str = "Kit", **more: object
) -> AgreedStep:
    return AgreedStep(
        tag,
        number,
        f"coat {number}",
        begins,
        begins + timedelta(minutes=minutes),
        (who,) if who else (),
        **more,  # type: ignore[arg-type]
    )


PRIMER = step("4", 3, at(8), 30, mixes_at=at(7.5), pot=1)
GLOSS = step("4", 4, at(13), 60, closes=at(14))
AXLE = step("7", 1, at(9), 90, "Mo")
AXLE_COAT = step("7", 2, at(11), 30, "Kit", pot=1)
FRAME = step("9", 1, at(8, 1), 60, "Kit", abrading_from=at(7.5, 1))
PLAN = WorkPlan(at(7), 1, at(0, 21), (PRIMER, AXLE, AXLE_COAT, GLOSS, FRAME))


def test_a_lane_has_abrading_mixing_and_work_one_behind_the_other() -> None:
    kit, mo, space = lanes(
        PLAN, (at(7), at(17)), ["Kit", "Mo"], lambda s: s is GLOSS, lambda s: s is GLOSS
    )
    assert [(s.since, s.until, s.tag, s.sign) for s in kit.stretches] == [
        (at(7.5), at(8), "4", "m"),
        (at(8), at(8.5), "4", "="),
        (at(11), at(11.5), "7", "="),
        (at(13), at(14), "4", "="),
    ]
    assert [s.tag for s in mo.stretches] == ["7"]
    assert (space.name, [s.sign for s in space.stretches]) == (SPRAY_SPACE, ["x"])
    (tomorrow, _) = lanes(
        PLAN, (at(7, 1), at(17, 1)), ["Kit", "Mo"], lambda _: False, lambda _: False
    )
    assert [s.sign for s in tomorrow.stretches] == ["/", "="]


def test_masks_stay_on_in_the_spray_space_through_the_clearance_time() -> None:
    plan = replace(PLAN, steps=(GLOSS, step("8", 1, at(14.25), 15)))
    facts = (lambda _: True, lambda s: s is GLOSS, timedelta(minutes=30))
    *_, space = lanes(plan, (at(7), at(17)), ["Kit"], *facts)
    # Drawn one over the other: what is sprayed covers the masks that are on anyway.
    assert [(s.since, s.until, s.tag, s.sign) for s in space.stretches] == [
        (at(14), at(14.5), "", "x"),
        (at(13), at(14), "4", "x"),
        (at(14.25), at(14.5), "8", "="),
    ]
    *_, after = lanes(plan, (at(14.4), at(17)), ["Kit"], *facts)
    assert "x" in {s.sign for s in after.stretches}, "it may begin before what is shown"


@pytest.mark.parametrize(
    ("day", "hours", "shown"),
    [
        (0, HOURS, (at(7), at(17.5))),
        (5, HOURS, (at(8), at(12.5))),
        (6, HOURS, (at(6, 6), at(20, 6))),
        (0, replace(HOURS, always_in=True), (at(6), at(20))),
        (1, HOURS, (at(5, 1), at(22.5, 1))),
    ],
)
def test_a_day_is_shown_from_one_full_hour_to_another_with_all_that_is_planned(
    day: int, hours: Hours, shown: tuple[datetime, datetime]
) -> None:
    plan = replace(PLAN, steps=(step("4", 1, at(5.25, 1), 30), step("4", 2, at(22, 1), 30)))
    if day == 5:
        shown = (shown[0] + timedelta(days=5), shown[1] + timedelta(days=5))
    assert hours_of(DAY.date() + timedelta(days=day), hours, plan) == shown


def test_a_step_that_nobody_was_free_for_has_a_lane_of_its_own() -> None:
    plan = replace(PLAN, steps=(replace(AXLE, painters=()),))
    drawn = lanes(plan, (at(7), at(17)), ["Kit"], lambda _: False, lambda _: False)
    assert [lane.name for lane in drawn] == ["Kit", NOBODY]


def test_hours_and_tags_stand_where_they_are_and_nothing_is_drawn_over_an_edge() -> None:
    day = (at(7), at(17))
    drawn = lanes(PLAN, day, ["Kit"], lambda _: False, lambda _: False)
    rows = [
        "".join(p.text for p in row) for row in lane_lines(drawn, day, at(10), 80, ascii_only=True)
    ]
    assert {len(row) for row in rows} == {80}
    hours, kit = rows
    # 67 cells for ten hours, after a name of 12: an hour is 6.7 cells.
    assert [hours.index(f"{hour:02d}") for hour in (7, 10, 16)] == [12, 32, 72]
    assert kit[12 + 3 : 12 + 6] == "mmm"  # 07:30 is cell 3.35
    assert kit.index("4") == 12 + 6  # 08:00 is cell 6.7
    assert kit[12 + 20] == "|"  # now
    late = (at(8.25), at(9))
    (_, cut) = lane_lines(drawn, late, at(20), 80, ascii_only=True)
    assert "".join(p.text for p in cut)[12:].startswith("4=")


def test_each_painter_sees_the_next_three_things() -> None:
    assert next_of(PLAN, "Kit", at(7)) == (PRIMER, AXLE_COAT, GLOSS)
    assert next_of(PLAN, "Mo", at(7)) == (AXLE,)


def test_what_has_a_latest_hour_is_named_on_its_day_and_tomorrow_by_its_first_things() -> None:
    assert begun_by(PLAN, (at(7), at(17))) == (GLOSS,)
    assert begun_by(PLAN, (at(7, 1), at(17, 1))) == ()
    sooner = replace(AXLE, begins=at(13.5), ends=at(14), closes=at(13.75))
    assert begun_by(replace(PLAN, steps=(GLOSS, sooner)), (at(7), at(17))) == (sooner, GLOSS)
    assert first_of(PLAN, (at(0, 1), at(24, 1))) == (FRAME,)
    assert [*planned_lines(PLAN, (at(7), at(17)))] == [
        "08:00 tag 4 coat 3 (mix 07:30): Kit",
        "09:00 tag 7 coat 1: Mo",
        "begin by 14:00: tag 4 coat 4",
    ]
    assert [*planned_lines(None, (at(7), at(17)))] == []


def test_the_days_are_today_and_those_with_work() -> None:
    assert [f"{day:%d}" for day in days_of(PLAN, at(7))] == ["09", "10"]
    assert [f"{day:%d}" for day in days_of(PLAN, at(7, -2))] == ["07", "09", "10"]


def test_a_stand_says_when_its_next_step_is_planned_and_when_that_is_late() -> None:
    assert planned_words(PLAN, "4", at(7)) == "plan 07:30"
    assert planned_words(PLAN, "4", at(7.5) + timedelta(minutes=10)) == "plan 07:30"
    assert planned_words(PLAN, "4", at(7.5) + timedelta(minutes=11)) == "plan 07:30 LATE"
    assert planned_words(PLAN, "9", at(7)) == "plan Tue 07:30"
    assert planned_words(PLAN, "5", at(7)) == planned_words(None, "4", at(7)) == ""
    assert step_words(FRAME, at(7)) == "Tue 08:00 tag 9 coat 1 (abrade Tue 07:30)"
    both = step("9", 1, at(8), 60, "Kit", abrading_from=at(7), mixes_at=at(7.75), pot=1)
    assert step_words(both, at(6)) == "08:00 tag 9 coat 1 (abrade 07:00, mix 07:45)"
    moved = replace(both, abrading_from=None, mixes_at=None, moved_at=at(9.5))
    assert step_words(moved, at(6)) == "08:00 tag 9 coat 1 (move 09:30)"
    (kit, *_) = lanes(
        replace(PLAN, steps=(both,)), (at(7), at(17)), ["Kit"], lambda _: False, lambda _: False
    )
    assert [(s.since, s.sign) for s in kit.stretches] == [
        (at(7), "/"),
        (at(7.75), "m"),
        (at(8), "="),
    ]


def test_only_the_next_step_of_a_part_is_late_and_none_that_is_in_hand() -> None:
    assert late_steps(PLAN, (), at(7.5) + timedelta(minutes=10)) == ()
    assert late_steps(PLAN, (), at(10)) == (PRIMER, AXLE)
    assert late_steps(PLAN, {"4"}, at(10)) == (AXLE,)


def test_a_late_step_pushes_its_part_its_painter_and_its_pot_and_names_a_missed_window() -> None:
    pushed = pushes(PLAN, PRIMER, at(9))
    # An hour and a half late: its own coat by as much, and with it the window that it opens; the
    # axle's coat from the same pot, by the same painter, is free until 11:00 and stays.
    assert [(p.step, p.begins, p.misses) for p in pushed] == [(GLOSS, at(14.5), False)]
    pushed = pushes(PLAN, PRIMER, at(10.75))
    assert [(p.step, p.begins, p.misses) for p in pushed] == [
        (AXLE_COAT, at(11.75), False),
        (GLOSS, at(16.25), False),
    ]
    # What another part pushes misses the window that its own coat below opened as planned.
    long = replace(AXLE_COAT, ends=at(13))
    pushed = pushes(replace(PLAN, steps=(PRIMER, long, GLOSS)), long, at(12.5))
    assert [(p.step, p.begins, p.misses) for p in pushed] == [(GLOSS, at(14.5), True)]
    assert late_words(PLAN, AXLE, at(9.5)) == (
        "tag 7 coat 1 is 30 min late: pushes tag 7 coat 2 to 11:30. Plan again"
    )
    alone = replace(PLAN, steps=(AXLE,))
    assert late_words(alone, AXLE, at(9.5)) == "tag 7 coat 1 is 30 min late: nothing else moves"
    (task,) = late_tasks(PLAN, {"4": 2}, (), at(9))
    assert (task.word, task.stand, task.tag) == ("PLAN", 2, "4")
    assert "pushes tag 4 coat 4 to 14:30. Plan again" in task.text


def test_of_many_pushed_steps_those_that_miss_their_window_are_named_first() -> None:
    coats = tuple(step("4", n, at(8 + n), 30) for n in range(1, 5))
    frame = step("9", 2, at(12.5), 60, closes=at(13))
    assert late_words(replace(PLAN, steps=(*coats, frame)), coats[0], at(10)) == (
        "tag 4 coat 1 is 1 h late: pushes tag 9 coat 2 to 13:30, MISSES ITS WINDOW, "
        "tag 4 coat 2 to 11:00, tag 4 coat 3 to 12:00 and 1 more. Plan again"
    )
    assert late_words(replace(PLAN, steps=coats[:4]), coats[0], at(10)) == (
        "tag 4 coat 1 is 1 h late: pushes "
        "tag 4 coat 2 to 11:00, tag 4 coat 3 to 12:00, tag 4 coat 4 to 13:00. Plan again"
    )


def test_what_planning_again_moves_is_named_with_both_hours() -> None:
    later = replace(GLOSS, begins=at(15), ends=at(16))
    again = replace(PLAN, steps=(PRIMER, AXLE, AXLE_COAT, later))
    moved = moves(PLAN, again)
    assert [(each.step, each.begins) for each in moved] == [(GLOSS, at(15)), (FRAME, None)]
    assert moves(None, again) == ()


def test_each_begin_to_come_is_an_event_and_none_of_a_step_in_hand() -> None:
    events = [*plan_events(PLAN, {"7"}, at(7))]
    assert [(event.key, event.edge.at) for event in events] == [
        ("4/3/plan", at(7.5)),
        ("7/2/plan", at(11)),
        ("4/4/plan", at(13)),
        ("9/1/plan", at(7.5, 1)),
    ]
    assert events[0].details == "Kit: mix 07:30; begin 08:00"
    assert events[2].details == "Kit: begin 13:00; at the latest 14:00"
