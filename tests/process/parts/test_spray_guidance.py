"""What is said when a coat begins: after a defect, and of what was left out before it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.parts.film_thickness import film_ahead
from bench.process.parts.part import Mark, StepRecord
from bench.process.parts.spray_guidance import (
    FIXES,
    fix_after,
    next_faces,
    skipped_steps_below,
    spray_line,
)
from bench.process.sheets.product import Film
from bench.process.sheets.route import SprayTool, Step
from bench.process.wording.display_units import METRIC
from tests.process.making import MON, coated, product

ETCH = product(film=Film(8, 12, 15), volume_solids_pct=10.0)
GUN = SprayTool("gun", "gun", True)


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


def test_a_mist_shows_no_film_and_the_build_that_goes_on_with_it_shows_it_once() -> None:
    mist = StepRecord(1, Step("mist", "coat", "p"), "in hand")
    between = StepRecord(2, Step("look", "work"), "skipped")
    build = StepRecord(3, Step("build", "coat", "p", continues=True))
    part = replace(coated(MON, MON), steps=(mist, between, build))
    films = [film_ahead(part, each, ETCH, METRIC).words for each in (mist, build)]
    mixed = spray_line(ETCH, GUN)
    assert mixed == "gun | whole coat 120 um wet = 12 dry", "a pot knows no mist"
    assert [spray_line(ETCH, GUN, film=film) for film in films] == [
        "gun | thin and broken: metal shows through",
        "gun | 120 um wet = 12 dry, mist and build together",
    ]


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


def test_the_next_eight_faces_that_are_still_open_are_named_in_their_order() -> None:
    marks = tuple(Mark(f"F{n}", MON, MON if n < 2 else None) for n in range(12))
    record = StepRecord(2, Step("coat 2", "coat", "p"), "in hand", MON, marks=marks)
    assert next_faces(record) == "F2 F3 F4 F5 F6 F7 F8 F9"
