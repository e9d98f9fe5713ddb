"""The record to print: one file, no script, nothing fetched, whatever was typed only text."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest

from bench.records.as_html import html
from bench.records.care_page import care_page
from bench.records.job_record import sheet_page
from bench.records.plain_text import plain
from bench.shop.records.job_record import Sheet

from .conftest import typed
from .making import CONTROL, HOSTILE

ELEMENTS = {
    *("html", "head", "meta", "title", "style", "body", "header", "section", "h1", "h2", "h3"),
    *("p", "table", "thead", "tbody", "tr", "th", "td", "div", "bdi"),
    *("figure", "svg", "desc", "path", "rect", "circle", "text"),
}
ATTRIBUTES = {
    *("lang", "charset", "name", "content", "class", "scope"),
    *("role", "aria-labelledby", "id", "viewbox", "font-size", "fill", "stroke", "stroke-width"),
    *("d", "x", "y", "width", "height", "cx", "cy", "r", "text-anchor", "stroke-dasharray"),
}
EMPTY = {"meta"}


class Reader(HTMLParser):
    """Takes the file apart and minds that every element is closed where it should be."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in ELEMENTS, tag
        assert {name for name, _ in attrs} <= ATTRIBUTES, attrs
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1:] != ["style"]:
            self.text.append(data)


def read(told: str) -> str:
    """The text of the file, all of it."""
    reader = Reader()
    reader.feed(told)
    reader.close()
    assert reader.open == []
    return "\n".join(reader.text)


@pytest.mark.parametrize("what", [*HOSTILE, *CONTROL])
def test_whatever_was_typed_is_only_text(sheet: Sheet, what: str) -> None:
    text = {**HOSTILE, **CONTROL}[what]
    hostile = typed(sheet, text)
    for page in (sheet_page(hostile), care_page(hostile)):
        told = html(page, f"Tag {hostile.part.tag}")
        assert told.isascii()
        assert plain(text) in read(told)


def test_nothing_is_fetched_and_nothing_runs(sheet: Sheet) -> None:
    told = html(sheet_page(sheet), "Tag 1")
    assert not re.search(r"(?i)<script|<link|<img|<iframe|url\(|@import|https?:|src=|href=", told)
    # HTML Living Standard, 4.2.5.4 (from memory): the character set within the first 1024 bytes.
    assert '<meta charset="utf-8">' in told[:1024]


def test_it_says_how_it_is_to_be_printed(sheet: Sheet) -> None:
    told = html(sheet_page(sheet), "Tag 1")
    for rule in ("@page { size: A4;", "counter(page)", "table-header-group", "break-inside: avoid"):
        assert rule in told


def test_letters_that_run_from_the_right_keep_to_themselves(sheet: Sheet) -> None:
    told = html(sheet_page(typed(sheet, "שלום")), "Tag 1")
    assert "<bdi>&#1513;&#1500;&#1493;&#1501;</bdi>" in told


CHROMIUM = shutil.which("chromium")


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this computer: nothing to print with")
def test_it_prints_on_a4_and_every_step_is_on_paper(sheet: Sheet, tmp_path: Path) -> None:
    page = tmp_path / "sheet.html"
    page.write_text(html(sheet_page(sheet), "Tag 1"), encoding="ascii")
    paper = tmp_path / "sheet.pdf"
    subprocess.run(
        [
            *(str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic"),
            *("--no-first-run", "--disable-background-networking", "--disable-component-update"),
            *("--disable-sync", f"--user-data-dir={tmp_path / 'profile'}"),
            *("--no-pdf-header-footer", f"--print-to-pdf={paper}", page.as_uri()),
        ],
        check=True,
        capture_output=True,
        timeout=120,
        env={**os.environ, "HOME": str(tmp_path)},
    )
    raw = paper.read_bytes()
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", raw)
    # ISO 216 A4 is 210 x 297 mm: 595.3 x 841.9 points.
    assert boxes
    assert {(round(float(w)), round(float(h))) for w, h in boxes} <= {(595, 842), (596, 842)}
    assert 2 <= len(boxes) <= 6
