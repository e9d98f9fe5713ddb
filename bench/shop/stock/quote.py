"""A quote: what some lots would take by this shop's sheets, tins and log. Nothing is written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.ahead.quote import (
    QuoteHours,
    QuoteItem,
    check_item,
    part_of_item,
    quote_hours,
)
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.shopping import Shopping, all_needs
from bench.process.stock.shopping import shopping as listed
from bench.shop.core.mappers import by_key, products_of, routes_of, settings_of, shapes_of
from bench.shop.core.transaction import Shop
from bench.shop.queries.durations import durations_of
from bench.shop.queries.paint_use import uses_of
from bench.shop.stock.tin_list import sizes_ml


@dataclass(frozen=True)
class AskedItem:
    """A lot as it is typed: keys of its route and shape, the area of one piece in m2 or None."""

    route: str
    shape: str
    area_m2: float | None = None
    count: int = 1


@dataclass(frozen=True)
class Quote:
    """What some lots take. paint: as if no tin were there; now: in the shop's zone."""

    items: tuple[QuoteItem, ...]
    paint: Shopping
    hours: QuoteHours
    now: datetime
    products: Mapping[str, Product]


def items_of(shop: Shop, asked: Sequence[AskedItem]) -> tuple[QuoteItem, ...] | Refusal:
    """Find what is asked about; refuses the first that cannot be so. Raises StoreFault."""
    with shop.store.reading() as session:
        routes, shapes = routes_of(session), shapes_of(session)
    items: list[QuoteItem] = []
    for each in asked:
        route = by_key(routes, each.route, "route")
        shape = by_key(shapes, each.shape, "shape")
        if isinstance(route, Refusal):
            return route
        if isinstance(shape, Refusal):
            return shape
        item = QuoteItem(route, shape, each.area_m2, each.count)
        if refused := check_item(item):
            return refused
        items.append(item)
    return tuple(items)


def quote(shop: Shop, asked: Sequence[AskedItem]) -> Quote | Refusal:
    """Work out paint, tins and hours of some lots; refuses the first that cannot be so."""
    items = items_of(shop, asked)
    if isinstance(items, Refusal):
        return items
    with shop.store.reading() as session:
        shapes, products = shapes_of(session), products_of(session)
        parts = [part_of_item(item, str(number)) for number, item in enumerate(items, start=1)]
        needs = all_needs(parts, products, shapes, uses_of(session, products, shapes))
        now = shop.clock.now()
        durations = durations_of(session)
        return Quote(
            items,
            listed(needs, (), products, sizes_ml(session, needs, products), now),
            quote_hours(items, durations.of),
            now.astimezone(settings_of(session).hours.zone),
            products,
        )
