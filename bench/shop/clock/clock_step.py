"""Moving the running clocks when the shop's time is put forward or back: elapsed time stays.

A clock that was started before the computer was, ran on by the clock on the wall; only what was
written down since is moved with it (see ``clock_fault.moves_all`` for when everything is).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from bench.process.clocks.part_clocks import oldest_clock_start
from bench.shop.core.mappers import parts_here, record_of
from bench.shop.parts.soak_flags import flag_soaks
from bench.store.databases.database import Session
from bench.store.log.journal import CORRECT
from bench.store.queries import bench_rows, measurement_rows, people_rows, tin_rows
from bench.store.schema.tables import (
    JournalRow,
    MeasurementRow,
    PartRow,
    SettingRow,
    StepRow,
    TestRow,
)

STEP_TIMES = ("first_at", "last_at", "passed_at", "not_before")
POT_TIMES = ("mixed_at", "binned_at")
MARK_TIMES, POUR_TIMES = ("begun_at", "done_at"), ("at",)
TIN_TIMES = ("came_at", "opened_at", "empty_at")
"""A use-by is a day on a calendar, which no clock moves."""
SHARED_TIMES = ("held_at", "left_at")
HOUSE_TIMES = {"before": "until", "forecasts": "since"}
"""Lists of the shop's settings, and the hour each entry of one holds."""

ROOM_DAYS = 2
"""A part that has left the bench still counts for the room this long after its last coat."""

CORRECTS = ("earlier", CORRECT)
"""Actions that may write an hour of long ago again."""

New = Callable[[datetime], datetime]


def shift(session: Session, by: timedelta, line: int, now: datetime, *, everything: bool) -> None:
    """Move what was written after a line of the journal, or everything that runs, by so much.

    now: the shop's time before the step.
    """
    hours = None if everything else hours_written(bench_rows.lines_after(session, line))

    def new(at: datetime) -> datetime:
        return at + by if hours is None or at.astimezone(UTC) in hours else at

    rows = bench_rows.steps_of(session, bench_rows.parts_here(session))
    steps = {row.id: row for part in rows.values() for row in part}
    for row in bench_rows.sprayed_since(session, now - timedelta(days=ROOM_DAYS)):
        steps.setdefault(row.id, row)
    tests = [test for said_of in bench_rows.tests_here(session).values() for test in said_of]
    pots = bench_rows.pots_here(session)
    began = oldest_clock_start(now, parts_here(session), (pot.mixed_at for pot in pots))
    readings = bench_rows.readings_since(session, began)
    for step in steps.values():
        before = record_of(step)
        shift_times(step, STEP_TIMES, new)
        step.marks = shift_entries(step.marks, MARK_TIMES, new)
        flag_soaks(step, before)
    for pot in pots:
        shift_times(pot, POT_TIMES, new)
        pot.pours = shift_entries(pot.pours, POUR_TIMES, new)
    measured = [row for row, *_ in measurement_rows.here(session)]
    for dated_row in (*tests, *readings, *measured):
        shift_times(dated_row, ("at",), new)
    for item in people_rows.equipment(session):
        shift_times(item, ("held_at",), new)
    for painter in bench_rows.every_painter(session):
        shift_times(painter, ("left_at",), new)
    for note, _ in people_rows.notes_here(session):
        shift_times(note, ("at",), new)
    for tin in tin_rows.tins_running(session, now - timedelta(days=ROOM_DAYS)):
        shift_times(tin, TIN_TIMES, new)
    _shift_usual(session, new)
    session.flush()


def shift_entries(
    entries: list[dict[str, Any]], names: Iterable[str], new: New
) -> list[dict[str, Any]]:
    """Give entries that a row holds as JSON, faces or pours, with their hours moved."""
    return [
        entry
        | {
            name: new(at).isoformat()
            for name in names
            if entry.get(name) and new(at := datetime.fromisoformat(entry[name])) != at
        }
        for entry in entries
    ]


def _shift_usual(session: Session, new: New) -> None:
    """When usual nights, weeks and forecasts were typed: else a new one might never begin."""
    row = session.get(SettingRow, "house")
    if row is None or not isinstance(row.value, dict):
        return
    for key, name in HOUSE_TIMES.items():
        entries = list(row.value.get(key, ()))
        new_entries = shift_entries(entries, (name,), new)
        if new_entries != entries:
            row.value = {**row.value, key: new_entries}


def _typed_at(value: Any) -> list[str]:
    """When usual nights, weeks and forecasts were typed, as the settings keep it."""
    if not isinstance(value, dict):
        return []
    return [each[name] for key, name in HOUSE_TIMES.items() for each in value.get(key, ())]


def shift_times(row: object, names: Iterable[str], new: New) -> None:
    for name in names:
        at = getattr(row, name)
        if at is not None and new(at) != at:
            setattr(row, name, new(at))


def hours_written(lines: Iterable[JournalRow]) -> set[datetime]:
    """Give the instants that these lines were the first to write.

    Not what an undo puts back, what is copied for pieces that leave a lot, nor what puts an older
    hour right by some minutes.
    """
    hours: set[datetime] = set()
    for line in lines:
        before = {at for change in line.changes for at in instants(change["before"])}
        after = {at for picture in _rows_left_by(line) for at in instants(picture)}
        corrects_older = line.action in CORRECTS and not (before - after) & hours
        if line.undoes is None and not corrects_older:
            hours |= after - before
    return hours


def _rows_left_by(line: JournalRow) -> Iterator[dict[str, Any] | None]:
    """The rows as a line left them; not the history that pieces take with them out of a lot."""
    new_tables = {change["table"] for change in line.changes if change["before"] is None}
    copies = (
        {StepRow.__tablename__, TestRow.__tablename__, MeasurementRow.__tablename__}
        if PartRow.__tablename__ in new_tables
        else ()
    )
    for change in line.changes:
        if change["before"] is not None or change["table"] not in copies:
            yield change["after"]


def instants(picture: dict[str, Any] | None) -> Iterator[datetime]:
    """List every instant of a row that belongs to a clock."""
    if picture is None:
        return
    names = (*STEP_TIMES, *POT_TIMES, *TIN_TIMES, *SHARED_TIMES, "at")
    texts = [picture.get(name) for name in names]
    texts += [mark.get(name) for mark in picture.get("marks") or () for name in MARK_TIMES]
    texts += [pour.get(name) for pour in picture.get("pours") or () for name in POUR_TIMES]
    texts += _typed_at(picture.get("value"))
    for text in texts:
        if text is not None:
            yield datetime.fromisoformat(text).astimezone(UTC)
