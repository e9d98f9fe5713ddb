"""Lots: splitting pieces off, putting alike ones together, bungs and contact points."""

from __future__ import annotations

from bench.process.actions.merge_rules import against_merging, mean_area_m2, share, worse_of
from bench.process.parts.part import StepRecord
from bench.process.parts.zinc_answers import merge_zinc_answers
from bench.process.refusals.refusal import Refusal
from bench.shop.core.json_form import as_json
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target, Transaction
from bench.shop.parts.measuring import copy_readings, take_over_films
from bench.shop.parts.placement import not_empty
from bench.shop.stock.tin_usage import pours_of_lot
from bench.store.queries import bench_rows
from bench.store.schema.tables import PartRow, StepRow, TestRow

MOST_POINTS = 9999


def split(
    shop: Shop, target: Target, by: str, count: int, *, stand: int | None = None
) -> Outcome | Refusal:
    """Make ``count`` pieces of a lot a lot of their own: own tag (4 gives 4b), own clock from now.

    Both keep the history up to now. stand: where the pieces go; None leaves them on none.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        if not 1 <= count < job.row.count:
            right = f"from 1 to {job.row.count - 1}" if job.row.count > 1 else "it is one piece"
            return Refusal(f"{count} of a lot of {job.row.count}", "", right)
        new_part = part_from_lot(job, count, stand)
        if isinstance(new_part, Refusal):
            return new_part
        where = f" on stand {stand}" if stand is not None else ""
        return job.done(
            f" split by {painter}: {job.row.count} stay, {count} are tag {new_part.row.tag}{where}"
        )

    return act_on_part(shop, "split", target, by, work)


def part_from_lot(job: PartAction, count: int, stand: int | None) -> PartAction | Refusal:
    """Take pieces out of a lot: a lot of their own, with the same history up to now."""
    if count < 1:
        return Refusal(f"{count} pieces", "", f"from 1 to {job.row.count}")
    act = job.act
    if stand is not None:
        refused = not_empty(act, stand)
        if refused is not None:
            return refused
    values = {
        **job.row.model_dump(),
        "id": None,
        "count": count,
        "tag": _letter_tag(act, job.row.tag),
        "split_from": job.row.tag,
    }
    new_part = PartRow(**{**values, "stand": stand, "last_stand": stand or job.row.last_stand})
    _share_points(job, new_part, count)
    job.row.count -= count
    act.session.add(new_part)
    act.session.flush()
    for step in job.steps:
        own_values = {"id": None, "part_id": new_part.id, "tins": pours_of_lot(step.tins)}
        copy = StepRow(**{**step.model_dump(), **own_values})
        act.session.add(copy)
        act.session.flush()
        _copy_tests(act, step, copy)
        copy_readings(act.session, step, copy)
    act.session.flush()
    return PartAction(act, new_part)


def _share_points(job: PartAction, new_part: PartRow, count: int) -> None:
    """Bungs and contact points go with their pieces; where they do not go up, they stay."""
    uneven_points = []
    for name in ("bungs_in", "bungs_out", "contacts", "contacts_done"):
        total = getattr(job.row, name)
        points = share(total, job.row.count, count)
        if points is None:
            uneven_points.append(f"{total} {name.replace('_', ' ')}")
        setattr(new_part, name, points or 0)
        setattr(job.row, name, total - (points or 0))
    if uneven_points:
        note = f"{', '.join(uneven_points)} counted for tag {job.row.tag} alone: count those of"
        job.act.notes.append(f"{note} tag {new_part.tag} again")


def _copy_tests(act: Transaction, step: StepRow, copy: StepRow) -> None:
    for test in bench_rows.tests_of(act.session, [step]):
        act.session.add(TestRow(**{**test.model_dump(), "id": None, "step_id": copy.id}))


def _letter_tag(act: Transaction, tag: str) -> str:
    tags = {other.lower() for other in bench_rows.tags(act.session)}
    for letter in "bcdefghijklmnopqrstuvwxyz":
        if f"{tag}{letter}".lower() not in tags:
            return f"{tag}{letter}"
    return _letter_tag(act, f"{tag}z")


def merge(shop: Shop, target: Target, by: str, other: str) -> Outcome | Refusal:
    """Put the lot with tag ``other`` into this one, where both are alike and equally far.

    The whole keeps the worse clock: too early from the later last face, too late from the earlier
    first one, tested only where both were.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        row = job.act.row(other)
        if isinstance(row, Refusal):
            return row
        if row.id == job.row.id:
            return Refusal(f"tag {job.row.tag} with itself", "", "name another tag")
        if row.away:
            return Refusal(f"tag {row.tag} has left the bench", "", "name a part that is here")
        other_part = PartAction(job.act, row)
        now = job.act.now
        against = against_merging(job.part, other_part.part, job.state(now), other_part.state(now))
        if against is not None:
            return against
        _keep_the_worse(job, other_part)
        return _merge_rows(job, other_part, painter)

    return act_on_part(shop, "merge", target, by, work)


