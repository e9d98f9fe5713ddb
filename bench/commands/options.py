"""Options that several words of the command line take."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

from bench.commands import quantities

Adder = Callable[[argparse.ArgumentParser], None]
Words = dict[str, tuple[str, tuple[Adder, ...]]]
"""Command words: what each does, and what it takes."""

STAND_NUMBER = quantities.whole("a stand's number")
STEP_NUMBER = quantities.whole("a step's number")
COUNT = quantities.whole("a count of pieces")
VOLUME = quantities.quantity("millilitre")
TEMPERATURE = quantities.quantity("degC")
PERCENT = quantities.quantity("percent")
MINUTES: dict[str, Any] = {"metavar": "N", "type": quantities.minutes}


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


def which_part(
    parser: argparse.ArgumentParser, stand: str, tag: str, *, required: bool = False
) -> argparse._MutuallyExclusiveGroup:
    """A stand or a tag, each with its help."""
    which = parser.add_mutually_exclusive_group(required=required)
    which.add_argument("stand", nargs="?", metavar="STAND", type=STAND_NUMBER, help=stand)
    which.add_argument("--tag", metavar="TAG", help=tag)
    return which


def on_part(parser: argparse.ArgumentParser) -> None:
    """A part by its stand, or by its tag wherever it is."""
    which_part(
        parser, "the stand it is on; or else --tag", "its tag, wherever it is", required=True
    )


def maybe_on_part(parser: argparse.ArgumentParser) -> None:
    """A part by its stand or its tag, or none."""
    which_part(parser, "what stands there", "or the part with a tag")


def reason(told: str) -> Adder:
    """Why, which may not be left out."""
    return option("--reason", metavar="TEXT", required=True, help=told)


def override(told: str) -> Adder:
    """The reason for going on against a rule, where that is allowed."""
    return option("--override", metavar="REASON", default="", help=told)


def belongs(default: str | None = None) -> tuple[Adder, Adder]:
    """The job of a part and whose it is."""
    return (
        option("--job", metavar="J", default=default, help="what it belongs to"),
        option("--owner", metavar="O", default=default, help="whose it is"),
    )


def air(*, required: bool = False) -> Adder:
    """What the air's thermometer said."""
    return option("--air", metavar="T", required=required, type=TEMPERATURE, help="18C")


RH = option("--rh", metavar="PERCENT", type=PERCENT, help="65%%")
METAL = option("--metal", metavar="T", type=TEMPERATURE, help="15C")
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
