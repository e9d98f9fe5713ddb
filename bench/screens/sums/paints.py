"""What is asked of a paint: solids, film, thinner, what lands; from its sheet where it is known."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from bench.process.product import Product
from bench.screens.sums.road import USUAL, Asking, Facts, number, pick, product, sheet_number
from bench.screens.sums.tins import ANOTHER_TIN
from bench.trade import film, mixing
from bench.trade.film import Shape, Tool

TOOLS: tuple[Tool, ...] = get_args(Tool)
SHAPES: tuple[Shape, ...] = get_args(Shape)
SHAPE_WORDS = ("an open face", "rails, tubes, a frame", "small parts on hooks")


def paint(facts: Facts) -> Asking[Product | None]:
    """A product whose solids the shop knows, or another tin."""
    return (yield from product(facts, lambda p: p.volume_solids_pct is not None, ANOTHER_TIN))


def solids(known: Product | None) -> Asking[float]:
    """Volume solids in percent, before thinner."""
    value = known.volume_solids_pct if known else None
    return (yield from sheet_number("volume solids, no thinner", "%", value, known, 45))


def dry_film(known: Product | None) -> Asking[float]:
    """Dry film of one coat in um, as the sheet aims at."""
    value = known.film.target_um if known and known.film else None
    return (yield from sheet_number("dry film of a coat", "um", value, known, 60))


def thinner_least_pct(known: Product | None) -> float:
    """Thinner by volume in percent of base and hardener, at the sheet's least."""
    if known is None or known.thinner is None or known.ratio is None:
        return 0.0
    allowed = known.thinner
    ratio = replace(known.ratio, thinner_pct=allowed.least_pct, thinner_of=allowed.of)
    return mixing.thinner_of_mixed_pct(ratio, known.densities or None)


def thinner(known: Product | None) -> Asking[float]:
    """Thinner by volume in percent of base and hardener."""
    value = thinner_least_pct(known)
    known_from = known.source if known and value else ""
    return (yield from number("thinner, of base + hardener", "%", value, known_from, such_as=10))


def transfer(known: Product | None) -> Asking[float]:
    """What lands on the part in percent, by tool and shape: the least of it, to buy enough."""
    own = known.tool if known and known.tool in TOOLS else "hvlp"
    tool = TOOLS[(yield from pick("tool", TOOLS, [*TOOLS].index(own)))]
    return (yield from landing(tool))


def landing(tool: str) -> Asking[float]:
    """What lands on the part in percent, by its shape."""
    shape = SHAPES[(yield from pick("shape", SHAPE_WORDS, 1))]
    try:
        least_pct = film.transfer(tool, shape).least_pct
    except ValueError:  # no figure is held for it: the painter's own
        return (yield from number("lands on the part", "%", such_as=40))
    return (yield from number("lands on the part", "%", least_pct, USUAL))
