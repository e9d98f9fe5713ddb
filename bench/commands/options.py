"""Options that many words of the command line take."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

from bench.commands import quantities

Adder = Callable[[argparse.ArgumentParser], None]


def option(*names: str, **settings: Any) -> Adder:
    """One option, as argparse takes it."""

    def add(parser: argparse.ArgumentParser) -> None:
        parser.add_argument(*names, **settings)

    return add


def _both(first: Adder, second: Adder) -> Adder:
    def add(parser: argparse.ArgumentParser) -> None:
        first(parser)
        second(parser)

    return add


def on_part(parser: argparse.ArgumentParser) -> None:
    """A part by its stand, or by its tag wherever it is."""
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument(
        "stand",
        nargs="?",
        metavar="STAND",
        type=quantities.whole("a stand's number"),
        help="the stand it is on; or else --tag",
    )
    which.add_argument("--tag", metavar="TAG", help="its tag, wherever it is")


NAME = option("--by", metavar="NAME", help="who did it, where there are several painters")
BY = _both(
    NAME,
    option(
        "--doubtful",
        action="store_true",
        help="write it down although the computer's clock is wrong; the line is marked",
    ),
)
JSON = option("--json", action="store_true", help="as JSON")
AGO = option("--ago", metavar="TIME", type=quantities.ago_s, help='how long ago: "20 min"')
