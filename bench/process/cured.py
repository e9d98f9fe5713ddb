"""When the last coat of a part may be touched, and when it is cured, with what that rests on."""

from __future__ import annotations

from datetime import datetime

from bench.process.basis import OPENS_ON
from bench.process.calendar import Surroundings, cure_of
from bench.process.part import Part, StepRecord
from bench.process.partsheet import CureTold
from bench.process.product import BandWord, Product
from bench.process.spoken import span_words
from bench.process.windows import Span, spans_of

DRIES: tuple[BandWord, ...] = ("drying", "wait", "shut")
"""Bands at whose end a coat bears a careful hand (house rule)."""


def cure_told(part: Part, around: Surroundings) -> CureTold | None:
    """The cure of the last coat; None while coats are to come, or where none was put on."""
    current = part.current()
    cure = part.steps[-1] if part.steps and part.steps[-1].step.kind == "cure" else None
    if cure is None or current not in (None, cure):
        return None
    coats = [r for r in part.steps if r.status == "done" and r.step.kind == "coat"]
    if not coats or coats[-1].last_at is None:
        return None
    coat = coats[-1]
    product = around.products.get(coat.step.product)
    span = cure_of(part, cure, around)
    return CureTold(
        coat=coat.step.name,
        product=product.name if product else coat.step.product,
        last_face_at=coats[-1].last_at,
        contact_at=_contact_at(part, coat, product, around),
        full_cure_at=span.end if span else None,
        rests_on=_rests_on(span, product, around, cure),
        passed_at=cure.passed_at,
        passed_by=cure.passed_by,
    )


def _contact_at(
    part: Part, coat: StepRecord, product: Product | None, around: Surroundings
) -> datetime | None:
    """The end of the bands that say it dries; a flash-off or an open coat says nothing of touch."""
    assert coat.last_at is not None
    spans = spans_of(part, coat, product, around.weather(coat.last_at))
    soft = [span for span in spans if span.word in DRIES]
    return soft[-1].end if soft else None


def _rests_on(
    span: Span | None, product: Product | None, around: Surroundings, cure: StepRecord
) -> str:
    if product is None or not product.full_cure:
        return "the product's sheet gives no full-cure time"
    if span is None or span.end is None:
        least = product.limits.metal_least_c
        return f"it is colder than the product's least of {least:g} C: it does not cure"
    if cure.not_before is not None and span.end == cure.not_before:
        return "a painter tried it and said not yet"
    told = f"the full-cure time of {product.name}, {OPENS_ON[span.basis]}"
    if product.source == "placeholder":
        told += " (a placeholder from common practice: no sheet was typed)"
    told += f"; {_temperatures(span, around)}"
    if span.stalled_s:
        told += f"; at a standstill for {span_words(span.stalled_s)} of it, under its least C"
    return told


def _temperatures(span: Span, around: Surroundings) -> str:
    """By day the last reading holds, by night the colder of it and the shop's usual night."""
    usual = around.hours
    mark = "" if usual.typed else "?"
    nights = f"{usual.night_c:g}{mark} C nights"
    known = [r for r in around.readings if span.end is None or r.at <= span.end]
    if not known:
        return f"nobody read a thermometer: taken for it {usual.day_c:g}{mark} C days and {nights}"
    since = [r for r in known if r.at >= span.start]
    many = f"{len(since)} readings" if len(since) > 1 else "one reading" if since else "no reading"
    last = f"the last one read {known[-1].paint_c:g} C"
    return f"{many} since its last face, {last}; after it that by day, and {nights}"
