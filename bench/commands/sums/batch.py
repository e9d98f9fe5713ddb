"""`sum batch`: the least that a cup or a scale can mix honestly, and rounding to its lines."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from typing import Any, Literal

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, listed
from bench.commands.sums.cup import candidates
from bench.commands.sums.ratios import Asked, add_ratio, asked_ratio
from bench.process.spoken import figure
from bench.trade import batch, mixing
from bench.trade.mixing import MOST_MIX_ML

Step = tuple[float, Literal["ml", "g"]]

_volume = asked.measure("step", "ml", over=0, most=MOST_MIX_ML)
_mass = asked.measure("step", "g", over=0, most=MOST_MIX_ML)


def _step(text: str) -> Step:
    try:
        asked.read(text, "g")
    except ArgumentTypeError:
        return _volume(text), "ml"
    return _mass(text), "g"


def _add(parser: ArgumentParser) -> None:
    add_ratio(parser)
    parser.add_argument(
        "--step",
        metavar="AMOUNT",
        type=_step,
        required=True,
        help="from line to line on the cup or syringe, 10ml, or what the scale shows, 1g",
    )
    parser.add_argument(
        "--tolerance",
        metavar="PERCENT",
        type=asked.measure("tolerance", "%", over=0, most=100),
        help="how far a part may miss: 3%%; else where to stop and ask, 5%% for hardener",
    )
    parser.add_argument(
        "--need",
        metavar="AMOUNT",
        type=asked.measure("amount needed", "ml", over=0, most=MOST_MIX_ML),
        help="how much is needed: gives the reading errors, and the batches on the cup's lines",
    )


def _work(args: Namespace) -> Answer:
    told = asked_ratio(args)
    step, unit = args.step
    smallest_ml = batch.smallest_mix_ml(told.ratio, step, unit, told.densities, args.tolerance)
    data: dict[str, Any] = {"words": told.words, "smallest_ml": smallest_ml}
    lines = [told.words, f"least that this can mix: {figure(smallest_ml)} ml"]
    if args.need is not None:
        more, more_lines = _for_need(args.need, step, unit, told)
        data |= more
        lines += more_lines
        if args.need < smallest_ml:
            lines.append(
                f"{figure(args.need)} ml is less: take a finer measure, or mix "
                f"{figure(smallest_ml)} ml"
            )
    return Answer(data, tuple(lines))


def _for_need(
    need_ml: float, step: float, unit: Literal["ml", "g"], told: Asked
) -> tuple[dict[str, Any], tuple[str, ...]]:
    mix = mixing.for_total(told.ratio, need_ml, told.densities)
    sizes = {pour.role: pour.ml if unit == "ml" else pour.g for pour in mix.pours}
    errors = {
        role: batch.reading_error_pct(size, step)
        for role, size in sizes.items()
        if size is not None
    }
    data: dict[str, Any] = {
        "reading_errors": [
            {"role": role, "error_pct": error_pct} for role, error_pct in errors.items()
        ]
    }
    lines = listed(
        [
            (f"{role} {figure(sizes[role] or 0)} {unit}", f"+-{figure(error_pct, 2)} % as read")
            for role, error_pct in errors.items()
        ]
    )
    if unit == "g":
        return data, lines
    more, more_lines = candidates(
        batch.round_to_cup(told.ratio, need_ml, step, told.densities), None
    )
    return data | more, (*lines, *more_lines)


SUMS = (
    Sum(
        "batch",
        "the least that a cup, a syringe or a scale can mix honestly, and the lines it rounds to",
        "5:1 --roles base,hardener --step 10ml --need 250ml",
        _add,
        _work,
    ),
)
