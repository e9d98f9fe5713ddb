"""Hours by painter: who ticked a face has the time up to it, and no hour counts twice."""

from __future__ import annotations

from datetime import timedelta

from bench.process.parts.part import Mark, StepRecord
from bench.process.parts.work_hours import work_hours
from bench.process.sheets.route import Step

from ..making import after


def step(
    first: float, last: float, *painters: str, kind: str = "work", marks: tuple[Mark, ...] = ()
) -> StepRecord:
    """A step that was done from minute to minute."""
    plan = Step("wash", kind)  # type: ignore[arg-type]
    return StepRecord(1, plan, "done", after(first), after(last), painters, marks)


def test_hours_that_two_steps_share_count_once_for_each_painter() -> None:
    hours = work_hours(
        [step(0, 30, "Kit"), step(20, 60, "Kit", "Mo"), step(90, 100, "Kit"), step(25, 40, "Kit")]
    )
    assert dict(hours.by_painter) == {"Kit": timedelta(minutes=70), "Mo": timedelta(minutes=40)}
    assert hours.total == timedelta(minutes=110)


def test_a_face_is_the_time_of_who_ticked_it_and_a_helper_has_all_of_it() -> None:
    marks = (Mark("A", done_at=after(10), by="Kit"), Mark("B", done_at=after(25), by="Mo"))
    hours = work_hours([step(0, 30, "Kit", "Ivo", kind="coat", marks=marks)])
    minutes = {name: time.total_seconds() / 60 for name, time in hours.by_painter}
    assert minutes == {"Kit": 10, "Mo": 15, "Ivo": 30}


def test_what_says_no_length_is_counted_apart_and_a_cure_is_no_work() -> None:
    no_end = StepRecord(1, Step("wash", "work"), "done", after(0), None, ("Kit",))
    in_hand = StepRecord(1, Step("wash", "work"), "in hand", after(0), None, ("Kit",))
    records = [step(5, 5, "Kit"), no_end, in_hand, step(0, 10), step(0, 900, "Kit", kind="cure")]
    hours = work_hours([*records, step(0, 800, "Kit")])
    assert (hours.without, hours.long) == (3, ("wash",))
    assert dict(hours.by_painter) == {"Kit": timedelta(minutes=800)}
