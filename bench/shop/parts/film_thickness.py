"""How thick a coat came out: said with one key once its last face is done, or typed as measured."""

from __future__ import annotations

from bench.process.parts.film_thickness import (
    WEIGHTS,
    Films,
    against_film,
    coat_to_judge,
    of_target,
    thickness_words,
)
from bench.process.parts.part import StepRecord, Weight
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.measurement_kinds import FILM_KINDS
from bench.shop.core.mappers import record_of
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.shop.corrections.correction_effects import clocks_now, tell_moved
from bench.shop.parts.measuring import type_film


def record_thickness(
    shop: Shop,
    target: Target,
    by: str,
    *,
    weight: Weight | None = None,
    wet_um: float | None = None,
    dry_um: float | None = None,
) -> Outcome | Refusal:
    """Say how the last coat came out; whatever opens after it moves, and no other hour.

    weight: as it looks. wet_um, dry_um: its film as measured, which counts before the weight; over
    0 to 10,000 um wet and 2000 um dry. What is None stays as it is. Refused once the next step has
    begun.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        record = coat_to_judge(job.part)
        if isinstance(record, Refusal):
            return record
        if weight is None and wet_um is None and dry_um is None:
            right = "say thin, as meant or heavy, or type its WFT or DFT"
            return Refusal(f"{record.step.name}: nothing is said of it", "", right)
        before = clocks_now(job.act)
        films: Films = {"wet": wet_um, "dry": dry_um}
        figures = {kind: um for kind, um in films.items() if um is not None}
        outcome = keep_thickness(job, record, weight or record.weight, figures)
        if isinstance(outcome, Refusal):
            return outcome
        product = job.products.get(record.step.product)
        mist = job.part.is_mist(record)
        words = thickness_words(outcome, product, mist=mist) or "as meant"
        if outcome == record:
            return Refusal("that is recorded already", f"{record.step.name}: {words}")
        job.act.session.flush()
        tell_moved(job.act, before)
        if weight is not None and of_target(outcome, product) is not None:
            job.act.notes.append("the measured film counts")
        return job.done(f": {record.step.name}, says {painter}; {words}")

    return act_on_part(shop, "coat", target, by, work)


def keep_thickness(
    job: PartAction, record: StepRecord, weight: str, films: Films
) -> StepRecord | Refusal:
    """Write how thick a coat came out into its row; films: those that are other than before."""
    product = job.products.get(record.step.product)
    if weight not in WEIGHTS:
        return Refusal(f"no coat is '{weight[:20]}'", "", f"one of {', '.join(WEIGHTS)}")
    for kind, um in films.items():
        if refused := against_film(product, kind, um):
            return refused
    row, painter = job.step_row(record), job.act.painter()
    if isinstance(painter, Refusal):
        return painter
    row.weight = weight
    for measured, film in FILM_KINDS.items():
        if film in films:
            type_film(job, row, measured, films[film], painter)
    return record_of(row)
