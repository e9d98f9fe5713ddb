"""What of a part did not go as its route and the data sheets have it, as one list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bench.process.parts.log_entry import LogEntry
from bench.process.parts.measurements import deviations_of
from bench.process.parts.part import ALREADY_DONE, StepRecord
from bench.process.stock.instruments import due_words
from bench.process.wording.time_text import date_words, join_names
from bench.shop.queries.log import route_changes
from bench.shop.records.job_record import Sheet, SheetStep

DeviationKind = Literal[
    "override",
    "limit",
    "skipped",
    "rework",
    "typed later",
    "corrected",
    "clock wrong",
    "route",
]

OVERRIDDEN = "override: "
"""Before each rule that was overridden, in the text of a log entry and in a step's flags."""

BEFORE_ANY = "Before any step"


@dataclass(frozen=True)
class Deviation:
    """One of them. at None: no hour is known; step: its name, empty for the whole part."""

    kind: DeviationKind
    tag: str
    step: str
    at: datetime | None
    by: str
    text: str

    @property
    def words(self) -> str:
        """Say it, with who and when."""
        kind = "" if self.kind in ("limit", "route") else f"{self.kind}: "
        hour = date_words(self.at) if self.at is not None else ""
        by = ", ".join(filter(None, (self.by, hour)))
        return f"{kind}{self.text}{f' [{by}]' if by else ''}"


def deviations(sheet: Sheet) -> list[Deviation]:
    """List them step by step: overrides, limits, what was skipped, done again, typed later,
    corrected, or written with a wrong clock."""
    return [*_of_the_part(sheet), *(each for step in sheet.steps for each in _of_step(sheet, step))]


def _of_the_part(sheet: Sheet) -> Iterator[Deviation]:
    tag = sheet.part.tag
    if came_with := [s.plan.name for s in sheet.steps if s.record.reason == ALREADY_DONE]:
        yield Deviation("skipped", tag, "", None, "", f"already done: {', '.join(came_with)}")
    for entry, words in route_changes(sheet.journal):
        yield Deviation("route", tag, "", entry.at, entry.painter, words)
    yield from _overrides_of_no_step(sheet)
    for due in _checks_due(sheet, None):
        yield Deviation("limit", tag, BEFORE_ANY, None, "", due)
    for defect in sheet.defects:
        yield Deviation("rework", tag, defect.step, defect.at, defect.by, defect.defect)
    yield from (_correction(tag, "", entry) for entry in sheet.corrections)


def _overrides_of_no_step(sheet: Sheet) -> Iterator[Deviation]:
    """Rules that were overridden without a step that bears a flag of it."""
    flags = {flag for record in sheet.part.steps for flag in record.flags}
    for entry in sheet.journal:
        for words in overridden(entry):
            if f"{OVERRIDDEN}{words}" not in flags:
                yield Deviation("override", sheet.part.tag, "", entry.at, entry.painter, words)


def overridden(entry: LogEntry) -> list[str]:
    """Name the rules that an entry overrides; none where it was undone."""
    if entry.undone or entry.undoes is not None:
        return []
    return [rule.strip().rstrip(";") for rule in entry.text.split(OVERRIDDEN)[1:]]


def _of_step(sheet: Sheet, step: SheetStep) -> Iterator[Deviation]:
    record, tag, name = step.record, sheet.part.tag, step.plan.name
    at, by = record.last_at or record.first_at, join_names(record.painters)
    if record.status == "skipped" and record.reason != ALREADY_DONE:
        yield Deviation("skipped", tag, name, record.last_at, by, record.reason)
    if record.status == "struck":
        yield Deviation("rework", tag, name, at, by, "struck out: done again")
    for flag in record.flags:
        kind: DeviationKind = "override" if flag.startswith(OVERRIDDEN) else "limit"
        yield Deviation(kind, tag, name, at, by, flag.removeprefix(OVERRIDDEN))
    for words in (
        *deviations_of(sheet.part, record, sheet.measured, sheet.products),
        *_checks_due(sheet, record),
    ):
        yield Deviation("limit", tag, name, None, "", words)
    if step.typed_at is not None:
        words = f"typed {date_words(step.typed_at)}, more than an hour after it was done"
        yield Deviation("typed later", tag, name, at, by, words)
    if step.doubtful:
        words = "the clock was wrong when some of this was written down: at least that hour"
        yield Deviation("clock wrong", tag, name, at, by, words)
    entries = [
        *step.corrections,
        *(entry for pot in step.pots for entry in pot.corrections),
        *(entry for read in step.readings for entry in read.corrections),
    ]
    for entry in {entry.number: entry for entry in entries}.values():
        yield _correction(tag, name, entry)


def _correction(tag: str, step: str, entry: LogEntry) -> Deviation:
    return Deviation("corrected", tag, step, entry.at, entry.painter, entry.text)


def _checks_due(sheet: Sheet, record: StepRecord | None) -> list[str]:
    """Name the instruments whose check was due when a step was measured with them."""
    there = sheet.measured_at(record.number if record is not None else None)
    used = [
        (sheet.instruments.get(each.instrument), each.at.date())
        for each in there
        if not each.struck
    ]
    due = (due_words(instrument, on) for instrument, on in used if instrument is not None)
    return list(dict.fromkeys(filter(None, due)))
