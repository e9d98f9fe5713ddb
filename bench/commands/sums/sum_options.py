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


def reader_of(asked: Input) -> Callable[[str], Any]:
    """Return the reader of an input's text; its refusal is shown with the option's name."""

    def reader(text: str) -> Any:
        try:
            return read_log(text) if asked.kind == "log" else read(asked, text)
        except ValueError as fault:
            raise ArgumentTypeError(str(fault)) from fault

    return reader


def add_option(parser: ArgumentParser, asked: Input) -> None:
    """Add an input to the parser of its command."""
    help_words = help_of(asked).replace("%", "%%")
    if asked.kind == "flag":
        parser.add_argument(asked.option, action="store_const", const=True, help=help_words)
    elif asked.positional:
        parser.add_argument(
            asked.name, metavar=asked.option, nargs="?", type=reader_of(asked), help=help_words
        )
    else:
        metavar = asked.option.strip("-").upper()
        parser.add_argument(
            asked.option, dest=asked.name, metavar=metavar, type=reader_of(asked), help=help_words
        )


def help_of(asked: Input) -> str:
    """Return what an input is, its example, range, choices and usual value."""
    words = [f"{asked.help or asked.label}: {asked.such_as}".rstrip(": ")]
    if asked.range_words:
        words.append(asked.range_words)
    if asked.choices and asked.kind == "choice":
        words.append(f"one of {', '.join(asked.choices)}")
    if asked.usual is not None and asked.kind != "flag":
        usual = asked.usual if isinstance(asked.usual, str) else f"{asked.usual:g} {asked.unit}"
        words.append(f"{usual.strip()} if nothing is said")
    return "; ".join(words)


def chosen(calculations: Sequence[Calculation], given: TypedOptions) -> list[Calculation]:
    """Return the calculations that what was typed is enough for.

    Raises UsageFault where it is enough for none, or one of the options goes with none of them.
    """
    lacking = {each.title: _lacking(each, given) for each in calculations}
    enough = [each for each in calculations if not lacking[each.title]]
    used = {each.name for calculation in enough for each in calculation.each_input()}
    unused = [name for name in given if name not in used]
    if enough and not unused:
        return enough
    wanted = [
        (calculation, lacking[calculation.title])
        for calculation in calculations
        if not unused or unused[0] in {each.name for each in calculation.each_input()}
    ]
    fewest = min(len(missing) for _, missing in wanted)
    if len(calculations) == 1 or unused:
        wanted = [entry for entry in wanted if len(entry[1]) == fewest]
    told = "; or ".join(f"for {each.title} {', '.join(missing)}" for each, missing in wanted)
    raise UsageFault(f"too little was said; wanted {told}")


def _lacking(calculation: Calculation, given: TypedOptions) -> list[str]:
    """What would have to be typed as well; raises UsageFault where two ways were typed."""
    lacking = []
    for entry in calculation.inputs:
        if isinstance(entry, OneOf):
            lacking += _lacking_way(entry, given)
        elif entry.required and entry.kind != "shop" and not entry.when:
            lacking += [] if entry.name in given else [_wanted(entry)]
    return lacking


def _lacking_way(one_of: OneOf, given: TypedOptions) -> list[str]:
    ways = [way for way in one_of.ways.values() if any(each.name in given for each in way)]
    if len(ways) > 1:
        read_both = " and ".join(
            next(each.option for each in way if each.name in given) for way in ways
        )
        raise UsageFault(f"read {read_both}; wanted one of them: {_ways(one_of)}")
    if not ways:
        return [] if one_of.optional else [_ways(one_of)]
    return [_wanted(each) for each in ways[0] if each.required and each.name not in given]


def _ways(one_of: OneOf) -> str:
    return " or ".join(
        " with ".join(each.option for each in way if each.required or way[0] is each)
        for way in one_of.ways.values()
    )


def _wanted(asked: Input) -> str:
    return f"{asked.option} ({asked.help or asked.label}; e.g. {asked.such_as})"


def values_of(calculation: Calculation, given: TypedOptions) -> Values:
    """Return every value of a calculation, the usual one where nothing was typed.

    Raises UsageFault where an input does not go with the others, or is missing beside them.
    """
    values: TypedOptions = {}
    for each in calculation.each_input():
        value = given.get(each.name, each.usual)
        if each.when is not None:
            fits = each.when(values)
            if fits and value is None:
                raise UsageFault(f"too little was said; wanted {_wanted(each)}")
            if not fits and each.name in given:
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
    told = RATIO.help.replace("%", "%%")
    parser.add_argument("ratio", metavar="RATIO", type=reader_of(RATIO), nargs="?", help=told)
    parser.add_argument(
        "--roles", metavar="NAMES", type=_roles, default=(),
        help="which part is which, in the order printed: base,hardener,thinner",
    )  # fmt: skip
    for each in (THINNER_SHARE, _DENSITIES):
        told = f"{each.help}: {each.such_as}".replace("%", "%%")
        parser.add_argument(each.option, metavar="LIST", type=reader_of(each), help=told)
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
    """The options that answer what a refusal asks."""
    given: dict[Ask, bool] = {
        "roles": bool(args.roles), "of": args.of is not None, "by": args.by is not None,
        "sure": args.sure,
    }  # fmt: skip
    wanted = [_ANSWERED_BY[ask] for ask in reading.asks if not given[ask]]
    if not wanted and str(fault).endswith("sure?"):
        wanted = [_ANSWERED_BY["sure"]]
    return f"; add {' and '.join(wanted)}" if wanted else ""
