"""Work that does not go to plan: hold, skip, rework, a helper, an earlier hour."""

from __future__ import annotations

from dataclasses import replace
from itertools import takewhile

from bench.process.actions.route_exchange import named_step, once_again
from bench.process.parts.part import REPAIR, REPAIRS, Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.route import Step
from bench.process.wording.text_rules import clean_name
from bench.shop.core.json_form import as_json
from bench.shop.core.part_action import PartAction, act_on_part, insert_steps
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.shop.parts.equipment import air_fed_for, give_back_for
from bench.shop.parts.lots import part_from_lot
from bench.shop.people.painters import not_trained, note_training
from bench.store.schema.tables import DefectRow


def hold(shop: Shop, target: Target, by: str, reason: str) -> Outcome | Refusal:
    """Put a part aside on purpose. A hold is not a pause: its clocks run on."""

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        clean_reason = clean_name(reason, "the reason")
        if isinstance(clean_reason, Refusal):
            return clean_reason
        if job.row.hold:
            return Refusal(f"{job.called()} is on hold already", job.row.hold, "release it first")
        job.row.hold = clean_reason
        return job.done(f" on hold by {painter}: {clean_reason}")

    return act_on_part(shop, "hold", target, by, work)


def release(shop: Shop, target: Target, by: str) -> Outcome | Refusal:
    """Take a part off hold."""

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        if not job.row.hold:
            return Refusal(f"{job.called()} is not on hold")
        reason, job.row.hold = job.row.hold, ""
        return job.done(f" released by {painter} (was: {reason})")

    return act_on_part(shop, "release", target, by, work)


def skip(shop: Shop, target: Target, by: str, reason: str) -> Outcome | Refusal:
    """Leave the next step out, with a reason that stays on the sheet."""

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        clean_reason = clean_name(reason, "the reason")
        if isinstance(clean_reason, Refusal):
            return clean_reason
        record = job.part.current()
        if record is None:
            return Refusal("everything on its route is done", "", "take it off the stand")
        if record.step.kind == "cure":
            return Refusal("curing cannot be skipped", record.step.name, "wait, then test it")
        if record.status == "in hand":
            return Refusal(f"{record.step.name} is begun", "", "finish it, or undo its beginning")
        row = job.step_row(record)
        row.status, row.reason, row.painters = "skipped", clean_reason, [painter]
        return job.done(f": {record.step.name} skipped by {painter}: {clean_reason}")

    return act_on_part(shop, "skip", target, by, work)


def join_step(shop: Shop, target: Target, by: str) -> Outcome | Refusal:
    """Join the step in hand, or whoever has taken the part."""

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        record, on_it = job.part.current(), job.part.on_it()
        if record is None or not on_it:
            return Refusal(f"{job.called()}: nobody is on it", "", "take it, or begin it")
        if painter in on_it:
            return Refusal(f"{painter} is on it already")
        if record.status == "in hand" and (no := not_trained(job, record, [painter])):
            return no
        job.row.taken_by = [*on_it, painter]
        if record.status == "in hand":
            note_training(job, record, [painter])
            row = job.step_row(record)
            row.painters = list(dict.fromkeys([*row.painters, painter]))
            product = job.products.get(record.step.product)
            if note := air_fed_for(job.act, painter, record.step, product):
                job.act.notes.append(note)
        return job.done(f": {painter} joins {record.step.name}")

    return act_on_part(shop, "join", target, by, work)


