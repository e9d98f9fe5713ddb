"""Readings of a part, typed or from a gauge's file; and the instruments they are read with."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.input_files import text_of
from bench.commands.core.options import AGO, STEP_NUMBER, option
from bench.process.refusals.refusal import Refusal

if TYPE_CHECKING:
    import argparse

    from bench.commands.core.call import Call
    from bench.process.sheets.measurement_kinds import MeasurementKind
    from bench.shop.core.transaction import Outcome
    from bench.shop.parts.measuring import Readings

MOST_BYTES = 200_000
"""A gauge's file with thousands of readings is no longer."""

_BARE = re.compile(r"-?[0-9]+(?:[.,][0-9]+)?")
_DUST = re.compile(r"([0-9.]+)/([0-9])")

HOW = "such as: measure 3 dft 82 79 85"


def _what(parser: argparse.ArgumentParser) -> None:
    """Add the stand, the kind and its readings, and what a gauge read through."""
    from bench.process.parts.measurements import SURFACES
    from bench.process.sheets.measurement_kinds import kinds_words

    parser.add_argument(
        "words",
        metavar="WORD",
        nargs="*",
        help="the stand, without --tag; what was measured; its readings. Kinds: "
        f"{kinds_words()}. Dust is rating or rating/size, water-break free or broken",
    )
    parser.add_argument(
        "--surface",
        metavar="SURFACE",
        default="",
        choices=SURFACES,
        help="the gauge read through zinc, or a blasted profile, and coats below: take "
        f"them off. One of {', '.join(SURFACES)}",
    )


def _kind_of_instrument(parser: argparse.ArgumentParser) -> None:
    """Add what kind of instrument it is."""
    from bench.process.stock.instruments import INSTRUMENT_KINDS

    parser.add_argument(
        "--kind",
        metavar="KIND",
        required=True,
        choices=tuple(INSTRUMENT_KINDS),
        help=f"one of: {', '.join(INSTRUMENT_KINDS)}",
    )


def measure(call: Call, by: str) -> Outcome | Refusal:
    """Write readings down, typed or from a file; or strike some."""
    from bench.shop.parts.measuring import record_readings, strike_readings

    args = call.args
    if args.strike is not None:
        if args.words or args.target or args.dft:
            return Refusal("readings and --strike", "", "strike first, then measure again")
        return strike_readings(call.shop, by, args.strike)
    words = list(args.words)
    if args.target is None:
        if not words:
            return Refusal("no stand and no --tag", "", HOW)
        stand = _whole(words.pop(0))
        if isinstance(stand, Refusal):
            return stand
        args.target = stand
    readings = _from_file(args, words) if args.dft else _typed(args, words)
    if isinstance(readings, Refusal):
        return readings
    step = _step(call)
    if isinstance(step, Refusal):
        return step
    return record_readings(call.shop, args.target, by, readings, step=step, at=call.at)


def _step(call: Call) -> int | Refusal | None:
    """The step as it is numbered on the bench: those struck out are not counted."""
    from bench.commands.subjects.parts import step_meant

    return None if call.args.step is None else step_meant(call, call.args.step)


def _whole(text: str) -> int | Refusal:
    if text.isdecimal():
        return int(text)
    return Refusal(f"'{text[:40]}' is no stand", "", f"the stand first, or --tag; {HOW}")


def _typed(args: object, words: list[str]) -> Readings | Refusal:
    """The readings after the kind."""
    from bench.process.sheets.measurement_kinds import KINDS, kinds_words
    from bench.shop.parts.measuring import Readings

    if not words:
        return Refusal("nothing was measured", "", f"name a kind: {kinds_words()}")
    name, *texts = words
    kind, options = KINDS.get(name), vars(args)
    if kind is None:
        was_read = f"no kind of measurement '{name[:20]}'"
        return Refusal(was_read, "", f"one of {kinds_words()}")
    how = {each: options[each] for each in ("instrument", "surface")}
    if kind.words:
        return Readings(kind.key, {}, grade=" ".join(texts), **how)
    grade = ""
    if kind.sized and len(texts) == 1 and (match := _DUST.fullmatch(texts[0])):
        texts, grade = [match[1]], match[2]
    try:
        figures = [read_reading(kind, text) for text in texts]
    except ValueError as fault:
        return Refusal(str(fault))
    return Readings(kind.key, {options["face"]: figures}, grade=grade, **how)


def read_reading(kind: MeasurementKind, text: str) -> float:
    """Read one reading: a bare figure in the kind's unit, or one with a unit of its own.

    Raises ValueError with what was read and what would be right.

    >>> from bench.process.sheets.measurement_kinds import KINDS
    >>> read_reading(KINDS["dft"], "82,5"), round(read_reading(KINDS["dft"], "3 mil"), 2)
    (82.5, 76.2)
    """
    text = text.strip()
    if _BARE.fullmatch(text):
        return float(text.replace(",", "."))
    unit = f" in {kind.unit}" if kind.unit else ""
    if kind.unit and text[:1].isdecimal():
        from bench.units import PINT, read

        return read(text, PINT[kind.unit])
    raise ValueError(f"read {text[:40]!r}; wanted a reading of {kind.name}{unit}, such as 82")


