"""The words of the command line. Nothing heavy is imported: --help and --version are instant."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from typing import Any, NoReturn

from bench import __version__
from bench.commands import quantities
from bench.commands.datawords import DATA
from bench.commands.housewords import HOUSE
from bench.commands.options import JSON, Adder, Words, option, which_part
from bench.commands.partwords import PARTS
from bench.commands.plain import shown
from bench.commands.potwords import POTS
from bench.commands.recordwords import RECORDS
from bench.commands.sharingwords import SHARING
from bench.commands.sums import add_sums
from bench.commands.tinwords import TINS

EXAMPLES = """examples:
  paintbench                                  the bench, full screen
  paintbench demo                             a throwaway copy of the demo shop
  paintbench status --json                    the bench as JSON
  paintbench ahead 3                          what would come of beginning now
  paintbench place 1 --route zinc-new --shape frame --by Ada
  paintbench begin 1 --ago 20min --by Ada     the next step began 20 minutes ago
  paintbench finish 1 --all-faces --by Ada
  paintbench mix etch-primer --need 600ml --by Ben
  paintbench sum --help                       the sums of the trade; they need no shop

exit: 0 done; 1 refused by a rule, the reason on stderr; 2 wrong usage
"""

# A value may begin with a minus, as -5C; argparse would take it for another option.
_SIGNED = {
    *("--ago", "--minutes", "--air", "--metal", "--rh", "--need", "--thinner"),
    *("--count", "--stands", "--last", "--to", "--back-to"),
    *("--night", "--day", "--size", "--left", "--price", "--needs", "--gives"),
}
DATA_PLACE = option("--db", metavar="PLACE", default=argparse.SUPPRESS, help="the shop's data")

_MINUS = re.compile(r"-[0-9.,]")


class Parser(argparse.ArgumentParser):
    """argparse, with what was typed made harmless in its messages.

    adders: the options, added when the command was really asked for: adding one is slow, and the
    bench starts without any command.
    """

    adders: Sequence[Adder] = ()

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """Read the words, with all options added."""
        adders, self.adders = self.adders, ()
        for add in adders:
            add(self)
        return super().parse_known_args(args, namespace)

    def error(self, message: str) -> NoReturn:
        """Usage and the message on stderr, exit 2."""
        super().error(shown(message))


def parse(words: Sequence[str]) -> argparse.Namespace:
    """What was asked for. Leaves by SystemExit for --help, --version and wrong usage."""
    args = build().parse_args(_joined(words))
    if getattr(args, "thing_deed", None):
        args.command += f" {args.thing_deed}"
    return args


def _joined(words: Sequence[str]) -> list[str]:
    """The words with ``--ago -5min`` written as ``--ago=-5min``."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] in _SIGNED and _MINUS.match(word):
            joined[-1] += f"={word}"
        else:
            joined.append(word)
    return joined


def build() -> Parser:
    """The parser with all its commands."""
    parser = Parser(
        prog="paintbench",
        description="The paint bench of a small workshop: parts on stands, a clock for every coat.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"paintbench {__version__}")
    parser.add_argument(
        "--db",
        metavar="PLACE",
        help="the shop's data: a path, or postgresql+psycopg://... (else PAINTBENCH_DB, or XDG)",
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for name, (told, adders) in COMMANDS.items():
        command = commands.add_parser(name, help=told, description=told, allow_abbrev=False)
        command.adders = (DATA_PLACE, *adders)
    add_sums(commands)
    return parser


def _ahead_of(parser: argparse.ArgumentParser) -> None:
    """A part, a product to be mixed, or nothing: then the night is looked at."""
    which = which_part(parser, "the next step of what stands there", "or of the part with a tag")
    which.add_argument("--mix", metavar="PRODUCT", help="the coats that wait for a product")


COMMANDS: Words = {
    "demo": ("look at the demo shop; with --db, write it into a new file and keep it", ()),
    "open": (
        "open a new shop",
        (
            option(
                "--painters",
                metavar="NAMES",
                required=True,
                type=quantities.names,
                help='the painters: "Ada,Ben"',
            ),
            option(
                "--stands",
                metavar="N",
                required=True,
                type=quantities.whole("a number of stands"),
                help="how many stands there are",
            ),
        ),
    ),
    "status": ("show the bench", (JSON,)),
    "ahead": (
        "what would come of beginning now; without a part, what is missed with nobody in",
        (_ahead_of, JSON),
    ),
    **PARTS,
    **POTS,
    **HOUSE,
    **DATA,
    "products": ("list the products with their keys", (JSON,)),
    "routes": ("list the routes with their keys", (JSON,)),
    "shapes": ("list the shapes with their keys", (JSON,)),
    **TINS,
    **RECORDS,
    **SHARING,
}
"""Every command word: what it does, and what it takes."""
