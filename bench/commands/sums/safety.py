"""`sum voc`, `air` and `clear`: solvent in the tin and in the air, each with its cautions."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Sequence
from typing import Any, Literal

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, listed
from bench.process.spoken import figure
from bench.trade import solvent
from bench.trade.solvent import SOLVENTS, VOC_LIMITS, Portion, Solvent

_mixing = asked.measure("mixing factor", "", least=1, most=10)


def _with_cautions(
    data: dict[str, Any], pairs: Sequence[tuple[str, str]], cautions: Sequence[str]
) -> Answer:
    lines = (*listed(pairs), *(f"caution: {caution}" for caution in cautions))
    return Answer(data | {"cautions": list(cautions)}, lines)


def _add_voc(parser: ArgumentParser) -> None:
    parser.add_argument(
        "parts",
        metavar="PARTS",
        type=asked.pairs(
            asked.measure("portion", "l", over=0, most=10_000),
            asked.measure("VOC", "g/l", least=0, most=1400),
            "an amount with its VOC, as 4l=420g/l,1l=380g/l",
        ),
        help="each part with the VOC of its sheet: 4l=420g/l,1l=380g/l,0.5l=870g/l",
    )
    parser.add_argument(
        "--water",
        metavar="AMOUNT",
        type=asked.measure("water", "l", least=0, most=10_000),
        default=0.0,
        help="water within the parts: 0.2l",
    )
    parser.add_argument(
        "--category",
        choices=tuple(VOC_LIMITS),
        help="shows the EU limit of vehicle refinishing beside the figure",
    )


def _voc(args: Namespace) -> Answer:
    portions = [Portion(litres, voc_g_l) for litres, voc_g_l in args.parts]
    found = solvent.voc_of_mix(portions, args.water)
    data: dict[str, Any] = {"voc_g_l": found.whole_g_l, "less_water_g_l": found.less_water_g_l}
    pairs = [("VOC", f"{figure(found.whole_g_l)} g/l of the mix")]
    if args.water:
        pairs.append(("less water", f"{figure(found.less_water_g_l)} g/l"))
    if args.category is not None:
        beside = solvent.beside_limit(found, args.category)
        data |= {
            "figure_g_l": beside.figure_g_l,
            "limit_g_l": beside.limit.limit_g_l,
            "limit_name": beside.limit.name,
            "limit_source": beside.limit.source,
        }
        told = f"{beside.limit.limit_g_l:g} g/l, {beside.limit.name}"
        pairs += [("counts", f"{figure(beside.figure_g_l)} g/l"), ("EU limit", told)]
    return _with_cautions(data, pairs, solvent.VOC_CAUTIONS)


def _solvents(text: str) -> tuple[Solvent, ...]:
    return tuple(solvent.solvent_named(" ".join(name.split())) for name in asked.named(text))


def _given_off(text: str) -> tuple[float, Literal["g", "g/min"]]:
    """Grams once, or grams a minute all the while."""
    try:
        asked.read(text, "g/min")
    except ArgumentTypeError:
        try:
            return asked.measure("vapour", "g", over=0, most=1_000_000)(text), "g"
        except ArgumentTypeError as fault:
            raise ArgumentTypeError(f"{fault}; or all the while 20 g/min") from fault
    return asked.measure("evaporating", "g/min", over=0, most=100_000)(text), "g/min"


def _add_air(parser: ArgumentParser) -> None:
    parser.add_argument(
        "given_off",
        metavar="AMOUNT",
        type=_given_off,
        help="solvent that evaporates: 500g once, or 20g/min all the while",
    )
    parser.add_argument(
        "--solvent",
        metavar="NAMES",
        type=asked.told_by(_solvents),
        help=f"one or more, the worst counts: {', '.join(SOLVENTS)}",
    )
    parser.add_argument(
        "--lel",
        metavar="PERCENT",
        type=asked.measure("explosive limit", "%", over=0, most=100),
        help="or the lower explosive limit of its safety sheet, vol %%: 1%%",
    )
    parser.add_argument(
        "--molar-mass",
        metavar="M",
        type=asked.measure("molar mass", "g/mol", over=0, most=500),
        help="with --lel: 106g/mol",
    )
    parser.add_argument(
        "--fraction",
        metavar="PERCENT",
        type=asked.measure("fraction", "%", over=0, most=100),
        default=10.0,
        help="of the explosive limit to stay under; 10%% if nothing is said, at most 25%%",
    )
    parser.add_argument(
        "--air",
        metavar="T",
        type=asked.measure("air", "C", least=-40, most=60),
        default=20.0,
        help="20C if nothing is said",
    )
    parser.add_argument(
        "--mixing",
        metavar="K",
        type=_mixing,
        default=1.0,
        help="with g/min, how badly the air mixes: 1 (perfect) to 10",
    )


def _air(args: Namespace) -> Answer:
    lel_pct, molar_mass = _worst(args)
    amount, unit = args.given_off
    fraction = args.fraction / 100
    limit_g_m3 = solvent.lel_g_m3(lel_pct, molar_mass, args.air)
    data: dict[str, Any] = {
        "lel_pct": lel_pct,
        "molar_mass_g_mol": molar_mass,
        "lel_g_m3": limit_g_m3,
        "fraction_pct": args.fraction,
    }
    if unit == "g":
        if args.mixing != 1:
            raise WrongUsage("--mixing is for a flow of air; wanted g/min, or it left out")
        data["m3"] = solvent.dilution_air_m3(amount, molar_mass, lel_pct, fraction, args.air)
        told = f"{figure(data['m3'])} m3"
    else:
        data["m3_h"] = solvent.dilution_flow_m3_h(
            amount, molar_mass, lel_pct, fraction, mixing_factor=args.mixing, air_c=args.air
        )
        told = f"{figure(data['m3_h'])} m3/h"
    pairs = [
        ("clean air", f"{told}, for {figure(amount)} {unit} of vapour"),
        ("explosive from", f"{lel_pct:g} vol %, {figure(limit_g_m3)} g/m3"),
        ("reckoned to", f"{args.fraction:g} % of that"),
    ]
    return _with_cautions(data, pairs, solvent.AIR_CAUTIONS)


def _worst(args: Namespace) -> tuple[float, float]:
    """The lowest explosive limit and the lowest molar mass."""
    own = args.lel is not None or args.molar_mass is not None
    if args.solvent is not None and not own:
        return (
            min(each.lel_pct for each in args.solvent),
            min(each.molar_mass_g_mol for each in args.solvent),
        )
    if args.solvent is None and args.lel is not None and args.molar_mass is not None:
        return args.lel, args.molar_mass
    raise WrongUsage("which solvent? wanted --solvent, or --lel and --molar-mass of its sheet")


def _add_clear(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--room",
        metavar="VOLUME",
        type=asked.measure("room", "m3", over=0, most=100_000),
        help="120m3, with --flow",
    )
    how = parser.add_mutually_exclusive_group(required=True)
    how.add_argument(
        "--flow",
        metavar="FLOW",
        type=asked.measure("air flow", "m3/h", over=0, most=1_000_000),
        help="what the fan moves: 2400m3/h",
    )
    how.add_argument(
        "--changes",
        metavar="N",
        type=asked.measure("air changes", "", over=0, most=1000),
        help="or air changes an hour: 20",
    )
    parser.add_argument(
        "--left",
        metavar="PERCENT",
        type=asked.measure("left", "%", over=0, most=100),
        default=1.0,
        help="of the mist; 1%% if nothing is said",
    )
    parser.add_argument(
        "--mixing", metavar="K", type=_mixing, default=1.0, help="1 (perfect) to 10"
    )


def _clear(args: Namespace) -> Answer:
    if (args.room is None) is not (args.flow is None):
        raise WrongUsage("a flow needs a room to clear; wanted --room and --flow, or --changes")
    changes_h = args.changes
    if args.flow is not None:
        changes_h = solvent.air_changes_per_h(args.room, args.flow)
    minutes = solvent.clearance_min(changes_h, args.left, mixing_factor=args.mixing)
    return _with_cautions(
        {"minutes": minutes, "air_changes_h": changes_h, "left_pct": args.left},
        [
            ("clear after", f"{figure(minutes)} min, with {args.left:g} % left"),
            ("air changes", f"{figure(changes_h)} an hour"),
        ],
        solvent.CLEARANCE_CAUTIONS,
    )


SUMS = (
    Sum(
        "voc",
        "VOC of the mix as it is sprayed, beside the EU limit",
        "4l=420g/l,1l=380g/l,0.5l=870g/l --category topcoat",
        _add_voc,
        _voc,
    ),
    Sum(
        "air",
        "clean air that keeps vapour under a fraction of its explosive limit",
        "500g --solvent xylene --fraction 10%",
        _add_air,
        _air,
    ),
    Sum(
        "clear",
        "minutes until a room is clear of mist",
        "--room 120m3 --flow 2400m3/h",
        _add_clear,
        _clear,
    ),
)
