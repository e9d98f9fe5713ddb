"""The ratio on the command line: as the tin prints it, with the answers to what it leaves open."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from bench.commands.sums import asked
from bench.commands.sums.answer import WrongUsage
from bench.trade import mixing
from bench.trade.mixing import LEAST_DENSITY, MOST_DENSITY, ROLES, Of, Ratio
from bench.trade.ratio import Ask, Reading, in_words, read_ratio, to_ratio

_ANSWERED_BY: dict[Ask, str] = {
    "roles": "--roles base,hardener,thinner",
    "by": "--by-volume or --by-weight",
    "of": "--of base, --of mixed or --of total",
    "sure": "--sure",
}


@dataclass(frozen=True)
class Asked:
    """A ratio that can be mixed. words: read back; order: its parts as printed, thinner last."""

    ratio: Ratio
    words: str
    order: tuple[str, ...]
    densities: Mapping[str, float] | None

    @property
    def grams_only(self) -> bool:
        """True for a ratio by weight without densities: a scale can serve it, a cup cannot."""
        return self.ratio.by == "weight" and self.densities is None

    @property
    def reckoned_with(self) -> Mapping[str, float] | None:
        """The densities, or 1 each where there are only grams: then every ml stands for a gram."""
        return dict.fromkeys(self.order, 1.0) if self.grams_only else self.densities


def add_ratio(parser: ArgumentParser) -> None:
    """The options that tell a ratio."""
    parser.add_argument(
        "ratio",
        metavar="RATIO",
        type=asked.told_by(read_ratio),
        help="as the tin prints it: 4:1:1, 2:1+10%%, 5:1 + 10-20 %%, 100:25 w/w",
    )
    parser.add_argument(
        "--roles",
        metavar="NAMES",
        type=_roles,
        default=(),
        help="which part is which, in the order printed: base,hardener,thinner",
    )
    parser.add_argument(
        "--thinner",
        metavar="PERCENT",
        type=asked.measure("thinner", "%", least=0, most=mixing.MOST_THINNER_PCT),
        help="10%%; of a range the least is taken otherwise",
    )
    parser.add_argument(
        "--of",
        choices=get_args(Of),
        help="thinner percent of the base, of all but the thinner (mixed) or of the whole (total)",
    )
    by = parser.add_mutually_exclusive_group()
    by.add_argument("--by-weight", dest="by", action="store_const", const="weight")
    by.add_argument("--by-volume", dest="by", action="store_const", const="volume")
    parser.add_argument(
        "--sure", action="store_true", help="yes: as much thinner as paint, or hardener than base"
    )
    parser.add_argument(
        "--densities",
        metavar="LIST",
        type=asked.bare_list(
            asked.measure("density", "g/ml", least=LEAST_DENSITY, most=MOST_DENSITY, bare=True),
            "density",
        ),
        help="g/ml of each part in the order printed, the thinner last: 1.40,1.00,0.87",
    )


def asked_ratio(args: Namespace) -> Asked:
    """The ratio with its answers. Raises ValueError while one is missing or does not fit."""
    reading: Reading = args.ratio
    thinner_pct: float | None = args.thinner
    if thinner_pct and reading.thinner_pct is None:
        # The reader of ratios judges a percent that is told apart like one the tin prints.
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
    return Asked(
        ratio,
        in_words(reading, args.roles, args.of, args.by),
        order,
        by_part(args.densities, order, "densities"),
    )


def by_part(
    given: tuple[float, ...] | None, order: tuple[str, ...], what: str
) -> dict[str, float] | None:
    """Figures in the order printed, by part. Raises WrongUsage when there is not one for each."""
    if given is None:
        return None
    if len(given) != len(order):
        raise WrongUsage(
            f"read {len(given)} {what} for {len(order)} parts; wanted one each, for "
            f"{', '.join(order)}"
        )
    return dict(zip(order, given, strict=True))


def _roles(text: str) -> tuple[str, ...]:
    names = asked.named(text)
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