def _from_file(args: object, words: list[str]) -> Readings | Refusal:
    """The dry film readings of a gauge's file; where a line is wrong, none of them."""
    from bench.shop.parts.measuring import Readings

    options = vars(args)
    if words:
        return Refusal(f"readings and a file: {' '.join(words)[:40]}", "", "one or the other")
    text = text_of(options["dft"], MOST_BYTES)
    if isinstance(text, Refusal):
        return text
    try:
        sets = read_gauge_file(options["dft"], text, options["face"])
    except ValueError as fault:
        return Refusal(str(fault))
    return Readings("dft", sets, instrument=options["instrument"], surface=options["surface"])


def read_gauge_file(name: str, text: str, face: str = "") -> dict[str, list[float]]:
    """Read a CSV of one column of readings, or with the columns face and reading, by faces.

    A semicolon may divide them, and then a comma is a decimal one. face: of a file without faces.
    Raises ValueError with file and line, what was read and what would be right.

    >>> read_gauge_file("g.csv", "face,reading\\nL,82\\nR,79\\nL,85\\n")
    {'L': [82.0, 85.0], 'R': [79.0]}
    """
    from bench.process.sheets.measurement_kinds import KINDS

    right = "wanted one reading a line, or the columns face,reading"
    sets: dict[str, list[float]] = {}
    columns: list[str] | None = None
    for number, line in enumerate(text.splitlines(), start=1):
        cells = [cell.strip().strip('"') for cell in line.split(";" if ";" in text else ",")]
        if not any(cells):
            continue
        where = f"{name} line {number}"
        if columns is None:
            columns = _columns(cells)
            if columns == [cell.lower() for cell in cells]:
                continue
        if len(cells) != len(columns):
            raise ValueError(f"{where}: read {line[:40]!r}; {right}")
        row = dict(zip(columns, cells, strict=True))
        try:
            reading = KINDS["dft"].check(read_reading(KINDS["dft"], row["reading"]))
        except ValueError as fault:
            raise ValueError(f"{where}: {fault}") from fault
        sets.setdefault(row.get("face", face), []).append(reading)
    if not sets:
        raise ValueError(f"{name}: no reading in it; {right}")
    return sets


def _columns(cells: list[str]) -> list[str]:
    """What the first line says the columns are; without a heading one column of readings."""
    names = [cell.lower() for cell in cells]
    return names if sorted(names) in (["reading"], ["face", "reading"]) else ["reading"]


def add_instrument(call: Call, by: str) -> Outcome | Refusal:
    """Add an instrument; its error is read in its kind's unit."""
    from bench.process.stock.instruments import error_unit
    from bench.shop.stock import instruments
    from bench.units import read

    arguments = call.arguments()
    if isinstance(arguments, Refusal):
        return arguments
    if arguments["error"] is not None:
        unit = error_unit(arguments["kind"])
        try:
            arguments["error"] = read(arguments["error"], unit, bare=True)
        except ValueError as fault:
            return Refusal(str(fault))
    return instruments.add_instrument(call.shop, by, **arguments)


# A table: laid out by hand.
# fmt: off
NAME = option("name", metavar="NAME", help="what it is called in the shop: G1")
DAY = {"metavar": "DAY", "type": quantities.day}
CHECK_BY = option("--check-by", help="the day its next check is due", **DAY)

MEASURING = Group("readings and instruments", (
    Command(
        "measure", "write down film, zinc, profile, salts and other readings",
        (_what,
         option("--tag", dest="target", metavar="TAG", help="the part, wherever it is"),
         option("--face", metavar="FACE", default="", help="where; else the whole part"),
         option("--step", metavar="STEP", type=STEP_NUMBER,
                help="its number; else the last coat, or what was done last"),
         option("--instrument", metavar="NAME", default="", help="see: paintbench instrument"),
         option("--dft", metavar="FILE",
                help="a gauge's CSV: one reading a line, or the columns face,reading"),
         option("--strike", metavar="N", type=quantities.whole("the number of readings"),
                help="strike readings, by their number on the job record"),
         AGO),
        "bench.commands.subjects.measuring:measure",
        examples=("measure 16 dft 52 49 55 --by Una",
                  "measure 16 --dft gauge.csv --by Bo", "measure 2 ph 7.2 --ago 1min --by Bo")),
    Command(
        "instrument", "list the instruments: calibrated when, check due when",
        target="bench.commands.reports.measuring:instruments", kind="reads",
        examples=("instrument",)),
    Command(
        "instrument add", "add an instrument",
        (NAME,
         _kind_of_instrument,
         option("--number", metavar="N", default="", help="its maker's number"),
         option("--error", metavar="E", help="of one reading, in its unit: 2um, 0.5C"),
         option("--calibrated", help="the day", **DAY), CHECK_BY),
        "bench.commands.subjects.measuring:add_instrument",
        examples=('instrument add G9 --kind "film gauge" --error 2um --by Una',)),
    Command(
        "instrument calibrated", "say when an instrument was calibrated",
        (NAME, option("--on", dest="calibrated", required=True, help="the day", **DAY), CHECK_BY),
        "bench.shop.stock.instruments:calibrate",
        examples=("instrument calibrated G1 --on 2025-06-02 --check-by 2026-06-02 --by Una",)),
    Command(
        "instrument check", "say when the next check of an instrument is due",
        (NAME, option("--check-by", required=True, help="the day", **DAY)),
        "bench.shop.stock.instruments:set_check",
        examples=("instrument check G1 --check-by 2027-06-02 --by Una",)),
    Command(
        "instrument gone", "say that an instrument is no longer used", (NAME,),
        "bench.shop.stock.instruments:retire",
        examples=("instrument gone G1 --by Una",)),
))
# fmt: on
