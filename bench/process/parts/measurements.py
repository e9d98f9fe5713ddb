"""Readings that were taken on a part: what they come to, what is said of them, what is still to do.

A dry film is judged by ISO 19840, which counts where it was agreed; anything else against limits
that somebody typed in the route or a data sheet. Where nobody did, there is no verdict.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil
from statistics import fmean

from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.measurement_kinds import BROKEN, KINDS, Accepted, MeasurementKind
from bench.process.sheets.product import Product
from bench.process.wording.time_text import doubt_mark
from bench.trade.readings import (
    LEAST_AREA_M2,
    LEAST_NOMINAL_UM,
    LEAST_READINGS,
    MOST_AREA_M2,
    ROUGHNESS_UM,
    judge,
    least_readings,
)
from bench.trade.salts import PATCH_CM2, USUAL_WATER_ML, salts_mg_m2

NO_LIMIT = "no limit typed"

ZINC_BELOW = "zinc"
"""What lies under a film, and is taken off, where it is galvanised; else a profile, by its name."""

SURFACES = (ZINC_BELOW, *ROUGHNESS_UM)
"""What a magnetic gauge reads through, besides the film itself."""

DECIMALS = 6
"""Past these a difference of readings is rounding of floats."""


@dataclass(frozen=True)
class Measurement:
    """Readings of one kind, in its unit, as the instrument showed them.

    step: its number, None where they belong to none; face: empty for the whole part; grade: what
    has no number; surface, less_um: what was taken off each reading, and how much.
    """

    number: int
    kind: str
    readings: tuple[float, ...]
    at: datetime
    painter: str
    step: int | None = None
    face: str = ""
    grade: str = ""
    instrument: str = ""
    surface: str = ""
    less_um: float = 0.0
    struck: bool = False

    @property
    def values(self) -> tuple[float, ...]:
        """Return the readings less what lies under the film."""
        return tuple(round(reading - self.less_um, DECIMALS) for reading in self.readings)


@dataclass(frozen=True)
class Judgement:
    """What readings come to. good: None where there is no verdict; take: so many more readings."""

    words: str
    good: bool | None = None
    take: int = 0


def standing(
    measurements: Sequence[Measurement], kind: str, step: int | None
) -> tuple[Measurement, ...]:
    """Return what counts of one kind at one step: all of it that was not struck."""
    return tuple(m for m in measurements if (m.kind, m.step, m.struck) == (kind, step, False))


def values_of(measurements: Iterable[Measurement]) -> tuple[float, ...]:
    """Return all readings together, less what lies under each."""
    return tuple(value for each in measurements for value in each.values)


def mean_of(values: Sequence[float]) -> float | None:
    """Return the mean of readings, to 0.01; None without any."""
    return round(fmean(values), 2) if values else None


# --- what was measured, in words -----------------------------------------------------------------


def readings_words(measurement: Measurement) -> str:
    """Say what was read, as it was read.

    >>> now = datetime(2026, 3, 2)
    >>> readings_words(Measurement(1, "dft", (140, 150), now, "Mo", surface="zinc", less_um=85))
    'DFT 140 150 um, less 85 um for the zinc and coats below'
    >>> readings_words(Measurement(1, "dust", (2,), now, "Mo", grade="3"))
    'dust 2, size class 3'
    """
    kind = KINDS[measurement.kind]
    if kind.words:
        return f"{kind.name}: {measurement.grade}"
    figures = " ".join(f"{reading:g}" for reading in measurement.readings)
    words = f"{kind.name} {figures} {kind.unit}".rstrip() + salts_words(kind, measurement.values)
    if measurement.grade:
        words += f", size class {measurement.grade}"
    if measurement.less_um:
        words += f", less {measurement.less_um:g} um for {surface_words(measurement.surface)}"
    return words


def surface_words(surface: str) -> str:
    """Say what is taken off a gauge's reading."""
    if surface == ZINC_BELOW:
        return "the zinc and coats below"
    return "the blasted profile" + ("" if surface == "unknown" else f" ({surface})")


