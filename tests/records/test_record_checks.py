"""What an inspector looks for on a record: items with what is missing, hold points, deviations.

The items: headings of ISO 12944-7:1998 (application conditions, supervision, reference areas) and of
the report form of ISO 12944-8:1998, as their tables of contents have them; the rest from memory.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from typing import get_args

from bench.process.parts.job import CoatFilm, Job, PaintSystem, Received
from bench.process.parts.log_entry import LogEntry
from bench.process.parts.measurements import Measurement
from bench.records.as_json import sheet_json
from bench.records.as_text import text
from bench.records.job_record import sheet_page
from bench.records.record_checks import items
from bench.records.record_text import UNFILLED
from bench.shop.records.deviations import DeviationKind, deviations
from bench.shop.records.hold_points import hold_points
from bench.shop.records.job_record import Sheet
from tests.conftest import MONDAY

BLAST, PRIMER = 2, 3


def inspected(sheet: Sheet) -> Sheet:
    """The same part with a job, and with what an inspector wants measured."""
    readings = [
        ("rust", (), "B", None),
        ("preparation", (), "Sa 2 1/2", BLAST),
        ("profile", (55.0, 60.0), "", BLAST),
        ("crosscut", (1.0,), "", PRIMER),
        ("nozzle", (1.4,), "", PRIMER),
    ]
    measured = tuple(
        Measurement(n, kind, values, MONDAY, "Mo", step=step, grade=grade)
        for n, (kind, values, grade, step) in enumerate(readings, start=1)
    )
    system = PaintSystem((CoatFilm("epoxy primer", 60), CoatFilm("gloss", 50)), None, "C4", "high")
    received = Received(date(2025, 6, 2), "mill scale", None)
    order = Job("TROLLEY 7", "Rowing club", "2025-41", received, system=system)
    return replace(sheet, measured=measured, order=order)


def test_each_item_has_what_is_recorded_and_its_standard_or_says_that_it_is_missing(
    sheet: Sheet,
) -> None:
    bare, found = dict(items(sheet)), dict(items(inspected(sheet)))
    assert [label for label, words in bare.items() if words == UNFILLED] == [
        *("System", "Rust grade", "Preparation", "Zinc", "Profile", "Dust", "Salts", "WFT"),
        *("Cross-cut", "Pull-off", "Nozzle", "Air at gun"),
    ]
    assert found["Received"] == "2025-06-02, mill scale"
    assert found["System"] == "epoxy primer 60 um, gloss 50 um; 110 um in all"
    assert found["Category"].startswith("C4, durability high (ISO 12944")
    assert found["Rust grade"] == "ISO 8501-1: B (before any step)"
    assert found["Preparation"] == "ISO 8501-1: Sa 2 1/2 (Blast to bright metal)"
    assert found["Profile"].startswith("ISO 8503: mean 57.5 um, min 55, max 60 of 2 (Blast")
    assert found["Cross-cut"].startswith("ISO 2409: 1 (Epoxy primer)")
    assert found["Nozzle"].startswith("1.4 mm (Epoxy primer)")
    # 17 C, 60 % and 16 C on the metal: dew point 9.2 C, so 6.8 C (psychrolib: 9.18 C).
    assert found["Air, prep."] == "1 reading, smallest margin 6.8 C"
    order = json.loads(sheet_json(inspected(sheet)))["sheet"]["order"]
    assert (order["in_all_um"], order["corrosivity"], order["condition"]) == (
        110,
        "C4",
        "mill scale",
    )


def test_the_hold_points_quote_their_test_and_say_who_released_them(sheet: Sheet) -> None:
    found = [(point.step, point.held_for, point.outcome, point.by) for point in hold_points(sheet)]
    assert found == [
        (
            "Blast to bright metal",
            'test: "bright all over, no shadow of rust or scale"',
            *("passed", "Kit"),
        ),
        (
            "Epoxy primer",
            'test: "gloved thumb on the coupon: no print, no drag when twisted"',
            *("passed", "Kit"),
        ),
        ("", "on hold: waiting for material", "released", "Mo"),
    ]
    blast = sheet.steps[BLAST - 1]
    plan = replace(blast.plan, measure=("profile",))
    step = replace(blast, record=replace(blast.record, step=plan))
    asked = replace(sheet, steps=tuple(step if each is blast else each for each in sheet.steps))
    first = hold_points(asked)[0]
    assert (first.held_for, first.outcome) == (
        "measured: profile Rz",
        "still to take: profile Rz, 5 readings",
    )


def test_every_kind_of_deviation_is_in_one_list_and_an_override_is_there_once(
    sheet: Sheet,
) -> None:
    entry = LogEntry(
        *(900, MONDAY, "correct", "Mo", "here", "1"),
        text="first face 08:30, was 08:40: pressed late",
        undone=False,
        doubtful=False,
    )
    primer, gloss = sheet.steps[PRIMER - 1], sheet.steps[PRIMER]
    struck = replace(primer.record, status="struck")
    changed = (
        *sheet.steps[: PRIMER - 1],
        replace(primer, record=struck, corrections=(entry,), typed_at=MONDAY + timedelta(days=1)),
        replace(gloss, doubtful=True),
        *sheet.steps[PRIMER + 1 :],
    )
    found = deviations(replace(sheet, steps=changed))
    assert {each.kind for each in found} == set(get_args(DeviationKind)) - {"route"}
    overridden = [each.text for each in found if each.kind == "override"]
    assert len(overridden) == len(set(overridden)) == 4
    words = [f"{each.step}: {each.words}" for each in found]
    assert "Epoxy primer: corrected: first face 08:30, was 08:40: pressed late" in " ".join(words)
    told = " ".join(text(sheet_page(replace(sheet, steps=changed))).split())
    assert "clock wrong: the clock was wrong when some of this was written down" in told
