"""The forms a part's sheet is written in, and writing a file so that it is whole or not there."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from bench.process.partsheet import Sheet
from bench.process.refusal import Refusal
from bench.records.as_csv import coats_csv, readings_csv
from bench.records.as_html import html
from bench.records.as_markdown import markdown
from bench.records.as_text import text
from bench.records.blocks import Page
from bench.records.care import care_page
from bench.records.label import label
from bench.records.part import sheet_page


@dataclass(frozen=True)
class Form:
    """One form of a sheet. ends: how its file's name ends."""

    told: str
    ends: str
    write: Callable[[Sheet], str]


def _printed(page: Callable[[Sheet], Page], what: str) -> Callable[[Sheet], str]:
    return lambda sheet: html(page(sheet), f"{what}, tag {sheet.tag} {sheet.name}")


def _json(sheet: Sheet) -> str:
    from bench.records.as_json import sheet_json  # the reader of it takes a while to make

    return sheet_json(sheet)


FORMS: dict[str, Form] = {
    "text": Form("plain text, 79 columns", ".txt", lambda sheet: text(sheet_page(sheet))),
    "md": Form("Markdown", ".md", lambda sheet: markdown(sheet_page(sheet))),
    "html": Form("a page to print", ".html", _printed(sheet_page, "Paint sheet")),
    "csv": Form("its coats as CSV", "-coats.csv", coats_csv),
    "readings": Form("the air beside its coats as CSV", "-readings.csv", readings_csv),
    "json": Form("everything, for programs", ".json", _json),
    "care": Form("the owner's page, as text", "-care.txt", lambda sheet: text(care_page(sheet))),
    "care-html": Form("the owner's page to print", "-care.html", _printed(care_page, "Care")),
    "label": Form("a label of 24 columns", "-label.txt", label),
}
"""Every form by its name."""


def file_stem(tag: str) -> str:
    """What the files of a tag are called: letters and figures; anything else by its number.

    >>> file_stem("4b"), file_stem("../x")
    ('tag-4b', 'tag-_2e_2e_2fx')
    """
    plain = "".join(c if c.isascii() and c.isalnum() else f"_{ord(c):x}" for c in tag)
    return f"tag-{plain}"


def write_file(path: Path, told: str) -> Refusal | None:
    """Write a file whole, or leave what was there; why not where it cannot be written."""
    try:
        path = path.resolve()
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and not path.is_file():
            _write(path, told, "w")  # a printer or a pipe: there is nothing to leave as it was
            return None
        part = path.with_name(f".{path.name[:40]}.{os.getpid()}")
        try:
            _write(part, told, "x")
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        return Refusal("the file cannot be written", f"{path}: {why}", "name another place")
    return None


def _write(path: Path, told: str, mode: Literal["w", "x"]) -> None:
    with path.open(mode, encoding="utf-8", errors="backslashreplace", newline="") as out:
        out.write(told)
        out.flush()
        if mode == "x":
            os.fsync(out.fileno())


def write_all(folder: Path, sheet: Sheet) -> tuple[Path, ...] | Refusal:
    """Every form of a sheet into a folder; the files' paths."""
    written = []
    for form in FORMS.values():
        path = folder / f"{file_stem(sheet.tag)}{form.ends}"
        refused = write_file(path, form.write(sheet))
        if refused is not None:
            return refused
        written.append(path)
    return tuple(written)
