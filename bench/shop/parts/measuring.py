"""Readings taken on a part: written down, and struck; never deleted.

The film of a coat that its waits go by is the mean of its readings that stand: ``follow`` alone
writes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from statistics import fmean

from bench.process.parts.measurements import (
    SURFACES,
    Measurement,
    figures_words,
    judged,
    less_below,
    mean_of,
    more_words,
    readings_words,
    standing,
    values_of,
)
from bench.process.parts.part import StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.measurement_kinds import (
    FILM_KINDS,
    KINDS,
    MeasurementKind,
    kinds_words,
)
from bench.process.stock.instruments import due_words
from bench.process.wording.display_units import convert_units
from bench.process.wording.text_rules import clean_name
from bench.shop.core.mappers import instruments_of, measurement_of, measurements_of
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target, Transaction
from bench.shop.corrections.correction_effects import HourTable, clocks_now, tell_moved
from bench.shop.corrections.step_facts import flag_windows
from bench.store.databases.database import Session
from bench.store.queries import measurement_rows
from bench.store.schema.tables import MeasurementRow, PartRow, StepRow

MOST_READINGS = 500
"""More at a time is the wrong file."""

MOST_SAID = 12
"""So many readings stand in the log's line; of more their mean."""


@dataclass(frozen=True)
class Readings:
    """What is written down at once.

    kind: a key of KINDS; sets: the readings of each face, of the whole part under "", in the kind's
    unit; grade: what has no number; surface: what lies below a film and is taken off.
    """

    kind: str
    sets: Mapping[str, Sequence[float]] = field(default_factory=dict)
    grade: str = ""
    instrument: str = ""
    surface: str = ""


