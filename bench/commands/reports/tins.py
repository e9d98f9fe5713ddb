"""Tins: the list, where a batch went, what to buy, what a month cost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, plain
from bench.commands.reports.bench_data import iso
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.costs import Expense, Month, ProductSpending, cost_words
from bench.process.stock.paint_use import OwnUse, use_words
from bench.process.stock.shopping import (
    DueParts,
    Shopping,
    ShoppingLine,
    buy_words,
    due_words,
    need_words,
    pots_words,
    tags_words,
    unknown_words,
)
from bench.process.stock.tins import (
    Tin,
    age_words,
    good_until,
    is_low,
    last_day,
    tin_word,
    until_words,
)
from bench.process.wording.time_text import format_clock
from bench.shop.core.bench_view import read_bench
from bench.shop.stock import batch_tracing, tin_list
from bench.shop.stock.batch_tracing import BatchTrace

TinData = dict[str, Any]


# --- the list ------------------------------------------------------------------------------------


def tins_list(call: Call) -> Report:
    """Report the tins that are not empty."""
    listed = tin_list.tins(call.shop)
    lines = [_tin_line(tin, listed.now) for tin in listed.tins]
    data = {"tins": [_tin_data(tin, listed.now) for tin in listed.tins]}
    return Report(data, lines or ["no tins are listed"])


def _tin_line(tin: Tin, now: datetime) -> str:
    part = f"{tin.name}, {tin.role}" if tin.role else tin.name
    batch, left = plain(tin.batch) or "-", f"{tin.left_ml:.0f} of {tin.size_ml:.0f} ml"
    row = f"{tin.number:>4}  {cut(plain(part), 30)} {cut(batch, 12)} "
    row += f"{cut(age_words(tin, now), 12)} {left:>16}  "
    row += until_words(tin, now) + (", low" if is_low(tin) else "")
    return row.rstrip()


def _tin_data(tin: Tin, now: datetime) -> TinData:
    day = tin.use_by and last_day(tin.use_by)
    return {
        "tin": tin.number,
        "product": tin.product,
        "name": tin.name,
        "role": tin.role or None,
        "batch": tin.batch or None,
        "state": tin_word(tin, now).lower(),
        "size_ml": tin.size_ml,
        "left_ml": tin.left_ml,
        "low": is_low(tin),
        "came_at": iso(tin.came_at),
        "opened_at": iso(tin.opened_at),
        "use_by": None if day is None else day.isoformat(),
        "good_until": iso(good_until(tin)),
        "opened_life_s": tin.opened_life_s,
        "placeholder": tin.guessed,
        "price": tin.price,
    }


# --- where a batch went --------------------------------------------------------------------------


def trace(call: Call) -> Report | Refusal:
    """Report the pots and parts that a batch went into."""
    traced = batch_tracing.trace_batch(call.shop, call.args.batch)
    if isinstance(traced, Refusal):
        return traced
    return Report(_traced_data(traced), _traced_lines(traced, tin_list.tins(call.shop).now))


def _traced_lines(traced: BatchTrace, now: datetime) -> Iterator[str]:
    for tin in traced.tins:
        part = f"{tin.role} of {tin.name}" if tin.role else tin.name
        yield f"tin {tin.number}: {part}, batch {tin.batch}, {age_words(tin, now)}"
    for pot in traced.pots:
        at = format_clock(pot.mixed_at, now)
        yield f"pot {pot.letter}: {pot.name}, mixed {at} by {pot.painter}"
    for coat in traced.coats:
        yield batch_tracing.coat_words(coat, now)
    if not traced.coats:
        yield "it is on no part"


def _traced_data(traced: BatchTrace) -> TinData:
    return {
        "batch": traced.batch,
        "tins": [tin.number for tin in traced.tins],
        "pots": [
            {
                "pot": pot.letter,
                "name": pot.name,
                "mixed_at": iso(pot.mixed_at),
                "painter": pot.painter,
                "tins": list(pot.tins),
            }
            for pot in traced.pots
        ],
        "parts": [
            {
                "tag": coat.tag,
                "part": coat.part,
                "count": coat.count,
                "coat": coat.coat,
                "first_at": iso(coat.first_at),
                "pot": coat.pot or None,
                "struck": coat.struck,
                "away": coat.away,
                "now_in": coat.now_in or None,
            }
            for coat in traced.coats
        ],
    }


# --- what to buy ---------------------------------------------------------------------------------


def shopping(call: Call) -> Report:
    """Report what the coats still to come take, less what is left in tins."""
    shopping_list = tin_list.shopping(call.shop, call.args.until)
    view = read_bench(call.shop)
    now = view.local(call.shop.clock.now())
    return Report(shopping_data(shopping_list), _shopping_lines(shopping_list, view.products, now))


def _shopping_lines(
    shopping_list: Shopping, products: Mapping[str, Product], now: datetime
) -> Iterator[str]:
    if not shopping_list.wanted and not shopping_list.unknown:
        yield "no coats are to come"
    for line in shopping_list.wanted:
        part = f"{line.name}, {line.role}" if line.role else line.name
        needed = f"{cut(plain(part), 34)} {need_words(line)}  {buy_words(line)}"
        yield f"{needed}  ({tags_words(line.tags)})"
    for unknown in shopping_list.unknown:
        yield unknown_words(unknown)
    if shopping_list.due is not None:
        yield from due_words(shopping_list.due)
    if shopping_list.open_pots:
        yield pots_words(shopping_list.open_pots, now)
    yield from (use_words(own, products) for own in shopping_list.own)


def shopping_data(shopping_list: Shopping) -> TinData:
    """Return a shopping list, or what a quote would take."""
    return {
        **_due_data(shopping_list.due),
        "wanted": [_wanted_data(line) for line in shopping_list.wanted],
        "not_reckoned": [
            {"name": unknown.name, "why": unknown.why, "tags": list(unknown.tags)}
            for unknown in shopping_list.unknown
        ],
        "open_pots_not_counted": [
            {
                "pot": pot.letter,
                "product": pot.product,
                "mixed_ml": pot.total_ml,
                "bin_by": iso(pot.bin_by),
            }
            for pot in shopping_list.open_pots
        ],
        "own_transfer": [use_data(own) for own in shopping_list.own],
    }


def use_data(own: OwnUse) -> TinData:
    """Return a shop's own transfer efficiency."""
    least_pct, most_pct = own.percents
    return {
        "product": own.product,
        "tool": own.tool,
        "past_pots": own.pots,
        "used_to_calculated": round(own.factor, 3),
        "transfer_pct": round(own.transfer_pct, 1),
        "least_pct": round(least_pct, 1),
        "most_pct": round(most_pct, 1),
        "used": own.counts,
    }