def figures_words(kind: MeasurementKind, values: Sequence[float]) -> str:
    """Say mean, minimum, maximum and number; of one reading the figure alone.

    >>> figures_words(KINDS["dft"], (82, 79, 85))
    'mean 82 um, min 79, max 85 of 3'
    """
    unit = f" {kind.unit}" if kind.unit else ""
    if len(values) == 1:
        return f"{values[0]:.4g}{unit}{salts_words(kind, values)}"
    figures = f"mean {fmean(values):.4g}{unit}, min {min(values):.4g}, max {max(values):.4g}"
    return f"{figures} of {len(values)}{salts_words(kind, values)}"


def salts_words(kind: MeasurementKind, values: Sequence[float]) -> str:
    """Say how much salt on the surface readings come to on average, rounded up, else nothing.

    The readings are what the water conducts more than before, in uS/cm.

    >>> salts_words(KINDS["salts"], (4, 6)), salts_words(KINDS["dft"], (80,))
    (', 20 mg/m2 with 10 ml under a patch of 12.5 cm2', '')
    """
    if kind.key != "salts" or not values:
        return ""
    salts = ceil(round(salts_mg_m2(0.0, fmean(values), USUAL_WATER_ML), DECIMALS))
    under = f"with {USUAL_WATER_ML:g} ml under a patch of {PATCH_CM2:g} cm2"
    return f", {salts} mg/m2 {under}"


# --- what is said of it --------------------------------------------------------------------------


def judged(
    part: Part,
    record: StepRecord | None,
    kind: str,
    values: Sequence[float],
    products: Mapping[str, Product],
) -> Judgement:
    """Judge the readings of one kind at one step, all of them together.

    record: None where they belong to no step. A class, a pH, salts or a profile has every reading
    inside the limits, or not.
    """
    if kind == "dft" and record is not None:
        if part.is_mist(record):
            return Judgement("a mist has no film of its own: judged with the build")
        area_m2 = part.area_m2 * part.count if part.area_m2 else None
        if area_m2 is not None:
            area_m2 = min(max(area_m2, LEAST_AREA_M2), MOST_AREA_M2)
        return judged_film(values, products.get(record.step.product), area_m2)
    limit, doubt = limits_of(part, record, kind, products)
    if limit is None or not values:
        return Judgement(NO_LIMIT)
    outside = [value for value in values if not limit.least <= value <= limit.most]
    words = f"{limit.words()}{doubt}"
    if not outside:
        return Judgement(f"within its limits, {words}", True)
    return Judgement(f"outside its limits: {outside[0]:.4g}, wanted {words}", False)


def judged_film(
    values: Sequence[float], product: Product | None, area_m2: float | None = None
) -> Judgement:
    """Judge a dry film by ISO 19840 against the product's target, and count what is still to take.

    values: in um, what lies below taken off. The standard counts where it was agreed.
    """
    wanted = LEAST_READINGS if area_m2 is None else least_readings(area_m2)
    take = max(wanted - len(values), 0)
    film = product.film if product is not None else None
    if product is None or film is None or not values:
        return Judgement(NO_LIMIT, take=take)
    sheet = f"{film.least_um:g} to {film.most_um:g}{product.doubt} um"
    if film.target_um < LEAST_NOMINAL_UM:
        return Judgement(
            f"ISO 19840 judges no film under {LEAST_NOMINAL_UM:g} um; the sheet asks for {sheet}",
            take=take,
        )
    try:
        verdict = judge(values, film.target_um, most_um=film.most_um, area_m2=area_m2)
    except ValueError as fault:
        return Judgement(str(fault), take=take)
    reasons = "; ".join(filter(None, (*verdict.reasons, verdict.uneven)))
    word = "accepted" if verdict.accept else "not accepted"
    if verdict.accept and verdict.take_more:
        word = "accepted so far"
    doubt = ", by a placeholder" if product.doubt else ""
    return Judgement(
        f"{word} by ISO 19840, if agreed{doubt}: {reasons}",
        None if verdict.accept and verdict.take_more else verdict.accept,
        take,
    )