def record_readings(
    shop: Shop,
    target: Target,
    by: str,
    readings: Readings,
    *,
    step: int | None = None,
    at: datetime | None = None,
) -> Outcome | Refusal:
    """Write down readings of a step, and say what they come to.

    step: its number; None: of a film the last coat, of anything else what is in hand or was done
    last. Nothing is written where one reading is refused.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        return _record(job, painter, readings, step, at)

    return act_on_part(shop, "measure", target, by, work)


def _record(
    job: PartAction, painter: str, readings: Readings, step: int | None, at: datetime | None
) -> Outcome | Refusal:
    kind = _kind_of(readings)
    if isinstance(kind, Refusal):
        return kind
    when = job.act.when(at)
    if isinstance(when, Refusal):
        return when
    record = _step_of(job, kind, step, when)
    if isinstance(record, Refusal):
        return record
    instrument = _instrument(job.act, readings.instrument)
    if isinstance(instrument, Refusal):
        return instrument
    less_um = _less(job, record, readings)
    if isinstance(less_um, Refusal):
        return less_um
    sets = _by_face(record, readings.sets or {"": ()})
    if isinstance(sets, Refusal):
        return sets
    before = clocks_now(job.act)
    rows = [
        MeasurementRow(
            part_id=job.row.id or 0,
            step_id=job.step_row(record).id if record is not None else None,
            kind=kind.key,
            face=face,
            readings=list(figures),
            grade=readings.grade,
            instrument=instrument,
            surface=readings.surface,
            less_um=less_um,
            at=when,
            painter=painter,
        )
        for face, figures in sets.items()
    ]
    job.act.session.add_all(rows)
    _say_what_it_comes_to(job, record, kind)
    _after(job, record, kind.key, before)
    number = record.number if record is not None else None
    what = "; ".join(_set_words(measurement_of(row, number)) for row in rows)
    name = f"{record.step.name}, " if record is not None else ""
    with_it = f" with {instrument}" if instrument else ""
    return job.done(f": {name}{what}, read by {painter}{with_it}")


def _kind_of(readings: Readings) -> MeasurementKind | Refusal:
    """The kind, where everything that was read can be of it."""
    kind = KINDS.get(readings.kind)
    if kind is None:
        was_read = f"no kind of measurement '{readings.kind[:20]}'"
        return Refusal(was_read, "", f"one of {kinds_words()}")
    figures = [each for of_face in readings.sets.values() for each in of_face]
    if kind.words:
        if readings.grade in kind.words and not figures:
            return kind
        was_read = readings.grade or "nothing that fits it"
        return Refusal(f"{kind.name}: {was_read[:20]}", "", " or ".join(kind.words))
    if not figures or not all(readings.sets.values()):
        return Refusal(f"{kind.name}: no reading", "", "give one or more")
    if len(figures) > MOST_READINGS:
        return Refusal(f"{len(figures)} readings", "", f"at most {MOST_READINGS} at a time")
    if readings.grade and not (kind.sized and readings.grade in "012345"):
        return Refusal(
            f"{kind.name} with a size class {readings.grade[:20]}", "", "0 to 5, of dust"
        )
    try:
        for figure in figures:
            kind.check(figure)
    except ValueError as fault:
        return Refusal(str(fault), "", "read the instrument again")
    return kind


def _step_of(
    job: PartAction, kind: MeasurementKind, number: int | None, when: datetime
) -> StepRecord | Refusal | None:
    """The step that was measured then; None where nothing was done to the part yet."""
    of_film = kind.key in FILM_KINDS
    begun = [r for r in job.part.steps if r.status in ("in hand", "done") and r.first_at]
    coats = [r for r in begun if r.step.kind == "coat"]
    if kind.key == "zinc" and (first := _begun_by(coats, when)):
        since = f"the first coat began {job.act.hour(first[0].first_at or when)}"
        return Refusal("zinc is read before the first coat", since, "say how long ago it was")
    fitting = coats if of_film else begun
    if kind.key == "dft":
        fitting = [r for r in fitting if r.status == "done"]
    if number is not None:
        fitting = [r for r in fitting if r.number == number]
        if not fitting:
            return _not_of(job, kind, number)
    here = _begun_by(fitting, when)
    if here or (not of_film and number is None):
        return here[-1] if here else None
    if not fitting:
        return Refusal(f"{kind.name}: no coat is on it", "", "coat it first")
    record = fitting[-1]
    since = f"{job.act.hour(when)} is before {job.act.hour(record.first_at or when)}"
    return Refusal(f"{record.step.name} was not begun yet", since, "give a later time")


def _begun_by(records: Sequence[StepRecord], when: datetime) -> list[StepRecord]:
    return [r for r in records if r.first_at is not None and r.first_at <= when]


def _not_of(job: PartAction, kind: MeasurementKind, number: int) -> Refusal:
    """Why readings of a kind are not of a step."""
    record = next((r for r in job.part.steps if r.number == number), None)
    if record is None:
        right = f"steps run from 1 to {job.part.steps[-1].number}"
        return Refusal(f"no step {number}", "", right)
    if kind.key in FILM_KINDS and record.step.kind != "coat":
        return Refusal(f"{record.step.name} has no {kind.name}", "", "name a coat")
    right = "finish it first" if record.status == "in hand" else "begin it first"
    return Refusal(f"{record.step.name} is not there to measure", record.status, right)


def _instrument(act: Transaction, name: str) -> str | Refusal:
    """The instrument as the shop spells it; one whose check is due is said."""
    if not name.strip():
        return ""
    every = instruments_of(act.session).values()
    here = [each for each in every if not each.gone]
    found = next((i for i in here if i.name.casefold() == name.strip().casefold()), None)
    if found is None:
        names = ", ".join(each.name for each in here) or "none is recorded: add it first"
        return Refusal(f"no instrument '{name[:40]}'", "", f"one of {names}")
    if due := due_words(found, act.local_now.date()):
        act.notes.append(due)
    return found.name


def _less(job: PartAction, record: StepRecord | None, readings: Readings) -> float | Refusal:
    """What is taken off each reading for what lies below the film."""
    if not readings.surface:
        return 0.0
    if readings.kind != "dft" or record is None:
        return Refusal(f"{readings.kind} through {readings.surface[:20]}", "", "only of DFT")
    if readings.surface not in SURFACES:
        was_read = f"no surface '{readings.surface[:20]}'"
        return Refusal(was_read, "", f"one of {', '.join(SURFACES)}")
    every = measurements_of(job.act.session, job.row)
    try:
        less_um = less_below(job.part, record, readings.surface, every)
    except ValueError as fault:
        return Refusal(str(fault), "", "type the film of this coat alone")
    total_um = fmean(each for of_face in readings.sets.values() for each in of_face)
    if total_um <= less_um:
        was_read = f"mean {total_um:.4g} um, {less_um:g} um of it below this coat"
        return Refusal("that leaves no film", was_read, "read the gauge again")
    return less_um


def _by_face(
    record: StepRecord | None, sets: Mapping[str, Sequence[float]]
) -> dict[str, Sequence[float]] | Refusal:
    """The readings by faces as the part has them; a part without faces takes any name."""
    by_face: dict[str, Sequence[float]] = {}
    names = [mark.name for mark in record.marks] if record is not None else []
    for face, figures in sets.items():
        found: str | Refusal | None = face.strip()
        if found and names:
            found = next((n for n in names if n.casefold() == face.strip().casefold()), None)
        elif found:
            found = clean_name(face, "the face")
        if isinstance(found, Refusal):
            return found
        if found is None:
            return Refusal(f"no face '{face[:20]}'", "", f"one of {', '.join(names)}")
        by_face[found] = figures
    return by_face


def _set_words(measurement: Measurement) -> str:
    face = f" on {measurement.face}" if measurement.face else ""
    kind = KINDS[measurement.kind]
    if len(measurement.readings) > MOST_SAID:
        return f"{kind.name} {figures_words(kind, measurement.values)}{face}"
    return readings_words(measurement) + face


def _say_what_it_comes_to(
    job: PartAction, record: StepRecord | None, kind: MeasurementKind
) -> None:
    """Note the figures of all readings of a kind at the step, the verdict, and what is missing."""
    job.act.session.flush()
    every = measurements_of(job.act.session, job.row)
    there = standing(every, kind.key, record.number if record is not None else None)
    values = values_of(there)
    if not values:
        return
    found = judged(job.part, record, kind.key, values, job.products)
    words = [figures_words(kind, values) if len(values) > 1 else "", found.words]
    units = job.act.house.units
    job.act.notes += [convert_units(each, units) for each in words if each]
    job.act.notes += [more_words(found.take)] if found.take else []


def _after(job: PartAction, record: StepRecord | None, kind: str, before: HourTable) -> None:
    """Let the coat's film follow, and say which hours moved with it."""
    if record is None or kind not in FILM_KINDS:
        return
    follow(job.act.session, job.step_row(record), kind)
    job.act.session.flush()
    if any(r.number > record.number and r.first_at for r in job.part.steps):
        flag_windows(job, record.number)
    tell_moved(job.act, before)


