"""What is to be bought: what the coats still to come take, less what is left in tins."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from bench.process.needs import Need
from bench.process.pots import Pot, pot_word
from bench.process.product import Product
from bench.process.tins import SLACK_ML, Tin, sound_ml
from bench.trade.film import CAN_ML

Component = tuple[str, str]
"""A product's key and the part of it that comes in a tin; no part where nothing is mixed."""


@dataclass(frozen=True)
class Wanted:
    """One component: what is needed, what is left in tins that are in date, what is to be bought.

    tin_ml: the size it last came in, None where it never came. guessed: a placeholder is in it.
    """

    product: str
    name: str
    role: str
    need_ml: float
    left_ml: float
    tin_ml: float | None
    guessed: bool
    tags: tuple[str, ...]

    @property
    def buy_ml(self) -> float:
        """What is to be bought; nothing for what a full measure more or less decides."""
        short_ml = self.need_ml - self.left_ml
        return short_ml if short_ml > SLACK_ML else 0.0

    @property
    def buy_tins(self) -> int | None:
        """How many tins that is, None where nobody knows what it comes in."""
        return None if self.tin_ml is None else math.ceil(self.buy_ml / self.tin_ml)


@dataclass(frozen=True)
class Unknown:
    """Coats of a product that could not be reckoned, why, and on which parts."""

    name: str
    why: str
    tags: tuple[str, ...]


@dataclass(frozen=True)
class Shopping:
    """The list, and the coats that could not be reckoned.

    open_pots: of products on the list, and not past their life. They are told and not counted: what
    is left in a pot nobody measured, and whether it is used before it goes off nobody knows.
    """

    wanted: tuple[Wanted, ...]
    unknown: tuple[Unknown, ...]
    open_pots: tuple[Pot, ...] = ()


def shopping(
    needs: Iterable[Need],
    tins: Collection[Tin],
    products: Mapping[str, Product],
    sizes_ml: Mapping[Component, float],
    now: datetime,
    pots: Iterable[Pot] = (),
) -> Shopping:
    """Add up what coats take, by component. sizes_ml: how big the newest tin of each was.

    Thinner of which a product has no tin of its own is drawn from what is thinner for everything.
    """
    thinners = sorted(key for key, product in products.items() if product.kind == "thinner")
    own = {(tin.product, tin.role) for tin in tins}
    coated: set[str] = set()
    need_ml: dict[Component, float] = {}
    tags: dict[Component, list[str]] = {}
    guessed: set[Component] = set()
    unknown: dict[tuple[str, str], list[str]] = {}
    for need in needs:
        coated.add(need.product)
        if need.unknown:
            unknown.setdefault((_name(need.product, products), need.unknown), []).append(need.tag)
        for role, ml in need.ml.items():
            found = (need.product, role)
            if role == "thinner" and found not in own and thinners:
                found = (thinners[0], "")
            need_ml[found] = need_ml.get(found, 0.0) + ml
            tags.setdefault(found, []).append(need.tag)
            guessed |= {found} if need.guessed else set()

    def listed(component: Component) -> Iterable[Tin]:
        of = thinners if component[0] in thinners else [component[0]]
        return (tin for tin in tins if tin.product in of and tin.role == component[1])

    wanted = tuple(
        Wanted(
            product=product,
            name=_name(product, products),
            role=role,
            need_ml=ml,
            left_ml=sound_ml(listed((product, role)), now),
            tin_ml=sizes_ml.get((product, role)) or _can_ml(products.get(product)),
            guessed=(product, role) in guessed,
            tags=tuple(dict.fromkeys(tags[product, role])),
        )
        for (product, role), ml in sorted(need_ml.items())
    )
    return Shopping(
        wanted,
        tuple(
            Unknown(name, why, tuple(dict.fromkeys(of)))
            for (name, why), of in sorted(unknown.items())
        ),
        tuple(
            pot
            for pot in pots
            if pot.total_ml is not None and pot_word(pot, now) != "BIN" and pot.product in coated
        ),
    )


def _name(key: str, products: Mapping[str, Product]) -> str:
    return products[key].name if key in products else key


def _can_ml(product: Product | None) -> float | None:
    return CAN_ML if product is not None and product.tool == "aerosol" else None
