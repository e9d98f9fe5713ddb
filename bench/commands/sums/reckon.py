"""The parser of the sums, and what is made of an answer: text or JSON, and an exit code."""

from __future__ import annotations

import re
from argparse import RawDescriptionHelpFormatter
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from typing import TextIO

from bench.commands.parser import Parser
from bench.commands.plain import write_json, write_line
from bench.commands.sums import (
    ageing,
    amounts,
    area,
    batch,
    conditions,
    flow,
    metal,
    mix,
    pot,
    safety,
    spray,
)
from bench.commands.sums.answer import Answer, Sum, WrongUsage, tidy

DONE, REFUSED, WRONG_USAGE = 0, 1, 2

SUMS: tuple[Sum, ...] = (
    *mix.SUMS,
    *batch.SUMS,
    *pot.SUMS,
    *amounts.SUMS,
    *area.SUMS,
    *conditions.SUMS,
    *ageing.SUMS,
    *flow.SUMS,
    *metal.SUMS,
    *safety.SUMS,
    *spray.SUMS,
)

ABOUT = """Reckon a sum of the trade. Quantities are typed as people write them, with their unit:
600ml, 2.5 l, 60um, 2.4 mil, 20C, 68 F, 45%, 7.5m2; a comma will do for a decimal point."""

EXITS = """exit: 0 reckoned
      1 readable, but the sum refuses it: a time outside a cup's range, a part not named
      2 not readable, or no such thing: 120 % humidity, a wrong kind of unit, no unit
      On 1 and 2 stderr tells what was read, why it is refused and what would be right."""

_MINUS = re.compile(r"-[0-9.,]")


def reckon(words: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Reckon what the words ask for and write it down; the exit code as in EXITS."""
    try:
        with redirect_stdout(out), redirect_stderr(err):
            args = build().parse_args([_no_option(word) for word in words])
    except SystemExit as leaving:
        return int(leaving.code or DONE)
    try:
        answer: Answer = args.work(args)
    except WrongUsage as fault:
        write_line(err, f"paintbench sum {args.sum}: {fault}")
        return WRONG_USAGE
    except ValueError as fault:
        write_line(err, str(fault))
        return REFUSED
    if args.json:
        write_json(out, tidy(answer.data))
    else:
        for line in answer.lines:
            write_line(out, line)
    return DONE


def build() -> Parser:
    """The parser with all sums."""
    parser = Parser(
        prog="paintbench sum",
        description=ABOUT,
        epilog=f"worked lines:\n{_worked_lines()}\n\n{EXITS}",
        formatter_class=RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    commands = parser.add_subparsers(dest="sum", metavar="SUM", title="sums", required=True)
    for each in SUMS:
        command = commands.add_parser(
            each.name,
            help=each.told,
            description=f"{each.told[0].upper()}{each.told[1:]}.",
            epilog=f"worked line:\n  {worked_line(each)}\n\n{EXITS}",
            formatter_class=RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        each.add(command)
        command.add_argument("--json", action="store_true", help="as JSON")
        command.set_defaults(work=each.work)
    return parser


def worked_line(each: Sum) -> str:
    """The worked line of a sum as it is typed."""
    return f"paintbench sum {each.name} {each.worked}"


def _worked_lines() -> str:
    return "\n".join(f"  {worked_line(each)}" for each in SUMS)


def _no_option(word: str) -> str:
    """A number below nought is a value; argparse takes it for one when it begins with a blank."""
    return f" {word}" if _MINUS.match(word) else word
