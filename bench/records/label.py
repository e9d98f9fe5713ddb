"""A label for masking tape or a tie-on tag: tag, job, coats, and when it is cured."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from bench.process.partsheet import Sheet
from bench.records.care import day
from bench.records.marks import LABEL_END
from bench.records.plain import folded

WIDTH = 24
"""As many letters as a hand writes across a strip of tape (common practice, no source)."""


def label(sheet: Sheet) -> str:
    """A few lines of at most 24 columns; what is longer is folded, not cut."""
    return "".join(
        line.rstrip() + "\n" for told in _lines(sheet) for line in folded(told, WIDTH, "  ")
    )


def _lines(sheet: Sheet) -> Iterator[str]:
    many = f" x{sheet.count}" if sheet.count > 1 else ""
    yield f"{sheet.tag} {sheet.name}{many}"
    if sheet.job:
        yield sheet.job
    coats = [step.name for step in sheet.done_coats()]
    for name, same in groupby(coats):
        times = len(list(same))
        yield f"{name} x{times}" if times > 1 else name
    if not coats:
        yield "no coat yet"
    yield _cure(sheet)
    yield LABEL_END


def _cure(sheet: Sheet) -> str:
    cure = sheet.cure
    if cure is None:
        return "NOT FINISHED" if sheet.left_to_do else "full cure not known"
    if cure.passed_at is not None:
        return f"CURED {cure.passed_at:%Y-%m-%d} {cure.passed_by}"
    if cure.full_cure is None:
        return "full cure not known"
    return f"FULL CURE ABOUT {day(cure.full_cure.shown)}{cure.full_cure.doubt}"
