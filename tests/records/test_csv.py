"""Coats and readings as CSV: RFC 4180 (source seen), and nothing a spreadsheet would reckon with
(source seen: OWASP ASVS 1.2.10)."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable

import pytest

from bench.records.as_csv import COATS, READINGS, SPREADSHEET, cell, coats_csv, readings_csv
from bench.records.forms import mark_of
from bench.records.plain_text import plain
from bench.shop.records.job_record import Sheet

from .conftest import typed
from .making import CONTROL, HOSTILE

FIGURE = re.compile(r"-?[0-9.]+(e[+-]?[0-9]+)?")


def rows(told: str) -> list[dict[str, str]]:
    """The rows by their heads, read strictly."""
    return list(csv.DictReader(io.StringIO(told, newline=""), strict=True))


def test_every_record_is_one_line_that_ends_in_cr_lf(sheet: Sheet) -> None:
    for told, heads in ((coats_csv(sheet), COATS), (readings_csv(sheet), READINGS)):
        lines = told.split("\r\n")
        assert lines.pop() == ""
        assert not any("\r" in line or "\n" in line for line in lines)
        cells = list(csv.reader(io.StringIO(told, newline=""), strict=True))
        assert cells[0] == list(heads)
        assert {len(row) for row in cells} == {len(heads)}


def test_a_coat_is_a_row_with_its_faces_pot_air_and_flags(sheet: Sheet) -> None:
    coats = rows(coats_csv(sheet))
    assert [row["coat"] for row in coats] == [
        "Epoxy primer",
        "Two-pack gloss 1",
        "Two-pack gloss 2",
    ]
    primer = coats[0]
    assert primer["first_face"] == "2025-06-09T08:40:00+01:00"
    assert primer["last_face"] == "2025-06-09T09:05:00+01:00"
    assert (primer["pot"], primer["pours"][:12]) == ("A", "base 240 ml,")
    assert primer["data_sheet"] == primer["pot_data_sheet"] == "placeholder as of Mon 9 Jun 2025"
    assert (coats[2]["data_sheet"], coats[2]["pot_data_sheet"]) == ("", "")
    assert (primer["metal_c_before"], primer["margin_c_before"]) == ("16", "6.8")
    assert (primer["came_out"], primer["wet_um"], primer["dry_um"]) == ("thin", "", "50")
    assert "tested on the coupon" in coats[1]["flags"]
    assert coats[2]["came_out"] == ""
    assert (coats[2]["status"], coats[2]["faces_open"]) == ("todo", "A B EDGE")


def test_a_reading_is_a_row_beside_its_coat(sheet: Sheet) -> None:
    blasting, *read = rows(readings_csv(sheet))
    assert (blasting["step"], blasting["when"]) == ("2", "working")
    assert [row["when"] for row in read][:3] == ["before", "spraying", "drying"]
    assert read[1]["at"] == "2025-06-09T08:50:00+01:00"
    assert (read[1]["dew_point_c"], read[1]["margin_c"]) == ("12.9", "2.1")
    assert read[3]["metal_c"] == ""


@pytest.mark.parametrize("what", [*HOSTILE, *CONTROL])
def test_nothing_typed_is_taken_for_a_formula_and_all_of_it_is_there(
    sheet: Sheet, what: str
) -> None:
    text = {**HOSTILE, **CONTROL}[what]
    hostile = typed(sheet, text)
    for told in (coats_csv(hostile), readings_csv(hostile)):
        found = list(csv.reader(io.StringIO(told, newline=""), strict=True))
        for value in (value for row in found for value in row):
            assert not value.startswith(("=", "+", "@", "\t", "\r", "\n"))
            assert not value.startswith("-") or FIGURE.fullmatch(value)
        assert any(plain(text) in value for row in found for value in row)


def test_a_figure_below_nought_stays_a_figure_and_a_name_does_not_become_one() -> None:
    assert cell(-2.5) == '"-2.5"'
    assert cell("-2.5") == '"\'-2.5"'
    assert cell("＝1") == '"\'＝1"'  # noqa: RUF001


@pytest.mark.parametrize("write", [coats_csv, readings_csv])
@pytest.mark.parametrize("text", ["", *HOSTILE.values(), "a;b", "1,5", '";"'])
def test_a_spreadsheet_s_file_reads_back_to_the_same_cells(
    sheet: Sheet, write: Callable[..., str], text: str
) -> None:
    given = typed(sheet, text) if text else sheet
    plain_cells = list(csv.reader(io.StringIO(write(given), newline=""), strict=True))
    raw = write(given, SPREADSHEET).encode()
    assert raw.startswith(b"\xef\xbb\xbf")
    told = io.StringIO(raw.decode("utf-8-sig"), newline="")
    cells = list(csv.reader(told, delimiter=";", strict=True))
    figures = 0
    for row, other in zip(plain_cells, cells, strict=True):
        for one, there in zip(row, other, strict=True):
            if there != one:
                assert FIGURE.fullmatch(one)
                assert there == one.replace(".", ",")
                figures += 1
    assert figures or text
    assert mark_of(raw.decode())
