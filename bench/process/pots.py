"""The clocks of a pot and of the room."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.product import Product
from bench.trade.ageing import Basis
from bench.trade.mixing import pot_life_s

UNREAD_C = 20.0
"""The temperature most sheets give a pot life at; used, and marked, when nothing was read."""

BIN_SOON_S = 30 * 60
"""How long before its end a pot says BIN BY (common practice, no source)."""


@dataclass(frozen=True)
class Pot:
    """One mixed quantity. bin_by None: the product has no pot life."""

    letter: str
    product: str
    name: str
    mixed_at: datetime
    use_from: datetime
    bin_by: datetime | None
    total_ml: float | None = None
    basis: str = "sheet"


def pot_ends(
    product: Product, mixed_at: datetime, paint_c: float | None
) -> tuple[datetime | None, Basis]:
    """When a pot mixed now is to be binned, counted from hardener meeting base.

    Warmth shortens it, cold never lengthens it. Without a reading the sheet's own temperature is
    taken and the figure is a guess.
    """
    if not product.pot_life:
        return None, "sheet"
    life = pot_life_s(product.pot_life, UNREAD_C if paint_c is None else paint_c)
    basis: Basis = "guess" if paint_c is None else life.basis
    return mixed_at + timedelta(seconds=life.seconds), basis


def pot_word(pot: Pot, now: datetime) -> str:
    """REST, USE, BIN BY (its end is near) or BIN."""
    if pot.bin_by is not None and now >= pot.bin_by:
        return "BIN"
    if now < pot.use_from:
        return "REST"
    if pot.bin_by is not None and (pot.bin_by - now).total_seconds() <= BIN_SOON_S:
        return "BIN BY"
    return "USE"


def room_until(
    triggers: Iterable[tuple[datetime | None, bool]], clearance: timedelta, now: datetime
) -> tuple[bool, datetime | None]:
    """Whether masks stay on, and until when (None while somebody is still spraying).

    triggers: for each sprayed coat the instant of its last trigger and whether it is still in
    hand. A later coat extends the time, an earlier one never shortens it.
    """
    until: datetime | None = None
    for released, in_hand in triggers:
        if in_hand:
            return True, None
        if released is not None and (until is None or released + clearance > until):
            until = released + clearance
    return until is not None and now < until, until
