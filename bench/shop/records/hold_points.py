"""The points of a part's route past which it did not go before somebody had looked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from bench.process.parts.measurements import asked_of
from bench.process.sheets.measurement_kinds import KINDS
from bench.shop.records.job_record import Sheet, SheetStep


@dataclass(frozen=True)
class HoldPoint:
    """One of them. held_for: the test as it was named, or what was to be measured.

    at, by: when it was released and by whom; None and empty where it is not yet.
    """

    step: str
    held_for: str
    outcome: str
    at: datetime | None = None
    by: str = ""


def hold_points(sheet: Sheet) -> list[HoldPoint]:
    """List them: what each step that was begun had to pass, and when the part was put aside."""
    return [*(point for step in sheet.steps for point in _of_step(sheet, step)), *_aside(sheet)]


def _of_step(sheet: Sheet, step: SheetStep) -> Iterator[HoldPoint]:
    record, name = step.record, step.plan.name
    if record.status not in ("in hand", "done", "struck"):
        return
    if step.plan.measure:
        wanted = ", ".join(KINDS[kind].name for kind in step.plan.measure)
        still = "; ".join(asked_of(record, sheet.measured))
        held_for = f"{'stops work; ' if step.plan.hold_point else ''}measured: {wanted}"
        yield HoldPoint(name, held_for, f"still to take: {still}" if still else "taken")
    if record.passed_at is not None:
        yield HoldPoint(name, _test(step), "passed", record.passed_at, record.passed_by)
    elif step.tests:
        last = step.tests[-1]
        yield HoldPoint(name, _test(step), "not passed yet", last.at, last.painter)


def _test(step: SheetStep) -> str:
    return f'test: "{step.test}"' if step.test else "test"


def _aside(sheet: Sheet) -> Iterator[HoldPoint]:
    """Pair each time it was put on hold with its release."""
    held: HoldPoint | None = None
    for entry in sheet.journal:
        if entry.undone or entry.undoes is not None:
            continue
        if entry.action == "hold":
            held = HoldPoint("", f"on hold:{entry.text.rpartition(':')[2]}", "still on hold")
        elif entry.action == "release" and held is not None:
            yield HoldPoint("", held.held_for, "released", entry.at, entry.painter)
            held = None
    if held is not None:
        yield held
