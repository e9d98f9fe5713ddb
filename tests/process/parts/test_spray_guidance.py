"""What is said when a coat begins: after a defect, and of what was left out before it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.parts.part import StepRecord
from bench.process.parts.spray_guidance import FIXES, fix_after, skipped_steps_below
from bench.process.sheets.route import Step
from tests.process.making import MON, coated


@pytest.mark.parametrize(
    ("rework", "record", "fix"),
    [
        ("run", StepRecord(2, Step("coat 2", "coat", "p")), FIXES["run"]),
        ("a fly in it", StepRecord(2, Step("coat 2", "coat", "p")), FIXES["other"]),
        ("", StepRecord(2, Step("coat 2", "coat", "p")), ""),
        ("run", StepRecord(2, Step("coat 2", "coat", "p"), "in hand"), ""),
        ("run", StepRecord(2, Step("sand", "work")), ""),
    ],
)
def test_after_a_defect_the_next_coat_is_told_what_to_do_otherwise(
    rework: str, record: StepRecord, fix: str
) -> None:
    assert fix_after(replace(coated(MON, MON), rework=rework), record) == fix


def test_what_was_left_out_since_the_last_coat_is_told_and_nothing_before_or_after() -> None:
    left_out = [
        StepRecord(n, Step(name, "work"), "skipped", reason=reason)
        for n, name, reason in (
            *((1, "wash", "weather"), (3, "key", "no material")),
            *((4, "wipe", "already done"), (6, "wax", "other")),
        )
    ]
    coat = StepRecord(5, Step("coat 2", "coat", "p"))
    below = StepRecord(2, Step("coat 1", "coat", "p"), "done", MON, MON)
    steps = sorted([*left_out, below, coat], key=lambda record: record.number)
    part = replace(coated(MON, MON), steps=tuple(steps))
    assert skipped_steps_below(part, coat) == ("key was skipped: no material",)
