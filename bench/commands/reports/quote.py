"""What some lots would take, as lines and as data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, folded, plain
from bench.commands.reports.tins import shopping_data
from bench.process.ahead.quote import QuoteHours, QuoteItem, span_words
from bench.process.refusals.refusal import Refusal
from bench.process.stock.shopping import (
    ShoppingLine,
    amount_words,
    counted_words,
    tins_words,
    unknown_words,
)
from bench.process.wording.time_text import date_words, doubt_mark, format_number
from bench.shop.stock.quote import AskedItem, Quote
from bench.shop.stock.quote import quote as quoted

NOT_IN_IT = "Drying, waiting and curing are not in it; a lot counts once, whatever its size."


def quote(call: Call) -> Report | Refusal:
    """Report paint, tins and hours of some lots."""
    asked = [AskedItem(**item) for item in call.args.items or ()]
    if missing := next((each for each in asked if not each.shape), None):
        return Refusal(f"no shape for route {missing.route[:40]}", "", "give --shape, see: shapes")
    found = quoted(call.shop, asked)
    return found if isinstance(found, Refusal) else Report(_data(found), _lines(found))


def _lines(found: Quote) -> Iterator[str]:
    yield f"QUOTE, written {date_words(found.now)}"
    for number, item in enumerate(found.items, start=1):
        yield f"{number:>3}  {plain(item_words(item))}"
    yield ""
    yield "PAINT, as if no tin were there; losses for the least that lands on a part"
    for line in found.paint.wanted:
        name = f"{line.name}, {line.role}" if line.role else line.name
        yield f"  {cut(plain(name), 34)} {amount_words(line):>10}  {_tins(line)}"
    for unknown in found.paint.unknown:
        yield from folded(unknown_words(unknown, "lot"), "  ")
    yield ""
    yield "HOURS, as long as past steps of that name took"
    yield from _hours(found.hours)


def _tins(line: ShoppingLine) -> str:
    """Say the tins of a line, and how many of the lots it counts."""
    least = "at least " if line.not_counted else ""
    tins = tins_words(line) or "no tin of it ever came: its size is not known"
    return f"{least}{tins}{counted_words(line, 'lots')}"


def _hours(hours: QuoteHours) -> Iterator[str]:
    for each in hours.lengths:
        times = f" x{each.times}" if each.times > 1 else ""
        past = f"{each.past} past step{'s' * (each.past > 1)}"
        span = span_words(each.usual, each.shortest, each.longest)
        yield f"  {cut(plain(each.name) + times, 34)} {span}, {past}"
    for name in hours.uncounted:
        yield f"  {cut(plain(name), 34)} no past steps: not counted"
    yield f"  in all: {hours.words}"
    yield f"  {NOT_IN_IT}"


def item_words(item: QuoteItem) -> str:
    """Say a lot: "Frame, 1 piece of 7.5 m2: New galvanised"."""
    pieces = "1 piece" if item.count == 1 else f"{item.count} pieces"
    area = "area not known"
    if item.each_m2 is not None:
        area = f"of {format_number(item.each_m2)}{doubt_mark(item.is_typical)} m2"
    return f"{item.shape.name}, {pieces} {area}: {item.route.name}"


def _data(found: Quote) -> dict[str, Any]:
    def seconds(name: str) -> float:
        return found.hours.total(name).total_seconds()

    return {
        "items": [
            {
                "route": item.route.key,
                "shape": item.shape.key,
                "count": item.count,
                "area_m2": item.each_m2,
                "placeholder": item.is_typical,
            }
            for item in found.items
        ],
        "paint": shopping_data(found.paint),
        "hours": {
            "usual_s": seconds("usual"),
            "shortest_s": seconds("shortest"),
            "longest_s": seconds("longest"),
            "steps": [
                {
                    "step": each.name,
                    "times": each.times,
                    "past_steps": each.past,
                    "usual_s": each.usual.total_seconds(),
                    "shortest_s": each.shortest.total_seconds(),
                    "longest_s": each.longest.total_seconds(),
                }
                for each in found.hours.lengths
            ],
            "not_counted": list(found.hours.uncounted),
        },
    }