def limits_of(
    part: Part, record: StepRecord | None, kind: str, products: Mapping[str, Product]
) -> tuple[Accepted | None, str]:
    """Return the limits that count: the step's own, its product's, or the next coat's product's.

    With ``?`` behind those of a product that is a placeholder.
    """
    if record is None:
        return None, ""
    ahead = (r for r in part.steps if r.number > record.number and r.step.kind == "coat")
    below = next(ahead, None) if record.step.kind != "coat" else None
    keys = [record.step.product, *([below.step.product] if below is not None else [])]
    sheets = (product for key in keys if (product := products.get(key)) is not None)
    limits = [(record.step.accept, "")]
    limits += [(sheet.accept, doubt_mark(sheet.source == "placeholder")) for sheet in sheets]
    found = ((limit, doubt) for of_one, doubt in limits for limit in of_one if limit.kind == kind)
    return next(found, (None, ""))


def more_words(take: int) -> str:
    """Say how many readings are still to take; empty where none is.

    >>> more_words(1), more_words(0)
    ('take 1 more reading', '')
    """
    if not take:
        return ""
    return "take 1 more reading" if take == 1 else f"take {take} more readings"


# --- what lies below a film ----------------------------------------------------------------------


def less_below(
    part: Part, record: StepRecord, surface: str, measurements: Sequence[Measurement]
) -> float:
    """Return what is taken off each reading of a coat that was measured through what lies below.

    surface: one of SURFACES. On zinc the mean of the zinc, on a blasted profile what ISO 19840
    takes off; and the mean of each coat below. Raises ValueError where one was not measured.
    """
    if surface == ZINC_BELOW:
        zinc = [m for m in measurements if m.kind == "zinc" and not m.struck]
        below = mean_of(values_of(zinc))
        if below is None:
            raise ValueError("the zinc was not measured before the first coat")
    else:
        below = ROUGHNESS_UM[surface]
    whole = part.whole_coat(record)
    under = [r for r in part.done_coats() if r.number < whole[-1].number and not part.is_mist(r)]
    for coat in under:
        if coat.dry_um is None:
            raise ValueError(f"{coat.step.name} below it was not measured")
        below += coat.dry_um
    return round(below, DECIMALS)


# --- what is wanted ------------------------------------------------------------------------------


def asked_of(record: StepRecord, measurements: Sequence[Measurement]) -> tuple[str, ...]:
    """Say what the route wants measured at a step and is not there yet; nothing of one to come."""
    if record.status not in ("in hand", "done"):
        return ()
    asked = (
        _asked(KINDS[key], record, standing(measurements, key, record.number))
        for key in record.step.measure
    )
    return tuple(words for words in asked if words)


def _asked(kind: MeasurementKind, record: StepRecord, there: Sequence[Measurement]) -> str:
    count = sum(len(each.readings) for each in there)
    if kind.words or kind.wanted == 1:
        return "" if there else kind.name
    if kind.a_face and record.marks:
        return _asked_a_face(kind, record, there)
    if not count:
        return f"{kind.name}, {kind.wanted} readings"
    return "" if count >= kind.wanted else f"{kind.name}, {kind.wanted - count} more readings"


def _asked_a_face(kind: MeasurementKind, record: StepRecord, there: Sequence[Measurement]) -> str:
    """Readings of no face count for every face."""
    by_face = {mark.name: 0 for mark in record.marks}
    anywhere = sum(len(each.readings) for each in there if each.face not in by_face)
    for each in there:
        if each.face in by_face:
            by_face[each.face] += len(each.readings)
    short = [face for face, count in by_face.items() if count + anywhere < kind.wanted]
    words = f"{kind.name}, {kind.wanted} readings a face"
    if not short:
        return ""
    return words if len(short) == len(by_face) else f"{words}: still {' '.join(short)}"


def deviations_of(
    part: Part,
    record: StepRecord,
    measurements: Sequence[Measurement],
    products: Mapping[str, Product],
) -> Iterator[str]:
    """Say what of a step's readings is outside its limits, or was never taken."""
    for kind in KINDS.values():
        there = standing(measurements, kind.key, record.number)
        found = judged(part, record, kind.key, values_of(there), products)
        if there and found.good is False:
            yield f"{kind.name}: {found.words}"
        elif there and there[-1].grade == BROKEN:
            yield "the water broke: it was not clean"
    yield from (f"not measured: {words}" for words in asked_of(record, measurements))
