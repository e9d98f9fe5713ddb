"""From a line of the command line to the values of calculations: options, and which go together.

A ratio is typed as the tin prints it, with the answers to what it leaves open.
"""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Callable, Sequence
from typing import Any, get_args

from bench.commands.sums.log_file import read_log
from bench.sums.checked_ratio import Blend
from bench.sums.input_reading import read
from bench.sums.inputs import DENSITY, RATIO, THINNER_SHARE
from bench.sums.model import Calculation, Input, OneOf, UsageFault, Values
from bench.trade.mixing import ROLES, Of
from bench.trade.ratio import Ask, RatioReading, in_words, read_ratio, to_ratio

TypedOptions = dict[str, Any]
"""What was typed, by the input's name."""


def inputs_of(calculations: Sequence[Calculation]) -> list[Input]:
    """Return what a command asks for, each name once, the words without an option first."""
    by_name: dict[str, Input] = {}
    for calculation in calculations:
        for each in calculation.each_input():
            if each.kind != "shop":
                by_name.setdefault(each.name, each)
    return sorted(by_name.values(), key=lambda each: not each.positional)


def reader_of(field: Input) -> Callable[[str], Any]:
    """Return the reader of an input's text; its refusal is shown with the option's name."""

    def reader(text: str) -> Any:
        try:
            return read_log(text) if field.kind == "log" else read(field, text)
        except ValueError as fault:
            raise ArgumentTypeError(str(fault)) from fault

    return reader


def add_option(parser: ArgumentParser, field: Input) -> None:
    """Add an input to the parser of its command."""
    help_words = help_of(field).replace("%", "%%")
    if field.kind == "flag":
        parser.add_argument(field.option, action="store_const", const=True, help=help_words)
    elif field.positional:
        parser.add_argument(
            field.name, metavar=field.option, nargs="?", type=reader_of(field), help=help_words
        )
    else:
        metavar = field.option.strip("-").upper()
        parser.add_argument(
            field.option, dest=field.name, metavar=metavar, type=reader_of(field), help=help_words
        )


def help_of(field: Input) -> str:
    """Return what an input is, its example, range, choices and usual value."""
    words = [f"{field.help or field.label}: {field.such_as}".rstrip(": ")]
    if field.range_words:
        words.append(field.range_words)
    if field.choices and field.kind == "choice":
        words.append(f"one of {', '.join(field.choices)}")
    if field.usual is not None and field.kind != "flag":
        usual = field.usual if isinstance(field.usual, str) else f"{field.usual:g} {field.unit}"
        words.append(f"{usual.strip()} if nothing is said")
    return "; ".join(words)


def fitting_calculations(
    calculations: Sequence[Calculation], typed: TypedOptions
) -> list[Calculation]:
    """Return the calculations that what was typed is enough for.

    Raises UsageFault where it is enough for none, or one of the options goes with none of them.
    """
    lacking = {each.title: _lacking(each, typed) for each in calculations}
    enough = [each for each in calculations if not lacking[each.title]]
    used = {each.name for calculation in enough for each in calculation.each_input()}
    unused = [name for name in typed if name not in used]
    if enough and not unused:
        return enough
    candidates = [
        (calculation, lacking[calculation.title])
        for calculation in calculations
        if not unused or unused[0] in {each.name for each in calculation.each_input()}
    ]
    fewest = min(len(lacks) for _, lacks in candidates)
    if len(calculations) == 1 or unused:
        candidates = [entry for entry in candidates if len(entry[1]) == fewest]
    choices = "; or ".join(f"for {each.title} {', '.join(lacks)}" for each, lacks in candidates)
    raise UsageFault(f"too little was said; wanted {choices}")


def _lacking(calculation: Calculation, typed: TypedOptions) -> list[str]:
    """Return what else would have to be typed; raises UsageFault where two ways were typed."""
    lacking = []
    for entry in calculation.inputs:
        if isinstance(entry, OneOf):
            lacking += _lacking_way(entry, typed)
        elif entry.required and entry.kind != "shop" and not entry.when:
            lacking += [] if entry.name in typed else [_input_words(entry)]
    return lacking


def _lacking_way(one_of: OneOf, typed: TypedOptions) -> list[str]:
    ways = [way for way in one_of.ways.values() if any(each.name in typed for each in way)]
    if len(ways) > 1:
        read_both = " and ".join(
            next(each.option for each in way if each.name in typed) for way in ways
        )
        raise UsageFault(f"read {read_both}; wanted one of them: {_ways(one_of)}")
    if not ways:
        return [] if one_of.optional else [_ways(one_of)]
    return [_input_words(each) for each in ways[0] if each.required and each.name not in typed]