def _due_data(due: DueParts | None) -> TinData:
    if due is None:
        return {}
    later, unpromised = list(due.later), list(due.unpromised)
    return {"until": str(due.until), "promised_later": later, "nothing_promised": unpromised}


def _wanted_data(line: ShoppingLine) -> TinData:
    return {
        "product": line.product,
        "name": line.name,
        "role": line.role or None,
        "need_ml": round(line.need_ml, 1),
        "left_ml": round(line.left_ml, 1),
        "buy_ml": round(line.buy_ml, 1),
        "tin_ml": line.tin_ml,
        "buy_tins": line.buy_tins,
        "placeholder": line.guessed,
        "tags": list(line.tags),
        "not_counted": list(line.not_counted),
    }


# --- what a month cost ---------------------------------------------------------------------------


def costs(call: Call) -> Report | Refusal:
    """Report what was used and wasted in a month, and what it cost."""
    year_and_month = tin_list.month_of(call.shop, call.args.month)
    if isinstance(year_and_month, Refusal):
        return year_and_month
    month = tin_list.costs(call.shop, *year_and_month)
    return Report(_month_data(month), _month_lines(month))


def _month_lines(month: Month) -> Iterator[str]:
    yield f"{month.year}-{month.month:02d}"
    amounts = [*month.products, month.total] if len(month.products) > 1 else month.products
    if not amounts:
        yield "nothing was used"
    for spent in amounts:
        yield from spent_lines(spent)
    if month.unmeasured:
        yield f"pots binned without measuring the leftover: {month.unmeasured}"


def spent_lines(spent: ProductSpending) -> list[str]:
    """Write a product's month: a line each for what was used, binned and thrown away."""
    lines = [f"{cut(plain(spent.name), 28)} used   {cost_words(spent.used)}"]
    for label, amount in (("binned", spent.binned), ("thrown", spent.thrown)):
        if amount.ml:
            lines.append(f"{'':28} {label} {cost_words(amount)}")
    return lines


def _month_data(month: Month) -> TinData:
    return {
        "month": f"{month.year}-{month.month:02d}",
        "products": [_spent_data(spent) for spent in month.products],
        "total": _spent_data(month.total),
        "pots_not_measured": month.unmeasured,
    }


def _spent_data(spent: ProductSpending) -> TinData:
    return {
        "name": spent.name,
        "used": _sum_data(spent.used),
        "binned_in_pots": _sum_data(spent.binned),
        "thrown_in_tins": _sum_data(spent.thrown),
    }


def _sum_data(amount: Expense) -> TinData:
    """Return an amount; cost is null where nothing of it has a price."""
    has_price = amount.ml > amount.unpriced_ml or not amount.ml
    return {
        "ml": round(amount.ml, 1),
        "cost": round(amount.cost, 2) if has_price else None,
        "without_price_ml": round(amount.unpriced_ml, 1),
    }
