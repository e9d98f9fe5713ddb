"""An action undone, and an older fact corrected: its options and how they are read."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import MISSING, fields
from datetime import datetime

from bench.commands.core import quantities
from bench.commands.core.call import Call
from bench.commands.core.options import (
    FILMS,
    STEP_NUMBER,
    belongs,
    group,
    maybe_on_part,
    option,
    reason,
    thermometers,
    zinc_answers,
)
from bench.process.actions.correction_rules import EDGES
from bench.process.parts.film_thickness import WEIGHTS, FilmKind
from bench.process.refusals.refusal import Refusal
from bench.shop.clock.clock_fault import EARLIEST
from bench.shop.clock.timekeeping import instant_typed
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome
from bench.shop.corrections import correction
from bench.shop.corrections.correction import Correction
from bench.shop.corrections.fact_table import FACTS
from bench.shop.corrections.pot_facts import pot_of_line, reading_of_line
from bench.shop.corrections.undo import undo, undo_line

OPTION_OF = {"tag": "new_tag", "pot": "line", "reading": "line", "ml": "pour"}
"""The option of a field that has another name."""

# A table: laid out by hand.
# fmt: off
OPTIONS = (
    option("what", metavar="WHAT", choices=tuple(FACTS), help="one of the facts below"),
    maybe_on_part,
    reason("why it was wrong"),
    group(
        "a step",
        option("--step", metavar="N", type=STEP_NUMBER, help="the step's number on the sheet"),
        option("--edge", choices=tuple(EDGES),
               help="of an hour: first or last face; of a mark: wetted, or ticked or rinsed"),
        option("--mark", metavar="NAME", help="the face or zone"),
        option("--test", metavar="N", type=quantities.whole("a test's number"),
               help="which of the step's tests, from 1; else the last"),
        option("--at", metavar="TIME", type=quantities.day_and_hour,
               help='the right hour, in the shop\'s zone: "2026-03-12 14:30"'),
        option("--painters", metavar="NAMES", type=quantities.names, help='"Ada,Ben"')),
    group(
        "a coat",
        option("--weight", choices=WEIGHTS, help="how thick it came out"),
        *FILMS,
        option("--not-measured", action="append", choices=("wet", "dry"), default=[])),
    group(
        "a reason or a defect",
        option("--text", metavar="TEXT", help="of a skip or a defect: what it really was"),
        option("--defect", metavar="N", type=quantities.whole("a defect's number"),
               help="which one, from 1; else the last")),
    group(
        "a part",
        option("--new-tag", metavar="T", help="what its disc really says"),
        option("--name", metavar="N", help="what it is called"),
        *belongs(),
        option("--count", metavar="N", type=quantities.whole("a count"), help="pieces"),
        option("--substrate", metavar="S", help="what it is made of")),
    group("its zinc", *zinc_answers()),
    group(
        "a reading or a pot",
        option("--line", metavar="N", type=quantities.whole("a line's number"),
               help="the number of its line in the log"),
        *thermometers(),
        option("--not-read", action="append", choices=("humidity", "metal"), default=[]),
        option("--pour", metavar="N=AMOUNT", action="append", default=[], type=quantities.pour,
               help="the first pour was really 420 ml: 1=420ml")),
)
# fmt: on


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options, and tell of every fact what it needs."""
    facts = (
        f"  {word:<9}{fact.help}\n{'':11}needs {', '.join(_needed(fact))}"
        for word, fact in FACTS.items()
    )
    listed = "\n".join(["facts, and what each needs:", *facts])
    parser.epilog = f"{listed}\n\n{parser.epilog}"
    for add in OPTIONS:
        add(parser)


def take_back(call: Call, by: str) -> Outcome | Refusal:
    """Undo the last action, or a chosen line."""
    line = call.args.line
    return undo(call.shop, by) if line is None else undo_line(call.shop, by, line)


def correct(call: Call, by: str) -> Outcome | Refusal:
    """Correct what the words name."""
    fact = FACTS[call.args.what]
    typed = vars(call.args)
    lacking = [words for words, option in _needed(fact).items() if typed[option] in (None, [])]
    if lacking:
        return Refusal(f"'correct {fact.word}' needs more", "", f"add {', '.join(lacking)}")
    values = {field.name: _value(call, field.name) for field in fields(fact)}
    refused = next((value for value in values.values() if isinstance(value, Refusal)), None)
    if refused is not None:
        return refused
    facts = {name: value for name, value in values.items() if value is not None}
    return correction.correct(call.shop, call.args.target, by, call.args.reason, fact(**facts))


def _needed(fact: type[Correction]) -> dict[str, str]:
    """Return the options that must be given (fields without a default) and their names."""
    needed = {"STAND or --tag": "target"} if fact.of_part else {}
    for field in fields(fact):
        if field.default is MISSING and field.default_factory is MISSING:
            dest = OPTION_OF.get(field.name, field.name)
            needed[f"--{dest}"] = dest
    return needed


def _value(call: Call, name: str) -> object:
    """Return a field's value as it was typed, or why it is none."""
    reader = _READERS.get(name)
    return reader(call) if reader else getattr(call.args, OPTION_OF.get(name, name))


def _instant(call: Call) -> datetime | Refusal:
    year, month, day, hour, minute = call.args.at
    zone = read_bench(call.shop).house.hours.zone
    return instant_typed(day, month, year, hour, minute, zone, EARLIEST)


def _figures(call: Call) -> dict[str, float | None]:
    args = call.args
    typed = {"air": args.air_c, "humidity": args.rh_pct, "metal": args.metal_c}
    figures = {name: value for name, value in typed.items() if value is not None}
    return figures | dict.fromkeys(args.not_read)


def _films(call: Call) -> dict[FilmKind, float | None]:
    typed: dict[FilmKind, float] = {"wet": call.args.wet_um, "dry": call.args.dry_um}
    films = {kind: um for kind, um in typed.items() if um is not None}
    return films | dict.fromkeys(call.args.not_measured)


_READERS: dict[str, Callable[[Call], object]] = {
    "at": _instant,
    "pot": lambda call: pot_of_line(call.shop, call.args.line),
    "reading": lambda call: reading_of_line(call.shop, call.args.line),
    "figures": _figures,
    "films": _films,
    "ml": lambda call: dict(call.args.pour),
}
"""Fields that are read from more than their option."""
