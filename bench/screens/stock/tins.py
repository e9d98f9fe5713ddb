"""The tins: how old, how good, what is left; one comes, is opened, counted, emptied, corrected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from bench.process.refusals.refusal import Refusal
from bench.process.stock.tins import (
    Tin,
    age_words,
    ends_soon,
    group_alike,
    is_low,
    left_words,
    roles_of,
    tin_word,
    tin_words,
    until_words,
    use_by_of_figures,
)
from bench.process.wording.display_units import METRIC, ShopUnits
from bench.screens.core.keys import KeyWord, help_behind, only
from bench.screens.core.menu_action import Action, doing, menu
from bench.screens.core.pages import ON_A_PAGE, PagedScreen, Pages
from bench.screens.dialogs.batch_number import BatchNumber
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.numbered import FIGURES, TypedNumber, choose_key
from bench.screens.dialogs.questions import ask_numbers, choose_text
from bench.screens.setup.lookahead import Memo
from bench.screens.stock.shopping import Costs, to_buy, trace
from bench.shop.queries.menu_numbers import product_numbers
from bench.shop.stock import tin_list
from bench.shop.stock import tins as tin_actions
from bench.shop.stock.tin_list import TinList
from bench.widgets.lines import Line, ends, line, title_lines

if TYPE_CHECKING:
    from bench.app import Paintbench

USUAL_ML = 1000.0
"""Offered for a tin of which none ever came."""


class TinsPage(PagedScreen[None]):
    """Two lines to a tin; its own number, typed, picks the one that something is done to."""

    HELP_KEY = help_behind(".")

    def __init__(self) -> None:
        super().__init__()
        self.number = TypedNumber()
        self._tins: Memo[TinList] = Memo(lambda: tin_list.tins(self.bench.shop))

    @property
    def tins(self) -> tuple[Tin, ...]:
        """Every tin that is not empty."""
        stock = self._tins.of(self.bench)
        return () if isinstance(stock, Refusal) else stock.tins

    @property
    def _numbers(self) -> list[int]:
        return [tin.number for tin in self.tins]

    def body(self, width: int, height: int) -> list[Line]:
        """As many tins as there is room for, sealed ones that are alike together."""
        each = max(min((height - 3) // 2, ON_A_PAGE), 1)
        groups = self.part_of(group_alike(self.tins), each)
        lines = title_lines(self.numbered(f"Tins: {len(self.tins)} listed"), width)
        for group in groups:
            lines += self._tin_lines(group, width)
        if self.number.figures:
            lines.append(line(f"   tin {self.number.figures}_", width, "bold"))
        if not self.tins:
            lines.append(line("   No tin is listed. + writes one down as it comes.", width))
            lines.append(line("   Mixing goes on without; then nobody knows a batch.", width))
        return lines

    def _tin_lines(self, group: Sequence[Tin], width: int) -> list[Line]:
        now, units, tin = self.bench.now(), self.bench.view.house.units, group[0]
        part = f"{tin.name}, {tin.role}" if tin.role else tin.name
        many = len(group) > 1
        age = f"{len(group)} {age_words(tin, now)}" if many else age_words(tin, now)
        left = f"{left_words(tin, units)}{' each' * many}{' LOW' * is_low(tin)}"
        numbers = ", ".join(str(one.number) for one in group)
        batch = f"batch {tin.batch}" if tin.batch else "no batch number"
        text = f"       tin{'s' * many} {numbers}  {batch}  {until_words(tin, now)}"
        minded = tin_word(tin, now) == "OLD" or ends_soon(tin, now)
        top = ends(f"   {tin.number:<3} {part}", f"  {age}   {left} ", width)
        return [
            line(top, width, "bold"),
            line(text.rstrip(), width, "urgent" if minded else "dim"),
        ]

    def keys_now(self) -> Sequence[KeyWord]:
        """While a number is typed, only what belongs to it."""
        figure, enter, *others, rub_out, slash, zero = self.KEYS
        figures = only(figure, self.number.next_figures(self._numbers))
        if self.number.figures:
            take = [enter] if self.number.taken(self._numbers) is not None else []
            return [*figures, *take, rub_out, slash]
        more = [replace(enter, word="more")] if self.pages > 1 else []
        return [*figures, *more, *others, zero]

    def write(self, figure: str) -> None:
        """Take a figure of a tin's number; a zero before any leads one page back, then out."""
        if figure == "0" and not self.number.figures:
            self.turn_back() if self.page else self.back()
        else:
            self._do_to(self.number.typed(figure, self._numbers))

    def enter(self) -> None:
        """Take the number that is typed; where none is, turn the page."""
        if self.number.figures:
            self._do_to(self.number.taken(self._numbers))
        else:
            self.turn()

    def _do_to(self, number: int | None) -> None:
        """Something is done to a tin."""
        if number is not None:
            self.number = TypedNumber()
            self.ask(do_to(self.bench, next(t for t in self.tins if t.number == number)))

    def rub_out(self) -> None:
        """Take the last figure away."""
        self.number.figures = self.number.figures[:-1]

    def press(self, pressed: str) -> None:
        """What is typed makes room for whatever else a key does."""
        if self.number.figures and pressed in ("-", "backspace"):
            self.rub_out()
            return
        if pressed not in (*FIGURES, "enter", "?"):
            self.number = TypedNumber()
        super().press(pressed)

    def came(self) -> None:
        """Enter a tin that came."""
        self.ask(add_tin_flow(self.bench))

    def buy(self) -> None:
        """Show the shopping list."""
        self.open(Pages(lambda: to_buy(self.bench)))

    def costs(self) -> None:
        """Show what a month cost."""
        self.open(Costs(self.bench))

    def find_batch(self) -> None:
        """Show where a batch went."""
        self.ask(trace(self.bench))

    KEYS = (
        KeyWord(FIGURES, "0-9", "tin", each=write),
        KeyWord(("enter",), "Enter", "take", enter),
        KeyWord(("+",), "+", "one came", came),
        KeyWord(("*",), "*", "to buy", buy),
        KeyWord(("-",), "-", "costs", costs),
        KeyWord((".",), ".", "batch", find_batch),
        KeyWord(("backspace",), "-", "rub out", rub_out),
        KeyWord(("/",), "/", "back", PagedScreen.back),
        KeyWord(("0",), "0", "back", PagedScreen.back),
    )


