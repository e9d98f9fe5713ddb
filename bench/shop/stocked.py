"""What is in the tins: the list as a screen or the command line shows it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime

from bench.process.product import no_product
from bench.process.refusal import Refusal
from bench.process.tins import Plan, Tin
from bench.shop.acting import Shop
from bench.shop.rows import products_of, settings_of
from bench.shop.taking import plan_of, tins_listed
from bench.store import stock


@dataclass(frozen=True)
class Tins:
    """The tins that are not empty, by product, part and number. now: in the shop's zone."""

    tins: tuple[Tin, ...]
    now: datetime


def tins(shop: Shop) -> Tins:
    """Every tin that is not empty."""
    with shop.store.reading() as session:
        products, zone = products_of(session), settings_of(session).hours.zone
        listed = tins_listed(session, products, zone)
    ordered = sorted(listed, key=lambda tin: (tin.name, tin.product, tin.role, tin.number))
    return Tins(tuple(ordered), shop.clock.now().astimezone(zone))


def usual_size_ml(shop: Shop, product: str, role: str) -> float | None:
    """How big the newest tin of a part was, None where none ever came."""
    with shop.store.reading() as session:
        return stock.last_size_ml(session, product, role)


def plan_for(
    shop: Shop, product: str, amounts_ml: Mapping[str, float], named: Collection[int] = ()
) -> Plan | Refusal:
    """Which tins a mix would be poured from now. Nothing is taken."""
    with shop.store.reading() as session:
        products, zone = products_of(session), settings_of(session).hours.zone
        sheet = products.get(product)
        if sheet is None:
            return no_product(product, products)
        return plan_of(session, products, zone, sheet, amounts_ml, shop.clock.now(), named)
