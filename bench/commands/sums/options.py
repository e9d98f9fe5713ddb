"""From a line of the command line to the values of calculations: options, and which go together."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable, Sequence
from typing import Any

from bench.commands.sums.log_file import read_log
from bench.sums.model import Calculation, Input, OneOf, UsageFault, Values
from bench.sums.reading import read

Given = dict[str, Any]
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


def chosen(calculations: Sequence[Calculation], given: Given) -> list[Calculation]:
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


def _lacking(calculation: Calculation, given: Given) -> list[str]:
    """What would have to be typed as well; raises UsageFault where two ways were typed."""
    lacking = []
    for entry in calculation.inputs:
        if isinstance(entry, OneOf):
            lacking += _lacking_way(entry, given)
        elif entry.required and entry.kind != "shop" and not entry.when:
            lacking += [] if entry.name in given else [_wanted(entry)]
    return lacking


def _lacking_way(one_of: OneOf, given: Given) -> list[str]:
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


def values_of(calculation: Calculation, given: Given) -> Values:
    """Return every value of a calculation, the usual one where nothing was typed.

    Raises UsageFault where an input does not go with the others, or is missing beside them.
    """
    values: Given = {}
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
