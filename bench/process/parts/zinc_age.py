"""Which preparation fits a part's zinc, by its age and by what was done to it. Advice, no rule.

The classes of age: galvanizeit.org after ASTM D6386, seen. The copper sulphate spot test and the
sweep-blast of passivated or quenched zinc: SSPC-SP 16 by kta.com, seen. A day that nobody knows,
and white rust first: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import Literal

from bench.process.parts.part import ALREADY_DONE, Part, StepRecord
from bench.process.sheets.product import Product

Age = Literal["bright", "partly weathered", "weathered"]

BRIGHT_DAYS = 2
"""Zinc is bright up to 48 h. Of a day without an hour, its first minute counts."""

MONTHS_TO_WEATHER = 12

PREPARED: Mapping[Age, str] = {
    "bright": "bright, up to 48 h old: degrease, then an acid wash or a sweep-blast",
    "partly weathered": "partly weathered, 2 d to 12 months old: brush the salts off in the "
    "alkaline wash, then an acid wash or a sweep-blast",
    "weathered": "weathered, over 12 months old: wash, brush and rinse, no acid wash",
}
UNKNOWN_DAY = "its day is not known: prepare it as partly weathered"
SPOT_TEST = (
    "copper sulphate spot test, one half abraded: where the other half turns black later or "
    "not at all it is passivated"
)
RUST_FIRST = "white rust: brush it off and rinse before anything else"


def age_of(galvanised: date, today: date) -> Age:
    """Return the class of zinc that was galvanised on a day, up to today.

    >>> [age_of(date(2026, 3, 2), date(2026, 3, day)) for day in (3, 4)]
    ['bright', 'partly weathered']
    >>> [age_of(date(2025, 3, 2), date(2026, 3, day)) for day in (2, 3)]
    ['partly weathered', 'weathered']
    """
    if today - galvanised < timedelta(days=BRIGHT_DAYS):
        return "bright"
    months = (today.year - galvanised.year) * 12 + today.month - galvanised.month
    over = (months, today.day) > (MONTHS_TO_WEATHER, galvanised.day)
    return "weathered" if over else "partly weathered"


def zinc_advice(part: Part, today: date) -> Iterator[str]:
    """Say which preparation fits what was answered of the zinc; nothing where nobody was asked."""
    zinc = part.zinc
    if zinc is None:
        return
    if zinc.white_rust:
        yield RUST_FIRST
    day = zinc.galvanised
    yield UNKNOWN_DAY if day is None else PREPARED[age_of(day, today)]
    if zinc.passivated or zinc.quenched:
        yield f"{_treatment(part)}: sweep-blast it; {SPOT_TEST}"
    elif zinc.passivated is None or zinc.quenched is None:
        yield f"not known if passivated or quenched: {SPOT_TEST}"


def zinc_misfits(part: Part, products: Mapping[str, Product], today: date) -> Iterator[str]:
    """Say why the route on a part does not fit its zinc; nothing once its first coat is begun."""
    zinc, preparing = part.zinc, _preparing(part)
    if zinc is None or preparing is None:
        return
    if zinc.white_rust:
        yield RUST_FIRST
    if _treatment(part) and not any("blast" in record.step.hazards for record in preparing):
        yield f"{_treatment(part)}, and its route has no sweep-blast: {SPOT_TEST}"
    if zinc.galvanised is None:
        return
    age = age_of(zinc.galvanised, today)
    if part.substrate == "weathered-zinc" and age != "weathered":
        yield f"its route is for weathered zinc. It is {PREPARED[age]}"
    if age == "weathered":
        for record in preparing:
            product = products.get(record.step.product)
            if record.status == "todo" and product is not None and product.kind == "wash":
                yield f"{record.step.name} does not fit. It is {PREPARED[age]}"


def _treatment(part: Part) -> str:
    """Say what was done to the zinc that paint does not hold on; empty for nothing known."""
    zinc = part.zinc
    if zinc is None or not (zinc.passivated or zinc.quenched):
        return ""
    return "passivated" if zinc.passivated else "quenched"


def _preparing(part: Part) -> list[StepRecord] | None:
    """Return what comes before the first coat and is not skipped; None once that coat is begun."""
    before: list[StepRecord] = []
    for record in part.steps:
        if record.step.kind == "coat" and record.status != "struck":
            return before if record.status == "todo" else None
        skipped = record.status == "skipped" and record.reason != ALREADY_DONE
        if record.status != "struck" and not skipped:
            before.append(record)
    return before
