"""Opening a shop for the first time: empty, or as the demo."""

from __future__ import annotations

from typing import Any

from bench.process.calendar.holidays import fault_of
from bench.process.refusals.refusal import Refusal
from bench.shop.clock import timekeeping
from bench.shop.core.json_form import as_json
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.parts.equipment import rows_of
from bench.shop.people.painters import names_of
from bench.shop.seeds.seed_files import Seeds
from bench.shop.settings.setting_list import DEFAULTS
from bench.store.queries import bench_rows
from bench.store.schema.tables import (
    Painter,
    ProductRow,
    RouteRow,
    SettingRow,
    ShapeRow,
    Stand,
    ToolRow,
)

MOST_STANDS = 48


def is_new(shop: Shop) -> bool:
    """Say whether nobody has opened this shop yet."""
    with shop.store.reading() as session:
        return not bench_rows.painters(session)


def open_shop(
    shop: Shop,
    seeds: Seeds,
    painters: tuple[str, ...],
    stands: int,
    house: dict[str, Any] | None = None,
) -> Outcome | Refusal:
    """Fill an empty shop with its painters, stands, products, routes, shapes, tools, equipment."""
    names = names_of(painters)
    if isinstance(names, Refusal):
        return names
    if not 1 <= stands <= MOST_STANDS:
        return Refusal(f"{stands} stands", "", f"from 1 to {MOST_STANDS}")
    for rule in (house or {}).get("holidays", ()):
        if fault := fault_of(rule):
            return Refusal(fault)
    with shop.act("open shop", names[0]) as act:
        if bench_rows.painters(act.session):
            return Refusal("this shop is open already", "", "nothing was changed")
        act.session.add_all(Painter(name=name) for name in names)
        act.session.add_all(Stand(number=number) for number in range(1, stands + 1))
        act.session.add(SettingRow(key="house", value={**DEFAULTS, **(house or {})}))
        timekeeping.begin(act.session, shop.clock)
        _stock(act, seeds)
        return act.write(names[0], "", f"shop opened with {stands} stands")


def _stock(act: Transaction, seeds: Seeds) -> None:
    for product in seeds.products.values():
        act.session.add(ProductRow(key=product.key, sheet=as_json(product)))
    for table, plans in (
        (RouteRow, seeds.routes),
        (ShapeRow, seeds.shapes),
        (ToolRow, seeds.tools),
    ):
        for position, (key, plan) in enumerate(plans.items()):
            act.session.add(table(key=key, position=position, plan=as_json(plan)))
    act.session.add_all(rows_of(seeds.equipment.values()))
