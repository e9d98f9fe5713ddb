"""Work on a part: beginning, ticking faces, finishing, testing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from bench.process.actions.begin_rules import objection_to_rinse, objections_to_begin
from bench.process.ahead.cold_nights import cold_of, dew_point_of, next_cold
from bench.process.clocks.conditions import air_taken_words, margin_doubt_words
from bench.process.clocks.edges import Edge, next_edge
from bench.process.parts.film_thickness import film_ahead, too_much_ahead
from bench.process.parts.part import (
    ALREADY_DONE,
    Mark,
    StepRecord,
    soak_words,
    wet_zones,
    zones_rinsed_early,
)
from bench.process.parts.spray_guidance import (
    fix_after,
    set_up_line,
    skipped_steps_below,
    spray_line,
)
from bench.process.parts.zinc_age import zinc_misfits
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.safety.masks import fresh_isocyanate, is_sprayed
from bench.process.sheets.product import Limits
from bench.process.sheets.route import Step, tool_key
from bench.shop.core.mappers import (
    equipment_items,
    marks_json,
    measurements_of,
    step_of,
    typed_equipment,
    untrained_painters,
)
from bench.shop.core.overrides import overrides_of, with_overrides
from bench.shop.core.part_action import PartAction, act_on_part, insert_steps
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.shop.parts.equipment import give_back_for, take_for
from bench.shop.parts.soak_flags import flag_soaks
from bench.shop.people.painters import note_training
from bench.shop.queries.lookahead import length_of
from bench.shop.stock.instruments import surface_error_c
from bench.shop.stock.pots import pot_of_face, take_from
from bench.shop.stock.tin_usage import take_for_coat, tins_of_coat
from bench.store.log import sheet_versions
from bench.store.queries import bench_rows
from bench.store.schema.tables import InstrumentRow, SettingRow, StepRow

SKIP_REASONS = (
    ALREADY_DONE,
    "the sheet does not need it",
    "no material",
    "weather",
    "customer's choice",
    "other",
)
HOLD_REASONS = (
    "waiting for material",
    "waiting for the customer",
    "too cold or too damp",
    "damaged: look at it",
    "equipment busy",
    "other",
)
EDGE = timedelta(minutes=5)
"""A last face this close to the end of the window below is flagged."""

BESIDE_A_MARK = ("begin", "finish")
"""What another painter may do unseen to a part while one zone or face of it is named."""


def begin(
    shop: Shop,
    target: Target,
    by: str,
    *,
    at: datetime | None = None,
    zone: str = "",
    helper: str = "",
    override: Override | None = None,
) -> Outcome | Refusal:
    """Begin the next step: first face, first stroke in a zone, or hands on.

    It takes the part, and of the equipment the step needs what nobody holds; finishing gives both
    back. Where the window was missed, what is begun is the keying; it is put into the part's route.
    A zone of a wash that was rinsed early is wetted again: its dwell starts again. Two painters
    brush their zones at once: a zone by its name goes beside the other's.
    override: an answer to every rule in the way; an empty one begins nothing and lists them.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        when = job.act.when(at, job.part)
        if isinstance(when, Refusal):
            return when
        painters = _with_helper(job, painter, helper)
        if isinstance(painters, Refusal):
            return painters
        if zone:
            _take_up_again(job, zone)
        if job.state(when).word == "ABRADE" and override is None:
            _insert_keying(job)
        overridden_rules = overrides_of(
            job.act, _in_the_way(job, when, painters), override, painters
        )
        if isinstance(overridden_rules, Refusal):
            return overridden_rules
        return _begin(job, painters, when, zone, overridden_rules)

    return act_on_part(shop, "begin", target, by, work, BESIDE_A_MARK if zone else ())


def _with_helper(job: PartAction, painter: str, helper: str) -> list[str] | Refusal:
    if not helper:
        return [painter]
    other = job.act.painter(helper)
    return other if isinstance(other, Refusal) else list(dict.fromkeys([painter, other]))


