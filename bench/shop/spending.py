"""The shopping list for the parts on the bench, and what a month's paint cost."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, tzinfo
from typing import Any

from bench.process.costs import Month, Poured, Spent, pot_poured, price_per_l, sum_of
from bench.process.refusal import Refusal
from bench.process.shopping import Shopping, all_needs
from bench.process.shopping import shopping as listed
from bench.shop.acting import Shop
from bench.shop.rows import products_of, settings_of
from bench.shop.sight import look
from bench.shop.taking import tins_listed
from bench.store import stock
from bench.store.database import Session
from bench.store.tables import MixRow, TinRow

YearMonth = tuple[int, int]

_MONTH = re.compile(r"([0-9]{4})-([0-9]{1,2})")


def shopping(shop: Shop) -> Shopping:
    """What the coats still to come on the bench take, less what is left in tins.

    What is in open pots is told beside it, not taken off.
    """
    view = look(shop)
    placed = [one for _, one in view.stands if one is not None] + list(view.off_stand)
    needs = all_needs([one.part for one in placed], view.products, view.shapes)
    with shop.store.reading() as session:
        tins = tins_listed(session, view.products, view.house.hours.zone)
        components = {(need.product, role) for need in needs for role in need.ml}
        components |= {(key, "") for key, sheet in view.products.items() if sheet.kind == "thinner"}
        sizes = {
            component: size
            for component in components
            if (size := stock.last_size_ml(session, *component)) is not None
        }
    return listed(needs, tins, view.products, sizes, shop.clock.now(), view.pots)


def month_of(shop: Shop, text: str = "") -> YearMonth | Refusal:
    """A month such as "2025-06"; the present one where nothing is said."""
    with shop.store.reading() as session:
        now = shop.clock.now().astimezone(settings_of(session).hours.zone)
    if not text.strip():
        return now.year, now.month
    found = _MONTH.fullmatch(text.strip())
    if found is None or not 1 <= int(found[2]) <= 12 or not 1 <= int(found[1]) < 9999:
        return Refusal(f"no month '{text.strip()[:20]}'", "", "such as 2025-06")
    return int(found[1]), int(found[2])


def costs(shop: Shop, year: int, month: int) -> Month:
    """What was used and wasted of each product in a month of the shop's calendar."""
    with shop.store.reading() as session:
        zone = settings_of(session).hours.zone
        since, until = _bounds(year, month, zone)
        names = {key: sheet.name for key, sheet in products_of(session).items()}
        binned = stock.binned_between(session, since, until)
        measured = [pot for pot in binned if pot.binned_ml is not None and pot.total_ml]
        spent: dict[str, Spent] = {}
        for key, one in (
            *_used(session, since, until),
            *_binned(session, measured),
            *_thrown(session, since, until),
        ):
            spent[key] = spent.get(key, Spent(names.get(key, key))) + one
    lines = sorted((one for one in spent.values() if _any(one)), key=lambda one: one.name)
    unmeasured = sum(pot.total_ml is not None for pot in binned) - len(measured)
    return Month(year, month, tuple(lines), unmeasured)


OfProduct = Iterator[tuple[str, Spent]]


def _used(session: Session, since: datetime, until: datetime) -> OfProduct:
    pots = stock.mixed_between(session, since, until)
    coats = stock.begun_between(session, since, until)
    tins = _tins(session, [row.tins for row in pots] + [row.tins for row in coats])
    for pot in pots:
        yield pot.product, Spent(used=sum_of(_in_pot(pot, tins)))
    for coat in coats:
        yield str(coat.plan["product"]), Spent(used=sum_of(_from_tins(coat.tins, tins)))


def _binned(session: Session, pots: Sequence[MixRow]) -> OfProduct:
    tins = _tins(session, [row.tins for row in pots])
    for pot in pots:
        share = (pot.binned_ml or 0.0) / (pot.total_ml or 1.0)
        yield pot.product, Spent(binned=sum_of(_in_pot(pot, tins), share))


def _thrown(session: Session, since: datetime, until: datetime) -> OfProduct:
    for tin in stock.tins_emptied(session, since, until):
        left = Poured(tin.left_ml, price_per_l(tin.price, tin.size_ml))
        yield tin.product, Spent(thrown=sum_of([left]))


def _tins(session: Session, taken: Iterable[list[dict[str, Any]]]) -> dict[int, TinRow]:
    return stock.tins_numbered(session, {one["id"] for of_row in taken for one in of_row})


def _any(spent: Spent) -> bool:
    return bool(spent.used.ml or spent.wasted.ml)


def _bounds(year: int, month: int, zone: tzinfo) -> tuple[datetime, datetime]:
    years, months = divmod(month, 12)
    return datetime(year, month, 1, tzinfo=zone), datetime(year + years, months + 1, 1, tzinfo=zone)


def _in_pot(pot: MixRow, tins: dict[int, TinRow]) -> tuple[Poured, ...]:
    pours_ml: dict[str, float] = {}
    for pour in pot.pours:
        pours_ml[pour["role"]] = pours_ml.get(pour["role"], 0.0) + pour["ml"]
    return pot_poured(pours_ml, [(one["role"], one["ml"], _a_litre(one, tins)) for one in pot.tins])


def _from_tins(taken: Iterable[dict[str, Any]], tins: dict[int, TinRow]) -> list[Poured]:
    return [Poured(one["ml"], _a_litre(one, tins)) for one in taken]


def _a_litre(one: dict[str, Any], tins: dict[int, TinRow]) -> float | None:
    tin = tins[one["id"]]
    return price_per_l(tin.price, tin.size_ml)
