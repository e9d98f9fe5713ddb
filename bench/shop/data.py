"""Opening the shop's data at a place."""

from __future__ import annotations

from pathlib import Path

from bench.clock import Clock
from bench.process.refusal import Refusal
from bench.shop.acting import Shop
from bench.store.database import CannotOpen, open_store


def open_data(place: str, clock: Clock, terminal: str, *, may_be_new: bool) -> Shop | Refusal:
    """The shop whose data is at a path, or why it cannot be opened.

    may_be_new: make the file if there is none. Otherwise a mistyped path is refused and left alone.
    """
    if not may_be_new and not Path(place).exists():
        return Refusal(
            "no shop's data here", place, "give its path with --db, or open a shop first"
        )
    try:
        return Shop(open_store(place), clock, terminal)
    except CannotOpen as fault:
        return Refusal(str(fault))
