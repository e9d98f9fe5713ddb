"""The record as JSON: one form, one version, read back without a loss."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from pydantic import TypeAdapter

from bench.process.edges import Edge
from bench.process.partsheet import Sheet
from bench.records.as_json import FORM, NAMES, VERSION, sheet_json
from bench.records.as_text import text
from bench.records.part import sheet_page

from .conftest import typed
from .making import CONTROL, HOSTILE

SIDES = {"opens": "opening", "closes": "closing", "contact": "opening", "full_cure": "opening"}


def read_sheet(told: str) -> Sheet:
    """The sheet by its fields alone, as another program would read it."""
    found = json.loads(told)["sheet"]
    for thing in (found, found["cure"] or {}):
        for name in SIDES.keys() & {ours for ours, theirs in NAMES.items() if theirs in thing}:
            at = thing.pop(NAMES[name])
            thing[name] = at and {"at": at, "side": SIDES[name]}
    return TypeAdapter(Sheet).validate_python(found)


def as_shown(sheet: Sheet) -> Sheet:
    """The sheet with its hours as people see them: more of them is not in the file."""
    hours = {name: _shown(getattr(sheet, name)) for name in ("opens", "closes")}
    cure = sheet.cure and replace(
        sheet.cure, contact=_shown(sheet.cure.contact), full_cure=_shown(sheet.cure.full_cure)
    )
    return replace(sheet, cure=cure, **hours)


def _shown(edge: Edge | None) -> Edge | None:
    return edge and Edge(edge.shown, edge.side)


def test_what_is_read_back_is_the_same_sheet(sheet: Sheet) -> None:
    told = sheet_json(sheet)
    again = read_sheet(told)
    assert again == as_shown(sheet)
    assert sheet_json(again) == told
    assert text(sheet_page(again)) == text(sheet_page(as_shown(sheet)))


@pytest.mark.parametrize("what", [*HOSTILE, *(what for what in CONTROL if what != "surrogate")])
def test_whatever_was_typed_comes_back_as_it_was(sheet: Sheet, what: str) -> None:
    hostile = typed(sheet, {**HOSTILE, **CONTROL}[what])
    told = sheet_json(hostile)
    assert told.isascii()
    assert "\x7f" not in told
    assert read_sheet(told) == as_shown(hostile)


def test_the_form_names_itself_and_keeps_hours_with_their_offset(sheet: Sheet) -> None:
    told = json.loads(sheet_json(sheet))
    assert (told["form"], told["version"]) == (FORM, VERSION)
    assert told["sheet"]["steps"][2]["first_at"] == "2025-06-09T08:40:00+01:00"
    assert told["sheet"]["steps"][2]["mix"]["pours"][0] == {"role": "base", "ml": 240.0}


def test_the_fields_are_those_that_are_documented(sheet: Sheet) -> None:
    told = json.loads(sheet_json(sheet))["sheet"]
    assert list(told) == [
        "written_at",
        "doubtful",
        "tag",
        "name",
        "count",
        "job",
        "owner",
        "substrate",
        "shape",
        "route",
        "stand",
        "last_stand",
        "away",
        "left_at",
        "split_from",
        "merged_into",
        "lots",
        "hold",
        "rework",
        "bungs_in",
        "bungs_out",
        "contacts",
        "contacts_done",
        "state",
        "opens_at",
        "shuts_at",
        "left_to_do",
        "steps",
        "products",
        "defects",
        "notes",
        "cure",
        "corrections",
        "journal",
    ]
    assert list(told["steps"][0]) == [
        "number",
        "name",
        "kind",
        "product",
        "status",
        "first_at",
        "last_at",
        "painters",
        "faces",
        "tests",
        "passed_at",
        "passed_by",
        "reason",
        "flags",
        "tool",
        "mix",
        "tins",
        "readings",
        "corrections",
        "doubtful",
    ]
