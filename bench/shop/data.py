"""Opening the shop's data at a place."""

from __future__ import annotations

from bench.clock import Clock, ServerClock
from bench.process.refusal import Refusal
from bench.shop.acting import Shop
from bench.store.database import CannotOpen, NothingHere, Store, open_store


def open_data(place: str, clock: Clock, terminal: str, *, may_be_new: bool) -> Shop | Refusal:
    """The shop whose data is at a place, or why it cannot be opened.

    place: a path, or the address of a PostgreSQL database. may_be_new: make the data if there is
    none. Otherwise a mistyped place is refused and left alone.
    """
    try:
        return Shop(_opened(place, clock, may_be_new=may_be_new), clock, terminal)
    except NothingHere as fault:
        return Refusal(
            "no shop's data here", str(fault), "give its place with --db, or open a shop first"
        )
    except CannotOpen as fault:
        return Refusal(str(fault))


def _opened(place: str, clock: Clock, *, may_be_new: bool) -> Store:
    if isinstance(clock, ServerClock):
        return open_store(place, may_be_new=may_be_new, hear=clock.hear)
    return open_store(place, may_be_new=may_be_new)


def data_file(shop: Shop) -> str | None:
    """The file the shop's data is in, None where it is on a server."""
    return shop.store.place