def follow(session: Session, row: StepRow, kind: str) -> None:
    """Write the film of a coat: the mean of its readings of a kind that stand, None without any."""
    session.flush()
    rows = (each for each in measurement_rows.of_step(session, row.id) if each.kind == kind)
    mean_um = mean_of(values_of(measurement_of(each, None) for each in rows))
    setattr(row, f"{FILM_KINDS[kind]}_um", mean_um)


def type_film(job: PartAction, row: StepRow, kind: str, um: float | None, by: str) -> None:
    """Let one figure be the film of a coat, instead of its readings; None: it was not measured."""
    for each in measurement_rows.of_step(job.act.session, row.id):
        each.struck = each.kind == kind
    if um is not None:
        job.act.session.add(
            MeasurementRow(
                part_id=row.part_id,
                step_id=row.id,
                kind=kind,
                readings=[um],
                at=job.act.now,
                painter=by,
            )
        )
    follow(job.act.session, row, kind)


def copy_readings(
    session: Session, step: StepRow, copy: StepRow, kinds: Iterable[str] = KINDS
) -> None:
    """Give the readings of a step that stand to another like it."""
    for row in measurement_rows.of_step(session, step.id):
        if row.kind in kinds:
            own = {"id": None, "part_id": copy.part_id, "step_id": copy.id}
            session.add(MeasurementRow(**{**row.model_dump(), **own}))


def take_over_films(session: Session, other: StepRow, row: StepRow) -> None:
    """Let a coat have the film of another like it, and the readings that it is the mean of."""
    for each in measurement_rows.of_step(session, row.id):
        each.struck = each.kind in FILM_KINDS
    copy_readings(session, other, row, FILM_KINDS)
    row.wet_um, row.dry_um = other.wet_um, other.dry_um


def strike_readings(shop: Shop, by: str, number: int) -> Outcome | Refusal:
    """Strike readings that are wrong. They stay in the log; the coat's film follows the others."""
    with shop.act("strike readings", by) as act:
        row = act.session.get(MeasurementRow, number)
        if row is None or row.struck:
            conflict = act.unseen(row) if row is not None else None
            right = "the job record numbers them"
            return conflict or Refusal(f"no readings {number} that stand", "", right)
        part = act.session.get(PartRow, row.part_id)
        assert part is not None
        if conflict := act.unseen(part):
            return conflict
        job = PartAction(act, part)
        before = clocks_now(act)
        row.struck = True
        step = act.session.get(StepRow, row.step_id) if row.step_id is not None else None
        record = next((r for r in job.part.steps if step and r.number == step.number), None)
        _after(job, record, row.kind, before)
        what = _set_words(measurement_of(row, None))
        return job.done(f": struck: {what} ({row.painter}, {act.hour(row.at)})")