def another_coat(shop: Shop, target: Target, by: str) -> Outcome | Refusal:
    """Put one more of the last coat before the cure: a third coat, or a touch-up.

    It is only put on the route; beginning it obeys the window of the coat below as always.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        record, below = job.part.current(), job.part.clock_step()
        if record is None or record.step.kind != "cure" or below is None:
            at = record.step.name if record else "CURED"
            return Refusal(f"{job.called()} is not curing", at, "go on with its route")
        if below.step.kind != "coat":
            return Refusal(f"{job.called()}: the last step was no coat", below.step.name)
        names = tuple(mark.name for mark in below.marks)
        again = replace(below.step, continues=False, wet_on_wet=False)
        insert_steps(job, record.number, [(again, names)])
        return job.done(f": {painter} puts one more {below.step.name} on its route")

    return act_on_part(shop, "another coat", target, by, work)


def rework(
    shop: Shop,
    target: Target,
    by: str,
    defect: str,
    *,
    count: int | None = None,
    back_to: int | None = None,
    stand: int | None = None,
) -> Outcome | Refusal:
    """Send a part, or ``count`` pieces of a lot, back to do a step again.

    back_to: the number of the step to do again; the last coat when none is named. Pieces that
    leave a lot get their own tag (4 gives 4b) and their own clock; the rest keep theirs.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        clean_defect = clean_name(defect, "the defect")
        if isinstance(clean_defect, Refusal):
            return clean_defect
        first = _redo_from(job, back_to)
        if isinstance(first, Refusal):
            return first
        if wet := _soaking(job.part):
            return Refusal(f"{job.called()}: {' and '.join(wet)} wet with acid", "", "rinse first")
        if count is not None and count < job.row.count:
            new_part = part_from_lot(job, count, stand)
            if isinstance(new_part, Refusal):
                return new_part
            job = new_part
        elif count is not None and count > job.row.count:
            return Refusal(f"{count} of a lot of {job.row.count}", "", f"from 1 to {job.row.count}")
        _redo(job, first, clean_defect)
        # A part that was cured and gone comes back: it has work to do and clocks that run.
        job.row.rework, job.row.away, job.row.left_at = clean_defect, False, None
        job.row.taken_by = []
        job.act.session.add(
            DefectRow(
                part_id=job.row.id or 0,
                at=job.act.now,
                painter=painter,
                defect=clean_defect,
                step_name=first.step.name,
            )
        )
        pieces = f", {job.row.count} pieces" if job.row.count > 1 else ""
        return job.done(
            f"{pieces} to rework by {painter}: {clean_defect}; again from {first.step.name}",
        )

    return act_on_part(shop, "rework", target, by, work)


def _soaking(part: Part) -> list[str]:
    """The zones of a wash in hand: nothing may hide the clock of one that is not rinsed."""
    record = part.current()
    if record is None or record.step.kind != "dwell":
        return []
    return [mark.name for mark in record.marks if mark.begun_at and not mark.done_at]


def _redo_from(job: PartAction, back_to: int | None) -> StepRecord | Refusal:
    part = job.part
    behind = [r for r in part.steps if r.status in ("done", "in hand")]
    if back_to is not None:
        matches = [r for r in behind if r.number == back_to]
        numbers = ", ".join(str(r.number) for r in behind) or "none yet"
        return (
            matches[0]
            if matches
            else Refusal(f"step {back_to} was not done", "", f"done: {numbers}")
        )
    coats = [r for r in behind if r.step.kind == "coat"]
    if not coats:
        return Refusal(f"{job.called()} has no coat yet", "", "name the step to do again")
    return part.coat_begun_with(coats[-1])


Again = tuple[Step, tuple[str, ...]]
"""A step to do again, and the names of its faces or zones."""


def _redo(job: PartAction, first: StepRecord, defect: str) -> None:
    """What was done stays as history; the same steps come again, after putting it right.

    Where an earlier rework is still to be begun, its steps are not asked for twice.
    """
    part = job.part
    current, again = part.current(), _again(part, first)
    ahead = [named_step(r) for r in part.steps if r.status == "todo"]
    right = Step(
        name=REPAIR,
        kind="work",
        reminders=(f"{defect}: let it harden, sand it out, wash, wipe",),
        hazards=("dust",),
    )
    if current is not None and current.step.name in REPAIRS:
        if current.status == "todo":
            del ahead[0]
        again = list(takewhile(lambda step: step not in ahead, again))
        if current.status == "todo":
            reminders = (*current.step.reminders, *right.reminders)
            job.step_row(current).plan = as_json(replace(current.step, reminders=reminders))
            insert_steps(job, current.number + 1, again)
            return
    if current is not None and current.status == "in hand":
        row = job.step_row(current)
        row.status, row.last_at = "struck", job.act.now
        job.act.session.flush()
        give_back_for(job.act, job.row)
    behind = max(record.number for record in part.steps if record.status != "todo")
    insert_steps(job, behind + 1, [(right, ()), *again])


def _again(part: Part, first: StepRecord) -> list[Again]:
    """The steps from ``first`` on, each once: a rework since then began some of them again."""
    behind = [r for r in part.steps if r.number >= first.number and r.status in ("done", "in hand")]
    return [named_step(record) for record in once_again(behind)]
