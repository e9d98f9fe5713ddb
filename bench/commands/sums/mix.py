"""`sum mix`: how much of each part, up to which line in the cup and to which figure on a scale."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from dataclasses import dataclass
from typing import Any, Literal

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage
from bench.commands.sums.cup import candidates, parts_of, pour_lines, total_line, total_of
from bench.commands.sums.ratios import Asked, add_ratio, asked_ratio, by_part
from bench.process.spoken import figure
from bench.trade import batch, mixing
from bench.trade.mixing import MOST_DENSITY, MOST_MIX_ML, Mix


@dataclass(frozen=True)
class Amount:
    """So much of something, in a cup or on a scale."""

    size: float
    unit: Literal["ml", "g"]


Amounts = dict[str, Amount] | tuple[Amount | None, ...]
"""By part's name, or in the order printed with None where nothing is said."""

_volume = asked.measure("amount", "ml", over=0, most=MOST_MIX_ML)
_mass = asked.measure("amount", "g", over=0, most=MOST_MIX_ML * MOST_DENSITY)
_price = asked.measure("price", "", least=0)


def _amount(text: str) -> Amount:
    try:
        asked.read(text, "g")
    except ArgumentTypeError:
        return Amount(_volume(text), "ml")
    return Amount(_mass(text), "g")


def _amounts(text: str) -> Amounts:
    if "=" not in text:
        return tuple(_amount(piece) if piece else None for piece in asked.divided(text))
    found: dict[str, Amount] = {}
    for piece in asked.named_pieces(text):
        role, equals, told = (word.strip() for word in piece.partition("="))
        if not equals or role not in mixing.ROLES:
            raise ArgumentTypeError(
                f"read {piece[:40]!r}; wanted part=amount, such as base=420ml; parts are "
                f"{', '.join(mixing.ROLES)}"
            )
        if role in found:
            raise ArgumentTypeError(f"read {role} twice; wanted each part once")
        found[role] = _amount(told)
    return found


def _poured(text: str) -> tuple[str, Amount]:
    found = _amounts(text)
    if not isinstance(found, dict) or len(found) != 1:
        raise ArgumentTypeError(
            f"read {text.strip()[:40]!r}; wanted the one part that is in the cup, as base=420ml"
        )
    return next(iter(found.items()))


def _add(parser: ArgumentParser) -> None:
    add_ratio(parser)
    known = parser.add_mutually_exclusive_group(required=True)
    known.add_argument("--need", metavar="AMOUNT", type=_amount, help="how much is needed: 600ml")
    known.add_argument(
        "--left",
        metavar="AMOUNTS",
        type=_amounts,
        help="what is left of each part, in the order printed, nothing where there is plenty: "
        "340ml,70ml,",
    )
    known.add_argument(
        "--poured", metavar="PART=AMOUNT", type=_poured, help="in the cup already: base=420ml"
    )
    known.add_argument(
        "--mark", metavar="AMOUNT", type=_volume, help="fill the cup to this line: 800ml"
    )
    known.add_argument(
        "--over",
        metavar="AMOUNTS",
        type=_amounts,
        help="a pour too many: all that is in the cup, base=460ml,hardener=100ml; "
        "gives what to add",
    )
    parser.add_argument("--cup", metavar="AMOUNT", type=_volume, help="what the cup holds: 1 l")
    parser.add_argument(
        "--cup-step",
        metavar="AMOUNT",
        type=_volume,
        help="from line to line on the cup, 10ml: gives the batches on lines below and above",
    )
    parser.add_argument(
        "--prices",
        metavar="LIST",
        type=asked.bare_list(_price, "price"),
        help="money a litre of each part in the order printed, the thinner last: 30,50,8",
    )