def _keep_the_worse(job: PartAction, other_part: PartAction) -> None:
    """The last step done, and the one its whole coat began with, as bad as the worse lot's."""
    part, other_lot = job.part, other_part.part
    last, other_last = part.clock_step(), other_lot.clock_step()
    if last is None or other_last is None:
        return
    _keep_worse_of(job, other_part, last, other_last)
    first, other_first = part.coat_begun_with(last), other_lot.coat_begun_with(other_last)
    if first.number != last.number:
        _keep_worse_of(job, other_part, first, other_first)
    coats, other_coats = part.done_coats(), other_lot.done_coats()
    if coats and other_coats and coats[-1].number not in (last.number, first.number):
        _keep_worse_of(job, other_part, coats[-1], other_coats[-1])
    _copy_tests(job.act, other_part.step_row(other_last), job.step_row(last))


def _keep_worse_of(
    job: PartAction, other_part: PartAction, step: StepRecord, other: StepRecord
) -> None:
    record = worse_of(step, other, job.products.get(step.step.product))
    row = job.step_row(record)
    row.first_at, row.last_at = record.first_at, record.last_at
    row.passed_at, row.passed_by = record.passed_at, record.passed_by
    row.not_before = record.not_before
    if (record.wet_um, record.dry_um) != (row.wet_um, row.dry_um):
        take_over_films(job.act.session, other_part.step_row(other), row)
    row.weight = record.weight
    row.painters, row.flags = list(record.painters), list(record.flags)


def _merge_rows(job: PartAction, other_part: PartAction, painter: str) -> Outcome | Refusal:
    row, other_row = job.row, other_part.row
    pieces = other_row.count
    row.count += pieces
    for name in ("bungs_in", "bungs_out", "contacts", "contacts_done"):
        setattr(row, name, getattr(row, name) + getattr(other_row, name))
        setattr(other_row, name, 0)
    row.area_m2 = mean_area_m2(row.area_m2, row.count - pieces, other_row.area_m2, pieces)
    zinc = merge_zinc_answers(job.part.zinc, other_part.part.zinc)
    row.zinc = as_json(zinc) if zinc is not None else {}
    other_row.count, other_row.stand, other_row.away, other_row.merged_into = 0, None, True, row.tag
    other_row.left_at, other_row.taken_by = job.act.now, []
    many = f"{pieces} pieces" if pieces != 1 else "1 piece"
    return job.done(
        f": {many} of tag {other_row.tag} put with it by {painter}; {row.count} now, "
        "with the worse clock of the two",
    )


def count_points(
    shop: Shop,
    target: Target,
    by: str,
    *,
    bungs_in: int | None = None,
    bungs_out: int | None = None,
    contacts: int | None = None,
    contacts_done: int | None = None,
) -> Outcome | Refusal:
    """Count bungs in and out, and contact points that will want touching up and those done.

    Each 0 to MOST_POINTS, and no more out or done than there are; None leaves a count alone.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        row = job.row
        counts = {
            "bungs_in": bungs_in,
            "bungs_out": bungs_out,
            "contacts": contacts,
            "contacts_done": contacts_done,
        }
        points_by_name = {name: count for name, count in counts.items() if count is not None}
        if not points_by_name:
            return Refusal("nothing is counted", "", "say how many bungs or contact points")
        for name, count in points_by_name.items():
            if not 0 <= count <= MOST_POINTS:
                points = name.replace("_", " ")
                return Refusal(f"{count} {points}", "", f"from 0 to {MOST_POINTS}")
            setattr(row, name, count)
        for done, there, what in (
            (row.bungs_out, row.bungs_in, "bungs out, but only {} went in"),
            (row.contacts_done, row.contacts, "contact points touched up, but only {} are there"),
        ):
            if done > there:
                return Refusal(f"{done} {what.format(there)}", "", "count again")
        return job.done(f": {points_words(row)}, counted by {painter}")

    return act_on_part(shop, "count", target, by, work)


def points_words(row: PartRow) -> str:
    """Say how many bungs are in and out, and contact points there and done."""
    return (
        f"bungs {row.bungs_in} in, {row.bungs_out} out; "
        f"contact points {row.contacts}, {row.contacts_done} touched up"
    )
