"""Who signs an override: a PIN of a painter's own, where somebody wants one."""

from __future__ import annotations

import secrets

from bench.process.refusal import Refusal
from bench.process.typed import PIN_LENGTH, hashed_pin, is_pin
from bench.shop.acting import Done, Shop
from bench.store import finding

SALT_BYTES = 16


def set_pin(shop: Shop, by: str, pin: str, *, salt: bytes | None = None) -> Done | Refusal:
    """Give a painter a PIN, or another one; an empty one takes it away.

    Who has one already signs with it first (``Shop.with_pin``). salt: random where none is given.
    """
    if pin and not is_pin(pin):
        return Refusal(
            f"a PIN of {len(pin)} signs", "", f"{PIN_LENGTH} figures, such as those typed"
        )
    with shop.act("PIN", by) as act:
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        unsigned = act.signed()
        if unsigned is not None:
            return unsigned
        row = finding.painter(act.session, painter)
        if not pin and not row.pin:
            return Refusal(f"{painter} has no PIN", "", "nothing to take away")
        row.pin = hashed_pin(pin, salt or secrets.token_bytes(SALT_BYTES)) if pin else ""
        told = "has a new PIN" if pin else "has no PIN any more"
        return act.done("", f"{painter} {told}")
