"""The words of the command line that are about tins."""

from __future__ import annotations

import argparse
from argparse import ArgumentTypeError
from datetime import date

from bench.commands import quantities
from bench.commands.options import AGO, BY, JSON, VOLUME, Words, option


def use_by(text: str) -> date:
    """A use-by: its last good day, or the month."""
    from bench.process.tins import read_use_by

    try:
        return read_use_by(text)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from fault


def price(text: str) -> float:
    """Money as a bare number, with a point or a comma."""
    try:
        return float(text.strip().replace(",", "."))
    except ValueError as fault:
        told = f"read {text[:40]!r}; wanted the price of one tin, such as 24.50"
        raise ArgumentTypeError(told) from fault


def tin_numbers(text: str) -> tuple[int, ...]:
    """Numbers of tins with commas between them."""
    number = quantities.whole("a tin's number")
    return tuple(number(piece) for piece in text.split(","))


_TIN = option("tin", metavar="TIN", type=quantities.whole("a tin's number"), help="its number")
_BATCH = option("--batch", metavar="BATCH", help="the number on it; it may follow later")
_USE_BY = option("--use-by", metavar="DAY", type=use_by, help="2027-03-31, or 2027-03")
_PRICE = option("--price", metavar="MONEY", type=price, help="of one tin: 24.50")

TAKE_TINS = option(
    "--tins",
    metavar="NUMBERS",
    type=tin_numbers,
    default=(),
    help="take from these and not from those whose turn it is: 4,7",
)
"""Which tins a mix is poured from."""

DEEDS: Words = {
    "add": (
        "a tin came, or some alike",
        (
            option("product", metavar="PRODUCT", help="see: paintbench products"),
            option("--role", default="", help="base, hardener, ..; not where nothing is mixed"),
            _BATCH,
            option("--size", metavar="AMOUNT", type=VOLUME, required=True, help="500ml"),
            _USE_BY,
            _PRICE,
            option(
                "--count",
                metavar="N",
                type=quantities.whole("a number of tins"),
                default=1,
                help="so many alike",
            ),
            AGO,
            BY,
        ),
    ),
    "open": ("its lid is lifted: its clock starts", (_TIN, AGO, BY)),
    "count": (
        "say what is left in it",
        (_TIN, option("--left", metavar="AMOUNT", type=VOLUME, required=True, help="420ml"), BY),
    ),
    "bin": (
        "it is empty, or binned with what is left in it",
        (
            _TIN,
            option("--left", metavar="AMOUNT", type=VOLUME, help="that is; else by its figures"),
            BY,
        ),
    ),
    "right": (
        "put right what was written down of it",
        (
            _TIN,
            _BATCH,
            option("--size", metavar="AMOUNT", type=VOLUME, help="500ml"),
            _USE_BY,
            _PRICE,
            option("--not-opened", action="store_true", help="its lid was never lifted"),
            BY,
        ),
    ),
}
"""What is done to a tin, each a word of its own."""


def _deeds(parser: argparse.ArgumentParser) -> None:
    words = parser.add_subparsers(dest="deed", metavar="DEED", required=True, title="deeds")
    for name, (told, adders) in DEEDS.items():
        deed = words.add_parser(name, help=told, description=told, allow_abbrev=False)
        option("--db", metavar="PATH", default=argparse.SUPPRESS, help="the shop's data")(deed)
        for add in adders:
            add(deed)


TINS: Words = {
    "tins": ("list the tins: how old, how good, what is left", (JSON,)),
    "tin": ("a tin came, is opened, counted, emptied, put right", (_deeds,)),
    "trace": (
        "where the tins of a batch went: pots and parts",
        (option("batch", metavar="BATCH", help="the number on the tin"), JSON),
    ),
    "shopping": ("what the coats to come take, less what is left in tins", (JSON,)),
    "costs": (
        "what a month's paint cost, and what of it was wasted",
        (option("--month", metavar="MONTH", default="", help="2025-06; else this month"), JSON),
    ),
}
"""Every command word about tins: what it does, and what it takes."""
