"""Options that several commands take."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

from bench.commands.core import quantities
from bench.process.refusals.rules import TOO_SOON, Rule

Adder = Callable[[argparse.ArgumentParser], None]
"""Adds an option to the parser of its command."""

STAND_NUMBER = quantities.whole("a stand's number")
STEP_NUMBER = quantities.whole("a step's number")
COUNT = quantities.whole("a count of pieces")
VOLUME = quantities.quantity("millilitre")
FILM = quantities.quantity("micrometre")
TEMPERATURE = quantities.quantity("degC")
PERCENT = quantities.quantity("percent")
MINUTES: dict[str, Any] = {"metavar": "N", "type": quantities.Number(quantities.minutes)}


def option(*names: str, **settings: Any) -> Adder:
    """Return one option, as argparse takes it."""

    def add(parser: argparse.ArgumentParser) -> None:
        parser.add_argument(*names, **settings)

    return add


def group(title: str, *adders: Adder) -> Adder:
    """Return options that stand together under a title in the help."""

    def add(parser: argparse.ArgumentParser) -> None:
        titled = parser.add_argument_group(title)
        for each in adders:
            each(titled)  # type: ignore[arg-type]  # an option needs no more of it

    return add


class _Target(argparse.Action):
    """Keeps a stand's number or a tag, whichever was typed, as the one target."""

    def __call__(
        self, parser: object, namespace: argparse.Namespace, values: object, *_: object
    ) -> None:
        """Keep it; a stand that was left out changes nothing."""
        if values is not None:
            namespace.target = values


def which_part(
    parser: argparse.ArgumentParser,
    stand: str,
    tag: str,
    *,
    required: bool = False,
    name: str = "target",
) -> argparse._MutuallyExclusiveGroup:
    """Add a stand or a tag, each with its help. name: "--stand" where the word is an option."""
    which = parser.add_mutually_exclusive_group(required=required)
    how: dict[str, Any] = {"dest": "target"} if name.startswith("--") else {"nargs": "?"}
    which.add_argument(name, action=_Target, metavar="STAND", type=STAND_NUMBER, help=stand, **how)
    which.add_argument("--tag", action=_Target, dest="target", metavar="TAG", help=tag)
    return which


def on_part(parser: argparse.ArgumentParser) -> None:
    """Add a part by its stand, or by its tag wherever it is."""
    which_part(
        parser, "the stand it is on; or else --tag", "its tag, wherever it is", required=True
    )


def maybe_on_part(parser: argparse.ArgumentParser) -> None:
    """Add a part by its stand or its tag, or none."""
    which_part(parser, "what stands there", "or the part with a tag")


def reason(help_words: str) -> Adder:
    """Return why, which may not be left out."""
    return option("--reason", metavar="TEXT", required=True, help=help_words)


def override(*rules: Rule) -> Adder:
    """Return a reason for each rule in the way, by the rule's name. rules: those that can be."""
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
    """Read a rule's name and the reason for it."""
    name, equals, reason = text.partition("=")
    if not equals or not name.strip():
        raise quantities.unreadable(text, f"a rule's name and the reason for it, such as {EXAMPLE}")
    return name.strip(), reason


def air_supply(*rules: Rule) -> tuple[Adder, Adder]:
    """Return another air supply and a second person: what overrides the rules about breathing."""
    names = ", ".join(rule.written for rule in rules if rule.override == "air supply")
    supply = f'what the mask is fed from instead: "cylinder set 2". Overrides {names}'
    second = "the painter who stays with that air supply; not the one who sprays"
    return (
        option("--air-supply", metavar="TEXT", default="", help=supply),
        option("--second", metavar="NAME", default="", help=second),
    )


def belongs(default: str | None = None) -> tuple[Adder, Adder]:
    """Return the job of a part and whose it is."""
    return (
        option("--job", metavar="J", default=default, help="what it belongs to"),
        option("--owner", metavar="O", default=default, help="whose it is"),
    )


def zinc_answers() -> tuple[Adder, ...]:
    """Return what may be answered about a part's zinc."""
    answer: dict[str, Any] = {"metavar": "ANSWER", "type": quantities.yes_no_unknown}
    return (
        option("--galvanised", metavar="DAY", type=quantities.day_or_unknown,
               help="the day it was galvanised, 2026-03-12, or unknown"),
        option("--quenched", **answer, help="in water: yes, no or unknown"),
        option("--passivated", **answer, help="yes, no or unknown"),
        option("--white-rust", **answer, help="seen on it now: yes, no or unknown"),
    )  # fmt: skip


def thermometers(*, required: bool = False) -> tuple[Adder, Adder, Adder]:
    """Return what the thermometers said of air, humidity and surface."""
    return (
        option("--air", metavar="T", dest="air_c", required=required, type=TEMPERATURE, help="18C"),
        option("--rh", metavar="PERCENT", dest="rh_pct", type=PERCENT, help="65%%"),
        option("--metal", metavar="T", dest="metal_c", type=TEMPERATURE, help="15C"),
    )


# A table: laid out by hand.
# fmt: off
NAME = option("--by", metavar="NAME", help="who did it, where there are several painters")
DOUBTFUL = option(
    "--doubtful", action="store_true",
    help="write it down although the computer's clock is wrong; the line is marked")
JSON = option("--json", action="store_true", help="as JSON")
AGO = option(
    "--ago", metavar="TIME", type=quantities.Number(quantities.ago_s),
    help='how long ago: "20 min"')
FILMS = (
    option("--film-wet", dest="wet_um", metavar="WFT", type=FILM, help="as measured: 160um"),
    option("--film-dry", dest="dry_um", metavar="DFT", type=FILM, help="as measured: 80um"),
)
DAYS = (
    option("--from", dest="since", metavar="DAY", type=quantities.day, help="2019-05-12 or later"),
    option("--to", dest="until", metavar="DAY", type=quantities.day, help="that day or earlier"),
)
INTO_FILE = (
    option("-o", "--out", metavar="FILE", help="write it into a file; else on the terminal"),
    option("--force", action="store_true",
           help="also over a file that is no earlier one; never over the data or a backup"),
)
ON_PAPER = (
    option("--paper", choices=("a4", "letter"), help="of html and pdf; else as the shop prints"),
    *INTO_FILE,
)
PRINTED = (
    option("--form", choices=("text", "html", "pdf"), default="text",
           help="text; html: to print; pdf: what html prints, with the extra paintbench[pdf]"),
    *ON_PAPER,
)
# fmt: on
