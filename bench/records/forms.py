"""The forms a part's sheet is written in, their marks, and writing them as files."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from bench.process.refusals.refusal import Refusal
from bench.records.as_csv import SPREADSHEET, coats_csv, measured_csv, readings_csv
from bench.records.as_html import html
from bench.records.as_ical import HEAD, ical
from bench.records.as_json import sheet_json
from bench.records.as_markdown import markdown
from bench.records.as_text import text
from bench.records.blocks import Page, headed
from bench.records.care_page import care_page
from bench.records.job_page import job_blocks, job_json
from bench.records.job_record import sheet_page
from bench.records.label import (
    LABEL_END,
    SVG_START,
    ZPL_START,
    label,
    label_html,
    label_svg,
    label_zpl,
)
from bench.shop.data import output_files
from bench.shop.data.output_files import ProtectedFiles, Same
from bench.shop.queries.lookahead import NOTHING_AHEAD, UpcomingEvents
from bench.shop.records.job_page import JobPage
from bench.shop.records.job_record import Sheet
from bench.shop.settings.paper import Paper


@dataclass(frozen=True)
class Form:
    """Hold one form of a job record. ends: how its file's name ends."""

    ends: str
    write: Callable[[Sheet, Paper], str]


def _printed(page: Callable[[Sheet], Page], title: str) -> Callable[[Sheet, Paper], str]:
    def write(sheet: Sheet, paper: Paper) -> str:
        return html(page(sheet), f"{title}, tag {sheet.part.tag} {sheet.part.name}", paper)

    return write


def _data(write: Callable[[Sheet], str]) -> Callable[[Sheet, Paper], str]:
    """What no paper changes."""
    return lambda sheet, _: write(sheet)


FORMS: dict[str, Form] = {
    "text": Form(".txt", lambda sheet, paper: text(headed(sheet_page(sheet), paper.letterhead))),
    "md": Form(".md", lambda sheet, paper: markdown(headed(sheet_page(sheet), paper.letterhead))),
    "html": Form(".html", _printed(sheet_page, "Job record")),
    "csv": Form("-coats.csv", _data(coats_csv)),
    "readings": Form("-readings.csv", _data(readings_csv)),
    "measured": Form("-measured.csv", _data(measured_csv)),
    "json": Form(".json", _data(sheet_json)),
    "care": Form(
        "-care.txt", lambda sheet, paper: text(headed(care_page(sheet), paper.letterhead))
    ),
    "care-html": Form("-care.html", _printed(care_page, "Care")),
    "label": Form("-label.txt", _data(label)),
    "label-html": Form("-label.html", lambda sheet, paper: label_html(sheet, paper.shop)),
    "label-svg": Form("-label.svg", lambda sheet, paper: label_svg(sheet, paper.shop)),
    "label-zpl": Form("-label.zpl", lambda sheet, paper: label_zpl(sheet, paper.shop)),
}
"""Every form by its name; the help of ``paintbench sheet`` says what each is."""

FOR_SPREADSHEETS: dict[str, Callable[[Sheet], str]] = {
    "csv": lambda sheet: coats_csv(sheet, SPREADSHEET),
    "readings": lambda sheet: readings_csv(sheet, SPREADSHEET),
    "measured": lambda sheet: measured_csv(sheet, SPREADSHEET),
}
"""The forms that there are for spreadsheets too, where a comma is the decimal sign."""


JOB_FORMS: dict[str, Callable[[JobPage, Paper], str]] = {
    "text": lambda page, paper: text(headed(job_blocks(page), paper.letterhead)),
    "md": lambda page, paper: markdown(headed(job_blocks(page), paper.letterhead)),
    "html": lambda page, paper: html(job_blocks(page), f"Job page, job {page.job.name}", paper),
    "json": lambda page, _: job_json(page),
}
"""Every form of a job's page by its name."""


