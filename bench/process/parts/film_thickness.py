"""How thick a coat came out, and how much longer what opens after it takes for that.

A coat that a painter calls heavy takes half as long again; one that was measured takes the square
of how many times its target it is, for doubling the film about quadruples solvent escape (common
practice, no source). Nothing is ever shorter for it, and what closes never moves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bench.process.parts.part import Part, StepRecord, Weight
from bench.process.parts.spray_guidance import wet_target_um, wet_words
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.system_film import MIST_WORDS, too_much_film, whole_coats
from bench.process.wording.display_units import (
    METRIC,
    ShopUnits,
    format_figures,
    quantity,
    shop_unit,
)
from bench.process.wording.time_text import format_number
from bench.trade import film
from bench.trade.checked import number

WEIGHTS: tuple[Weight, ...] = ("thin", "as meant", "heavy")

HEAVY_TIMES = 1.5
"""A coat that came out heavy waits half as long again (common practice, no source)."""

MOST_TIMES = 3.0
"""No estimate from a measured film goes further: test it (common practice, no source)."""

FilmKind = Literal["wet", "dry"]
FILMS: dict[FilmKind, str] = {"wet": "WFT", "dry": "DFT"}
"""What each film that is measured is called."""

MOST_UM: dict[FilmKind, float] = {"wet": film.MOST_WET_UM, "dry": film.MOST_DRY_UM}

Films = Mapping[FilmKind, float | None]
"""The films of a coat that were measured, in um; None: it was not."""


def times_as_long(part: Part, record: StepRecord, product: Product | None) -> float:
    """Return how many times as long whatever opens after a coat takes, from 1 to MOST_TIMES.

    Of a mist and the build that continues it the heavier counts. 1 for what is no coat.
    """
    return _times(thickest(part, record, product), product)


def thickest(part: Part, record: StepRecord, product: Product | None) -> StepRecord:
    """Return the step that decides how long a coat waits: itself, or a heavier mist below it."""
    return heavier(part.whole_coat(record), product)


def heavier(steps: Sequence[StepRecord], product: Product | None) -> StepRecord:
    """Return the one that waits longest, the first of those that wait alike."""
    return max(steps, key=lambda each: _times(each, product))


def _times(record: StepRecord, product: Product | None) -> float:
    if record.step.kind != "coat":
        return 1.0
    share = of_target(record, product)
    if share is not None:
        return min(max(share * share, 1.0), MOST_TIMES)
    return HEAVY_TIMES if record.weight == "heavy" else 1.0


def of_target(record: StepRecord, product: Product | None) -> float | None:
    """Return how many times its target the film is that was measured, the thicker of wet and dry.

    None where it was not measured, or its product names no target to hold it against.
    """
    shares = (
        um / target
        for kind, um in films_of(record).items()
        if um is not None and (target := target_um(product, kind)) is not None
    )
    return max(shares, default=None)


def films_of(record: StepRecord) -> dict[FilmKind, float | None]:
    """Return both films of a coat as they were measured."""
    return {"wet": record.wet_um, "dry": record.dry_um}


def target_um(product: Product | None, kind: FilmKind) -> float | None:
    """Return a product's target film in um, wet at the least thinner; None without a figure.

    More thinner makes a wet film thicker than this, and what has to leave it more: the safe side.
    """
    if product is None or product.film is None:
        return None
    return wet_target_um(product) if kind == "wet" else product.film.target_um


@dataclass(frozen=True)
class FilmAhead:
    """What to spray next: a mist by its looks, else a film in um.

    wet_um, dry_um: 0 for a mist, or where its data sheet does not say. words: in full.
    """

    words: str
    wet_um: float = 0.0
    dry_um: float = 0.0


def film_ahead(
    part: Part, record: StepRecord, product: Product, units: ShopUnits = METRIC
) -> FilmAhead:
    """Return what to spray: a mist has no figure, mist and build together the product's film.

    A mist that was measured is taken off the build's figure.
    """
    if part.is_mist(record):
        return FilmAhead(MIST_WORDS)
    wet_um, film = wet_target_um(product), product.film
    if film is None or wet_um is None:
        return FilmAhead("")
    dry_um = max(film.target_um - _mist_um(part, record, product), 0.0)
    wet_um *= dry_um / film.target_um
    words = wet_words(wet_um, dry_um, product, units)
    if record.step.continues and dry_um == film.target_um:
        words += ", mist and build together"
    elif record.step.continues:
        words += " on the mist that was measured"
    if not dry_um:
        words = "the mist measured as thick as the whole coat: no build"
    return FilmAhead(words, wet_um, dry_um)


def too_much_ahead(
    part: Part, record: StepRecord, product: Product | None, units: ShopUnits = METRIC
) -> str:
    """Say that this coat on top of those of its product makes more film than it may have.

    Coats that were measured count as measured, the others as their target. Empty otherwise.
    """
    if product is None or product.film is None or record.step.kind != "coat":
        return ""
    steps = [r for r in part.steps if r.status not in ("struck", "skipped")]
    ends = whole_coats([r.step for r in steps])
    coats = [r for r in steps if r.step.product == product.key and any(r.step is e for e in ends)]
    if part.is_mist(record):
        record = next((r for r in coats if r.number > record.number), record)
    below = [r for r in coats if r.number < record.number and r.status == "done"]
    um = sum(_dry_um(part, r, product) for r in below)
    um += max(product.film.target_um, _mist_um(part, record, product))
    words = too_much_film(product, um, len(coats), units)
    return f"{words}: measure it before you spray" if words else ""


def _dry_um(part: Part, record: StepRecord, product: Product) -> float:
    """Return the dry film of a whole coat: as measured, mist and all, else its target."""
    measured = of_target(record, product)
    target = product.film.target_um if product.film else 0.0
    if record.dry_um is not None:
        return record.dry_um
    return target if measured is None else measured * target + _mist_um(part, record, product)


def _mist_um(part: Part, record: StepRecord, product: Product) -> float:
    """Return the dry film of the mist that a build goes on with; 0 where nobody measured it."""
    mists = part.whole_coat(record)[1:]
    shares = (of_target(mist, product) or 0.0 for mist in mists)
    return sum(shares) * (product.film.target_um if product.film else 0.0)


def against_film(product: Product | None, kind: FilmKind, um: float | None) -> Refusal | None:
    """Return why a measured film cannot be taken; None where it can, or is taken back."""
    if um is None:
        return None
    try:
        number(um, FILMS[kind], "um", over=0, most=MOST_UM[kind])
    except ValueError as fault:
        return Refusal(str(fault), "", "read the gauge again")
    if target_um(product, kind) is None:
        name = product.name if product else "the product"
        right = "type its dry film and volume solids, or say thin or heavy"
        return Refusal(f"{name} has no target {FILMS[kind]} on its data sheet", f"{um:g} um", right)
    return None


def coat_to_judge(part: Part) -> StepRecord | Refusal:
    """Return the coat that may be called thin or heavy: the last work done, the next not begun."""
    current, last = part.current(), part.clock_step()
    right = "an older coat is corrected on the job record"
    if current is not None and current.status == "in hand":
        return Refusal(f"{current.step.name} is in progress", "", f"finish it first; {right}")
    if current is None or last is None or last.step.kind != "coat":
        name = last.step.name if last is not None else "nothing is done yet"
        return Refusal(f"tag {part.tag}: its last work is no coat that waits", name, right)
    return last


def longer_words(times: float) -> str:
    """Say how many times as long a wait is.

    >>> longer_words(1.5), longer_words(2.25)
    ('half as long again', '2.25 times as long')
    """
    return "half as long again" if times == HEAVY_TIMES else f"{format_number(times)} times as long"


def film_words(kind: FilmKind, um: float | None, units: ShopUnits = METRIC) -> str:
    """Say one film as it was measured."""
    name = FILMS[kind]
    return f"{name} not measured" if um is None else f"{name} {quantity(um, 'um', units)}"


def thickness_words(
    record: StepRecord, product: Product | None, units: ShopUnits = METRIC, *, mist: bool = False
) -> str:
    """Say what is known of a coat's thickness and what it does to its waits.

    Empty for one as meant that nobody measured. mist: it has no film of its own to be held against.
    """
    times = _times(record, product)
    films = [
        film_words(kind, um, units) if mist else _beside_target(kind, um, product, units)
        for kind, um in films_of(record).items()
        if um is not None
    ]
    if not films and record.weight == "as meant":
        return ""
    name: str = record.weight
    if of_target(record, product) is not None or name == "as meant":
        name = "heavy" if times > 1 else "measured"
    words = ", ".join([f"{name} coat", *films])
    if times == 1:
        return f"{words}: no wait is shorter"
    most = ", the longest that is estimated" if times == MOST_TIMES else ""
    return f"{words}: waits {longer_words(times)}{most}"


def _beside_target(kind: FilmKind, um: float, product: Product | None, units: ShopUnits) -> str:
    measured, target = film_words(kind, um, units), target_um(product, kind)
    if product is None or target is None:
        return measured
    aim = f"{format_figures(target, 'um', units, '.0f')}{product.doubt_of('film')}"
    return f"{measured}, target {aim} {shop_unit('um', units)}"
