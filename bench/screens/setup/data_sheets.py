"""What the tins say: a product's sheet or a route, changed or made new, as a form."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.layers import clashes_on_route
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route
from bench.process.sheets.system_film import system_words, too_much_on_route
from bench.screens.dialogs.numbered import choose_key
from bench.screens.dialogs.questions import ask_text, choose, is_sure
from bench.screens.setup.sheet_form import Draft, fill
from bench.screens.setup.sheet_questions import PLACEHOLDER, TYPED_NOW, Form
from bench.shop.core.transaction import Outcome
from bench.shop.queries.menu_numbers import FIRST_NUMBER, product_numbers, route_numbers
from bench.shop.seeds.form_questions import FIGURE_KEYS, form_questions, options_of
from bench.shop.seeds.sheet_draft import (
    copy_of,
    draft_of,
    draft_text,
    new_key,
    open_figures,
    with_places,
    with_source,
)
from bench.shop.seeds.sheet_editing import SURE, set_product, set_route

if TYPE_CHECKING:
    from bench.app import Paintbench

NEW = ""
"""Stands for the key of a sheet that is not there yet."""

NOTES = ["? is a placeholder: the program came with it, it is not your tin's."]


async def products(bench: Paintbench) -> None:
    """Choose a product and change its sheet, or make a new one."""
    names = {p.key: f"{p.name} {p.doubt}".rstrip() for p in bench.view.products.values()}
    key = await _chosen(bench, "Data sheets", "product", names, product_numbers(bench.shop), NOTES)
    if key == NEW:
        await _new(bench, "product", bench.view.products, _fill_product)
    elif key is not None:
        await change_product(bench, key)


async def change_product(bench: Paintbench, key: str) -> None:
    """Change a product's sheet."""
    await _fill_product(bench, key, draft_of(bench.view.products[key]))


async def routes(bench: Paintbench) -> None:
    """Choose a route and change its steps, or make a new one."""
    names = {route.key: route.name for route in bench.view.routes.values()}
    key = await _chosen(bench, "Routes", "route", names, route_numbers(bench.shop), ())
    if key == NEW:
        await _new(bench, "route", bench.view.routes, _fill_route)
    elif key is not None:
        await _fill_route(bench, key, draft_of(bench.view.routes[key]))


async def _chosen(
    bench: Paintbench,
    title: str,
    what: str,
    names: Mapping[str, str],
    numbers: Mapping[str, int],
    notes: Any,
) -> str | None:
    """One of the keys, or NEW; None for back."""
    names = {NEW: f"a new {what}", **names}
    numbers = {NEW: FIRST_NUMBER - 1, **numbers}
    return await choose_key(bench, title, names, numbers, notes=notes)


async def _new(
    bench: Paintbench,
    what: str,
    there: Mapping[str, Product | Route],
    fill_in: Callable[[Paintbench, str, Draft], Any],
) -> None:
    """Ask for the name of a new sheet, and what it begins with."""
    name = await ask_text(bench, f"A new {what}: its name", "", ["What the lists show."])
    if not name or not name.strip():
        return
    names = {sheet.name: key for key, sheet in there.items()}
    begins = {"with nothing": NEW, f"like another {what}": what}
    begin = await choose(bench, f"{name}: how does it begin?", begins)
    like = await choose(bench, f"{name}: like which?", names) if begin else NEW
    if begin is None or like is None:
        return
    draft = copy_of(there[like], name) if like else {"name": name}
    await fill_in(bench, new_key(name, there), draft)


async def _fill_product(bench: Paintbench, key: str, draft: Draft) -> None:
    """Fill in a product's sheet until it is taken or left."""
    product = bench.view.products.get(key)
    still_open = open_figures(product, draft)
    typed: set[str] = set()

    def source(figure: str) -> str:
        if figure not in FIGURE_KEYS:
            return ""
        if figure in typed:
            return TYPED_NOW
        return PLACEHOLDER if figure in still_open else "your data sheet"

    def confirm(figure: str) -> None:
        if figure in FIGURE_KEYS:
            still_open.discard(figure)
            typed.add(figure)

    saved = {} if product is None else draft
    while True:
        title = draft["name"] if product is None else product.name
        form = Form(title, options_of(bench.view))
        questions = form_questions("product")
        filled = await fill(
            bench, form, questions, draft, source=source, confirm=confirm, saved=saved
        )
        if filled is None:
            return
        draft = filled
        from_tin = await _from_tin(bench, product, typed)
        if from_tin is None:
            continue
        text = with_source(draft, still_open, typed=from_tin)
        same = bench.view.products.get(key) == product
        if await _save(bench, partial(set_product, key=key), text, same=same):
            return


async def _from_tin(bench: Paintbench, product: Product | None, typed: set[str]) -> bool | None:
    """Whether the figures that were typed are the tin's; None for back."""
    if product is not None and product.source == "sheet":
        return True
    if not typed:
        return False
    answers = {"yes": True, "no: they keep their ?": False}
    return await choose(bench, "The figures you typed: are they your tin's data sheet's?", answers)


def _films(bench: Paintbench, route: Route) -> list[str]:
    """What a route's films come to, and which of its coats do not go over each other."""
    products = bench.view.products
    film = [system_words(route, products), *too_much_on_route(route, products)]
    film += [clash.words(products) for clash in clashes_on_route(route, products)]
    return [text for text in film if text]


async def _fill_route(bench: Paintbench, key: str, draft: Draft) -> None:
    """Fill in a route until it is taken or left."""
    route = bench.view.routes.get(key)
    saved = {} if route is None else draft
    notes = _films(bench, route) if route is not None else []
    while True:
        form = Form(draft["name"], options_of(bench.view))
        questions = form_questions("route")
        filled = await fill(bench, form, questions, draft, saved=saved, notes=notes)
        if filled is None:
            return
        draft = filled
        same = bench.view.routes.get(key) == route
        if await _save(bench, partial(set_route, key=key), draft, same=same):
            return


async def _save(
    bench: Paintbench, act: Callable[..., Outcome | Refusal], draft: Draft, *, same: bool
) -> bool:
    """Take a form as the text of its sheet is taken; whether it was.

    same: the sheet is still the one the form began with.
    """
    if not same:
        right = "leave the form and begin again: it would take back what they typed"
        bench.tell(Refusal("somebody changed this sheet meanwhile", "", right))
        return False
    text = draft_text(draft)
    answer = bench.do(act, bench.painter, text=text)
    if isinstance(answer, Refusal) and answer.name == SURE:
        asked = [each.rule for each in (answer, *answer.also)]
        if not await is_sure(bench, "Does the sheet say so?", asked):
            bench.tell(replace(answer, remedy="nothing was saved"))
            return False
        answer = bench.do(act, bench.painter, text=text, sure=True)
    if isinstance(answer, Outcome):
        if answer.notes:
            await choose(bench, f"Saved. {answer.text}", [("seen", True)], answer.notes)
        return True
    bench.said = None  # the list of faults says it
    placed = with_places(answer, draft)
    faults = [str(fault) for fault in (placed, *placed.also)]
    many = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
    await choose(bench, f"Not saved: {many}. The form stays.", [("seen", True)], faults)
    return False
