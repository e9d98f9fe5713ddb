"""A quote as a page: the lots, the paint and tins they take, and the hours with their spread."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bench.process.ahead.quote import QuoteHours, QuoteItem
from bench.process.parts.durations import span_words
from bench.process.stock.paint_use import use_words
from bench.process.stock.shopping import (
    ShoppingLine,
    amount_words,
    counted_words,
    tins_words,
    unknown_words,
)
from bench.process.wording.time_text import doubt_mark, format_number
from bench.records.blocks import Block, Heading, Page, Say, SignatureLine, Table, Title
from bench.records.record_text import hour
from bench.shop.stock.quote import Quote


def quote_page(found: Quote, days: Sequence[str] = ()) -> Page:
    """Write a quote. days: when it could be ready beside what is planned, where that was asked."""
    return tuple(_blocks(found, days))


def _blocks(found: Quote, days: Sequence[str]) -> Iterator[Block]:
    yield Title("QUOTE", f"written {hour(found.now)}")
    lots = enumerate(found.items, start=1)
    rows = tuple((str(number), *_lot(item)) for number, item in lots)
    yield Table(("Lot", "What", "Pieces", "m2 each", "Route"), (3, 20, 6, 10, 36), rows)
    if days:
        yield Heading("Ready at the earliest, all lots")
        yield from (Say(f"{words}.") for words in days)
        yield Say("By the plan of today: nothing is promised by it.")
    yield Heading("Paint, as if no tin were there")
    yield Table(("Product", "Takes", "Tins"), (34, 10, 33), tuple(map(_paint, found.paint.wanted)))
    yield from (Say(f"{unknown_words(each, 'lot')}.") for each in found.paint.unknown)
    yield Say("Losses are counted for the least of the paint that lands on a part.")
    yield from (Say(f"{use_words(own, found.products)}.") for own in found.paint.own)
    yield Heading("Hours, as past steps of this shop took")
    yield from _hours(found.hours)
    yield from _signed()


def _lot(item: QuoteItem) -> tuple[str, str, str, str]:
    area = "not known"
    if item.each_m2 is not None:
        area = f"{format_number(item.each_m2)}{doubt_mark(item.is_typical)}"
    return item.shape.name, str(item.count), area, item.route.name


def _paint(line: ShoppingLine) -> tuple[str, str, str]:
    """Say what a component takes, its tins, and how many of the lots that counts."""
    name = f"{line.name}, {line.role}" if line.role else line.name
    least = "at least " if line.not_counted else ""
    tins = tins_words(line) or "no tin of it ever came: its size is not known"
    return name, amount_words(line), f"{least}{tins}{counted_words(line, 'lots')}"


def _hours(hours: QuoteHours) -> Iterator[Block]:
    rows = [
        (
            *(each.name, str(each.times), str(each.past)),
            span_words(each.usual, each.shorter, each.longer, each.doubt),
        )
        for each in hours.lengths
    ]
    yield Table(("Step", "Times", "Past", "In all"), (29, 5, 4, 38), tuple(rows))
    yield Say(f"In all: {hours.words}.")
    yield Say("In brackets: two of three such steps lie between. ? under 5 past steps.")
    yield Say("Drying, waiting and curing are not in it.")


def _signed() -> Iterator[Block]:
    yield Heading("Agreed")
    yield SignatureLine(("For the shop", "Date"))
    yield SignatureLine(("Receiver of the quote", "Date"))
