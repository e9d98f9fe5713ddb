"""The record as JSON: one form, one version, read back without a loss."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from pydantic import TypeAdapter

from bench.process.actions.test_opinions import Opinion
from bench.process.clocks.temperature import Reading
from bench.process.parts.log_entry import LogEntry
from bench.process.parts.part import StepRecord
from bench.records.as_json import FORM, VERSION, sheet_json
from bench.shop.records.job_record import Sheet

from .conftest import typed
from .making import CONTROL, HOSTILE

TEXTS = {
    *("tag", "name", "job", "owner", "substrate", "shape", "route", "split_from", "merged_into"),
    *("hold", "rework", "painters", "by", "passed_by", "reason", "flags", "role"),
    *("letter", "product", "text", "action", "terminal", "tool", "test"),
    *("face", "grade", "instrument", "surface", "step", "what", "test_named", "colour", "issued"),
}
"""The fields of this sheet that hold what somebody typed, or a name."""


def read(kind: type, told: dict[str, Any], **more: Any) -> Any:
    """A value by its fields alone, as another program would read it."""
    return TypeAdapter(kind).validate_python({**told, **more})


def texts(value: Any, name: str = "") -> Iterator[tuple[str, str]]:
    """Each text with the name of its field."""
    if isinstance(value, str):
        yield name, value
    elif isinstance(value, dict):
        for key, one in value.items():
            yield from texts(one, key)
    elif isinstance(value, list):
        for one in value:
            yield from texts(one, name)


def test_what_is_read_back_is_what_the_bench_knows(sheet: Sheet) -> None:
    told = json.loads(sheet_json(sheet))["sheet"]
    for step, there in zip(sheet.steps, told["steps"], strict=True):
        plan = vars(step.plan) | {what: there[what] for what in ("name", "kind", "product")}
        record = read(StepRecord, there, step=plan, marks=there["faces"])
        assert record == replace(step.record, not_before=None)
        tests = [read(Opinion, test, painter=test["by"]) for test in there["tests"]]
        assert tests == list(step.tests)
        readings = [read(Reading, reading) for reading in there["readings"]]
        assert readings == [one.reading for one in step.readings]
    lines = [read(LogEntry, line, painter=line["by"]) for line in told["journal"]]
    assert lines == list(sheet.journal)
    assert told["state"] == sheet.state.word
    assert told["opens_at"] == (sheet.state.opens and sheet.state.opens.shown.isoformat())


@pytest.mark.parametrize("what", [*HOSTILE, *(what for what in CONTROL if what != "surrogate")])
def test_whatever_was_typed_comes_back_as_it_was(sheet: Sheet, what: str) -> None:
    text = {**HOSTILE, **CONTROL}[what]
    told = sheet_json(typed(sheet, text))
    assert told.isascii()
    assert "\x7f" not in told
    assert {name for name, there in texts(json.loads(told)["sheet"]) if there == text} == TEXTS


def test_the_form_names_itself_and_keeps_hours_with_their_offset(sheet: Sheet) -> None:
    told = json.loads(sheet_json(sheet))
    assert (told["form"], told["version"]) == (FORM, VERSION)
    assert told["sheet"]["steps"][2]["first_at"] == "2025-06-09T08:40:00+01:00"
    assert told["sheet"]["steps"][2]["pots"][0]["pours"][0] == {"role": "base", "ml": 240.0}