def _work(args: Namespace) -> Answer:
    told = asked_ratio(args)
    prices = by_part(args.prices, told.order, "prices")
    if args.cup_step is not None and args.need is None and args.left is None:
        raise WrongUsage("--cup-step rounds what is needed or left; wanted --need or --left")
    if args.over is not None:
        return _over_poured(args, told)
    mix, only = _mix(args, told), told.grams_only
    if only and (args.cup is not None or prices is not None):
        mixing.check_densities(told.ratio, told.densities)  # a cup and a price go by volume
    data: dict[str, Any] = {
        "words": told.words,
        "parts": parts_of(mix.pours, grams_only=only),
        **total_of(mix, grams_only=only),
    }
    lines = [told.words, *pour_lines(mix.pours, grams_only=only), total_line(mix, grams_only=only)]
    if told.ratio.by == "weight":
        lines.append("by weight: pour it on a scale, not by the lines of a cup")
    if args.cup is not None:
        data["cups"] = batch.cups_for(mix.total_ml, args.cup)
        lines.append(f"cups      {data['cups']} of {figure(args.cup)} ml")
    if prices is not None:
        data["cost"] = batch.cost({pour.role: pour.ml for pour in mix.pours}, prices)
        lines.append(f"cost      {data['cost']:.2f}")
    if args.cup_step is not None:
        choice = batch.round_to_cup(told.ratio, mix.total_ml, args.cup_step, told.densities)
        more, more_lines = candidates(choice, prices, no_more=args.left is not None)
        data |= more
        lines += more_lines
    return Answer(data, tuple(lines))


def _mix(args: Namespace, told: Asked) -> Mix:
    ratio, densities = told.ratio, told.reckoned_with
    if args.left is not None:
        left_ml = {
            role: _part_ml(told, role, size) for role, size in _by_name(args.left, told).items()
        }
        return mixing.from_left(ratio, left_ml, densities)
    if args.poured is not None:
        role, size = args.poured
        return mixing.from_poured(ratio, role, _part_ml(told, role, size), densities)
    if args.mark is not None:
        _part_ml(told, "base", Amount(args.mark, "ml"))
        return mixing.from_cup_mark(ratio, args.mark, args.cup or MOST_MIX_ML, densities)
    return mixing.for_total(ratio, _whole_ml(told, args.need), densities)


def _over_poured(args: Namespace, told: Asked) -> Answer:
    in_cup_ml = {
        role: _part_ml(told, role, size) for role, size in _by_name(args.over, told).items()
    }
    only, cup_ml = told.grams_only, args.cup
    if only and cup_ml is not None:
        mixing.check_densities(told.ratio, told.densities)
    found = batch.recover(told.ratio, in_cup_ml, cup_ml or MOST_MIX_ML, told.reckoned_with)
    data: dict[str, Any] = {
        "words": told.words,
        "adds": parts_of(found.adds, grams_only=only),
        "total_g" if only else "total_ml": found.total_ml,
        "fits": None if cup_ml is None else found.fits,
        "over_cup_ml": None if cup_ml is None else found.over_cup_ml,
    }
    lines = [told.words, *(f"add {line}" for line in pour_lines(found.adds, grams_only=only))]
    if not found.adds:
        lines.append("nothing to add: the ratio is right as it is")
    lines.append(f"total         {figure(found.total_ml)} {'g' if only else 'ml'}")
    if cup_ml is not None and not found.fits:
        lines.append(
            f"the cup of {figure(cup_ml)} ml is too small by {figure(found.over_cup_ml)} ml: "
            "take a bigger one before adding anything"
        )
    return Answer(data, tuple(lines))


def _by_name(amounts: Amounts, told: Asked) -> dict[str, Amount]:
    if isinstance(amounts, dict):
        return amounts
    if len(amounts) > len(told.order):
        raise WrongUsage(
            f"read {len(amounts)} amounts for {len(told.order)} parts; wanted one each, for "
            f"{', '.join(told.order)}"
        )
    named = zip(told.order, amounts, strict=False)
    return {role: size for role, size in named if size is not None}


def _part_ml(told: Asked, role: str, size: Amount) -> float:
    """Millilitres of a part, or grams where there are only grams."""
    if size.unit == "ml" and not told.grams_only:
        return size.size
    if size.unit == "g" and told.grams_only:
        return size.size
    mixing.check_densities(told.ratio, told.densities)
    return size.size / (told.densities or {}).get(role, 1.0)


def _whole_ml(told: Asked, size: Amount) -> float:
    """Millilitres of the mix, or grams where there are only grams."""
    if size.unit == "ml" or told.grams_only:
        return _part_ml(told, "base", size)
    mixing.check_densities(told.ratio, told.densities)
    one_ml = mixing.for_total(told.ratio, 1.0, told.densities)
    assert one_ml.total_g is not None  # each part has a density
    return size.size / one_ml.total_g


SUMS = (
    Sum(
        "mix",
        "how much of each part, with fill lines and scale readings",
        "4:1:1 --roles base,hardener,thinner --need 600ml",
        _add,
        _work,
    ),
)