def _ways(one_of: OneOf) -> str:
    return " or ".join(
        " with ".join(each.option for each in way if each.required or way[0] is each)
        for way in one_of.ways.values()
    )


def _input_words(field: Input) -> str:
    return f"{field.option} ({field.help or field.label}; e.g. {field.such_as})"


def values_of(calculation: Calculation, typed: TypedOptions) -> Values:
    """Return every value of a calculation, the usual one where nothing was typed.

    Raises UsageFault where an input does not go with the others, or is missing beside them.
    """
    values: TypedOptions = {}
    for each in calculation.each_input():
        value = typed.get(each.name, each.usual)
        if each.when is not None:
            fits = each.when(values)
            if fits and value is None:
                raise UsageFault(f"too little was said; wanted {_input_words(each)}")
            if not fits and each.name in typed:
                raise UsageFault(
                    f"{each.option} does not go with the rest; wanted {each.option} left out"
                )
        values[each.name] = value
    return values


# --- the ratio -----------------------------------------------------------------------------------

_ANSWERED_BY: dict[Ask, str] = {
    "roles": "--roles base,hardener,thinner",
    "by": "--by-volume or --by-weight",
    "of": "--of base, --of mixed or --of total",
    "sure": "--sure",
}
_DENSITIES = Input(
    "densities", "densities", kind="numbers", of=(DENSITY,), example="1.40,1.00,0.87",
    help="g/ml of each part in the order printed, the thinner last",
)  # fmt: skip


def add_ratio(parser: ArgumentParser) -> None:
    """Add the words and options that say a ratio."""
    help_words = RATIO.help.replace("%", "%%")
    parser.add_argument("ratio", metavar="RATIO", type=reader_of(RATIO), nargs="?", help=help_words)
    parser.add_argument(
        "--roles", metavar="NAMES", type=_roles, default=(),
        help="which part is which, in the order printed: base,hardener,thinner",
    )  # fmt: skip
    for each in (THINNER_SHARE, _DENSITIES):
        help_words = f"{each.help}: {each.such_as}".replace("%", "%%")
        parser.add_argument(each.option, metavar="LIST", type=reader_of(each), help=help_words)
    parser.add_argument(
        "--of", choices=get_args(Of),
        help="thinner percent of the base, of all but the thinner (mixed) or of the whole (total)",
    )  # fmt: skip
    by = parser.add_mutually_exclusive_group()
    by.add_argument("--by-weight", dest="by", action="store_const", const="weight")
    by.add_argument("--by-volume", dest="by", action="store_const", const="volume")
    parser.add_argument(
        "--sure",
        action="store_true",
        help="accept as much thinner as paint, or more hardener than base",
    )


def blend_of(args: Namespace) -> Blend:
    """Return the ratio with its answers. Raises ValueError while one is missing or does not fit."""
    reading: RatioReading = args.ratio
    thinner_pct: float | None = args.thinner
    if thinner_pct and reading.thinner_pct is None:
        # The reader of ratios judges a percent that is given apart like one the tin prints.
        reading, thinner_pct = read_ratio(f"{reading.text} + {thinner_pct:.10g} %"), None
    if reading.by == "weight" and args.by == "volume":
        raise ValueError(f"{reading.text!r} is by weight: leave --by-volume out")
    try:
        ratio = to_ratio(reading, args.roles, args.of, args.by, thinner_pct, args.sure)
    except ValueError as fault:
        raise ValueError(f"{fault}{_hint(reading, args, fault)}") from fault
    order = tuple(share.role for share in ratio.shares)
    if ratio.thinner_pct:
        order += ("thinner",)
    blend = Blend(ratio, None, in_words(reading, args.roles, args.of, args.by), order)
    return blend if args.densities is None else blend.with_densities(args.densities)


def _roles(text: str) -> tuple[str, ...]:
    names = tuple(name.strip().lower() for name in text.split(","))
    strange = next((name for name in names if name not in ROLES), None)
    if strange is not None:
        raise ArgumentTypeError(f"read {strange[:40]!r}; wanted for each part {', '.join(ROLES)}")
    return names


def _hint(reading: RatioReading, args: Namespace, fault: ValueError) -> str:
    """Name the options that answer what a refusal asks."""
    answered: dict[Ask, bool] = {
        "roles": bool(args.roles), "of": args.of is not None, "by": args.by is not None,
        "sure": args.sure,
    }  # fmt: skip
    options = [_ANSWERED_BY[ask] for ask in reading.asks if not answered[ask]]
    if not options and str(fault).endswith("sure?"):
        options = [_ANSWERED_BY["sure"]]
    return f"; add {' and '.join(options)}" if options else ""
