"""Type a product's data sheet, or a route, over the one the program came with."""

from __future__ import annotations

import re
import tomllib
from dataclasses import fields, replace
from functools import partial
from typing import TypeVar

from bench.process.actions.begin_rules import clashes_ahead
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.labour import labour_notes
from bench.process.sheets.layers import clashes_on_route
from bench.process.sheets.plausibility import questions
from bench.process.sheets.product import BadSheet, Product, check_each
from bench.process.sheets.route import Route, check_prepared
from bench.process.sheets.system_film import too_much_on_route
from bench.process.sheets.typed_figures import with_placeholders
from bench.shop.core.json_form import as_json
from bench.shop.core.mappers import (
    equipment_of,
    parts_here,
    products_of,
    routes_of,
    shapes_of,
    tools_of,
)
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.seeds.seed_files import BadSeed, Seeds, check_in_shop, read_one, shipped_product
from bench.shop.seeds.seed_values import SPELLED
from bench.store.queries import bench_rows
from bench.store.queries.history_rows import SHEET
from bench.store.schema.tables import ProductRow, RouteRow

Thing = TypeVar("Thing", Product, Route)

MOST_TEXT = 20_000
"""Longer than any sheet; a book pasted by mistake is refused."""

SURE = "sure"
"""The name of a refusal that only asks whether a figure is as it was typed."""

YES_OR_TYPE = "say so with --sure, or type it right"

_KEY = re.compile(r"[a-z][a-z0-9-]{0,39}")


def set_product(
    shop: Shop, by: str, key: str, text: str, *, sure: bool = False
) -> Outcome | Refusal:
    """Replace a product's data sheet by TOML text, as seeds/products holds it.

    sure: yes to every figure that is hardly ever so; without it each new one is asked about.
    A new key is a new product. The clocks of what it is on go by the new sheet from now on.
    """
    with shop.act(SHEET, by) as act:
        product = _read(act, key, text, Product)
        if isinstance(product, Refusal):
            return product
        routes = routes_of(act.session)
        old, seeds = products_of(act.session).get(key), _seeds_of_shop(act)
        named = "placeholder" in tomllib.loads(text)
        product = with_placeholders(product, old, shipped_product(key), named=named)
        seeds = replace(seeds, products={**seeds.products, key: product})
        for route in routes.values():
            try:
                check_in_shop(route, seeds)
            except BadSheet as fault:
                return Refusal(f"the route {route.name} needs more of {product.name}", str(fault))
        asked = questions(old) if old else ()
        new = [question for question in questions(product) if question not in asked]
        if new and not sure:
            first, *others = (Refusal(question, "", YES_OR_TYPE, name=SURE) for question in new)
            return replace(first, also=tuple(others))
        row = act.session.get(ProductRow, key) or ProductRow(key=key, sheet={})
        if product.placeholder and (old is None or old.placeholder != product.placeholder):
            still = ", ".join(SPELLED.get(name, name) for name in product.placeholder)
            act.notes.append(f"still placeholders, with their ?: {still}")
        act.notes += _not_allowed_now(act, product, seeds)
        for route in routes.values():
            if key in {step.product for step in route.steps}:
                act.notes += [
                    f"{route.name}: {words}"
                    for words in too_much_on_route(route, {**seeds.products})
                ]
        return _store_sheet(act, row, "sheet", old, product, _running_clocks(act, key))


def _not_allowed_now(act: Transaction, product: Product, seeds: Seeds) -> list[str]:
    """Name the routes and the parts that put a product on a layer its sheet does not allow.

    The sheet is taken all the same: what the tin says is true, and the bench goes by it at the gun.
    """
    notes = [
        f"{route.name}: {clash.words(seeds.products)}: {clash.remedy(seeds.products)}"
        for route in seeds.routes.values()
        for clash in clashes_on_route(route, seeds.products)
        if clash.product == product
    ]
    ahead = [
        part.tag
        for part in parts_here(act.session)
        if any(clash.product == product for clash in clashes_ahead(part, seeds.products))
    ]
    if ahead:
        tags = ", ".join(ahead)
        notes.append(f"tag {tags}: a coat of {product.name} is ahead that it does not allow")
    return notes


