"""Putting right what was said of a step: why it was left out, what was wrong, which pot it was."""

from __future__ import annotations

from datetime import datetime

from bench.process.refusal import Refusal
from bench.process.typed import clean_name
from bench.shop.acting import Done, Shop, Target
from bench.shop.correcting import put_right, step_numbered
from bench.shop.correcting_figures import PotTold, pot_told
from bench.shop.correcting_hours import past_its_life, with_day
from bench.shop.job import Job
from bench.shop.moving import Change
from bench.store import past, stock
from bench.store.tables import MixRow

MOST_POTS = 8
"""So many pots a coat may have come from are offered, the newest first."""


def correct_skip(
    shop: Shop, target: Target, by: str, reason: str, *, step: int, text: str
) -> Done | Refusal:
    """A step was left out for another reason. What is said of the coat above it follows."""

    def work(job: Job) -> Change | Refusal:
        record, told = step_numbered(job, step), clean_name(text, "the reason")
        if isinstance(record, Refusal):
            return record
        if isinstance(told, Refusal):
            return told
        if record.status != "skipped":
            return Refusal(f"{record.step.name} was not left out", record.status)
        row = job.step_row(record)
        if told == row.reason:
            return Refusal("that is what is written down", told, "nothing to put right")
        old, row.reason = row.reason, told
        return Change(f"{record.step.name}, why it was left out", old, told)

    return put_right(shop, target, by, reason, work)


def correct_defect(
    shop: Shop, target: Target, by: str, reason: str, *, text: str, defect: int | None = None
) -> Done | Refusal:
    """Something else was wrong. What to do differently on its next coat follows.

    defect: which one of the part, from 1, oldest first; None: the last.
    """

    def work(job: Job) -> Change | Refusal:
        told = clean_name(text, "the defect")
        if isinstance(told, Refusal):
            return told
        rows = past.defects_of(job.act.session, job.row)
        place = len(rows) - 1 if defect is None else defect - 1
        if not 0 <= place < len(rows):
            return Refusal(f"no defect {defect or ''}".rstrip(), f"there are {len(rows)}")
        row = rows[place]
        if told == row.defect:
            return Refusal("that is what is written down", told, "nothing to put right")
        if place == len(rows) - 1 and job.row.rework == row.defect:
            job.row.rework = told
        old, row.defect = row.defect, told
        return Change(f"what was wrong after {row.step_name}", old, told)

    return put_right(shop, target, by, reason, work)


def pots_it_may_be(shop: Shop, product: str, at: datetime) -> tuple[tuple[int, PotTold], ...]:
    """The pots a coat begun at ``at`` may have come from, with their numbers, the newest first."""
    with shop.store.reading() as session:
        rows = stock.pots_mixed_before(session, product, at, MOST_POTS)
        return tuple((row.id or 0, pot_told(row)) for row in rows)


def correct_pot(
    shop: Shop, target: Target, by: str, reason: str, *, step: int, pot: int
) -> Done | Refusal:
    """A coat came from another pot: its batches, and whether that was past its life, follow.

    pot: its number, as ``pot_of_line`` gives it. Which gun is still loaded is not touched.
    """

    def work(job: Job) -> Change | Refusal:
        record, mix = step_numbered(job, step), job.act.session.get(MixRow, pot)
        if isinstance(record, Refusal):
            return record
        if mix is None:
            return Refusal(f"no pot {pot}", "", "read its line again")
        if record.step.kind != "coat" or record.first_at is None:
            return Refusal(f"{record.step.name} was sprayed from no pot", record.status)
        said = with_day(job.act)
        called = f"pot {mix.letter} mixed {said(mix.mixed_at)}"
        if mix.product != record.step.product:
            return Refusal(f"{called} is {mix.product}", "", f"a pot of {record.step.product}")
        if mix.mixed_at > record.first_at:
            return Refusal(f"{called} was not mixed yet", said(record.first_at), "an earlier one")
        row = job.step_row(record)
        if row.mix_id == mix.id:
            return Refusal("that is what is written down", called, "nothing to put right")
        old = job.act.session.get(MixRow, row.mix_id) if row.mix_id is not None else None
        row.mix_id = mix.id
        past_its_life(job.act, mix, row)
        was = f"pot {old.letter} mixed {said(old.mixed_at)}" if old is not None else "no pot"
        return Change(f"{record.step.name}, sprayed from", was, called)

    return put_right(shop, target, by, reason, work)
