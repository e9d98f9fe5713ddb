"""A sheet as JSON: the fields of ``process.partsheet.Sheet`` by name, under a form and a version.

Times are ISO 8601 with the shop's offset from UTC; temperatures in C, amounts in ml, films in um,
as the names say. What is not known is null or empty. The version rises when a field changes its
meaning or goes; a new field does not raise it.
"""

from __future__ import annotations

import json
from typing import Any

from pydantic import TypeAdapter, ValidationError

from bench.process.partsheet import Sheet

FORM, VERSION = "paintbench sheet", 1


class NotASheet(ValueError):
    """The text is no sheet of this form, or of a version that this program does not know."""


def sheet_json(sheet: Sheet) -> str:
    """The sheet as JSON in ASCII; the same sheet always gives the same text."""
    told = {"form": FORM, "version": VERSION, "sheet": _reader().dump_python(sheet, mode="json")}
    text = json.dumps(told, indent=2, ensure_ascii=True, allow_nan=False)
    return text.replace("\x7f", "\\u007f") + "\n"


def read_sheet(text: str) -> Sheet:
    """The sheet that ``sheet_json`` wrote. Raises NotASheet with what was read."""
    try:
        told: Any = json.loads(text)
    except ValueError as fault:
        raise NotASheet(f"this is no JSON: {fault}") from fault
    found = (told.get("form"), told.get("version")) if isinstance(told, dict) else (None, None)
    if found != (FORM, VERSION):
        raise NotASheet(f"read form {found[0]!r}, version {found[1]!r}; wanted {FORM!r}, {VERSION}")
    try:
        return _reader().validate_python(told.get("sheet"))
    except ValidationError as fault:
        first = fault.errors()[0]
        where = ".".join(str(step) for step in first["loc"])
        raise NotASheet(f"{where}: {first['msg']}") from fault


def _reader() -> TypeAdapter[Sheet]:
    return TypeAdapter(Sheet)