def set_route(shop: Shop, by: str, key: str, text: str) -> Outcome | Refusal:
    """Replace a route by TOML text, as seeds/routes has it. Parts begun keep their steps."""
    with shop.act(SHEET, by) as act:
        route = _read(act, key, text, Route)
        if isinstance(route, Refusal):
            return route
        old, products = routes_of(act.session).get(key), products_of(act.session)
        before = clashes_on_route(old, products) if old else []
        known = {(clash.product.key, clash.below) for clash in before}
        for clash in clashes_on_route(route, products):
            if (clash.product.key, clash.below) not in known:
                return Refusal(clash.words(products), "", clash.remedy(products))
            act.notes.append(f"{clash.words(products)}: {clash.remedy(products)}")
        last = len(bench_rows.plans(act.session, RouteRow))
        row = act.session.get(RouteRow, key) or RouteRow(key=key, position=last, plan={})
        tags = [part.tag for part in bench_rows.parts_here(act.session) if part.route == key]
        note = f"tag {', '.join(tags)}: the steps stay as they are" if tags else ""
        act.notes += [*too_much_on_route(route, products), *labour_notes(route)]
        return _store_sheet(act, row, "plan", old, route, note)


def _seeds_of_shop(act: Transaction) -> Seeds:
    session = act.session
    return Seeds(
        products_of(session),
        routes_of(session),
        shapes_of(session),
        tools_of(session),
        {item.key: item for item in equipment_of(session)},
    )


def _read(act: Transaction, key: str, text: str, kind: type[Thing]) -> Thing | Refusal:
    if not _KEY.fullmatch(key):
        right = "small letters, figures and '-', a letter first, up to 40"
        return Refusal(f"the key {key[:40]!a} cannot be", "", right)
    if len(text) > MOST_TEXT:
        return Refusal(f"a text of {len(text)} letters", "", f"up to {MOST_TEXT}")
    seeds = _seeds_of_shop(act)
    if kind is Product:
        # A coat may go over itself.
        placeholder = next(iter(seeds.products.values()))
        seeds = replace(seeds, products={**seeds.products, key: placeholder})

    def check(sheet: Thing) -> None:
        checks = [partial(check_in_shop, sheet, seeds)]
        checks += [partial(check_prepared, sheet)] if isinstance(sheet, Route) else []
        check_each(*checks)

    try:
        return read_one(text, key, kind, check)
    except BadSeed as fault:
        first, *others = (_refusal(words) for words in fault.each)
        return replace(first, also=tuple(others))


def _refusal(words: str) -> Refusal:
    what, _, right = words.partition("; ")
    return Refusal(what, "", right)


def _store_sheet(
    act: Transaction,
    row: ProductRow | RouteRow,
    column: str,
    old: Thing | None,
    new: Thing,
    note: str,
) -> Outcome | Refusal:
    """Put what was typed into the row of its key, and say what of it is another."""
    name = new.name
    if old is not None and (first := act.unseen(row)):
        return first
    setattr(row, column, as_json(new))
    act.session.add(row)
    if old == new:
        return Refusal(f"{name} says so already", "", "nothing was changed")
    if old is None:
        return act.done("", f"new: {name}")
    lines = [
        SPELLED.get(field.name, field.name)
        for field in fields(new)
        if getattr(old, field.name) != getattr(new, field.name) and field.name != "placeholder"
    ]
    act.notes += [note] if note else []
    return act.done("", f"{name}: changed {', '.join(lines or ['what is a placeholder'])}")


def _running_clocks(act: Transaction, key: str) -> str:
    """The tags and pots whose running clock is this product's."""
    running = [(part.tag, part.clock_step()) for part in parts_here(act.session)]
    tags = [tag for tag, record in running if record and record.step.product == key]
    parts = [f"tag {', '.join(tags)}"] * bool(tags)
    parts += [
        f"pot {row.letter}" for row in bench_rows.open_pots(act.session) if row.product == key
    ]
    return f"the clocks of {', '.join(parts)} go by the new sheet" if parts else ""
