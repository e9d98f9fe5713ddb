"""Coats and readings as CSV (RFC 4180), safe to open in a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from bench.process.parts.measurements import mean_of
from bench.process.parts.part import StepRecord
from bench.process.sheets.measurement_kinds import KINDS
from bench.process.wording.time_text import join_names
from bench.records.job_record import product_name
from bench.records.plain_text import plain
from bench.records.record_text import (
    correction_words,
    iso,
    judgement_words,
    pours_words,
    test_words,
    tins_words,
    version_words,
)
from bench.shop.records.job_record import Sheet, SheetPot, SheetReading, SheetStep, SheetVersion

COATS = (
    *("tag", "part", "count", "job", "owner", "substrate"),
    *("step", "coat", "status", "product", "product_figures_from", "data_sheet", "tool"),
    *("first_face", "last_face", "painters", "faces", "faces_open"),
    *("came_out", "wet_um", "dry_um"),
    *("pot", "mixed_at", "pot_bin_by", "pours", "pot_data_sheet", "batches"),
    *("air_c_before", "rh_pct_before", "metal_c_before", "dew_point_c_before", "margin_c_before"),
    *("tests", "passed_at", "passed_by", "skipped_because", "flags", "corrections"),
    *("clock_doubtful", "typed_later_at"),
)

READINGS = (
    *("tag", "part", "step", "coat", "when", "at"),
    *("air_c", "rh_pct", "metal_c", "dew_point_c", "margin_c", "read_by", "corrections"),
)

MEASURED = (
    *("tag", "part", "step", "coat", "kind", "unit", "method", "face", "reading", "less_um"),
    *("class_or_word", "instrument", "instrument_number", "instrument_error", "calibrated"),
    *("read_by", "at", "struck", "readings", "mean", "min", "max", "verdict"),
)
"""The columns. Times are ISO 8601 with their offset from UTC, temperatures in C, films in um."""

Cell = str | float | int | bool | None


@dataclass(frozen=True)
class CsvStyle:
    """How cells are kept apart. mark: what begins the file, such as a byte-order mark."""

    separator: str = ","
    decimal_sign: str = "."
    mark: str = ""


PLAIN = CsvStyle()
SPREADSHEET = CsvStyle(";", ",", "\ufeff")
"""As spreadsheets open it where a comma is the decimal sign; the mark tells them it is UTF-8."""

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")  # noqa: RUF001
"""What a spreadsheet takes for the beginning of a formula (source seen: OWASP ASVS 1.2.10), and the
same in full width (common practice, no source)."""


def coats_csv(sheet: Sheet, style: CsvStyle = PLAIN) -> str:
    """Write one row a coat of the route, also those to come."""
    coats = [step for step in sheet.steps if step.plan.kind == "coat"]
    return _csv(COATS, (_coat(sheet, step) for step in coats), style)


def readings_csv(sheet: Sheet, style: CsvStyle = PLAIN) -> str:
    """Write a row a reading beside a coat: the last before it, those at it, those as it dried."""
    rows = (_reading(sheet, step, read) for step in sheet.steps for read in step.readings)
    return _csv(READINGS, rows, style)


def measured_csv(sheet: Sheet, style: CsvStyle = PLAIN) -> str:
    """Write a row a reading of what was measured; the figures of all of its kind beside it."""
    records: list[StepRecord | None] = [None, *(step.record for step in sheet.steps)]
    rows = (row for record in records for row in _measured(sheet, record))
    return _csv(MEASURED, rows, style)


def _measured(sheet: Sheet, record: StepRecord | None) -> Iterator[tuple[Cell, ...]]:
    judgements = sheet.judgements(record)
    step = (record.number, record.step.name) if record is not None else ("", "")
    for each in sheet.measured_at(record.number if record is not None else None):
        kind, instrument = KINDS[each.kind], sheet.instruments.get(each.instrument)
        judgement, values = judgements.get(each.kind, (None, []))
        of_all: tuple[Cell, ...] = ("", "", "", "", "")
        if judgement is not None:
            figures = (len(values), mean_of(values), min(values), max(values))
            of_all = (*figures, judgement_words(judgement))
        about: tuple[Cell, ...] = ("", "", "")
        if instrument is not None:
            calibrated = instrument.calibrated.isoformat() if instrument.calibrated else ""
            about = (instrument.number, instrument.error, calibrated)
        for reading in each.readings or (None,):
            yield (
                *(sheet.part.tag, sheet.part.name, *step, kind.name, kind.unit, kind.method),
                *(each.face, reading, each.less_um, each.grade, each.instrument, *about),
                *(each.painter, iso(each.at), each.struck, *of_all),
            )


def _reading(sheet: Sheet, step: SheetStep, read: SheetReading) -> tuple[Cell, ...]:
    return (
        *(sheet.part.tag, sheet.part.name, step.record.number, step.plan.name),
        *(read.when, iso(read.reading.at)),
        *_air(read),
        read.by,
        "; ".join(map(correction_words, read.corrections)),
    )


def _coat(sheet: Sheet, step: SheetStep) -> tuple[Cell, ...]:
    part, record, plan = sheet.part, step.record, step.plan
    before = next((read for read in reversed(step.readings) if read.when == "before"), None)
    product = sheet.products.get(plan.product)
    corrections = (*step.corrections, *(c for pot in step.pots for c in pot.corrections))
    return (
        *(part.tag, part.name, part.count, part.job, part.owner, part.substrate),
        *(record.number, plan.name, record.status, product_name(sheet, plan.product)),
        *(
            product.source_of() if product else "",
            _version(step.version),
            sheet.tool_of(step),
        ),
        *(iso(record.first_at), iso(record.last_at)),
        join_names(record.painters),
        " ".join(face.name for face in record.marks),
        " ".join(face.name for face in record.open_marks()),
        *(record.weight if record.last_at else "", record.wet_um, record.dry_um),
        *_pots(step.pots),
        "; ".join(tins_words(pot.tins) for pot in step.pots) or tins_words(step.tins),
        *_air(before),
        "; ".join(map(test_words, step.tests)),
        *(iso(record.passed_at), record.passed_by, record.reason),
        "; ".join(record.flags),
        "; ".join(map(correction_words, corrections)),
        *(step.doubtful, iso(step.typed_at)),
    )


def _pots(pots: Sequence[SheetPot]) -> tuple[Cell, ...]:
    """Letter, hours, pours and sheet; of several pots each, in the order they were used."""
    cells = [
        (
            f"{mix.pot.letter} ({' '.join(mix.faces)})" if mix.faces else mix.pot.letter,
            *(iso(mix.pot.mixed_at), iso(mix.pot.bin_by)),
            *(pours_words(mix), _version(mix.version)),
        )
        for mix in pots
    ]
    return tuple(map("; ".join, zip(*cells, strict=True))) or ("",) * 5


def _version(version: SheetVersion | None) -> str:
    return version_words(version) if version else ""


def _air(read: SheetReading | None) -> tuple[Cell, ...]:
    if read is None:
        return ("",) * 5
    figures = read.reading
    return (figures.air_c, figures.rh_pct, figures.metal_c, read.dew_point_c, read.margin_c)


def _csv(heads: Sequence[str], rows: Iterable[Sequence[Cell]], style: CsvStyle) -> str:
    """Put every cell in quotes, quotes doubled, lines ended by CR LF (RFC 4180, 2.1, 2.5-2.7)."""
    lines = (style.separator.join(cell(each, style) for each in row) for row in (heads, *rows))
    return style.mark + "".join(f"{line}\r\n" for line in lines)


def cell(value: Cell, style: CsvStyle = PLAIN) -> str:
    """Put a cell in quotes. A figure of ours stays one; text that a spreadsheet would take for
    a formula gets an apostrophe before it.

    >>> cell('=HYPERLINK("x")'), cell(-2.5), cell(None)
    ('"\\'=HYPERLINK(""x"")"', '"-2.5"', '""')
    """
    if value is None:
        return '""'
    if isinstance(value, bool):
        return f'"{"yes" if value else "no"}"'
    if isinstance(value, (int, float)):
        figures = f"{value:g}" if isinstance(value, float) else f"{value}"
        return f'"{figures.replace(".", style.decimal_sign)}"'
    guard = "'" if value.startswith(_STARTS_A_FORMULA) else ""
    return '"' + (guard + plain(value)).replace('"', '""') + '"'
