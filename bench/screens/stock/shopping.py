"""What to buy, what a month cost, and where a batch went."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.refusals.refusal import Refusal
from bench.process.stock.costs import ProductSpending, cost_words
from bench.process.stock.paint_use import use_words
from bench.process.stock.shopping import (
    buy_words,
    need_words,
    pots_words,
    tags_words,
    unknown_words,
)
from bench.process.stock.tins import age_words
from bench.process.wording.time_text import format_clock
from bench.screens.core.keys import KeyWord, Method
from bench.screens.core.pages import PageRow, Pages
from bench.screens.dialogs.batch_number import BatchNumber
from bench.screens.dialogs.questions import show
from bench.shop.core.transaction import Outcome
from bench.shop.stock import batch_tracing, tin_list
from bench.shop.stock.batch_tracing import BatchTrace, coat_words

if TYPE_CHECKING:
    from bench.app import Paintbench

LOSSES = (
    "How much lands on the part is common practice: an amount with ? may be up to five times off. "
    "Type your tins' sheets and the areas."
)


def to_buy(bench: Paintbench) -> tuple[str, list[PageRow]]:
    """The shopping list for the parts on the bench."""
    page, units = tin_list.shopping(bench.shop), bench.view.house.units
    rows: list[PageRow] = []
    for entry in page.wanted:
        part = f"{entry.name}, {entry.role}" if entry.role else entry.name
        rows.append((f"{part}: {buy_words(entry, units)}", "bold" if entry.buy_ml else ""))
        rows.append((f"    {need_words(entry, units)}, {tags_words(entry.tags)}", "dim"))
    rows += [(unknown_words(unknown), "urgent") for unknown in page.unknown]
    rows += [(pots_words(page.open_pots, bench.now()), "")] if page.open_pots else []
    rows += [(use_words(own, bench.view.products), "") for own in page.own]
    if not rows:
        return "To buy", [("No part on the bench waits for a coat.", "")]
    return "To buy for the parts on the bench", [*rows, ("", ""), (LOSSES, "dim")]


class Costs(Pages):
    """A month's paint; minus and plus turn the months."""

    def __init__(self, bench: Paintbench) -> None:
        now = bench.now()
        self.year, self.month = now.year, now.month
        super().__init__(lambda: self._found(bench))

    def _found(self, bench: Paintbench) -> tuple[str, list[PageRow]]:
        page = tin_list.costs(bench.shop, self.year, self.month)
        lines = [*page.products, page.total] if len(page.products) > 1 else page.products
        rows: list[PageRow] = [
            ("used: taken from tins; binned: of that, left over in pots;", "dim")
        ]
        rows += [("thrown: left in tins that were binned. Money is in the shop's currency.", "dim")]
        for entry in lines:
            rows += [("", ""), *_spent_rows(entry, bench)]
        if not lines:
            rows += [("", ""), ("Nothing was used.", "")]
        if page.unmeasured:
            pots = "pot" if page.unmeasured == 1 else "pots"
            text = f"{page.unmeasured} {pots} binned without measuring the leftover"
            rows += [("", ""), (text, "urgent")]
        return f"Paint and waste in {self.year}-{self.month:02d}", rows

    def idle(self) -> set[Method]:
        """Nothing was spent after this month."""
        idle, now = super().idle(), self.bench.now()
        if (self.year, self.month) >= (now.year, now.month):
            idle.add(Costs.after)
        return idle

    def before(self) -> None:
        """Show the month before."""
        self._turn_month(-1)

    def after(self) -> None:
        """The month after, up to this one."""
        now = self.bench.now()
        if (self.year, self.month) < (now.year, now.month):
            self._turn_month(1)

    def _turn_month(self, by: int) -> None:
        months = self.year * 12 + self.month - 1 + by
        self.year, self.month = months // 12, months % 12 + 1
        self.again()

    KEYS = (
        KeyWord(("-",), "-", "month before", before),
        KeyWord(("+",), "+", "month after", after),
        *Pages.KEYS,
    )


def _spent_rows(entry: ProductSpending, bench: Paintbench) -> list[PageRow]:
    units = bench.view.house.units
    rows: list[PageRow] = [(entry.name, "bold")]
    for what, amount in (("used", entry.used), ("binned", entry.binned), ("thrown", entry.thrown)):
        if amount.ml or what == "used":
            rows.append((f"    {what:<7}{cost_words(amount, units)}", ""))
    return rows


async def trace(bench: Paintbench, batch: str = "") -> None:
    """Where the tins of a batch went; asked for where none is named."""
    title = "Where a batch went"
    wanted: str | None = batch
    if not batch:
        wanted = await bench.push_screen_wait(BatchNumber(title, "back"))
    if not wanted:
        return
    page = batch_tracing.trace_batch(bench.shop, wanted)
    if isinstance(page, Refusal):
        bench.tell(page)
        return
    await show(bench, Pages(lambda: (f"Batch {page.batch}", _rows(page, bench))))
    bench.tell(Outcome(f"batch {page.batch}: {len(page.coats)} coats"))


def _rows(page: BatchTrace, bench: Paintbench) -> list[PageRow]:
    now = bench.now()
    rows: list[PageRow] = []
    for entry in page.tins:
        part = f"{entry.role} of {entry.name}" if entry.role else entry.name
        rows.append((f"tin {entry.number}: {part}, {age_words(entry, now)}", ""))
    for pot in page.pots:
        at = format_clock(pot.mixed_at, now)
        rows.append((f"pot {pot.letter}: {pot.name}, mixed {at} by {pot.painter}", ""))
    rows.append(("", ""))
    rows += [(coat_words(coat, now), "bold") for coat in page.coats]
    return rows if page.coats else [*rows, ("It is on no part.", "")]