async def do_to(bench: Paintbench, tin: Tin) -> None:
    """Everything that is done to a tin that is there."""
    number, now = tin.number, bench.now()
    lid = Action("open it", doing(tin_actions.open_tin, number, bench.painter), number=1)
    actions = [] if tin.opened_at else [lid]
    actions += [
        Action("count what is left in it", partial(_count, tin=tin), number=2),
        Action("it is empty, or binned", partial(_bin, tin=tin), number=3),
        Action("correct: batch, use-by, price, size", partial(_right, tin=tin), number=4),
    ]
    if tin.batch:
        where = partial(trace, batch=tin.batch)
        actions.append(Action(f"where batch {tin.batch} went", where, number=5))
    notes = [f"{age_words(tin, now)}, {left_words(tin, bench.view.house.units)}"]
    notes += [until] if (until := until_words(tin, now)) else []
    title = f"{tin_words(tin)[0].upper()}{tin_words(tin)[1:]}"
    await menu(bench, title, actions, notes)


async def _count(bench: Paintbench, tin: Tin) -> None:
    questions = [NumberQuestion("left in it", "ml", such_as=tin.left_ml)]
    notes = [f"Calculated: {left_words(tin, bench.view.house.units)}."]
    numbers = await ask_numbers(bench, f"Count tin {tin.number}", questions, notes)
    if numbers is not None:
        bench.do(tin_actions.count_tin, tin.number, bench.painter, left_ml=numbers[0] or 0.0)


async def _bin(bench: Paintbench, tin: Tin) -> None:
    questions = [
        NumberQuestion("thrown away with it", "ml", tin.left_ml, known_from="by the figures")
    ]
    notes = ["0 if it is empty. What was thrown away is counted with the month's waste."]
    numbers = await ask_numbers(bench, f"Tin {tin.number} is gone?", questions, notes)
    if numbers is not None:
        bench.do(tin_actions.bin_tin, tin.number, bench.painter, left_ml=numbers[0])


