"""The clocks of a pot, and of a gun that is loaded from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process import rules
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.shopunits import ShopUnits, figures, quantity, shop_unit
from bench.trade.ageing import Basis
from bench.trade.mixing import big_pot_life_s, induction_s, pot_life_s

UNREAD_C = 20.0
"""The temperature most sheets give a pot life at; used, and marked, when nothing was read."""

BIN_SOON_S = 30 * 60
"""How long before its end a pot says BIN BY (common practice, no source)."""

FLUSH_WITHIN_S = 60 * 60
"""Longest that two-pack paint may stand in a gun, 15 to 60 min (common practice, no source)."""

FLUSH_SOON_S = 15 * 60
"""How long before that the gun is on the list of what wants doing (common practice, no source)."""


@dataclass(frozen=True)
class Pot:
    """One mixed quantity. bin_by None: the product has no pot life.

    against: the tins out of date it was mixed from, each with the reason for it.
    """

    letter: str
    product: str
    name: str
    mixed_at: datetime
    use_from: datetime
    bin_by: datetime | None
    total_ml: float | None = None
    basis: Basis = "sheet"
    against: tuple[str, ...] = ()


@dataclass(frozen=True)
class Gun:
    """A gun that was loaded from a pot and not flushed since. flush_by None: no end is known.

    cautions: shown where it is flushed.
    """

    letter: str
    name: str
    flush_by: datetime | None
    cautions: tuple[str, ...] = ()


def pot_ends(
    product: Product, mixed_at: datetime, paint_c: float | None, total_ml: float | None = None
) -> tuple[datetime | None, Basis]:
    """When a pot mixed now is to be binned, counted from hardener meeting base.

    Warmth shortens it, cold never lengthens it; a big pot warms itself. Without a reading the
    sheet's own temperature is taken and the figure is a guess.
    """
    if not product.pot_life:
        return None, "sheet"
    life = pot_life_s(product.pot_life, UNREAD_C if paint_c is None else paint_c)
    seconds = big_pot_life_s(life.seconds, total_ml) if total_ml else life.seconds
    basis: Basis = "guess" if paint_c is None else life.basis
    return mixed_at + timedelta(seconds=seconds), basis


def rest_of(product: Product, paint_c: float | None) -> timedelta:
    """How long a mix rests before it may be sprayed: cold lengthens it, warmth is not credited.

    The sheet's figure is for UNREAD_C; without a reading it is taken as it stands.
    """
    if not product.induction_s or paint_c is None:
        return timedelta(seconds=product.induction_s)
    rest = induction_s(((UNREAD_C, product.induction_s),), paint_c)
    return timedelta(seconds=round(rest.seconds))


def pot_ends_as_read(
    product: Product,
    mixed_at: datetime,
    read: Sequence[tuple[datetime, float]],
    total_ml: float | None = None,
) -> tuple[datetime | None, Basis]:
    """When a pot is to be binned by all that was read of the air since it was mixed.

    read: instants and C, oldest first, the first of them the last before the mixing. Each stretch
    uses up its share of the life at its warmer end (on the safe side; the sum is that of
    ``ageing.progress``); what is left lasts as long as it would at the newest reading.
    """
    if not read or not product.pot_life:
        return pot_ends(product, mixed_at, None, total_ml)
    used, since, was_c = 0.0, mixed_at, read[0][1]
    for at, air_c in read:
        if at > since:
            ends, basis = pot_ends(product, mixed_at, max(was_c, air_c), total_ml)
            assert ends is not None
            life, share = ends - mixed_at, 1 - used
            used += (at - since) / life
            if used >= 1:
                return since + life * share, basis
            since = at
        was_c = air_c
    ends, basis = pot_ends(product, mixed_at, was_c, total_ml)
    assert ends is not None
    return since + (ends - mixed_at) * (1 - used), basis


def outside_its_limits(product: Product, paint_c: float | None, units: ShopUnits) -> str:
    """That the pot is mixed colder or warmer than its sheet coats at; empty where it is not."""
    limits = product.limits
    if paint_c is None or limits.metal_least_c <= paint_c <= limits.metal_most_c:
        return ""
    mark = "" if product.source == "sheet" else "?"
    side, end_c = (
        ("below", limits.metal_least_c)
        if paint_c < limits.metal_least_c
        else ("above", limits.metal_most_c)
    )
    read, end = quantity(paint_c, "C", units), figures(end_c, "C", units)
    return f"{read} is {side} its range, {end}{mark} {shop_unit('C', units)}: read its sheet first"


def loads_a_gun(product: Product, *, sprayed: bool) -> bool:
    """Whether a coat leaves paint in a gun that goes hard: mixed, ageing, and no can."""
    return sprayed and product.keeps_a_pot_clock and product.ratio is not None


def flush_by(
    bin_by: datetime | None, triggers: Iterable[tuple[datetime | None, bool]]
) -> datetime | None:
    """By when a gun is to be flushed: the pot's end, or an hour after its last trigger if sooner.

    triggers: of each coat sprayed from the pot when the trigger was last released, and whether it
    is still in hand.
    """
    released: list[datetime] = []
    for at, in_hand in triggers:
        if in_hand:
            return bin_by
        if at is not None:
            released.append(at)
    ends = [max(released) + timedelta(seconds=FLUSH_WITHIN_S)] if released else []
    return min([*ends, bin_by] if bin_by is not None else ends, default=None)


def gun_left_s(gun: Gun, now: datetime) -> float | None:
    """Seconds until it is to be flushed, below nought once that is past."""
    return None if gun.flush_by is None else (gun.flush_by - now).total_seconds()


def pot_word(pot: Pot, now: datetime) -> str:
    """REST, USE, BIN BY (its end is near) or BIN."""
    if pot.bin_by is not None and now >= pot.bin_by:
        return "BIN"
    if now < pot.use_from:
        return "REST"
    if pot.bin_by is not None and (pot.bin_by - now).total_seconds() <= BIN_SOON_S:
        return "BIN BY"
    return "USE"


def pot_past_life(pot: str, ended: str) -> Refusal:
    """The rule against a pot whose life is over. ended: the hour, in words."""
    rule, read = f"{pot} is past its life", f"its life ended {ended}"
    return rules.POT_PAST_LIFE.refuses(rule, read, "bin it and mix fresh")


def pot_to_take(product: str, pots: Iterable[Pot], at: datetime) -> Pot | None:
    """The pot a coat is begun with: the newest one in use, else the newest there is."""
    own = [pot for pot in pots if pot.product == product and pot.mixed_at <= at]
    in_use = [pot for pot in own if pot_word(pot, at) in ("USE", "BIN BY")]
    return max(in_use or own, key=lambda pot: pot.mixed_at, default=None)
