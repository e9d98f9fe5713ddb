"""The ratio on the command line: as the tin prints it, with the answers to what it leaves open."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from typing import get_args

from bench.commands.sums.options import reader_of
from bench.sums.blend import Blend
from bench.sums.inputs import DENSITY, RATIO, THINNER_SHARE
from bench.sums.model import Input
from bench.trade.mixing import ROLES, Of
from bench.trade.ratio import Ask, Reading, in_words, read_ratio, to_ratio

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
    parser.add_argument(
        "ratio", metavar="RATIO", type=_ratio, nargs="?", help=RATIO.help.replace("%", "%%")
    )
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
        "--sure", action="store_true", help="yes: as much thinner as paint, or hardener than base"
    )


def blend_of(args: Namespace) -> Blend:
    """Return the ratio with its answers. Raises ValueError while one is missing or does not fit."""
    reading: Reading = args.ratio
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


def _ratio(text: str) -> Reading:
    try:
        return read_ratio(text.strip())
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from fault


def _roles(text: str) -> tuple[str, ...]:
    names = tuple(name.strip().lower() for name in text.split(","))
    strange = next((name for name in names if name not in ROLES), None)
    if strange is not None:
        raise ArgumentTypeError(f"read {strange[:40]!r}; wanted for each part {', '.join(ROLES)}")
    return names


def _hint(reading: Reading, args: Namespace, fault: ValueError) -> str:
    """The options that answer what a refusal asks."""
    given: dict[Ask, bool] = {
        "roles": bool(args.roles), "of": args.of is not None, "by": args.by is not None,
        "sure": args.sure,
    }  # fmt: skip
    wanted = [_ANSWERED_BY[ask] for ask in reading.asks if not given[ask]]
    if not wanted and str(fault).endswith("sure?"):
        wanted = [_ANSWERED_BY["sure"]]
    return f"; add {' and '.join(wanted)}" if wanted else ""
