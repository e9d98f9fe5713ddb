"""Tins: one comes, its lid is lifted, it is counted, emptied or binned, and corrected."""

from __future__ import annotations

import math
from datetime import date, datetime

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.tins import (
    MOST_ML,
    day_of,
    end_of_day,
    good_until,
    in_date,
    last_day,
    roles_of,
    tin_words,
)
from bench.process.wording.text_rules import clean_name
from bench.process.wording.time_text import doubt_mark
from bench.shop.core.mappers import by_key, products_of
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.stock.tin_usage import tin_of
from bench.store.queries import tin_rows
from bench.store.schema.tables import TinRow

MOST_BATCH = 30
"""Longest batch number that is kept."""

MOST_AT_ONCE = 48
"""More tins than come in a box: a slip of the fingers."""

MOST_PRICE = 100_000.0


def record_tin(
    shop: Shop,
    product: str,
    by: str,
    *,
    role: str = "",
    batch: str = "",
    size_ml: float,
    use_by: date | None = None,
    price: float | None = None,
    count: int = 1,
    at: datetime | None = None,
) -> Outcome | Refusal:
    """Write down a tin, or ``count`` alike ones, as it comes in.

    role: which part of a product that is mixed. batch may be empty and follow later. use_by: its
    last good day. price: of one tin, in the shop's money; None where nobody knows it.
    """
    with shop.act("tin came", by) as act:
        sheets = products_of(act.session)
        sheet = by_key(sheets, product, "product")
        if isinstance(sheet, Refusal):
            return sheet
        part = _part_of(sheet, role)
        if isinstance(part, Refusal):
            return part
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        number = _batch(batch)
        if isinstance(number, Refusal):
            return number
        refused = _bad_size(size_ml) or _bad_price(price)
        if refused is not None:
            return refused
        if not 1 <= count <= MOST_AT_ONCE:
            return Refusal(f"{count} tins", "", f"from 1 to {MOST_AT_ONCE} at once")
        ends = end_of_day(use_by, act.house.hours.zone) if use_by else None
        rows = [
            TinRow(
                product=product,
                role=part,
                batch=number,
                size_ml=size_ml,
                left_ml=size_ml,
                came_at=when,
                use_by=ends,
                price=price,
            )
            for _ in range(count)
        ]
        act.session.add_all(rows)
        act.session.flush()
        return act.done("", _came_words(act, rows, sheets))


def _came_words(act: Transaction, rows: list[TinRow], sheets: dict[str, Product]) -> str:
    first, last = rows[0], rows[-1]
    tin = tin_of(first, sheets, act.house.hours.zone)
    words = tin_words(tin)
    if len(rows) > 1:
        words = words.replace(f"tin {first.id}", f"tins {first.id} to {last.id}", 1)
    words += f" came: {first.size_ml:.0f} ml, {first.batch or 'no batch number yet'}"
    if tin.use_by is not None:
        words += f", use by {day_of(tin.use_by)}"
    refused = in_date(tin, act.now)
    if refused is not None:
        act.notes.append(f"it is out of date already: {refused.read}")
    return words


def _part_of(sheet: Product, role: str) -> str | Refusal:
    roles, name = roles_of(sheet), role.strip().lower()
    if name in roles:
        return name
    if roles == ("",):
        return Refusal(f"{sheet.name} is not mixed", name[:40], "leave the part out")
    if not name:
        return Refusal(f"which part of {sheet.name} is not said", "", f"one of {', '.join(roles)}")
    return Refusal(f"{sheet.name} has no {name[:40]}", "", f"one of {', '.join(roles)}")


def _batch(text: str) -> str | Refusal:
    """A batch number without stray spaces; it may be empty, it never holds anything up."""
    if not text.strip():
        return ""
    number = clean_name(text, "the batch number")
    if isinstance(number, str) and len(number) > MOST_BATCH:
        much = f"{len(number)} characters"
        return Refusal("the batch number is too long", much, f"at most {MOST_BATCH}")
    return number


def _bad_size(size_ml: float | None) -> Refusal | None:
    if size_ml is None or (math.isfinite(size_ml) and 0 < size_ml <= MOST_ML):
        return None
    return Refusal(f"a tin of {size_ml:g} ml", "", f"over 0, up to {MOST_ML:.0f} ml")


def _bad_price(price: float | None) -> Refusal | None:
    if price is None or (math.isfinite(price) and 0 <= price <= MOST_PRICE):
        return None
    return Refusal(f"a price of {price:g}", "", f"from 0 to {MOST_PRICE:.0f}; leave it out else")


def open_tin(shop: Shop, number: int, by: str, *, at: datetime | None = None) -> Outcome | Refusal:
    """Lift a tin's lid for the first time: its clock starts."""
    with shop.act("open tin", by) as act:
        row = _tin_there(act, number)
        if isinstance(row, Refusal):
            return row
        if row.opened_at is not None:
            since = act.hour(row.opened_at)
            return Refusal(f"tin {number} is open already", f"since {since}", "take from it")
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        if when < row.came_at:
            came = f"it came {act.hour(row.came_at)}"
            return Refusal(f"tin {number} was not there yet", came, "give a later time")
        row.opened_at = when
        tin = tin_of(row, products_of(act.session), act.house.hours.zone)
        refused, until = in_date(tin, act.now), good_until(tin)
        if refused is not None:
            act.notes.append(f"out of date: {refused.read}")
        elif until is not None:
            guess = doubt_mark(tin.guessed and until != tin.use_by)
            act.notes.append(f"good until {day_of(until.astimezone(act.local_now.tzinfo))}{guess}")
        return act.done("", f"{tin_words(tin)} opened {act.hour(when)}")