def _in_the_way(job: PartAction, when: datetime, painters: list[str]) -> list[Refusal]:
    """Every rule against beginning the next step, as things are now."""
    things = equipment_items(job.act.equipment, job.act.once(typed_equipment, SettingRow))
    tins = tins_of_coat(job.act.session, job.part, job.products, job.act.house.hours.zone)
    return list(
        objections_to_begin(
            *(job.part, job.state(when), job.around, job.pots, when, job.act.local_now, tins),
            things,
            painters,
            untrained_painters(job.training),
            length_of(job.act.session, job.part, job.products).lasts,
            job.act.house.units,
            job.act.once(surface_error_c, InstrumentRow),
            measurements_of(job.act.session, job.row),
        )
    )


def _margin_doubt(job: PartAction, record: StepRecord, when: datetime) -> list[str]:
    """Whether the margin above the dew point is too near its minimum for the thermometer."""
    product, air = job.products.get(record.step.product), job.around.conditions(when)
    limits = product.limits if product is not None else Limits()
    words = margin_doubt_words(air, limits, job.act.once(surface_error_c, InstrumentRow))
    return [words] if words else []


def _begin(
    job: PartAction, painters: list[str], when: datetime, zone: str, overridden_rules: Sequence[str]
) -> Outcome | Refusal:
    part = job.part
    record = part.current()
    assert record is not None
    row = job.step_row(record)
    what = record.step.name
    if zone and record.step.kind != "dwell":
        return Refusal(f"no zone '{zone[:40]}' in {what}", "", "begin it without a zone")
    if record.step.kind == "dwell":
        mark = _zone_to_wet(record, zone)
        if isinstance(mark, Refusal):
            return mark
        wetted = replace(mark, begun_at=when, done_at=None, by=painters[0])
        row.marks = marks_json(_with_mark(record.marks, wetted))
        flag_soaks(row, record)
        what += f" {mark.name}{' again' if mark.done_at else ''}"
    if record.step.most_s:
        air = air_taken_words(job.around.conditions(when))
        job.act.notes += [air] if air else []
    if record.step.kind == "coat":
        job.act.notes += _margin_doubt(job, record, when)
    row.painters = list(dict.fromkeys([*row.painters, *painters]))
    job.row.taken_by = list(dict.fromkeys([*job.part.on_it(), *painters]))
    row.flags = [*row.flags, *(f"override: {words}" for words in overridden_rules)]
    if record.status == "todo":
        row.status, row.first_at = "in hand", when
        _put_in_air(job, record, row, when)
        _remind(job, record, row, painters[0])
        product = job.products.get(record.step.product)
        take_for(job.act, job.row, record.step, product, painters, when)
    if record.step.kind == "coat":
        product = job.products.get(record.step.product)
        pot = take_from(job.pot_rows, row, product, job.pots, when)
        row.mix_id = pot.id if pot is not None else row.mix_id
        take_for_coat(job.act, row, part, record, job.products, when)
        _tell_of_the_night(job)
    job.act.notes += skipped_steps_below(part, record)
    job.act.notes += zinc_misfits(part, job.products, job.act.local_now.date())
    note_training(job, record, painters)
    text = f"{job.called()}: {what} begun {job.act.hour(when)}"
    return job.act.done(job.row.tag, with_overrides(text, overridden_rules))


def _tell_of_the_night(job: PartAction) -> None:
    dew = dew_point_of(job.around, job.act.now)
    cold = cold_of(job.part, job.clocks(), job.around, dew, job.act.now)
    now = job.act.local_now
    job.act.notes += [f"the coat: {stretch.words(now)}" for stretch in next_cold(cold, now)]


