"""What was measured, in every form of the job record: readings, figures, instrument, verdict."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from datetime import date, timedelta

import pytest

from bench.process.parts.measurements import Measurement
from bench.process.sheets.measurement_kinds import Accepted
from bench.process.stock.instruments import Instrument
from bench.records.as_csv import MEASURED, measured_csv
from bench.records.as_html import html
from bench.records.as_json import sheet_json
from bench.records.as_text import text
from bench.records.job_record import sheet_page
from bench.shop.records.job_record import Sheet

PRIMER, BLAST = 3, 2
GAUGE = Instrument("G1", "film gauge", "4711", 2.0, date(2025, 1, 5), date(2025, 6, 1))


@pytest.fixture(scope="module")
def measured(sheet: Sheet) -> Sheet:
    """Its primer read in two sets, one struck; salts, of which the route wants at most 5."""
    at = sheet.steps[PRIMER - 1].record.last_at
    assert at is not None
    at += timedelta(minutes=30)
    films = [
        Measurement(1, "dft", (62, 64, 66), at, "Kit", PRIMER, "L", instrument="G1"),
        Measurement(2, "dft", (40,), at, "Mo", PRIMER, "R", instrument="G1"),
        Measurement(3, "dft", (900,), at, "Mo", PRIMER, struck=True),
        Measurement(4, "salts", (7.5,), at, "Mo", BLAST),
        Measurement(5, "zinc", (85,), at, "Mo"),
    ]
    blast = sheet.steps[BLAST - 1]
    plan = replace(blast.plan, accept=(Accepted("salts", 0, 5),), measure=("profile",))
    record = replace(blast.record, step=plan)
    steps = [replace(s, record=record) if s is blast else s for s in sheet.steps]
    part = replace(sheet.part, steps=tuple(s.record for s in steps))
    return replace(
        sheet, part=part, steps=tuple(steps), measured=tuple(films), instruments={"G1": GAUGE}
    )


def test_the_page_says_readings_figures_instrument_verdict_and_deviations(measured: Sheet) -> None:
    told = " ".join(text(sheet_page(measured)).split())
    for fact in (
        "DFT 62 64 66 um, face L, with G1 (calibrated 2025-01-05) [1, Kit, 2025-06-09 09:35]",
        "INSTRUMENTS G1 (film gauge, no. 4711, error 2 um, calibrated 2025-01-05, check due 2025-",
        "DFT 900 um [3, Mo, 2025-06-09 09:35] (struck out)",
        "Readings DFT (ISO 2808): mean 58 um, min 40, max 66 of 4; not accepted by ISO 19840, if "
        "agreed, by a placeholder: mean 58 um below 60 um; 40 um below 48 um, 80 % of nominal",
        "over 30 %; take 1 more reading Test",
        "Before any step Measured zinc thickness 85 um [5, Mo",
        "; outside its limits: 7.5, wanted at most 5 uS/cm",
        "DEVIATIONS",
        "Blast to bright metal salts: outside its limits",
        "not measured: profile Rz, 5 readings",
        "Epoxy primer DFT: not accepted by ISO 19840",
        "Epoxy primer G1: its check was due 2025-06-01",
    ):
        assert fact in told, fact
    assert "min 40, max 66 of 4" in html(sheet_page(measured), "Job record")


def test_a_reading_is_a_row_and_what_all_of_them_come_to_stands_beside_it(measured: Sheet) -> None:
    rows = list(csv.DictReader(io.StringIO(measured_csv(measured), newline=""), strict=True))
    assert list(rows[0]) == list(MEASURED)
    assert [row["reading"] for row in rows] == ["85", "7.5", "62", "64", "66", "40", "900"]
    film = rows[2]
    assert (film["face"], film["mean"], film["min"], film["max"], film["readings"]) == (
        *("L", "58", "40", "66"),
        "4",
    )
    assert (film["instrument"], film["calibrated"]) == ("G1", "2025-01-05")
    assert film["verdict"].startswith("not accepted by ISO 19840")
    assert [row["struck"] for row in rows][-1] == "yes"


def test_a_program_reads_the_same(measured: Sheet) -> None:
    told = json.loads(sheet_json(measured))["sheet"]
    (film,) = told["steps"][PRIMER - 1]["measured"]
    assert (film["kind"], film["unit"], film["count"], film["mean"]) == ("dft", "um", 4, 58.0)
    assert (film["least"], film["most"], film["accepted"], film["still_to_take"]) == (
        40,
        66,
        False,
        1,
    )
    assert [each["readings"] for each in film["sets"]] == [[62, 64, 66], [40], [900]]
    assert told["measured_before"][0]["verdict"] == "no limit typed"
    assert told["instruments"][0]["calibrated"] == "2025-01-05"
    due = {"step": "Epoxy primer", "what": "G1: its check was due 2025-06-01", "kind": "limit"}
    assert any(due.items() <= each.items() for each in told["deviations"])
