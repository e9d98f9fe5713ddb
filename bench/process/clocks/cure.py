"""When the last coat of a part may be touched, and when it is cured, with what that rests on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bench.process.clocks.edges import Edge
from bench.process.clocks.estimate_basis import stalled_words
from bench.process.clocks.part_clocks import Environment, clocks_after, cure_of
from bench.process.clocks.stand_state import Clocks
from bench.process.clocks.windows import Span
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import BandWord, Product
from bench.process.wording.time_text import doubt_mark

DRIES: tuple[BandWord, ...] = ("drying", "wait", "shut")
"""Bands at whose end a coat bears a careful hand (house rule)."""


@dataclass(frozen=True)
class Cure:
    """When the last coat is cured.

    contact: where it is past the bands in which it dries; full_cure: by the sheet's table at
    the shop's temperatures, None where it never gets there or the sheet says nothing; rests_on: in
    words what that rests on; passed_at, passed_by: who tested it and says it is cured.
    """

    coat: str
    product: str
    last_face_at: datetime
    contact: Edge | None
    full_cure: Edge | None
    rests_on: str
    passed_at: datetime | None
    passed_by: str


def cure_of_last_coat(
    part: Part, around: Environment, now: datetime, *, doubtful: bool = False
) -> Cure | None:
    """Give the cure of the last coat; None while coats are to come, or where none was put on.

    doubtful: the clock is wrong.
    """
    current, coats = part.current(), part.done_coats()
    cure = part.steps[-1] if part.steps and part.steps[-1].step.kind == "cure" else None
    if cure is None or current not in (None, cure) or not coats or coats[-1].last_at is None:
        return None
    coat = coats[-1]
    product = around.products.get(coat.step.product)
    span, clocks = cure_of(part, cure, around), clocks_after(part, coat, around, doubtful=doubtful)
    full_cure = clocks.edge(span, now) if span else None
    return Cure(
        coat=coat.step.name,
        product=product.name if product else coat.step.product,
        last_face_at=coats[-1].last_at,
        contact=_contact(clocks, now),
        full_cure=full_cure,
        rests_on=_rests_on(span, full_cure, product, around, cure),
        passed_at=cure.passed_at,
        passed_by=cure.passed_by,
    )


def _contact(clocks: Clocks, now: datetime) -> Edge | None:
    """Return when the bands that say it dries end; a flash-off or open coat says nothing of it."""
    soft = [span for span in clocks.spans if span.word in DRIES]
    return clocks.edge(soft[-1], now) if soft else None


def _rests_on(
    span: Span | None,
    full_cure: Edge | None,
    product: Product | None,
    around: Environment,
    cure: StepRecord,
) -> str:
    if product is None or not product.full_cure:
        return "the product's sheet gives no full-cure time"
    if span is not None and span.never and span.basis == "none":
        return "it is colder than any estimate from its data sheet goes: type a figure for the cold"
    if span is None or full_cure is None:
        least = f"{product.limits.metal_least_c:g}{product.doubt_of('limits')}"
        return f"colder than the product's minimum of {least} C: it does not cure"
    if cure.not_before is not None and full_cure.at == cure.not_before:
        return "a painter tried it and said not yet"
    words = f"the full-cure time of {product.name}, {full_cure.figure_words}"
    if product.doubt_of("full_cure"):
        words += " (a placeholder from common practice: nobody took it from a sheet)"
    words += f"; {_temperatures(span, around)}"
    if span.stalled_s:
        words += f"; {stalled_words(span.stalled_s, span.basis)}"
    return words


def _temperatures(span: Span, around: Environment) -> str:
    """Say which readings the cure rests on, and what holds after the last.

    After its four hours the last reading holds, unless what is usual is colder.
    """
    usual = around.hours
    mark = doubt_mark(not usual.typed)
    later = f"{usual.day_c:g}{mark} C days and {usual.night_c:g}{mark} C nights"
    readings = [r for r in around.readings if span.end is None or r.at <= span.end]
    if not readings:
        return f"nobody read a thermometer: taken for it {later}"
    since = [r for r in readings if r.at >= span.start]
    many = f"{len(since)} readings" if len(since) > 1 else "one reading" if since else "no reading"
    last = f"the last one read {readings[-1].paint_c:g} C"
    return f"{many} since its last face, {last}; after it that, at most {later}"
