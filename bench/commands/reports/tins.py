"""Tins: the list, where a batch went, what to buy, what a month cost."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, shown
from bench.commands.reports.bench_data import iso
from bench.process.refusals.refusal import Refusal
from bench.process.stock.costs import Expense, Month, Spent, cost_words
from bench.process.stock.shopping import (
    Shopping,
    ShoppingLine,
    buy_words,
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
from bench.shop.stock import batch_tracing, tin_list
from bench.shop.stock.batch_tracing import Traced

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
    batch, left = shown(tin.batch) or "-", f"{tin.left_ml:.0f} of {tin.size_ml:.0f} ml"
    row = f"{tin.number:>4}  {cut(shown(part), 30)} {cut(batch, 12)} "
    row += f"{cut(age_words(tin, now), 12)} {left:>16}  "
    row += until_words(tin, now) + (", low" if is_low(tin) else "")
    return row.rstrip()


def _tin_data(one: Tin, now: datetime) -> TinData:
    day = one.use_by and last_day(one.use_by)
    return {
        "tin": one.number,
        "product": one.product,
        "name": one.name,
        "role": one.role or None,
        "batch": one.batch or None,
        "state": tin_word(one, now).lower(),
        "size_ml": one.size_ml,
        "left_ml": one.left_ml,
        "low": is_low(one),
        "came_at": iso(one.came_at),
        "opened_at": iso(one.opened_at),
        "use_by": None if day is None else day.isoformat(),
        "good_until": iso(good_until(one)),
        "opened_life_s": one.opened_life_s,
        "placeholder": one.guessed,
        "price": one.price,
    }


# --- where a batch went --------------------------------------------------------------------------


def trace(call: Call) -> Report | Refusal:
    """Report the pots and parts that a batch went into."""
    traced = batch_tracing.trace(call.shop, call.args.batch)
    if isinstance(traced, Refusal):
        return traced
    return Report(_traced_data(traced), _traced_lines(traced, tin_list.tins(call.shop).now))


def _traced_lines(traced: Traced, now: datetime) -> Iterator[str]:
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


def _traced_data(found: Traced) -> TinData:
    return {
        "batch": found.batch,
        "tins": [one.number for one in found.tins],
        "pots": [
            {
                "pot": pot.letter,
                "name": pot.name,
                "mixed_at": iso(pot.mixed_at),
                "painter": pot.painter,
                "tins": list(pot.tins),
            }
            for pot in found.pots
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
            for coat in found.coats
        ],
    }


# --- what to buy ---------------------------------------------------------------------------------


def shopping(call: Call) -> Report:
    """Report what the coats still to come take, less what is left in tins."""
    wanted = tin_list.shopping(call.shop)
    return Report(_shopping_data(wanted), _shopping_lines(wanted, tin_list.tins(call.shop).now))


def _shopping_lines(found: Shopping, now: datetime) -> Iterator[str]:
    if not found.wanted and not found.unknown:
        yield "no coats are to come"
    for one in found.wanted:
        part = f"{one.name}, {one.role}" if one.role else one.name
        needed = f"{cut(shown(part), 34)} {need_words(one)}  {buy_words(one)}"
        yield f"{needed}  ({tags_words(one.tags)})"
    for unknown in found.unknown:
        yield unknown_words(unknown)
    if found.open_pots:
        yield pots_words(found.open_pots, now)


def _shopping_data(found: Shopping) -> TinData:
    return {
        "wanted": [_wanted_data(one) for one in found.wanted],
        "not_reckoned": [
            {"name": one.name, "why": one.why, "tags": list(one.tags)} for one in found.unknown
        ],
        "open_pots_not_counted": [
            {
                "pot": pot.letter,
                "product": pot.product,
                "mixed_ml": pot.total_ml,
                "bin_by": iso(pot.bin_by),
            }
            for pot in found.open_pots
        ],
    }


def _wanted_data(one: ShoppingLine) -> TinData:
    return {
        "product": one.product,
        "name": one.name,
        "role": one.role or None,
        "need_ml": round(one.need_ml, 1),
        "left_ml": round(one.left_ml, 1),
        "buy_ml": round(one.buy_ml, 1),
        "tin_ml": one.tin_ml,
        "buy_tins": one.buy_tins,
        "placeholder": one.guessed,
        "tags": list(one.tags),
        "not_counted": list(one.not_counted),
    }


# --- what a month cost ---------------------------------------------------------------------------


def costs(call: Call) -> Report | Refusal:
    """Report what was used and wasted in a month, and what it cost."""
    asked = tin_list.month_of(call.shop, call.args.month)
    if isinstance(asked, Refusal):
        return asked
    month = tin_list.costs(call.shop, *asked)
    return Report(_month_data(month), _month_lines(month))


def _month_lines(found: Month) -> Iterator[str]:
    yield f"{found.year}-{found.month:02d}"
    amounts = [*found.products, found.total] if len(found.products) > 1 else found.products
    if not amounts:
        yield "nothing was used"
    for spent in amounts:
        yield from spent_lines(spent)
    if found.unmeasured:
        yield f"pots binned without measuring the leftover: {found.unmeasured}"


def spent_lines(one: Spent) -> list[str]:
    """A product's month, one line for each thing that came of its paint."""
    told = [f"{cut(shown(one.name), 28)} used   {cost_words(one.used)}"]
    for what, amount in (("binned", one.binned), ("thrown", one.thrown)):
        if amount.ml:
            told.append(f"{'':28} {what} {cost_words(amount)}")
    return told


def _month_data(found: Month) -> TinData:
    return {
        "month": f"{found.year}-{found.month:02d}",
        "products": [_spent_data(one) for one in found.products],
        "total": _spent_data(found.total),
        "pots_not_measured": found.unmeasured,
    }


def _spent_data(one: Spent) -> TinData:
    return {
        "name": one.name,
        "used": _sum_data(one.used),
        "binned_in_pots": _sum_data(one.binned),
        "thrown_in_tins": _sum_data(one.thrown),
    }


def _sum_data(amount: Expense) -> TinData:
    """cost is null where nothing of it has a price."""
    known = amount.ml > amount.unpriced_ml or not amount.ml
    return {
        "ml": round(amount.ml, 1),
        "cost": round(amount.cost, 2) if known else None,
        "without_price_ml": round(amount.unpriced_ml, 1),
    }
