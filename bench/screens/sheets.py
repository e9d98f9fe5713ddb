"""What the tins say, line by line: a product's sheet or a route, changed on a keyboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar

from bench.process.refusal import Refusal
from bench.process.systemfilm import system_words
from bench.screens.ask import Choose
from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord, offered
from bench.screens.line import TypedLine
from bench.shop.acting import Done, Shop
from bench.shop.seed_text import sheet_lines
from bench.shop.sheets import set_product, set_route
from bench.widgets.lines import Line, fit, line

if TYPE_CHECKING:
    from bench.app import Paintbench

ON_A_PAGE = 8
TOLD = [
    'Text stands in quotes and a figure with its unit: volume_solids = "45 %".',
    'By temperature: pot_life = { "20 C" = "4 h" }. Empty takes the line out.',
    'source = "sheet" once these are your own tin\'s figures.',
]


class SheetPage(BenchScreen[int | None]):
    """The lines of one sheet; a digit picks the one to change, + a new one."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(tuple("12345678"), "1-8", "change", "pick"),
        KeyWord(("9",), "9", "more", "turn"),
        KeyWord(("+",), "+", "another line", "more"),
        KeyWord(("0",), "0", "back", "back"),
    )

    def __init__(self, title: str, lines: Sequence[str], page: int = 0) -> None:
        super().__init__()
        self.heading, self.rows, self.page = title, list(lines), page

    def draw(self, width: int, height: int) -> list[Line]:
        """Title, eight lines of the sheet with their digits, keys."""
        shown = self.rows[self.page * ON_A_PAGE :][:ON_A_PAGE]
        lines = [line(f" {self.heading}", width, "head"), line("", width)]
        room = max((height - 6) // ON_A_PAGE, 1)
        for digit, text in enumerate(shown, start=1):
            first, *rest = _broken(text, width - 8, room)
            lines.append(line(f"   {digit}   {first}", width, "bold"))
            lines += [line(f"       {part}", width, "bold") for part in rest]
        pages = -(-len(self.rows) // ON_A_PAGE)
        if pages > 1:
            lines.append(line(f"   9   more (page {self.page + 1} of {pages})", width, "dim"))
        lines += [line("", width)] * (height - 2 - len(lines))
        return [*lines[: height - 2], self.said_line(width), self.keys_line(width)]

    def keys_now(self) -> Sequence[KeyWord]:
        """The digits of this page, and more only where there is more."""
        shown = self.rows[self.page * ON_A_PAGE :][:ON_A_PAGE]
        idle = () if len(self.rows) > ON_A_PAGE else ("turn",)
        return offered(self.KEYS, idle, pick=len(shown))

    def pick(self, digit: str) -> None:
        """The line beside a digit."""
        place = self.page * ON_A_PAGE + int(digit) - 1
        if place < len(self.rows):
            self.dismiss(place)

    def turn(self) -> None:
        """The next page."""
        self.page = (self.page + 1) % max(-(-len(self.rows) // ON_A_PAGE), 1)

    def more(self) -> None:
        """A line that is not there yet."""
        self.dismiss(len(self.rows))


def _broken(text: str, width: int, rows: int) -> list[str]:
    """A long line over several rows, the last one cut with a tilde where there is no room."""
    parts = wrap(text, width, drop_whitespace=False, break_on_hyphens=False) or [""]
    if len(parts) > rows:
        parts = [*parts[: rows - 1], fit("".join(parts[rows - 1 :]), width)]
    return parts


Setting = Callable[[Shop, str, str, str], Done | Refusal]


def _typed(setting: Setting, key: str, text: str, shop: Shop, by: str) -> Done | Refusal:
    return setting(shop, by, key, text)


async def products(bench: Paintbench) -> None:
    """Choose a product and change its sheet."""
    found = list(bench.view.products.values())
    names = [f"{p.name}{'' if p.source == 'sheet' else ' ?'}" for p in found]
    told = ["? is a placeholder: the program came with it, it is not your tin's."]
    which = await bench.push_screen_wait(Choose("What the tins say", names, told))
    if which is not None:
        await _product(bench, found[which].key)


async def _product(bench: Paintbench, key: str) -> None:
    page = 0
    while True:
        product = bench.view.products[key]
        changed = await _change(bench, f"{product.name} ({key})", sheet_lines(product), page)
        if changed is None:
            return
        lines, page = changed
        text = "\n".join(lines)
        bench.do(partial(_typed, set_product, key, text))


async def routes(bench: Paintbench) -> None:
    """Choose a route and change its steps."""
    found = list(bench.view.routes.values())
    which = await bench.push_screen_wait(Choose("Routes", [route.name for route in found]))
    while which is not None:
        key = found[which].key
        route = bench.view.routes[key]
        names = ["the route itself", *(f"step {n} {s.name}" for n, s in enumerate(route.steps, 1))]
        film = system_words(route, bench.view.products)
        part = await bench.push_screen_wait(Choose(route.name, names, [film] if film else []))
        if part is None:
            return
        await _section(bench, key, part)


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
        bench.do(partial(_typed, set_route, key, text))


async def _change(
    bench: Paintbench, title: str, lines: list[str], page: int
) -> tuple[list[str], int] | None:
    """The lines with one changed, added or taken out, and the page it stands on; None for done."""
    place = await bench.push_screen_wait(SheetPage(title, lines, page))
    if place is None:
        return None
    old = lines[place] if place < len(lines) else ""
    new = await bench.push_screen_wait(TypedLine(title, old, TOLD))
    if new is None:
        return lines, page
    return [
        *lines[:place],
        *([new] if new.strip() else []),
        *lines[place + 1 :],
    ], place // ON_A_PAGE