def _put_in_air(job: PartAction, record: StepRecord, row: StepRow, when: datetime) -> None:
    """Keep what masks are on for while the step goes on, and for the clearance time after it."""
    product = job.products.get(record.step.product)
    tool = job.tools.get(_tool(job, row))
    row.sprayed = is_sprayed(record.step, product, tool)
    breathed = product if row.sprayed or (product and product.isocyanate) else None
    if breathed is None and record.step.kind == "work":
        breathed = fresh_isocyanate(job.part, record, job.around, when)
    row.in_air = breathed.key if breathed else str(row.plan["tool"]) if row.sprayed else ""


def _remind(job: PartAction, record: StepRecord, row: StepRow, painter: str) -> None:
    """At the start of a coat: the three numbers, and what went wrong last time, once."""
    product = job.products.get(record.step.product)
    tool = job.tools.get(tool_key(record.step, product))
    if record.step.kind != "coat" or product is None or tool is None:
        return
    units = job.act.house.units
    film = film_ahead(job.part, record, product, units)
    job.act.notes.append(spray_line(product, tool, units, film.words))
    if too_much := too_much_ahead(job.part, record, product, units):
        job.act.notes.append(too_much)
    set_up = set_up_line(tool, units)
    if set_up and not _in_hand_today(job, row, tool.key, painter):
        job.act.notes.append(set_up)
    if fix := fix_after(job.part, replace(record, status="todo")):
        job.act.notes.append(f"after the {job.row.rework}: {fix}")
        job.row.rework = ""


def _in_hand_today(job: PartAction, now_begun: StepRow, tool: str, painter: str) -> bool:
    """Whether the painter had this tool in hand today, before the step that begins now."""
    midnight = job.act.local_now.replace(hour=0, minute=0, second=0, microsecond=0)
    rows = bench_rows.sprayed_since(job.act.session, midnight)
    others = [row for row in rows if row.id != now_begun.id]
    return any(_tool(job, row) == tool and painter in row.painters for row in others)


def _tool(job: PartAction, row: StepRow) -> str:
    step = step_of(row)
    return tool_key(step, job.products.get(step.product))


def _zone_to_wet(record: StepRecord, zone: str) -> Mark | Refusal:
    dry = [mark for mark in record.marks if mark.begun_at is None]
    if not zone:
        if not dry:
            return Refusal(f"{record.step.name}: every zone is wet already", "", "rinse the oldest")
        return dry[0]
    zone_mark = _mark_named(record, zone, "zone")
    if (
        isinstance(zone_mark, Refusal)
        or zone_mark.begun_at is None
        or zone_mark in zones_rinsed_early(record)
    ):
        return zone_mark
    if zone_mark.done_at is None:
        return Refusal(f"zone {zone_mark.name} is wet already", "", "rinse it")
    soaked_s = (zone_mark.done_at - zone_mark.begun_at).total_seconds()
    soak = f"rinsed after {soak_words(record.step, soaked_s)}"
    return Refusal(f"zone {zone_mark.name} has had its time", soak, "rework it, to wash it again")


def _take_up_again(job: PartAction, zone: str) -> None:
    """Put a wash that ended back in hand, where a zone of it that was rinsed early is named."""
    part = job.part
    below, current = part.clock_step(), part.current()
    if below is None or below.passed_at or current is None or current.status == "in hand":
        return
    if any(mark.name.casefold() == zone.strip().casefold() for mark in zones_rinsed_early(below)):
        row = job.step_row(below)
        row.status, row.last_at, row.not_before = "in hand", None, None


def _mark_named(record: StepRecord, name: str, what: str) -> Mark | Refusal:
    for mark in record.marks:
        if mark.name.casefold() == name.strip().casefold():
            return mark
    names = ", ".join(mark.name for mark in record.marks) or "none"
    return Refusal(f"no {what} '{name[:40]}' in {record.step.name}", "", f"there are: {names}")


def _with_mark(marks: tuple[Mark, ...], new: Mark) -> tuple[Mark, ...]:
    return tuple(new if mark.name == new.name else mark for mark in marks)


