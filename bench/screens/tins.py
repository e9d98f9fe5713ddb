"""The tins: how old, how good, what is left; one comes, is opened, counted, emptied, put right."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.shopunits import METRIC, ShopUnits
from bench.process.stockwords import age_words, left_words, until_words
from bench.process.tins import (
    Tin,
    alike,
    ends_soon,
    is_low,
    roles_of,
    tin_word,
    tin_words,
    use_by_of_figures,
)
from bench.screens.ahead import Kept
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.base import BenchScreen
from bench.screens.batch import BatchNumber
from bench.screens.keys import KeyWord
from bench.screens.pages import ON_A_PAGE, PagedScreen, Pages
from bench.screens.stock import Costs, to_buy, trace
from bench.shop import stocked
from bench.shop import tins as deeds
from bench.shop.stocked import Tins
from bench.widgets.lines import Line, ends, line, title_lines

if TYPE_CHECKING:
    from bench.app import Paintbench

USUAL_ML = 1000.0
"""Offered for a tin of which none ever came."""

Road = Callable[[], Coroutine[Any, Any, None]]


class TinsPage(PagedScreen[None]):
    """Two lines to a tin; a digit picks the one that something is done to."""

    KEYS = (
        KeyWord(tuple("12345678"), "1-8", "tin", "pick"),
        KeyWord(("9",), "9", "more", "turn"),
        KeyWord(("+",), "+", "one came", "came"),
        KeyWord(("*",), "*", "to buy", "buy"),
        KeyWord(("-",), "-", "costs", "costs"),
        KeyWord((".",), ".", "batch", "find_batch"),
        KeyWord(("0", "/"), "0", "back", "back"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.shown: Sequence[Sequence[Tin]] = ()
        """Those on this page; sealed ones that are alike stand together."""
        self._tins: Kept[Tins] = Kept(lambda: stocked.tins(self.bench.shop))

    @property
    def tins(self) -> tuple[Tin, ...]:
        """Every tin that is not empty."""
        found = self._tins.of(self.bench)
        return () if isinstance(found, Refusal) else found.tins

    def body(self, width: int, height: int) -> list[Line]:
        """As many tins as there is room for, with their digits."""
        each = max(min((height - 3) // 2, ON_A_PAGE), 1)
        self.shown = self.part_of(alike(self.tins), each)
        lines = title_lines(self.numbered(f"Tins: {len(self.tins)} listed"), width)
        for digit, group in enumerate(self.shown, start=1):
            lines += self._tin_lines(digit, group, width)
        if not self.tins:
            lines.append(line("   No tin is listed. + writes one down as it comes.", width))
            lines.append(line("   Mixing goes on without; then nobody knows a batch.", width))
        return lines

    def _tin_lines(self, digit: int, group: Sequence[Tin], width: int) -> list[Line]:
        now, units, tin = self.bench.now(), self.bench.view.house.units, group[0]
        part = f"{tin.name}, {tin.role}" if tin.role else tin.name
        many = len(group) > 1
        age = f"{len(group)} {age_words(tin, now)}" if many else age_words(tin, now)
        left = f"{left_words(tin, units)}{' each' * many}{' LOW' * is_low(tin)}"
        numbers = ", ".join(str(one.number) for one in group)
        batch = f"batch {tin.batch}" if tin.batch else "no batch number"
        told = f"       tin{'s' * many} {numbers}  {batch}  {until_words(tin, now)}"
        minded = tin_word(tin, now) == "OLD" or ends_soon(tin, now)
        top = ends(f"   {digit}   {part}", f"  {age}   {left} ", width)
        return [
            line(top, width, "bold"),
            line(told.rstrip(), width, "urgent" if minded else "dim"),
        ]

    def picked(self, place: int) -> None:
        """Something is done to a tin."""
        self.ask(do_to(self.bench, self.shown[place][0]))

    def came(self) -> None:
        """A tin came."""
        self.ask(one_came(self.bench))

    def buy(self) -> None:
        """The shopping list."""
        self.ask(_shown(self.bench, Pages(lambda: to_buy(self.bench))))

    def costs(self) -> None:
        """What a month cost."""
        self.ask(_shown(self.bench, Costs(self.bench)))

    def find_batch(self) -> None:
        """Where a batch went."""
        self.ask(trace(self.bench))


async def _shown(bench: Paintbench, screen: BenchScreen[None]) -> None:
    await bench.push_screen_wait(screen)


async def do_to(bench: Paintbench, tin: Tin) -> None:
    """Everything that is done to a tin that is there."""
    number, now = tin.number, bench.now()

    async def lid() -> None:
        bench.do(lambda shop, by: deeds.open_tin(shop, number, by))

    roads: list[tuple[str, Road]] = [] if tin.opened_at else [("its lid is lifted", lid)]
    roads += [
        ("count what is left in it", lambda: _count(bench, tin)),
        ("it is empty, or binned", lambda: _bin(bench, tin)),
        ("put right: batch, use-by, price, size", lambda: _right(bench, tin)),
    ]
    if tin.batch:
        roads.append((f"where batch {tin.batch} went", lambda: trace(bench, tin.batch)))
    told = [f"{age_words(tin, now)}, {left_words(tin, bench.view.house.units)}"]
    told += [until] if (until := until_words(tin, now)) else []
    title = f"{tin_words(tin)[0].upper()}{tin_words(tin)[1:]}"
    which = await bench.push_screen_wait(Choose(title, [text for text, _ in roads], told))
    if which is not None:
        await roads[which][1]()


async def _count(bench: Paintbench, tin: Tin) -> None:
    asked = [Asked("left in it", "ml", such_as=tin.left_ml)]
    told = [f"The figures say {left_words(tin, bench.view.house.units)}."]
    numbers = await bench.push_screen_wait(Numbers(f"Count tin {tin.number}", asked, told))
    if numbers is not None:
        left_ml = numbers[0] or 0.0
        bench.do(lambda shop, by: deeds.count_tin(shop, tin.number, by, left_ml=left_ml))


async def _bin(bench: Paintbench, tin: Tin) -> None:
    asked = [Asked("thrown away with it", "ml", tin.left_ml, known_from="by the figures")]
    told = ["0 if it is empty. What was thrown away is counted with the month's waste."]
    numbers = await bench.push_screen_wait(Numbers(f"Tin {tin.number} is gone?", asked, told))
    if numbers is not None:
        left_ml = numbers[0]
        bench.do(lambda shop, by: deeds.bin_tin(shop, tin.number, by, left_ml=left_ml))


async def _right(bench: Paintbench, tin: Tin) -> None:
    number = tin.number
    choices = ["its batch number", "its use-by", "its price", "its size"]
    choices += ["its lid was never lifted"] if tin.opened_at else []
    which = await bench.push_screen_wait(Choose(f"Tin {number}: put right what?", choices))
    if which is None:
        return
    title = f"Tin {number}: {choices[which]}"
    if which == 0:
        batch = await bench.push_screen_wait(BatchNumber(title, "none", tin.batch))
        if batch is not None:
            bench.do(lambda shop, by: deeds.put_tin_right(shop, number, by, batch=batch))
    elif which == 1:
        typed = await bench.push_screen_wait(Numbers(title, [UseBy(USE_BY)], USE_BY_TOLD))
        if typed is not None:
            day = _day(typed[0])
            bench.do(lambda shop, by: deeds.put_tin_right(shop, number, by, use_by=day))
    elif which == 4:
        bench.do(lambda shop, by: deeds.put_tin_right(shop, number, by, not_opened=True))
    else:
        asked = Asked("price of one tin") if which == 2 else Asked("what it held when full", "ml")
        numbers = await bench.push_screen_wait(Numbers(title, [asked]))
        if numbers is not None:
            more = {"price" if which == 2 else "size_ml": numbers[0]}
            bench.do(lambda shop, by: deeds.put_tin_right(shop, number, by, **more))  # type: ignore[arg-type]


# --- one comes -----------------------------------------------------------------------------------


async def one_came(bench: Paintbench) -> None:
    """A tin, or some alike: what, how big, good until when, its price, its batch number."""
    products = list(bench.view.products.values())
    which = await bench.push_screen_wait(Choose("A tin came: of what?", [p.name for p in products]))
    if which is None:
        return
    product = products[which]
    role = await _part_of(bench, product)
    if role is None:
        return
    title = f"A tin came: {product.name}{', ' if role else ''}{role}"
    asked = [
        Asked("it holds", "ml", stocked.usual_size_ml(bench.shop, product.key, role) or USUAL_ML),
        Asked("how many alike", "", 1.0, whole=True),
        UseBy(USE_BY, must=False, empty="none printed"),
        Asked("price of one", must=False),
    ]
    numbers = await bench.push_screen_wait(Numbers(title, asked, USE_BY_TOLD))
    if numbers is None:
        return
    batch = await bench.push_screen_wait(BatchNumber(title, "it follows later"))
    if batch is None:
        return
    bench.do(
        lambda shop, by: deeds.tin_came(
            shop,
            product.key,
            by,
            role=role,
            batch=batch,
            size_ml=numbers[0] or 0.0,
            count=int(numbers[1] or 0),
            use_by=_day(numbers[2]),
            price=numbers[3],
        )
    )


async def _part_of(bench: Paintbench, product: Product) -> str | None:
    roles = roles_of(product)
    if len(roles) == 1:
        return roles[0]
    which = await bench.push_screen_wait(Choose(f"{product.name}: which part?", roles))
    return None if which is None else roles[which]


USE_BY = "use by, as 327 or 310327"
USE_BY_TOLD = ["Use-by: month and year as 327 for March 2027, or day, month and year as 310327."]


class UseBy(Asked):
    """A use-by in figures: refused at once where there is no such day."""

    def read(self, text: str, units: ShopUnits = METRIC) -> float:
        """The figures, which are those of a day. Raises ValueError saying what would be right."""
        figures = super().read(text, units)
        use_by_of_figures(int(figures))
        return figures

    def shown(self, answer: float | None, units: ShopUnits = METRIC) -> str:
        """The last good day."""
        day = _day(answer)
        return "-" if day is None else f"{day:%d %b %Y}"


def _day(figures: float | None) -> date | None:
    return None if figures is None else use_by_of_figures(int(figures))
