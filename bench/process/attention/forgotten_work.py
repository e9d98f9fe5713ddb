"""Work in hand that was perhaps forgotten: from when on the bench asks about it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from statistics import median

from bench.process.clocks.temperature import Hours
from bench.process.parts.part import StepRecord

LEAST_KNOWN = 5
"""So many times a step has to be in the log before its median says what is usual."""

TIMES_USUAL = 2
"""Past so many times the usual it is asked about (common practice, no source)."""

DAYS = 14
"""How far ahead the shop's closing is looked for."""


def asked_from(record: StepRecord, durations_s: Sequence[float], hours: Hours) -> datetime | None:
    """Find when a step in hand is asked about: past twice its median in the log, in seconds.

    Where the log knows it less than five times, when the shop closes after it was begun. None for a
    wash, which has its own alarms, and where no hours are known.
    """
    if record.status != "in hand" or record.first_at is None or record.step.most_s:
        return None
    if len(durations_s) >= LEAST_KNOWN:
        return record.first_at + timedelta(seconds=TIMES_USUAL * median(durations_s))
    closings = (closes for _, closes in hours.spans(record.first_at, DAYS))
    return next((closes for closes in closings if closes > record.first_at), None)
