"""Options that several words of the command line take."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

from bench.commands import quantities
from bench.process.rules import TOO_SOON, Rule

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


def group(title: str, *adders: Adder) -> Adder:
    """Return options that stand together under a title in the help."""

    def add(parser: argparse.ArgumentParser) -> None:
        titled = parser.add_argument_group(title)
        for each in adders:
            each(titled)  # type: ignore[arg-type]  # an option needs no more of it

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


def override(*rules: Rule) -> Adder:
    """A reason for each rule in the way, by the rule's name. rules: those that can be."""
    names = ", ".join(rule.written for rule in rules if rule.override == "reason")
    return option(
        "--override",
        metavar="RULE=REASON",
        action="append",
        default=[],
        type=_rule_and_reason,
        help=f"override a rule, such as {EXAMPLE}; again for each. Rules: {names}",
    )


EXAMPLE = f'{TOO_SOON.name}="tested on the coupon"'


def _rule_and_reason(text: str) -> tuple[str, str]:
    """A rule's name and the reason for it."""
    name, equals, reason = text.partition("=")
    if not equals or not name.strip():
        wanted = f"wanted a rule's name and the reason for it, such as {EXAMPLE}"
        raise argparse.ArgumentTypeError(f"read {text[:40]!r}; {wanted}")
    return name.strip(), reason


def air_supply(*rules: Rule) -> Adder:
    """Another air supply and a second person: what overrides the rules about breathing."""
    names = ", ".join(rule.written for rule in rules if rule.override == "air supply")
    supply = f'what the mask is fed from instead: "cylinder set 2". Overrides {names}'
    second = "the painter who stays with that air supply; not the one who sprays"
    return _both(
        option("--air-supply", metavar="TEXT", default="", help=supply),
        option("--second", metavar="NAME", default="", help=second),
    )


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