def count_tin(shop: Shop, number: int, by: str, *, left_ml: float) -> Outcome | Refusal:
    """Say what is left in a tin. One that was taken for empty is there again."""
    with shop.act("count tin", by) as act:
        row = _tin(act, number)
        if isinstance(row, Refusal):
            return row
        if odd := _odd_rest(row, left_ml):
            return odd
        tin = tin_of(row, products_of(act.session), act.house.hours.zone)
        if tin.empty_at is not None and left_ml == 0:
            return Refusal(f"tin {number} is empty already", f"since {act.hour(tin.empty_at)}")
        was = f"the figures said {row.left_ml:.0f}"
        row.left_ml, row.empty_at = left_ml, None
        there = ":" if tin.empty_at is None else " is there again:"
        return act.done("", f"{tin_words(tin)}{there} {left_ml:.0f} ml left in it ({was})")


def bin_tin(shop: Shop, number: int, by: str, *, left_ml: float | None = None) -> Outcome | Refusal:
    """Empty or bin a tin. What is left in it is thrown away with it.

    left_ml: what that is; None: what the figures say.
    """
    with shop.act("bin tin", by) as act:
        row = _tin_there(act, number)
        if isinstance(row, Refusal):
            return row
        if left_ml is not None and (odd := _odd_rest(row, left_ml)):
            return odd
        row.left_ml = row.left_ml if left_ml is None else left_ml
        row.empty_at = act.now
        tin = tin_of(row, products_of(act.session), act.house.hours.zone)
        thrown = f"binned with {row.left_ml:.0f} ml in it" if row.left_ml else "empty"
        return act.done("", f"{tin_words(tin)}: {thrown}")


def correct_tin(
    shop: Shop,
    number: int,
    by: str,
    *,
    batch: str | None = None,
    size_ml: float | None = None,
    use_by: date | None = None,
    price: float | None = None,
    not_opened: bool = False,
) -> Outcome | Refusal:
    """Correct the record of a tin, now or later; the journal keeps both.

    not_opened: its lid was never lifted, though a mix was written down as if.
    """
    with shop.act("put tin right", by) as act:
        row = _tin(act, number)
        if isinstance(row, Refusal):
            return row
        zone = act.house.hours.zone
        changes = []
        if batch is not None:
            clean_batch = _batch(batch)
            if isinstance(clean_batch, Refusal):
                return clean_batch
            changes.append(f"batch {clean_batch or 'none'} (was {row.batch or 'none'})")
            row.batch = clean_batch
        refused = _bad_size(size_ml) or _bad_price(price)
        if refused is not None:
            return refused
        if size_ml is not None:
            changes.append(f"{size_ml:.0f} ml (was {row.size_ml:.0f} ml)")
            row.left_ml = max(row.left_ml + size_ml - row.size_ml, 0.0)
            row.size_ml = size_ml
        if use_by is not None:
            was = row.use_by and last_day(row.use_by.astimezone(zone))
            changes.append(f"use by {use_by:%d %b %Y} (was {f'{was:%d %b %Y}' if was else 'none'})")
            row.use_by = end_of_day(use_by, zone)
        if price is not None:
            was_price = "not known" if row.price is None else f"{row.price:.2f}"
            changes.append(f"price {price:.2f} (was {was_price})")
            row.price = price
        if not_opened:
            changes.append("not opened yet")
            row.opened_at = None
        if not changes:
            return Refusal(f"nothing to correct on tin {number}", "", "say what to change")
        tin = tin_of(row, products_of(act.session), zone)
        return act.done("", f"{tin_words(tin)}: {', '.join(changes)}")


def _odd_rest(row: TinRow, left_ml: float) -> Refusal | None:
    if 0 <= left_ml <= row.size_ml:
        return None
    right = f"from 0 to the {row.size_ml:.0f} ml of the tin"
    return Refusal(f"{left_ml:g} ml left in tin {row.id}", "", right)


def _tin_there(act: Transaction, number: int) -> TinRow | Refusal:
    """The tin with a number, if it is not empty."""
    row = _tin(act, number)
    if isinstance(row, TinRow) and row.empty_at is not None:
        since = f"since {act.hour(row.empty_at)}"
        return Refusal(f"tin {number} is empty", since, "count it if there is something left")
    return row


def _tin(act: Transaction, number: int) -> TinRow | Refusal:
    """The tin with a number, empty or not; not one that was changed unseen."""
    row = act.session.get(TinRow, number)
    if row is not None:
        return act.unseen(row) or row
    listed = sorted(row.id or 0 for row in tin_rows.tins_listed(act.session))
    there = ", ".join(map(str, listed[:12])) + (" .." if len(listed) > 12 else "")
    return Refusal(f"no tin {number}", "", f"there are: {there or 'none yet'}")
