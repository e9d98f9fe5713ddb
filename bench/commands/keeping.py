"""Keeping the shop's data: out of it, and into a new place."""

from __future__ import annotations

import sys
from pathlib import Path

from bench.commands.call import Call, Placing
from bench.process.refusal import Refusal
from bench.shop import exchange
from bench.shop.acting import Done
from bench.shop.data import open_data

STANDARD = "-"
"""In the place of a file: the standard output, or input."""


def export(call: Call) -> Done | Refusal | None:
    """The whole shop as one JSON text."""
    if call.args.file == STANDARD:
        exchange.export_shop(call.shop, call.out)
        return None
    return exchange.export_to(call.shop, Path(call.args.file))


def bring_in(call: Placing) -> Done | Refusal:
    """Fill a new place with an export. What cannot be read is refused before one is made."""
    file = call.args.file
    try:
        raw = sys.stdin.buffer.read() if file == STANDARD else Path(file).read_bytes()
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        return Refusal(f"{file} cannot be read", why, "nothing was changed")
    name = "what came in" if file == STANDARD else file
    whole = exchange.read_export(raw, name)
    if isinstance(whole, Refusal):
        return whole
    shop = open_data(call.place, call.clock, call.terminal, may_be_new=True)
    if isinstance(shop, Refusal):
        return shop
    try:
        return exchange.import_shop(shop, whole)
    finally:
        shop.store.close()
