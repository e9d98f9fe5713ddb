"""Work in hand that was perhaps forgotten: from when on the bench asks about it."""

from __future__ import annotations

from datetime import datetime

from bench.process.clocks.temperature import Hours
from bench.process.parts.durations import Length
from bench.process.parts.part import StepRecord

TIMES_USUAL = 2
"""Past so many times the usual it is asked about (common practice, no source)."""

DAYS = 14
"""How far ahead the shop's closing is looked for."""


def asked_from(record: StepRecord, length: Length, hours: Hours) -> datetime | None:
    """Find when a step in hand is asked about: past twice its usual length.

    Where the log does not know it well, when the shop closes after it was begun. None for a wash,
    which has its own alarms, and where no hours are known.
    """
    if record.status != "in hand" or record.first_at is None or record.step.most_s:
        return None
    if not length.doubt:
        return record.first_at + TIMES_USUAL * length.lasts
    closings = (closes for _, closes in hours.spans(record.first_at, DAYS))
    return next((closes for closes in closings if closes > record.first_at), None)
