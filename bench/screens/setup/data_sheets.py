"""What the tins say, line by line: a product's sheet or a route, changed on a keyboard."""

from __future__ import annotations

from dataclasses import replace
from textwrap import wrap
from typing import TYPE_CHECKING

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.layers import clashes_on_route
from bench.process.sheets.system_film import system_words, too_much_on_route
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import ON_A_PAGE
from bench.screens.dialogs.choices import Choose
from bench.screens.dialogs.numbered import choose_key
from bench.screens.dialogs.questions import ask_text, choose, is_sure
from bench.shop.core.transaction import Outcome
from bench.shop.queries.menu_numbers import product_numbers, route_numbers
from bench.shop.seeds.seed_text import sheet_lines
from bench.shop.seeds.sheet_editing import SURE, set_product, set_route
from bench.widgets.lines import Line, fit, line

if TYPE_CHECKING:
    from bench.app import Paintbench

TOLD = [
    'Text stands in quotes and a figure with its unit: volume_solids = "45 %".',
    'By temperature: pot_life = { "20 C" = "4 h" }. Empty takes the line out.',
    'source = "sheet" once you type your own tin\'s figures; those you left keep their ?',
    "until you change them, or take them out of the line: placeholder = [..].",
]


class DataSheetPage(Choose):
    """The lines of one sheet; a digit picks the one to change, + a new one."""

    MOST_ALONE = ON_A_PAGE

    def choice_lines(self, digit: int, choice: str, width: int, height: int) -> list[Line]:
        """A line of the sheet with its digit, whole where there is room."""
        room = max((height - 4) // ON_A_PAGE, 1)
        first, *rest = _broken(choice, width - 8, room)
        rows = [f"   {digit}   {first}", *(f"       {part}" for part in rest)]
        return [line(row, width, "bold") for row in rows]

    def more(self) -> None:
        """A line that is not there yet."""
        self.dismiss(len(self.choices))

    KEYS = (
        KeyWord(tuple("12345678"), "1-8", "change", each=Choose.pick),
        KeyWord(("9",), "9", "more", Choose.turn),
        KeyWord(("+",), "+", "another line", more),
        KeyWord(("0", "/"), "0", "back", Choose.back),
    )


def _broken(text: str, width: int, rows: int) -> list[str]:
    """A long line over several rows, the last one cut with a tilde where there is no room."""
    parts = wrap(text, width, drop_whitespace=False, break_on_hyphens=False) or [""]
    if len(parts) > rows:
        parts = [*parts[: rows - 1], fit("".join(parts[rows - 1 :]), width)]
    return parts


async def products(bench: Paintbench) -> None:
    """Choose a product and change its sheet."""
    every = bench.view.products.values()
    names = {p.key: f"{p.name} {p.doubt}".rstrip() for p in every}
    notes = ["? is a placeholder: the program came with it, it is not your tin's."]
    key = await choose_key(bench, "Data sheets", names, product_numbers(bench.shop), notes=notes)
    if key is not None:
        await change_product(bench, key)


async def change_product(bench: Paintbench, key: str) -> None:
    """Change the lines of a product's sheet, one after the other."""
    page = 0
    while True:
        product = bench.view.products[key]
        changed = await _change(bench, f"{product.name} ({key})", sheet_lines(product), page)
        if changed is None:
            return
        lines, page = changed
        text = "\n".join(lines)
        answer = bench.do(set_product, bench.painter, key, text)
        if isinstance(answer, Refusal) and answer.name == SURE:
            asked = [each.rule for each in (answer, *answer.also)]
            if not await is_sure(bench, "Does the sheet say so?", asked):
                bench.tell(replace(answer, remedy="nothing was changed"))
                continue
            answer = bench.do(set_product, bench.painter, key, text, sure=True)
        await _show(bench, answer)


async def routes(bench: Paintbench) -> None:
    """Choose a route and change its steps."""
    names = {route.key: route.name for route in bench.view.routes.values()}
    key = await choose_key(bench, "Routes", names, route_numbers(bench.shop))
    while key is not None:
        route = bench.view.routes[key]
        sections = [("the route itself", 0)]
        sections += [(f"step {n} {s.name}", n) for n, s in enumerate(route.steps, 1)]
        products = bench.view.products
        film = [system_words(route, products), *too_much_on_route(route, products)]
        film += [clash.words(products) for clash in clashes_on_route(route, products)]
        section = await choose(bench, route.name, sections, [text for text in film if text])
        if section is None:
            return
        await _section(bench, key, section)


async def _section(bench: Paintbench, key: str, part: int) -> None:
    page = 0
    while True:
        route = bench.view.routes[key]
        heads = [sheet_lines(route), *(sheet_lines(step) for step in route.steps)]
        if part >= len(heads):
            return
        name = route.name if part == 0 else f"{route.name}: {route.steps[part - 1].name}"
        changed = await _change(bench, name, heads[part], page)
        if changed is None:
            return
        heads[part], page = changed
        text = "\n[[step]]\n".join("\n".join(lines) for lines in heads if lines)
        await _show(bench, bench.do(set_route, bench.painter, key, text))


async def _show(bench: Paintbench, answer: Outcome | Refusal) -> None:
    """Show what there is to know about a text, until it is seen: notes, or several faults."""
    if isinstance(answer, Outcome) and answer.notes:
        await choose(bench, f"Saved. {answer.text}", [("seen", True)], answer.notes)
    elif isinstance(answer, Refusal) and answer.also:
        faults = [str(fault) for fault in (answer, *answer.also)]
        await choose(bench, f"Not saved: {len(faults)} faults", [("seen", True)], faults)


async def _change(
    bench: Paintbench, title: str, lines: list[str], page: int
) -> tuple[list[str], int] | None:
    """The lines with one changed, added or taken out, and the page it stands on; None for done."""
    place = await bench.push_screen_wait(DataSheetPage(title, lines, page=page))
    if place is None:
        return None
    old = lines[place] if place < len(lines) else ""
    new = await ask_text(bench, title, old, TOLD)
    if new is None:
        return lines, page
    return [
        *lines[:place],
        *([new] if new.strip() else []),
        *lines[place + 1 :],
    ], place // ON_A_PAGE