async def _right(bench: Paintbench, tin: Tin) -> None:
    number = tin.number
    actions = [
        Action("its batch number", partial(_batch, tin=tin)),
        Action("its use-by", partial(_use_by, number=number)),
        Action("its price", partial(_price, number=number)),
        Action("its size", partial(_size, number=number)),
    ]
    if tin.opened_at:
        shut = doing(tin_actions.correct_tin, number, bench.painter, not_opened=True)
        actions.append(Action("not opened after all", shut))
    await menu(bench, f"Tin {number}: correct what?", actions)


async def _batch(bench: Paintbench, tin: Tin) -> None:
    question = BatchNumber(f"Tin {tin.number}: its batch number", "none", tin.batch)
    batch = await bench.push_screen_wait(question)
    if batch is not None:
        bench.do(tin_actions.correct_tin, tin.number, bench.painter, batch=batch)


async def _use_by(bench: Paintbench, number: int) -> None:
    typed = await ask_numbers(bench, f"Tin {number}: its use-by", [UseBy(USE_BY)], USE_BY_TOLD)
    if typed is not None:
        bench.do(tin_actions.correct_tin, number, bench.painter, use_by=_day(typed[0]))


async def _price(bench: Paintbench, number: int) -> None:
    numbers = await ask_numbers(
        bench, f"Tin {number}: its price", [NumberQuestion("price of one tin")]
    )
    if numbers is not None:
        bench.do(tin_actions.correct_tin, number, bench.painter, price=numbers[0])


async def _size(bench: Paintbench, number: int) -> None:
    questions = [NumberQuestion("what it held when full", "ml")]
    numbers = await ask_numbers(bench, f"Tin {number}: its size", questions)
    if numbers is not None:
        bench.do(tin_actions.correct_tin, number, bench.painter, size_ml=numbers[0])


# --- one comes -----------------------------------------------------------------------------------


async def add_tin_flow(bench: Paintbench) -> None:
    """A tin, or some alike: what, how big, good until when, its price, its batch number."""
    names = {product.key: product.name for product in bench.view.products.values()}
    key = await choose_key(bench, "A tin came: of what?", names, product_numbers(bench.shop))
    if key is None:
        return
    product = bench.view.products[key]
    roles = roles_of(product)
    role: str | None = roles[0]
    if len(roles) > 1:
        role = await choose_text(bench, f"{product.name}: which part?", roles)
    if role is None:
        return
    title = f"A tin came: {product.name}{', ' if role else ''}{role}"
    questions = [
        NumberQuestion(
            "it holds", "ml", tin_list.usual_size_ml(bench.shop, product.key, role) or USUAL_ML
        ),
        NumberQuestion("how many alike", "", 1.0, whole=True),
        UseBy(USE_BY, must=False, empty="none printed"),
        NumberQuestion("price of one", must=False),
    ]
    numbers = await ask_numbers(bench, title, questions, USE_BY_TOLD)
    if numbers is None:
        return
    batch = await bench.push_screen_wait(BatchNumber(title, "it follows later"))
    if batch is None:
        return
    bench.do(
        tin_actions.record_tin,
        product.key,
        bench.painter,
        role=role,
        batch=batch,
        size_ml=numbers[0] or 0.0,
        count=int(numbers[1] or 0),
        use_by=_day(numbers[2]),
        price=numbers[3],
    )


USE_BY = "use by, as 327 or 310327"
USE_BY_TOLD = ["Use-by: month and year as 327 for March 2027, or day, month and year as 310327."]


class UseBy(NumberQuestion):
    """A use-by in figures: refused at once where there is no such day."""

    def read(self, text: str, units: ShopUnits = METRIC) -> float:
        """The figures, which are those of a day. Raises ValueError saying what would be right."""
        figures = super().read(text, units)
        use_by_of_figures(int(figures))
        return figures

    def shown(self, answer: float | None, units: ShopUnits = METRIC) -> str:
        """Return the last good day."""
        day = _day(answer)
        return "-" if day is None else f"{day:%d %b %Y}"


def _day(figures: float | None) -> date | None:
    return None if figures is None else use_by_of_figures(int(figures))
