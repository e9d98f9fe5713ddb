"""Coats and readings as CSV (RFC 4180), safe to open in a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from bench.process.partsheet import CorrectionTold, MixTold, ReadingTold, Sheet, StepTold
from bench.process.spoken import listed
from bench.records.part import product_name
from bench.records.plain import shown
from bench.records.words import correction_words, iso, pours_words, test_words, tins_words

COATS = [
    "tag",
    "part",
    "count",
    "job",
    "owner",
    "substrate",
    "step",
    "coat",
    "status",
    "product",
    "product_figures_from",
    "tool",
    "first_face",
    "last_face",
    "painters",
    "faces",
    "faces_open",
    "pot",
    "mixed_at",
    "pot_bin_by",
    "pours",
    "batches",
    "air_c_before",
    "rh_pct_before",
    "metal_c_before",
    "dew_point_c_before",
    "margin_c_before",
    "tests",
    "passed_at",
    "passed_by",
    "skipped_because",
    "flags",
    "corrections",
    "clock_doubtful",
]

READINGS = [
    "tag",
    "part",
    "step",
    "coat",
    "when",
    "at",
    "air_c",
    "rh_pct",
    "metal_c",
    "dew_point_c",
    "margin_c",
    "read_by",
    "corrections",
]
"""The columns. Times are ISO 8601 with their offset from UTC, temperatures in C."""

Cell = str | float | int | bool | None

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")  # noqa: RUF001
"""What a spreadsheet takes for the beginning of a formula (source seen: OWASP ASVS 1.2.10), and the
same in full width (common practice, no source)."""


def coats_csv(sheet: Sheet) -> str:
    """One row a coat of the route, also those to come."""
    coats = [step for step in sheet.steps if step.kind == "coat"]
    return _csv(COATS, (_coat(sheet, step) for step in coats))


def readings_csv(sheet: Sheet) -> str:
    """One row a reading beside a coat: the last before it, those at it, those while it dried."""
    return _csv(
        READINGS,
        (
            (
                *(sheet.tag, sheet.name, step.number, step.name, one.when, iso(one.at)),
                *(one.air_c, one.rh_pct, one.metal_c, one.dew_point_c, one.margin_c, one.by),
                "; ".join(correction_words(each) for each in one.corrections),
            )
            for step in sheet.steps
            for one in step.readings
        ),
    )


def _coat(sheet: Sheet, step: StepTold) -> tuple[Cell, ...]:
    before = next((one for one in reversed(step.readings) if one.when == "before"), None)
    product = next((one for one in sheet.products if one.key == step.product), None)
    return (
        *(sheet.tag, sheet.name, sheet.count, sheet.job, sheet.owner, sheet.substrate),
        *(step.number, step.name, step.status, product_name(sheet, step.product)),
        *(product.source if product else "", step.tool, iso(step.first_at), iso(step.last_at)),
        listed(step.painters),
        " ".join(face.name for face in step.faces),
        " ".join(face.name for face in step.faces if face.done_at is None),
        *_pot(step.mix),
        tins_words(step.mix.tins if step.mix else step.tins),
        *_air(before),
        "; ".join(test_words(test) for test in step.tests),
        *(iso(step.passed_at), step.passed_by, step.reason),
        "; ".join(step.flags),
        "; ".join(correction_words(one) for one in _corrections(step)),
        step.doubtful,
    )


def _corrections(step: StepTold) -> Iterator[CorrectionTold]:
    yield from step.corrections
    yield from step.mix.corrections if step.mix else ()


def _pot(mix: MixTold | None) -> tuple[Cell, ...]:
    if mix is None:
        return ("",) * 4
    return (mix.letter, iso(mix.mixed_at), iso(mix.bin_by), pours_words(mix))


def _air(one: ReadingTold | None) -> tuple[Cell, ...]:
    if one is None:
        return ("",) * 5
    return (one.air_c, one.rh_pct, one.metal_c, one.dew_point_c, one.margin_c)


def _csv(heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Every cell between quotes, quotes doubled, lines ended by CR LF (RFC 4180, 2.1, 2.5-2.7)."""
    return "".join(",".join(map(cell, row)) + "\r\n" for row in (heads, *rows))


def cell(value: Cell) -> str:
    """A cell between quotes. A figure of ours stays one; text that a spreadsheet would reckon with
    gets an apostrophe before it.

    >>> cell('=HYPERLINK("x")'), cell(-2.5), cell(None)
    ('"\\'=HYPERLINK(""x"")"', '"-2.5"', '""')
    """
    if value is None:
        return '""'
    if isinstance(value, bool):
        return f'"{"yes" if value else "no"}"'
    if isinstance(value, (int, float)):
        return f'"{value:g}"' if isinstance(value, float) else f'"{value}"'
    guard = "'" if value.startswith(_STARTS_A_FORMULA) else ""
    return '"' + (guard + shown(value)).replace('"', '""') + '"'
