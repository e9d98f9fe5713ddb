"""Tins: the list and what is done to one, where a batch went, what to buy, what a month cost."""

from __future__ import annotations

from typing import Any

from bench.commands.call import Call
from bench.commands.plain import cut, shown, write_json, write_line
from bench.commands.status import iso
from bench.process.costs import Month, Spent, Sum, cost_words
from bench.process.refusal import Refusal
from bench.process.shopping import (
    Shopping,
    Wanted,
    buy_words,
    need_words,
    pots_words,
    tags_words,
    unknown_words,
)
from bench.process.spoken import clock_words
from bench.process.tins import Tin, age_words, good_until, is_low, last_day, tin_word, until_words
from bench.shop import spending, stocked, tins, tracing
from bench.shop.acting import Done
from bench.shop.tracing import Traced

Plain = dict[str, Any]


def tin(call: Call, by: str) -> Done | Refusal:
    """Something is done to a tin."""
    args, shop = call.args, call.shop
    if args.deed == "add":
        return tins.tin_came(
            shop,
            args.product,
            by,
            role=args.role,
            batch=args.batch or "",
            size_ml=args.size,
            use_by=args.use_by,
            price=args.price,
            count=args.count,
            at=call.at,
        )
    if args.deed == "open":
        return tins.open_tin(shop, args.tin, by, at=call.at)
    if args.deed == "count":
        return tins.count_tin(shop, args.tin, by, left_ml=args.left)
    if args.deed == "bin":
        return tins.bin_tin(shop, args.tin, by, left_ml=args.left)
    return tins.put_tin_right(
        shop,
        args.tin,
        by,
        batch=args.batch,
        size_ml=args.size,
        use_by=args.use_by,
        price=args.price,
        not_opened=args.not_opened,
    )


# --- the list ------------------------------------------------------------------------------------


def tins_list(call: Call) -> Refusal | None:
    """The tins that are not empty."""
    found = stocked.tins(call.shop)
    if call.args.json:
        write_json(call.out, {"tins": [_tin_data(one, found.now) for one in found.tins]})
        return None
    if not found.tins:
        write_line(call.out, "no tins are listed")
    for one in found.tins:
        part = f"{one.name}, {one.role}" if one.role else one.name
        batch, left = shown(one.batch) or "-", f"{one.left_ml:.0f} of {one.size_ml:.0f} ml"
        row = f"{one.number:>4}  {cut(shown(part), 30)} {cut(batch, 12)} "
        row += f"{cut(age_words(one, found.now), 12)} {left:>16}  "
        row += until_words(one, found.now) + (", low" if is_low(one) else "")
        write_line(call.out, row.rstrip())
    return None


def _tin_data(one: Tin, now: Any) -> Plain:
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


def trace(call: Call) -> Refusal | None:
    """The pots and parts that a batch went into."""
    found = tracing.trace(call.shop, call.args.batch)
    if isinstance(found, Refusal):
        return found
    if call.args.json:
        write_json(call.out, _traced_data(found))
        return None
    now = stocked.tins(call.shop).now
    for one in found.tins:
        part = f"{one.role} of {one.name}" if one.role else one.name
        write_line(call.out, f"tin {one.number}: {part}, batch {one.batch}, {age_words(one, now)}")
    for pot in found.pots:
        at = clock_words(pot.mixed_at, now)
        write_line(call.out, f"pot {pot.letter}: {pot.name}, mixed {at} by {pot.painter}")
    for coat in found.coats:
        write_line(call.out, tracing.coat_words(coat, now))
    if not found.coats:
        write_line(call.out, "it is on no part")
    return None


def _traced_data(found: Traced) -> Plain:
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


def shopping(call: Call) -> Refusal | None:
    """What the coats still to come take, less what is left in tins."""
    found = spending.shopping(call.shop)
    if call.args.json:
        write_json(call.out, _shopping_data(found))
        return None
    if not found.wanted and not found.unknown:
        write_line(call.out, "no coats are to come")
    for one in found.wanted:
        part = f"{one.name}, {one.role}" if one.role else one.name
        told = f"{cut(shown(part), 34)} {need_words(one)}  {buy_words(one)}"
        write_line(call.out, f"{told}  ({tags_words(one.tags)})")
    for unknown in found.unknown:
        write_line(call.out, unknown_words(unknown))
    if found.open_pots:
        write_line(call.out, shown(pots_words(found.open_pots, stocked.tins(call.shop).now)))
    return None


def _shopping_data(found: Shopping) -> Plain:
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


def _wanted_data(one: Wanted) -> Plain:
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
    }


# --- what a month cost ---------------------------------------------------------------------------


def costs(call: Call) -> Refusal | None:
    """What was used and wasted in a month, and what it cost."""
    asked = spending.month_of(call.shop, call.args.month)
    if isinstance(asked, Refusal):
        return asked
    found = spending.costs(call.shop, *asked)
    if call.args.json:
        write_json(call.out, _month_data(found))
        return None
    write_line(call.out, f"{found.year}-{found.month:02d}")
    lines = [*found.products, found.total] if len(found.products) > 1 else found.products
    if not lines:
        write_line(call.out, "nothing was used")
    for one in lines:
        for text in spent_lines(one):
            write_line(call.out, text)
    if found.unmeasured:
        write_line(call.out, f"pots binned, and nobody measured what was left: {found.unmeasured}")
    return None


def spent_lines(one: Spent) -> list[str]:
    """A product's month, one line for each thing that came of its paint."""
    told = [f"{cut(shown(one.name), 28)} used   {cost_words(one.used)}"]
    for what, amount in (("binned", one.binned), ("thrown", one.thrown)):
        if amount.ml:
            told.append(f"{'':28} {what} {cost_words(amount)}")
    return told


def _month_data(found: Month) -> Plain:
    return {
        "month": f"{found.year}-{found.month:02d}",
        "products": [_spent_data(one) for one in found.products],
        "total": _spent_data(found.total),
        "pots_not_measured": found.unmeasured,
    }


def _spent_data(one: Spent) -> Plain:
    return {
        "name": one.name,
        "used": _sum_data(one.used),
        "binned_in_pots": _sum_data(one.binned),
        "thrown_in_tins": _sum_data(one.thrown),
    }


def _sum_data(amount: Sum) -> Plain:
    """cost is null where nothing of it has a price."""
    known = amount.ml > amount.unpriced_ml or not amount.ml
    return {
        "ml": round(amount.ml, 1),
        "cost": round(amount.cost, 2) if known else None,
        "without_price_ml": round(amount.unpriced_ml, 1),
    }
