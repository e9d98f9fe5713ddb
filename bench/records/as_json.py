"""A sheet as JSON: the fields of ``process.partsheet.Sheet`` by name, under a form and a version.

Times are ISO 8601 with the shop's offset from UTC; temperatures in C, amounts in ml, films in um,
as the names say. What is not known is null or empty. The version rises when a field changes its
meaning or goes; a new field does not raise it.
"""

from __future__ import annotations

import json

from pydantic import TypeAdapter

from bench.process.partsheet import Sheet

FORM, VERSION = "paintbench sheet", 1


def sheet_json(sheet: Sheet) -> str:
    """The sheet as JSON in ASCII; the same sheet always gives the same text."""
    told = {
        "form": FORM,
        "version": VERSION,
        "sheet": TypeAdapter(Sheet).dump_python(sheet, mode="json"),
    }
    text = json.dumps(told, indent=2, ensure_ascii=True, allow_nan=False)
    return text.replace("\x7f", "\\u007f") + "\n"
