"""The numbers by which menus offer products and routes: given for good, in the order they came."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bench.shop.core.transaction import Shop
from bench.store.queries import bench_rows, history_rows
from bench.store.schema.tables import ProductRow, RouteRow

FIRST_NUMBER = 11
"""Two figures for each, none beginning with a zero: that key leads back."""


def product_numbers(shop: Shop) -> dict[str, int]:
    """Give each product's number in menus, by its key."""
    with shop.store.reading() as session:
        keys = [key for key, _ in bench_rows.products(session)]
        return number_keys(keys, history_rows.keys_typed(session, ProductRow))


def route_numbers(shop: Shop) -> dict[str, int]:
    """Give each route's number in menus, by its key."""
    with shop.store.reading() as session:
        keys = [key for key, _ in bench_rows.plans(session, RouteRow)]
        return number_keys(keys, history_rows.keys_typed(session, RouteRow))


def route_placed_last(shop: Shop) -> str | None:
    """Give the key of the route of the part that came last, None before there was one."""
    with shop.store.reading() as session:
        return history_rows.newest_route(session)


def number_keys(there: Sequence[str], came_later: Iterable[str]) -> dict[str, int]:
    """Number what a shop was opened with, then what was typed since; a number is given once.

    there: what there is now; came_later: every key ever typed as new, oldest first.

    >>> number_keys(["base", "enamel", "gloss"], ["wax", "enamel"])
    {'base': 11, 'gloss': 12, 'wax': 13, 'enamel': 14}
    """
    later = dict.fromkeys(came_later)
    first = (key for key in there if key not in later)
    return {key: number for number, key in enumerate([*first, *later], start=FIRST_NUMBER)}
