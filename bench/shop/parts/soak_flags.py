"""Flags of a wash: which of its soaks were too short or too long, as its hours are now."""

from __future__ import annotations

from bench.process.parts.part import StepRecord, soak_flags
from bench.shop.core.mappers import record_of
from bench.store.schema.tables import StepRow


def flag_soaks(row: StepRow, before: StepRecord) -> list[str]:
    """Flag a step's soaks by the hours in its row, and give the flags that are new.

    before: the step as it was until now. Of what it was flagged with, only what still holds stays.
    """
    was, now = soak_flags(before), soak_flags(record_of(row))
    flags = [flag for flag in row.flags if flag in now or flag not in was]
    fresh = [flag for flag in now if flag not in was]
    if was != now:
        row.flags = [*flags, *fresh]
    return fresh
