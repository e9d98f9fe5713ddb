"""The words of the command line. Nothing heavy is imported: --help and --version are instant."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from typing import NoReturn

from bench import __version__
from bench.commands import quantities
from bench.commands.options import AGO as _AGO
from bench.commands.options import BY as _BY
from bench.commands.options import JSON as _JSON
from bench.commands.options import NAME as _NAME
from bench.commands.options import Adder
from bench.commands.options import on_part as _on_part
from bench.commands.options import option as _option
from bench.commands.plain import shown
from bench.commands.recordwords import RECORDS
from bench.commands.sums import add_sums
from bench.commands.tinwords import TAKE_TINS, TINS

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
    *("--night", "--day", "--size", "--left", "--price"),
}
_MINUS = re.compile(r"-[0-9.,]")


class Parser(argparse.ArgumentParser):
    """argparse, with what was typed made harmless in its messages."""

    def error(self, message: str) -> NoReturn:
        """Usage and the message on stderr, exit 2."""
        super().error(shown(message))


def parse(words: Sequence[str]) -> argparse.Namespace:
    """What was asked for. Leaves by SystemExit for --help, --version and wrong usage."""
    return build().parse_args(_joined(words))


def _joined(words: Sequence[str]) -> list[str]:
    """The words with ``--ago -5min`` written as ``--ago=-5min``."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] in _SIGNED and _MINUS.match(word):
            joined[-1] += f"={word}"
        else:
            joined.append(word)
    return joined


