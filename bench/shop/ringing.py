"""What the bench, or one part, would ring a phone for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bench.process.refusal import Refusal
from bench.process.ringing import Ring, rings_of
from bench.shop.acting import Shop, Target
from bench.shop.sight import found, look
from bench.store import past


@dataclass(frozen=True)
class Ringing:
    """What is ahead, the first first. shop_key: tells this shop's things from another's.

    doubtful: the clock is wrong, so that every hour is only "at least".
    """

    now: datetime
    shop_key: str
    rings: tuple[Ring, ...]
    doubtful: bool


def ringing(shop: Shop, target: Target | None = None) -> Ringing | Refusal:
    """Of one part, or of the whole bench with its pots and guns."""
    view, now = look(shop), shop.clock.now()
    everything = [placed for _, placed in view.stands if placed] + list(view.off_stand)
    if target is not None:
        placed = found(view, target)
        if isinstance(placed, Refusal):
            return placed
        everything = [placed]
    pots, guns = (view.pots, view.guns) if target is None else ((), ())
    rings = rings_of(((p.part, p.clocks) for p in everything), pots, guns, now)
    if not rings:
        return Refusal("nothing is ahead to ring for", "", "begin a coat or mix a pot first")
    with shop.store.reading() as session:
        key = past.opened_at(session).isoformat()
    return Ringing(now, key, rings, view.doubtful)
