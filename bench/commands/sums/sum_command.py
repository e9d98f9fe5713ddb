"""`paintbench sum NAME ..`: the parser of the table, and an answer as text or JSON."""

from __future__ import annotations

import re
from argparse import Namespace, RawDescriptionHelpFormatter
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from typing import Any, TextIO

from bench.commands.core.parser import Parser
from bench.commands.core.plain_text import write_json, write_line
from bench.commands.sums.sum_options import (
    add_option,
    add_ratio,
    blend_of,
    fitting_calculations,
    help_of,
    inputs_of,
    values_of,
)
from bench.sums.answer_text import data, rows
from bench.sums.model import Calculation, Result, SumAnswer, UsageFault, Values
from bench.sums.table import CALCULATIONS, NAMES

DONE, REFUSED, WRONG_USAGE = 0, 1, 2

ABOUT = """Work out a sum of the trade. Quantities are typed as people write them, with their unit:
600ml, 2.5 l, 60um, 2.4 mil, 20C, 68 F, 45%, 7.5m2; a comma will do for a decimal point."""

EXITS = """exit: 0 worked out
      1 readable, but the sum refuses it: a time outside a cup's range, a part not named
      2 not readable, or no such thing: 120 % humidity, a wrong kind of unit, no unit
      On 1 and 2 stderr says what was read, why it is refused and what would be right."""

_MINUS = re.compile(r"-[0-9.,]")

WorkedSum = tuple[Calculation, Values, SumAnswer]


def answer(words: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Work out what the words ask for and write it down; the exit code as in EXITS."""
    if list(words) == ["--list"]:
        for line in table_lines():
            write_line(out, line)
        return DONE
    try:
        with redirect_stdout(out), redirect_stderr(err):
            args = build().parse_args([_no_option(word) for word in words])
    except SystemExit as leaving:
        return int(leaving.code or DONE)
    try:
        solved = solve(args)
    except UsageFault as fault:
        write_line(err, f"paintbench sum {args.sum}: {fault}")
        return WRONG_USAGE
    except ValueError as fault:
        write_line(err, str(fault))
        return REFUSED
    if args.json:
        write_json(out, _json(solved))
    else:
        for line in _lines(solved):
            write_line(out, line)
    return DONE


def calculations_of(name: str) -> list[Calculation]:
    """Return the calculations that share a word of the command line."""
    return [each for each in CALCULATIONS if each.name == name and not each.needs_a_shop]


def build() -> Parser:
    """Return the parser with a command for every name of the table."""
    parser = Parser(
        prog="paintbench sum",
        description=ABOUT,
        epilog=f"worked lines:\n{_worked(CALCULATIONS)}\n\n{EXITS}",
        formatter_class=RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--list", action="store_true", help="print the table of all the sums")
    commands = parser.add_subparsers(dest="sum", metavar="SUM", title="sums", required=True)
    for name in NAMES:
        calculations = calculations_of(name)
        titles = "; ".join(each.title for each in calculations)
        command = commands.add_parser(
            name,
            help=titles.replace("%", "%%"),
            description=f"{titles[0].upper()}{titles[1:]}.",
            epilog=f"worked lines:\n{_worked(calculations)}\n\n{EXITS}",
            formatter_class=RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        for each in inputs_of(calculations):
            if each.kind == "ratio":
                add_ratio(command)
            else:
                add_option(command, each)
        command.add_argument("--json", action="store_true", help="as JSON")
    return parser


def worked_line(calculation: Calculation) -> str:
    """Return the worked line of a calculation as it is typed."""
    return f"paintbench sum {calculation.name} {calculation.example.line}"


def _worked(calculations: Sequence[Calculation]) -> str:
    lines = [worked_line(each) for each in calculations if not each.needs_a_shop]
    return "\n".join(f"  {line}" for line in lines)


def solve(args: Namespace) -> list[WorkedSum]:
    """Return every calculation that what was typed is enough for, with its answer."""
    calculations = calculations_of(args.sum)
    typed: dict[str, Any] = {
        each.name: value
        for each in inputs_of(calculations)
        if (value := getattr(args, each.name)) is not None
    }
    fitting = fitting_calculations(calculations, typed)
    if "ratio" in typed:
        typed["ratio"] = blend_of(args)
    valued = [(each, values_of(each, typed)) for each in fitting]
    return [(each, values, each.answer(values)) for each, values in valued]


def _json(solved: Sequence[WorkedSum]) -> dict[str, Any]:
    merged: dict[str, Any] = {}
    for calculation, _, answer in solved:
        merged |= {
            key: value
            for key, value in data(calculation, answer).items()
            if merged.get(key) is None
        }
    return merged


def _lines(solved: Sequence[WorkedSum]) -> Iterator[str]:
    """Yield each figure once, then verdicts, reasons, doubts and cautions."""
    pairs = dict.fromkeys(
        (row.label, row.words)
        for calculation, values, answer in solved
        for row in rows(calculation, answer, values)
    )
    answers = [answer for _, _, answer in solved]
    verdicts = [("verdict", answer.verdict) for answer in answers if answer.verdict]
    why = [("why", text) for answer in answers for text in answer.why]
    labelled = [*pairs, *verdicts, *dict.fromkeys(why)]
    width = max((len(label) for label, _ in labelled), default=0)
    yield from (f"{label:<{width}}  {words}" for label, words in labelled)
    yield from dict.fromkeys(f"? {text}" for answer in answers for text in answer.doubts)
    yield from dict.fromkeys(
        f"caution: {text}" for calculation, _, _ in solved for text in calculation.cautions
    )


def table_lines() -> Iterator[str]:
    """Yield the calculations: inputs with unit, range and usual value, results, sources."""
    for each in CALCULATIONS:
        yield f"{each.title} ({each.group})"
        if not each.needs_a_shop:
            yield f"  {worked_line(each)}"
        for field in each.each_input():
            if field.kind not in ("shop", "tool"):
                yield f"  in   {field.option:<16} {help_of(field)}"
        yield from (f"  out  {result.key:<16} {_result_words(result)}" for result in each.results)
        yield f"  from {each.source}; example: {each.example.source}"
        yield ""


def _result_words(result: Result) -> str:
    side = "" if result.side == "nearest" else f", rounded {result.side}"
    return f"{result.label or 'JSON only'}{f', {result.unit}' if result.unit else ''}{side}"


def _no_option(word: str) -> str:
    """Put a blank before a number below zero: then argparse takes it for a value."""
    return f" {word}" if _MINUS.match(word) else word