_WRITTEN = r"written \d{4}-\d\d-\d\d \d\d:\d\d\n={79}\n"
_MARKS = (
    re.compile(r'\{\s*"form": "paintbench [a-z]+"'),
    re.compile(re.escape(HEAD)),
    re.compile(r'\ufeff?"tag"[,;]"part"[,;][a-z0-9_",;]+\r\n'),
    re.compile(re.escape(SVG_START)),
    re.compile(re.escape(ZPL_START)),
    re.compile(r"# [A-Z ]+, (?:tag|job) "),
    re.compile(rf"[A-Z ]+, (?:tag|job) (?=(?s:.{{1,160}})\s{_WRITTEN})"),
    re.compile(rf"[A-Z ]+ (?={_WRITTEN})"),
    re.compile(r"HAND-OVER  [A-Z][a-z]{2} \d\d "),
    re.compile(r"<!DOCTYPE html>\n(?:<.*>\n){4}<title>[A-Za-z -]+, (?:tag|job|written) "),
)
"""Of JSON, iCalendar, CSV, two labels, Markdown, three kinds of text, and HTML."""


def mark_of(text: str) -> str:
    """Give what tells a form of ours from any other; nothing where it is none of them.

    text: a whole file, or its first 4,096 bytes: a label, 24 columns wide, is shorter.

    >>> mark_of('"tag","part"\\r\\n') == "", mark_of("my own notes")
    (True, '')
    """
    if text.endswith(f"\n{LABEL_END}\n"):
        return LABEL_END
    match = next(filter(None, (mark.match(text) for mark in _MARKS)), None)
    return match[0] if match else ""


def file_stem(tag: str, what: str = "tag") -> str:
    """Name the files of a tag, or of a job: letters and figures; anything else by its number.

    >>> file_stem("4b"), file_stem("../x")
    ('tag-4b', 'tag-_2e_2e_2fx')
    """
    plain = "".join(c if c.isascii() and c.isalnum() else f"_{ord(c):x}" for c in tag)
    return f"{what}-{plain}"


def write_file(
    path: Path, content: str | bytes, protected: ProtectedFiles, *, force: bool | None = None
) -> Refusal | None:
    """Write one form as a file; over an earlier file of the same form (``mark_of``) only.

    content: bytes of a PDF, whose beginning does not say whose it is: it is written over nothing
    without force.
    force: as of ``output_files.write_file``. Answers why it could not be written, None where it
    was.
    """
    return output_files.write_file(path, content, protected, _like(content), force=force)


def write_calendar(
    path: Path, events: UpcomingEvents, protected: ProtectedFiles, *, force: bool | None = None
) -> Refusal | None:
    """Write a calendar over the earlier one, whose events that went since are cancelled in it.

    Answers as ``write_file``; that nothing is ahead and nothing went is a refusal too.
    """
    content = ical(events, output_files.earlier_text(path, protected, _like(HEAD)))
    return write_file(path, content, protected, force=force) if content else NOTHING_AHEAD


def write_all(
    folder: Path, sheet: Sheet, protected: ProtectedFiles, paper: Paper
) -> tuple[Path, ...] | Refusal:
    """Write every form of a sheet into a folder; answers the files' paths.

    None is written where a file that is there stands in the way of one.
    """
    stem = file_stem(sheet.part.tag)
    forms = {folder / f"{stem}{form.ends}": form.write(sheet, paper) for form in FORMS.values()}
    return _write_each(forms, protected)


def write_job_files(
    folder: Path, page: JobPage, protected: ProtectedFiles, paper: Paper
) -> tuple[Path, ...] | Refusal:
    """Write every form of a job's page into a folder, as ``write_all`` does those of a sheet."""
    stem = file_stem(page.job.name, "job")
    ends = {"text": "txt"}
    forms = {
        folder / f"{stem}.{ends.get(form, form)}": write(page, paper)
        for form, write in JOB_FORMS.items()
    }
    return _write_each(forms, protected)


def _write_each(forms: Mapping[Path, str], protected: ProtectedFiles) -> tuple[Path, ...] | Refusal:
    for path, content in forms.items():
        if refused := output_files.may_write(path, protected, _like(content)):
            return refused
    for path, content in forms.items():
        if refused := write_file(path, content, protected):
            return refused
    return tuple(forms)


def _like(content: str | bytes) -> Same:
    """Knows the beginning of a file by the form of what must be written."""
    if isinstance(content, bytes):
        return lambda _: False
    return lambda head: mark_of(head) == mark_of(content) != ""
