"""Tins: what came, what is left, where it went, what to buy and what it cost."""

from __future__ import annotations

from argparse import ArgumentTypeError
from datetime import date

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import AGO, VOLUME, option


def use_by(text: str) -> date:
    """Read a use-by: its last good day, or the month."""
    from bench.process.stock.tins import read_use_by

    try:
        return read_use_by(text)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from fault


def price(text: str) -> float:
    """Read money as a bare number, with a point or a comma."""
    try:
        return float(text.strip().replace(",", "."))
    except ValueError as fault:
        raise quantities.unreadable(text, "the price of one tin, such as 24.50") from fault


# A table: laid out by hand.
# fmt: off
TIN = option("number", metavar="TIN", type=quantities.whole("a tin's number"), help="its number")
USE_BY = option("--use-by", metavar="DAY", type=use_by, help="2027-03-31, or 2027-03")
PRICE = option(
    "--price", metavar="MONEY", type=quantities.Number(price), help="of one tin: 24.50")

STOCK = Group("tins and stock", (
    Command(
        "tins", "list the tins: how old, how good, what is left",
        target="bench.commands.reports.tins:tins_list", kind="reads", examples=("tins",)),
    Command("tin", "add, open, count, bin or correct a tin"),
    Command(
        "tin add", "add a tin that came, or several alike",
        (option("product", metavar="PRODUCT", help="see: paintbench products"),
         option("--role", default="", help="base, hardener, ..; not where nothing is mixed"),
         option("--batch", metavar="BATCH", default="", help="the number on it; may follow later"),
         option("--size", dest="size_ml", metavar="AMOUNT", type=VOLUME, required=True,
                help="500ml"),
         USE_BY, PRICE,
         option("--count", metavar="N", type=quantities.whole("a number of tins"), default=1,
                help="so many alike"),
         AGO),
        "bench.shop.stock.tins:record_tin",
        examples=("tin add gloss --role hardener --size 500ml --batch H-204 --use-by 2027-03 "
                  "--price 24.50 --by Una",)),
    Command(
        "tin open", "open a tin: its clock starts", (TIN, AGO), "bench.shop.stock.tins:open_tin",
        examples=("tin open 10 --by Una",)),
    Command(
        "tin count", "say what is left in a tin",
        (TIN,
         option("--left", dest="left_ml", metavar="AMOUNT", type=VOLUME, required=True,
                help="420ml")),
        "bench.shop.stock.tins:count_tin",
        examples=("tin count 7 --left 420ml --by Una",)),
    Command(
        "tin bin", "bin a tin: empty, or with what is left in it",
        (TIN,
         option("--left", dest="left_ml", metavar="AMOUNT", type=VOLUME,
                help="that is; else by its figures")),
        "bench.shop.stock.tins:bin_tin",
        examples=("tin bin 7 --left 30ml --by Una",)),
    Command(
        "tin right", "correct the record of a tin",
        (TIN,
         option("--batch", metavar="BATCH", help="the number on it"),
         option("--size", dest="size_ml", metavar="AMOUNT", type=VOLUME, help="500ml"),
         USE_BY, PRICE,
         option("--not-opened", action="store_true", help="not opened after all")),
        "bench.shop.stock.tins:correct_tin",
        examples=("tin right 7 --batch ZA-88 --by Una",)),
    Command(
        "trace", "where the tins of a batch went: pots and parts",
        (option("batch", metavar="BATCH", help="the number on the tin"),),
        "bench.commands.reports.tins:trace", "reads", ("trace ZB-115",)),
    Command(
        "shopping", "what the coats to come take, less what is left in tins",
        (option("--until", metavar="DAY", type=quantities.day,
                help="without the parts of jobs that are promised for a later day"),),
        "bench.commands.reports.tins:shopping", "reads",
        ("shopping", "shopping --until 2026-12-12")),
    Command(
        "costs", "what a month's paint cost, and what of it was wasted",
        (option("--month", metavar="MONTH", default="", help="2025-06; else this month"),),
        "bench.commands.reports.tins:costs", "reads", ("costs --month 2025-06",)),
))
# fmt: on
