"""What is in the tins, what the parts on the bench still need, and what a month's paint cost."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from typing import Any

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.costs import (
    Month,
    PouredAmount,
    ProductSpending,
    pot_amounts,
    price_per_l,
    sum_of,
)
from bench.process.stock.shopping import Component, Need, Shopping, all_needs, due_until
from bench.process.stock.shopping import shopping as listed
from bench.process.stock.tins import Tin, TinPlan
from bench.shop.core.bench_view import read_bench
from bench.shop.core.mappers import by_key, job_of, products_of, settings_of
from bench.shop.core.transaction import Shop
from bench.shop.queries.paint_use import uses_of
from bench.shop.stock.tin_usage import plan_of, tins_listed
from bench.store.databases.database import Session
from bench.store.queries import job_rows, tin_rows
from bench.store.schema.tables import MixRow, StepRow, TinRow


@dataclass(frozen=True)
class TinList:
    """The tins that are not empty, by product, part and number. now: in the shop's zone."""

    tins: tuple[Tin, ...]
    now: datetime


def tins(shop: Shop) -> TinList:
    """List every tin that is not empty."""
    with shop.store.reading() as session:
        products, zone = products_of(session), settings_of(session).hours.zone
        listed = tins_listed(session, products, zone)
    ordered = sorted(listed, key=lambda tin: (tin.name, tin.product, tin.role, tin.number))
    return TinList(tuple(ordered), shop.clock.now().astimezone(zone))


def usual_size_ml(shop: Shop, product: str, role: str) -> float | None:
    """Say how big the newest tin of a part was, None where none ever came."""
    with shop.store.reading() as session:
        return tin_rows.last_size_ml(session, product, role)


def plan_for(
    shop: Shop, product: str, amounts_ml: Mapping[str, float], tin_numbers: Collection[int] = ()
) -> TinPlan | Refusal:
    """Plan which tins a mix would be poured from now. Nothing is taken."""
    with shop.store.reading() as session:
        products, zone = products_of(session), settings_of(session).hours.zone
        sheet = by_key(products, product, "product")
        if isinstance(sheet, Refusal):
            return sheet
        return plan_of(session, products, zone, sheet, amounts_ml, shop.clock.now(), tin_numbers)


YearMonth = tuple[int, int]

_MONTH = re.compile(r"([0-9]{4})-([0-9]{1,2})")


def shopping(shop: Shop, until: date | None = None) -> Shopping:
    """Sum what the coats still to come on the bench take, less what is left in tins.

    What is in open pots is shown beside it, not taken off. until: without the parts of jobs that
    are promised for a later day.
    """
    view = read_bench(shop)
    parts = [part.part for part in view.everything()]
    with shop.store.reading() as session:
        jobs = map(job_of, job_rows.every_job(session))
        promised = {job.name.lower(): job.promised for job in jobs if job.promised is not None}
        due = due_until(parts, promised, until) if until is not None else None
        uses = uses_of(session, view.products, view.shapes)
        needs = all_needs(due.parts if due else parts, view.products, view.shapes, uses)
        tins = tins_listed(session, view.products, view.house.hours.zone)
        sizes = sizes_ml(session, needs, view.products)
    found = listed(needs, tins, view.products, sizes, shop.clock.now(), view.pots)
    return replace(found, due=due)


def sizes_ml(
    session: Session, needs: Iterable[Need], products: Mapping[str, Product]
) -> dict[Component, float]:
    """Say how big the newest tin was of everything that some coats take."""
    components = {(need.product, role) for need in needs for role in need.ml}
    components |= {(key, "") for key, sheet in products.items() if sheet.kind == "thinner"}
    return {
        component: size
        for component in components
        if (size := tin_rows.last_size_ml(session, *component)) is not None
    }


def month_of(shop: Shop, text: str = "") -> YearMonth | Refusal:
    """Read a month such as "2025-06"; the present one where the text is empty."""
    with shop.store.reading() as session:
        now = shop.clock.now().astimezone(settings_of(session).hours.zone)
    if not text.strip():
        return now.year, now.month
    match = _MONTH.fullmatch(text.strip())
    if match is None or not 1 <= int(match[2]) <= 12 or not 1 <= int(match[1]) < 9999:
        return Refusal(f"no month '{text.strip()[:20]}'", "", "such as 2025-06")
    return int(match[1]), int(match[2])


