"""What is mixed: a product of the shop with its thinner, or a ratio typed off another tin."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from bench.process.mixing import ratio_with_thinner
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.screens.sums.asking import Asking, number, pick
from bench.screens.sums.known import Fact
from bench.sums.blend import Blend
from bench.sums.inputs import DENSITY, THINNER_SHARE
from bench.sums.model import Input
from bench.trade import mixing
from bench.trade.mixing import MOST_PART, By, Of, Ratio, Share

_OTHER_PARTS = ("hardener", "activator", "nothing: one part only")
OF_WORDS: dict[Of, str] = {"base": "the base", "mixed": "base and hardener", "total": "the whole"}


def tin_in_hand(product: Asking[Product | None]) -> Asking[tuple[Blend, Product | None]]:
    """A product of the shop, or a ratio typed off another tin. product: the question for it."""
    known = yield from product
    ratio = (yield from _ratio()) if known is None else (yield from _thinned(known))
    blend = Blend(ratio, known.densities or None if known else None)
    return (yield from with_densities(blend, known)) if ratio.by == "weight" else blend, known


def _thinned(known: Product) -> Asking[Ratio]:
    thinner_pct = None
    if known.thinner is not None:
        asked = replace(THINNER_SHARE, label=f"thinner, of {OF_WORDS[known.thinner.of]}")
        thinner_pct = yield from number(
            asked, Fact(known.thinner.least_pct, known.source), must=True
        )
    allowed = ratio_with_thinner(known, thinner_pct)
    if isinstance(allowed, Refusal):
        raise ValueError(str(allowed))
    return allowed


def _parts(role: str, example: float) -> Input:
    return Input(role, f"parts of {role}", over=0, most=MOST_PART, example=example)


def _ratio() -> Asking[Ratio]:
    shares = [Share("base", (yield from number(_parts("base", 4))))]
    other = yield from pick("the other part", _OTHER_PARTS)
    if other < 2:
        role = _OTHER_PARTS[other]
        shares.append(Share(role, (yield from number(_parts(role, 1)))))
    by = get_args(By)[(yield from pick("the ratio is by", get_args(By)))]
    thinner_pct = yield from number(replace(THINNER_SHARE, usual=0), must=True)
    of: Of = "mixed"
    if thinner_pct:
        of = get_args(Of)[(yield from pick("percent of", tuple(OF_WORDS.values()), 1))]
    ratio = Ratio(tuple(shares), by, thinner_pct, of)
    mixing.check_ratio(ratio)
    return ratio


def with_densities(blend: Blend, known: Product | None) -> Asking[Blend]:
    """It with grams a millilitre of each part: a scale and a cup meet nowhere else."""
    densities = {}
    for role in blend.roles:
        value = known.densities.get(role) if known else None
        asked = replace(DENSITY, label=f"density of {role}", example=1.2)
        fact = Fact(value, known.source) if known and value is not None else None
        densities[role] = yield from number(asked, fact)
    return replace(blend, densities=densities)
