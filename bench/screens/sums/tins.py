"""What is mixed: a product of the shop with its thinner, or a ratio typed off another tin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from bench.process.mixing import ratio_with_thinner
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.screens.sums.road import Asking, Facts, number, pick, product, sheet_number
from bench.trade import mixing
from bench.trade.mixing import By, Of, Ratio, Share

ANOTHER_TIN = "another tin"
_OTHER_PARTS = ("hardener", "activator", "nothing: one part only")
OF_WORDS: dict[Of, str] = {
    "base": "the base",
    "mixed": "base and hardener",
    "total": "the whole",
}


@dataclass(frozen=True)
class Tin:
    """What is mixed: its ratio with thinner, densities where needed, its sheet if known."""

    ratio: Ratio
    densities: Mapping[str, float] | None
    product: Product | None

    @property
    def roles(self) -> tuple[str, ...]:
        """Its parts in the order of pouring, the thinner last."""
        return tuple(share.role for share in mixing.all_shares(self.ratio))


def tin_in_hand(facts: Facts) -> Asking[Tin]:
    """A product of the shop, or a ratio typed off another tin."""
    known = yield from product(facts, lambda each: each.ratio is not None, ANOTHER_TIN)
    if known is None:
        ratio = yield from _ratio()
    else:
        thinner_pct = None
        if known.thinner is not None:
            thinner_pct = yield from sheet_number(
                f"thinner, of {OF_WORDS[known.thinner.of]}",
                "%",
                known.thinner.least_pct,
                known,
                10,
            )
        allowed = ratio_with_thinner(known, thinner_pct)
        if isinstance(allowed, Refusal):
            raise ValueError(str(allowed))
        ratio = allowed
    densities = known.densities or None if known else None
    if ratio.by == "weight":
        densities = yield from densities_of(ratio, known)
    return Tin(ratio, densities, known)


def _ratio() -> Asking[Ratio]:
    shares = [Share("base", (yield from number("parts of base", such_as=4)))]
    other = yield from pick("the other part", _OTHER_PARTS)
    if other < 2:
        role = _OTHER_PARTS[other]
        shares.append(Share(role, (yield from number(f"parts of {role}", such_as=1))))
    by = get_args(By)[(yield from pick("the ratio is by", get_args(By)))]
    thinner_pct = yield from number("thinner", "%", 0, such_as=10)
    of: Of = "mixed"
    if thinner_pct:
        of = get_args(Of)[(yield from pick("percent of", tuple(OF_WORDS.values()), 1))]
    ratio = Ratio(tuple(shares), by, thinner_pct, of)
    mixing.check_ratio(ratio)
    return ratio


def densities_of(ratio: Ratio, known: Product | None) -> Asking[dict[str, float]]:
    """Grams a millilitre of each part: a scale and a cup meet nowhere else."""
    found = {}
    for share in mixing.all_shares(ratio):
        value = known.densities.get(share.role) if known else None
        found[share.role] = yield from sheet_number(
            f"density of {share.role}",
            "g/ml",
            value,
            known,
            0.9 if share.role == "thinner" else 1.2,
        )
    return found