def _insert_keying(job: PartAction) -> None:
    """Put the remedy into the part's route, before the coat whose window was missed."""
    record = job.part.current()
    assert record is not None
    reminder = (
        record.step.remedy or "wash first, then key until dull: P320-P400 or grey pad; wipe, tack"
    )
    keying = Step(name="abrade", kind="work", hazards=("dust",), reminders=(reminder,))
    insert_steps(job, record.number, [(keying, ())])


def finish(
    shop: Shop,
    target: Target,
    by: str,
    *,
    at: datetime | None = None,
    mark: str = "",
    all_faces: bool = False,
    override: Override | None = None,
) -> Outcome | Refusal:
    """Finish what is in hand: one face, the zone that soaked longest, or the whole step.

    A coat is finished with its last face; while faces are open it is refused and they are named.
    Two painters tick their faces at once: a face by its name goes beside the other's.
    override: the reason why a zone is rinsed before its minimum.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        record = job.part.current()
        if record is None or record.status != "in hand":
            what = record.step.name if record else "everything on its route is done"
            return Refusal(f"{job.called()} is not begun", what, "start it first")
        if record.step.kind == "dwell":
            return _rinse(job, record, painter, at, mark, override)
        if record.marks:
            stray = overrides_of(job.act, (), override, [painter])
            if isinstance(stray, Refusal):
                return stray
            return _tick(job, record, painter, at, mark, all_faces=all_faces)
        when = job.act.when(at, job.part)
        if isinstance(when, Refusal):
            return when
        return _end_work(job, record, painter, when, override)

    return act_on_part(shop, "finish", target, by, work, BESIDE_A_MARK if mark else ())


def _open_face(job: PartAction, record: StepRecord, name: str) -> Mark | Refusal:
    """A face by its name; one that was sprayed keeps its first hour and its painter."""
    face = _mark_named(record, name, "face")
    if isinstance(face, Refusal) or face.done_at is None:
        return face
    when_by = f"{job.act.hour(face.done_at)}, by {face.by}"
    right = "correct its hour or its painter on the job record"
    return Refusal(f"face {face.name} is sprayed already", when_by, right)


def _end_work(
    job: PartAction, record: StepRecord, painter: str, when: datetime, override: Override | None
) -> Outcome | Refusal:
    """End work; what soaks as a whole, such as a cleaner, not before its minimum."""
    wet, now = wet_zones(record), job.act.local_now
    early = [rule for zone in wet for rule in objection_to_rinse(record, zone, when, now)]
    overridden_rules = overrides_of(job.act, early, override, [painter])
    if isinstance(overridden_rules, Refusal):
        return overridden_rules
    row = job.step_row(record)
    row.last_at = when
    flag_soaks(row, record)
    row.flags = [*row.flags, *(f"override: {words}" for words in overridden_rules)]
    return _finish(job, record, when, record.step.name, overridden_rules)


def _rinse(
    job: PartAction,
    record: StepRecord,
    painter: str,
    at: datetime | None,
    name: str,
    override: Override | None,
) -> Outcome | Refusal:
    wet = sorted((m.begun_at, m.name) for m in record.marks if m.begun_at and not m.done_at)
    if not wet:
        return Refusal(f"{record.step.name}: no zone is wet", "", "begin a zone first")
    zone = _mark_named(record, name or wet[0][1], "zone")
    if isinstance(zone, Refusal):
        return zone
    if zone.begun_at is None or zone.done_at is not None:
        names = ", ".join(name for _, name in wet)
        return Refusal(f"zone {zone.name} is not wet", "", f"wet: {names}")
    when = job.act.when(at)
    if isinstance(when, Refusal):
        return when
    if when < zone.begun_at:
        return Refusal(
            f"zone {zone.name} was not wet yet",
            f"begun {job.act.hour(zone.begun_at)}",
            "give a later time",
        )
    early = objection_to_rinse(record, zone, when, job.act.local_now)
    overridden_rules = overrides_of(job.act, early, override, [painter])
    if isinstance(overridden_rules, Refusal):
        return overridden_rules
    row = job.step_row(record)
    marks = _with_mark(record.marks, replace(zone, done_at=when))
    row.marks = marks_json(marks)
    flag_soaks(row, record)
    row.flags = [*row.flags, *(f"override: {words}" for words in overridden_rules)]
    what = f"{record.step.name} {zone.name}"
    if all(mark.done_at for mark in marks):
        last = max(m.done_at for m in marks if m.done_at)
        return _finish(job, replace(record, marks=marks), last, what, overridden_rules)
    text = f"{job.called()}: {what} rinsed {job.act.hour(when)}"
    return job.act.done(job.row.tag, with_overrides(text, overridden_rules))


def _tick(
    job: PartAction,
    record: StepRecord,
    painter: str,
    at: datetime | None,
    name: str,
    *,
    all_faces: bool,
) -> Outcome | Refusal:
    when = job.act.when(at)
    if isinstance(when, Refusal):
        return when
    if record.first_at and when < record.first_at:
        return Refusal(
            "that is before its first face",
            f"{job.act.hour(when)} is before {job.act.hour(record.first_at)}",
            "give a later time",
        )
    open_marks = record.open_marks()
    if not name and not all_faces:
        open_ones = (
            "1 face is open" if len(open_marks) == 1 else f"{len(open_marks)} faces are open"
        )
        return Refusal(
            f"{record.step.name}: {open_ones}",
            " ".join(mark.name for mark in open_marks),
            "tick it" if len(open_marks) == 1 else "tick each, or all of them",
        )
    face = _open_face(job, record, name) if name else None
    if isinstance(face, Refusal):
        return face
    done = (face,) if face else open_marks
    row = job.step_row(record)
    product = job.products.get(record.step.product)
    pot = pot_of_face(job.act.session, job.pot_rows, row, product, job.pots, when)
    marks, names = record.marks, []
    for mark in done:
        # A face that was given to somebody is theirs, whoever ticks it.
        sprayer = mark.by or painter
        marks = _with_mark(marks, replace(mark, begun_at=when, done_at=when, by=sprayer, pot=pot))
        names.append(sprayer)
    row.marks = marks_json(marks)
    row.painters = list(dict.fromkeys([*row.painters, *names]))
    job.row.taken_by = list(dict.fromkeys([*job.part.on_it(), *names]))
    what = f"{record.step.name} {' '.join(mark.name for mark in done)}"
    if all(mark.done_at for mark in marks):
        return _finish(
            job, replace(record, marks=marks), max(m.done_at for m in marks if m.done_at), what
        )
    return job.act.done(job.row.tag, f"{job.called()}: {what} {job.act.hour(when)}")


def _finish(
    job: PartAction,
    record: StepRecord,
    when: datetime,
    what: str,
    overridden_rules: Sequence[str] = (),
) -> Outcome | Refusal:
    row = job.step_row(record)
    if record.step.kind == "coat":
        closes = window_below(job, record)
        if closes is not None and when >= closes.at - EDGE:
            side = "past" if when > closes.at else "on"
            flag = (
                f"last face {job.act.hour(when)} is {side} the edge of the window "
                f"below, which closes {closes.words(job.act.local_now)}"
            )
            row.flags = [*row.flags, flag]
            job.act.notes.append(flag)
    row.status, row.last_at = "done", when
    row.sheet_version = sheet_versions.present_key(job.act.session, record.step.product)
    job.row.taken_by = []
    job.act.session.flush()
    give_back_for(job.act, job.row)
    text = f"{job.called()}: {what} finished {job.act.hour(when)}"
    return job.act.done(job.row.tag, with_overrides(text, overridden_rules))


def window_below(job: PartAction, record: StepRecord) -> Edge | None:
    """Find when the window a coat was begun in closes, None where none is or has no end."""
    turns = job.clocks().turns(job.act.now)
    return next_edge(turns, "closing", record.first_at) if record.first_at else None
