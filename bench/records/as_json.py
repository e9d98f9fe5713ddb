"""A sheet as JSON: the fields of ``process.partsheet.Sheet`` by name, under a form and a version.

Times are ISO 8601 with the shop's offset from UTC; where something opens or closes, the hour that
the bench shows (``process.edges``). Temperatures in C, amounts in ml, films in um, as the names
say. What is not known is null or empty. The version rises when a field changes its meaning or goes;
a new field does not raise it.
"""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from typing import Any

from pydantic_core import to_jsonable_python

from bench.process.edges import Edge
from bench.process.partsheet import Sheet

FORM, VERSION = "paintbench sheet", 1

NAMES = {
    "opens": "opens_at",
    "closes": "shuts_at",
    "contact": "contact_at",
    "full_cure": "full_cure_at",
}
"""What an edge is called in the file."""


def sheet_json(sheet: Sheet) -> str:
    """The sheet as JSON in ASCII; the same sheet always gives the same text."""
    told = {"form": FORM, "version": VERSION, "sheet": to_jsonable_python(_plain(sheet))}
    text = json.dumps(told, indent=2, ensure_ascii=True, allow_nan=False)
    return text.replace("\x7f", "\\u007f") + "\n"


def _plain(value: Any) -> Any:
    """Dataclasses as dicts, an edge as its shown hour under its name in the file."""
    if isinstance(value, Edge):
        return value.shown
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if is_dataclass(value):
        return {NAMES.get(f.name, f.name): _plain(getattr(value, f.name)) for f in fields(value)}
    return value