def build() -> argparse.ArgumentParser:
    """The parser with all its commands."""
    parser: argparse.ArgumentParser = Parser(
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
        command.add_argument(
            "--db", metavar="PLACE", default=argparse.SUPPRESS, help="the shop's data"
        )
        for add in adders:
            add(command)
    add_sums(commands)
    return parser


def _ahead_of(parser: argparse.ArgumentParser) -> None:
    """A part, a product to be mixed, or nothing: then the night is looked at."""
    which = parser.add_mutually_exclusive_group()
    which.add_argument(
        "stand",
        nargs="?",
        metavar="STAND",
        type=quantities.whole("a stand's number"),
        help="the next step of what stands there",
    )
    which.add_argument("--tag", metavar="TAG", help="or of the part with a tag")
    which.add_argument("--mix", metavar="PRODUCT", help="the coats that wait for a product")


def _known(parser: argparse.ArgumentParser) -> None:
    """The one thing a painter knows before mixing."""
    known = parser.add_mutually_exclusive_group()
    known.add_argument(
        "--need",
        metavar="AMOUNT",
        type=quantities.quantity("millilitre"),
        help="how much is needed: 600ml",
    )
    known.add_argument(
        "--left",
        metavar="AMOUNTS",
        type=quantities.amounts_ml,
        help="what is left: base=340ml,hardener=70ml",
    )
    known.add_argument(
        "--poured",
        metavar="AMOUNT",
        type=quantities.poured_ml,
        help="what is in the cup already: base=420ml",
    )


_STAND = _option(
    "stand", metavar="STAND", type=quantities.whole("a stand's number"), help="an empty stand"
)
_KEY = _option("key", metavar="KEY", help="its key, as the list shows it; a new one is new")
_FILE = _option("file", metavar="FILE", help="its text, as `paintbench product KEY`; - for input")
_REASON = _option("--reason", metavar="TEXT", required=True, help="why; it stays in the journal")
_COUNT = quantities.whole("a count of pieces")
_MILLILITRES = quantities.quantity("millilitre")
_POINTS = quantities.whole("a count")
_MINUTES = {"metavar": "N", "type": quantities.minutes}
_TEMPERATURE = quantities.quantity("degC")
_PERCENT = quantities.quantity("percent")

_POT = _option("pot", metavar="POT", help="its letter")
_PROBES = {
    "air": "a plain, hwmon, iio or 1-wire file with the air's temperature",
    "metal": "the same for the metal's",
    "humidity": "and for the humidity",
}

COMMANDS: dict[str, tuple[str, tuple[Adder, ...]]] = {
    "demo": ("look at the demo shop; with --db, write it into a new file and keep it", ()),
    "open": (
        "open a new shop",
        (
            _option(
                "--painters",
                metavar="NAMES",
                required=True,
                type=quantities.names,
                help='the painters: "Ada,Ben"',
            ),
            _option(
                "--stands",
                metavar="N",
                required=True,
                type=quantities.whole("a number of stands"),
                help="how many stands there are",
            ),
        ),
    ),
    "status": ("show the bench", (_JSON,)),
    "ahead": (
        "what would come of beginning now; without a part, what is missed with nobody in",
        (_ahead_of, _JSON),
    ),
    "place": (
        "put a new part or lot on an empty stand",
        (
            _STAND,
            _option("--route", metavar="KEY", required=True, help="see: paintbench routes"),
            _option("--shape", metavar="KEY", required=True, help="see: paintbench shapes"),
            _option("--count", metavar="N", type=_COUNT, default=1, help="pieces in the lot"),
            _option("--tag", metavar="T", default="", help="the disc's number; else the next one"),
            _option("--name", metavar="N", default="", help="what it is called; else its shape"),
            _option("--job", metavar="J", default="", help="what it belongs to"),
            _option("--owner", metavar="O", default="", help="whose it is"),
            _BY,
        ),
    ),
    "begin": (
        "begin the next step",
        (
            _on_part,
            _AGO,
            _option("--with", dest="helper", metavar="NAME", default="", help="a second painter"),
            _option("--zone", metavar="NAME", default="", help="the zone of a wash"),
            _option(
                "--override",
                metavar="REASON",
                default="",
                help="go on against a rule that allows it; the reason stays on the sheet",
            ),
            _BY,
        ),
    ),
    "finish": (
        "finish a face, a zone or the step in hand",
        (
            _on_part,
            _AGO,
            _option("--mark", metavar="NAME", default="", help="one face or zone"),
            _option("--all-faces", action="store_true", help="every face that is still open"),
            _BY,
        ),
    ),
    "pass": ("say that the test was passed", (_on_part, _AGO, _BY)),
    "not-yet": (
        "say that the test was not passed",
        (_on_part, _AGO, _option("--minutes", default=15, **_MINUTES, help="ask again after"), _BY),
    ),
    "join": ("a second painter joins the step in hand", (_on_part, _BY)),
    "another-coat": ("put one more of the last coat on its route", (_on_part, _BY)),
    "move": (
        "put a part on another stand; no clock changes",
        (
            _on_part,
            _option(
                "--to",
                metavar="N",
                required=True,
                type=quantities.whole("a stand's number"),
                help="the other stand",
            ),
            _option("--swap", action="store_true", help="swap with what is there"),
            _BY,
        ),
    ),
    "take-off": (
        "take a part off its stand",
        (
            _on_part,
            _option(
                "--override",
                metavar="REASON",
                default="",
                help="although bungs are in or contact points bare; stays in the journal",
            ),
            _BY,
        ),
    ),
    "hold": ("put a part aside; its clocks run on", (_on_part, _REASON, _BY)),
    "release": ("take a part off hold", (_on_part, _BY)),
    "skip": ("leave the next step out", (_on_part, _REASON, _BY)),
    "rework": (
        "send a part, or some pieces of a lot, back",
        (
            _on_part,
            _option("--defect", metavar="D", required=True, help="what is wrong: fish-eye, run"),
            _option("--count", metavar="N", type=_COUNT, help="how many of the lot; else all"),
            _option(
                "--back-to",
                metavar="STEP",
                type=quantities.whole("a step's number"),
                help="the step to do again; else the last coat",
            ),
            _option(
                "--to",
                metavar="STAND",
                type=quantities.whole("a stand's number"),
                help="where the pieces that leave the lot go",
            ),
            _BY,
        ),
    ),
    "split": (
        "make some pieces of a lot a lot of their own",
        (
            _on_part,
            _option("--count", metavar="N", type=_COUNT, required=True, help="how many leave"),
            _option(
                "--to",
                metavar="STAND",
                type=quantities.whole("a stand's number"),
                help="where they go; else on no stand",
            ),
            _BY,
        ),
    ),
    "merge": (
        "put another lot with this one, where both are equally far",
        (
            _on_part,
            _option("--with", dest="other", metavar="TAG", required=True, help="its tag"),
            _BY,
        ),
    ),
    "count": (
        "count bungs and contact points",
        (
            _on_part,
            _option("--bungs-in", metavar="N", type=_POINTS, help="bungs that went in"),
            _option("--bungs-out", metavar="N", type=_POINTS, help="bungs that came out"),
            _option("--contacts", metavar="N", type=_POINTS, help="where it hung or stood"),
            _option("--touched-up", metavar="N", type=_POINTS, help="of those, touched up"),
            _BY,
        ),
    ),
    "earlier": (
        "the last thing done to it happened earlier",
        (_on_part, _option("--minutes", required=True, **_MINUTES, help="in steps of five"), _BY),
    ),
    "mix": (
        "mix or activate a product: starts its pot clock",
        (
            _option("product", metavar="PRODUCT", help="see: paintbench products"),
            _known,
            _option("--thinner", metavar="PERCENT", type=_PERCENT, help="10%%; else the least"),
            TAKE_TINS,
            _option(
                "--override",
                metavar="REASON",
                default="",
                help="although a tin is out of date; the reason stays on the pot and its parts",
            ),
            _AGO,
            _BY,
        ),
    ),
    "bin": (
        "empty or bin a pot",
        (
            _POT,
            _option(
                "--left",
                metavar="AMOUNT",
                type=quantities.quantity("millilitre"),
                help="what was left in it: 40ml",
            ),
            _BY,
        ),
    ),
    "top-up": (
        "pour a fresh mix into an open pot; the whole keeps the oldest deadline",
        (
            _POT,
            _known,
            _option("--thinner", metavar="PERCENT", type=_PERCENT, help="10%%; else the least"),
            TAKE_TINS,
            _option(
                "--override",
                metavar="REASON",
                default="",
                help="although it is past its life, or a tin out of date; the reason is kept",
            ),
            _BY,
        ),
    ),
    "flush": ("the gun that was loaded from a pot is flushed", (_POT, _BY)),
    "probe": ("show what each probe says now", (_JSON,)),
    "product": ("show a product's sheet as text", (_KEY, _JSON)),
    "route": ("show a route as text", (_KEY, _JSON)),
    "set-product": ("type a product's sheet over", (_KEY, _FILE, _BY)),
    "set-route": ("type a route over; parts on their way keep their steps", (_KEY, _FILE, _BY)),
    "pin": ("give, change or take away a painter's PIN, which signs overrides", (_BY,)),
    "shop": (
        "set the shop's usual night, day, hours and holidays, its probes and units, from now on",
        (
            _option("--night", metavar="T", type=_TEMPERATURE, help="coldest with nobody in: 9C"),
            _option("--day", metavar="T", type=_TEMPERATURE, help="while somebody is in: 18C"),
            _option(
                "--hours",
                metavar="WEEK",
                type=quantities.week,
                help='"Mon-Fri 07:30-17:30, Sat 08:00-12:30"',
            ),
            _option(
                "--holiday",
                metavar="DAYS",
                action="append",
                help="2026-12-24, 2026-12-24..2027-01-01 or a rule of RFC 5545; again for more",
            ),
            _option("--no-holiday", metavar="DAYS", action="append", help="take one away again"),
            _option(
                "--clearance",
                metavar="TIME",
                type=quantities.quantity("second"),
                help="how long masks stay on after the trigger, as measured with smoke: 25min",
            ),
            _option("--cup", metavar="AMOUNT", type=_MILLILITRES, help="what the cup holds: 1l"),
            _option("--cup-step", metavar="AMOUNT", type=_MILLILITRES, help="its marks: 10ml"),
            _option("--always-in", choices=("yes", "no"), help="somebody is in day and night"),
            *(
                _option(f"--{what}-probe", metavar="PATH", help=f'{told}; "" takes it away')
                for what, told in _PROBES.items()
            ),
            _option("--probe-every", **_MINUTES, help="minutes between two readings"),
            _option(
                "--units",
                metavar="UNITS",
                help='the screens in "F, mil, US fl oz, ft2, in", or metric',
            ),
            _option(
                "--backup-to",
                metavar="FOLDER",
                help='a second place for backups, such as a stick; "" takes it away',
            ),
            _option("--theme", choices=("dark", "light"), help="the screens' colours"),
            _option("--far-after", **_MINUTES, help="minutes without a key; 0: never by itself"),
            _BY,
        ),
    ),
    "alarm": (
        "ring the bell, or run a command of the shop's own, when an alarm is raised",
        (
            _option("--bell", choices=("on", "off"), help="the bell of each terminal"),
            _option(
                "--command",
                metavar="COMMAND",
                dest="command_words",
                type=quantities.words,
                help='run without a shell, with the word and the stand behind it; "": none',
            ),
            _BY,
        ),
    ),
    "reading": (
        "write down what a thermometer says",
        (
            _option("--air", metavar="T", required=True, type=_TEMPERATURE, help="18C"),
            _option("--rh", metavar="PERCENT", type=_PERCENT, help="65%%"),
            _option("--metal", metavar="T", type=_TEMPERATURE, help="15C"),
            _AGO,
            _BY,
        ),
    ),
    "clock": ("say whether the computer's clock is believed", (_JSON,)),
    "set-clock": (
        "say what time it is; the computer's own clock is left as it is",
        (
            _option(
                "time",
                metavar="TIME",
                type=quantities.day_and_hour,
                help='in the shop\'s zone: "2026-03-12 14:30"',
            ),
            _NAME,
        ),
    ),
    "check": ("check that the data is whole", (_JSON,)),
    "backup": (
        "make a backup now, while the bench is in use",
        (
            _option(
                "to",
                metavar="TO",
                nargs="?",
                default="",
                help="a folder or a new file; else beside the data and in the second place",
            ),
        ),
    ),
    "backups": ("list the backups, and what each would leave out", (_JSON,)),
    "restore": (
        "put a backup in the place of the data, which is kept under another name",
        (
            _option("file", metavar="FILE", help="see: paintbench backups"),
            _option("--yes", action="store_true", help="although lines would be missing"),
        ),
    ),
    "export": (
        "write the whole shop, journal and all, as one JSON text",
        (_option("file", metavar="FILE", help="a new file, or - for the standard output"),),
    ),
    "import": (
        "bring an export into a place where there is no shop yet",
        (_option("file", metavar="FILE", help="an export, or - for the standard input"),),
    ),
    "products": ("list the products with their keys", (_JSON,)),
    "routes": ("list the routes with their keys", (_JSON,)),
    "shapes": ("list the shapes with their keys", (_JSON,)),
    **TINS,
    **RECORDS,
}
"""Every command word: what it does, and what it takes."""