def costs(shop: Shop, year: int, month: int) -> Month:
    """Sum what was used and wasted of each product in a month of the shop's calendar."""
    with shop.store.reading() as session:
        zone = settings_of(session).hours.zone
        since, until = _bounds(year, month, zone)
        names = {key: sheet.name for key, sheet in products_of(session).items()}
        binned = tin_rows.between(session, MixRow, "binned_at", since, until)
        weighed_pots = [pot for pot in binned if pot.binned_ml is not None and pot.total_ml]
        spent: dict[str, ProductSpending] = {}
        for key, pot_or_coat in (
            *_used_by_product(session, since, until),
            *_binned(session, weighed_pots),
            *_thrown_by_product(session, since, until),
        ):
            spent[key] = spent.get(key, ProductSpending(names.get(key, key))) + pot_or_coat
    lines = (
        pot_or_coat
        for pot_or_coat in spent.values()
        if pot_or_coat.used.ml or pot_or_coat.wasted.ml
    )
    unmeasured = sum(pot.total_ml is not None for pot in binned) - len(weighed_pots)
    return Month(
        year, month, tuple(sorted(lines, key=lambda pot_or_coat: pot_or_coat.name)), unmeasured
    )


OfProduct = Iterator[tuple[str, ProductSpending]]


def _used_by_product(session: Session, since: datetime, until: datetime) -> OfProduct:
    pots = tin_rows.between(session, MixRow, "mixed_at", since, until)
    coats = tin_rows.between(session, StepRow, "first_at", since, until)
    tins = tins_poured(session, (*pots, *coats))
    for pot in pots:
        yield pot.product, ProductSpending(used=sum_of(amounts_of_pot(pot, tins)))
    for coat in coats:
        used = sum_of(amounts_of_coat(coat, tins))
        yield str(coat.plan["product"]), ProductSpending(used=used)


def _binned(session: Session, pots: Sequence[MixRow]) -> OfProduct:
    tins = tins_poured(session, pots)
    for pot in pots:
        share = (pot.binned_ml or 0.0) / (pot.total_ml or 1.0)
        yield pot.product, ProductSpending(binned=sum_of(amounts_of_pot(pot, tins), share))


def _thrown_by_product(session: Session, since: datetime, until: datetime) -> OfProduct:
    for tin in tin_rows.between(session, TinRow, "empty_at", since, until):
        rest = PouredAmount(tin.left_ml, price_per_l(tin.price, tin.size_ml))
        yield tin.product, ProductSpending(thrown=sum_of([rest]))


def tins_poured(session: Session, rows: Iterable[MixRow | StepRow]) -> dict[int, TinRow]:
    """Give the tins that something was taken from for some pots and coats, by their numbers."""
    return tin_rows.tins_numbered(session, {pour["id"] for row in rows for pour in row.tins})


def _bounds(year: int, month: int, zone: tzinfo) -> tuple[datetime, datetime]:
    years, months = divmod(month, 12)
    return datetime(year, month, 1, tzinfo=zone), datetime(year + years, months + 1, 1, tzinfo=zone)


def amounts_of_coat(coat: StepRow, tins: Mapping[int, TinRow]) -> tuple[PouredAmount, ...]:
    """Give what a coat that is not mixed took from tins."""
    return tuple(PouredAmount(pour["ml"], _a_litre(pour, tins)) for pour in coat.tins)


def amounts_of_pot(pot: MixRow, tins: Mapping[int, TinRow]) -> tuple[PouredAmount, ...]:
    """Give all that was poured into a pot, with what it cost a litre."""
    pours_ml: dict[str, float] = {}
    for pour in pot.pours:
        pours_ml[pour["role"]] = pours_ml.get(pour["role"], 0.0) + pour["ml"]
    return pot_amounts(
        pours_ml,
        [(tin_pour["role"], tin_pour["ml"], _a_litre(tin_pour, tins)) for tin_pour in pot.tins],
    )


def _a_litre(pour: dict[str, Any], tins: Mapping[int, TinRow]) -> float | None:
    tin = tins[pour["id"]]
    return price_per_l(tin.price, tin.size_ml)
