"""`sum area` and `cans`: how large a piece is, and how many aerosol cans an area takes."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import get_args

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, listed
from bench.process.spoken import figure
from bench.trade import film, sections
from bench.trade.film import MOST_AREA_M2, MOST_DRY_UM, TYPICAL_AREAS_M2, Shape
from bench.trade.sections import MOST_LENGTH_M, Piece

_area = asked.measure("area", "m2", over=0, most=MOST_AREA_M2)
_dry = asked.measure("dry film", "um", over=0, most=MOST_DRY_UM)
_solids = asked.measure("volume solids", "%", over=0, most=100)
_share = asked.measure("transfer", "%", over=0, most=100)


def _piece(text: str) -> Piece | str:
    """A piece, or the name of a typical one."""
    name = " ".join(text.lower().split())
    return name if name in TYPICAL_AREAS_M2 else sections.read_piece(text)


def _add_area(parser: ArgumentParser) -> None:
    parser.add_argument(
        "piece",
        metavar="PIECE",
        type=asked.told_by(_piece),
        help='"SHS 100x100x5", "RHS 100x60x4 hot", "CHS 48.3x3.2", "angle 60x60x6", "channel '
        '100x50x6x8.5", "plate 200x120x6 holes 4x13", "flat 50x6", "rod 20", in mm; or a typical '
        f"one: {'; '.join(TYPICAL_AREAS_M2)}",
    )
    parser.add_argument(
        "--length",
        metavar="LENGTH",
        type=asked.measure("length", "m", over=0, most=MOST_LENGTH_M),
        help="3m",
    )
    parser.add_argument(
        "--count",
        metavar="N",
        type=asked.whole("pieces", least=1, most=sections.MOST_COUNT),
        default=1,
        help="how many pieces: 4",
    )


def _area_of(args: Namespace) -> Answer:
    if isinstance(args.piece, str):
        return _typical(args.piece, args.count, args.length)
    m2 = sections.area_m2(args.piece, args.length, args.count)
    per_m = args.piece.m2_per_m
    pairs = [("piece", f"{args.count} of {args.piece.words}")]
    if per_m is not None:
        pairs.append(("a metre", f"{figure(per_m)} m2"))
    pairs.append(("in all", f"{figure(m2)} m2"))
    return Answer({"words": args.piece.words, "m2_per_m": per_m, "m2": m2}, listed(pairs))


def _typical(name: str, count: int, length_m: float | None) -> Answer:
    if length_m is not None:
        raise WrongUsage(f"{name} is a whole piece; wanted --length left out")
    least_m2, most_m2 = (count * each for each in TYPICAL_AREAS_M2[name])
    return Answer(
        {"words": name, "m2_per_m": None, "m2": most_m2, "m2_least": least_m2},
        listed(
            [
                ("piece", f"{count} of {name}"),
                ("in all", f"{least_m2:g} to {most_m2:g} m2, typical"),
            ]
        ),
    )


def _add_cans(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--area",
        metavar="AREA",
        type=_area,
        required=True,
        help="7.5m2",
    )
    parser.add_argument(
        "--dry",
        metavar="FILM",
        type=_dry,
        required=True,
        help="a coat: 20um",
    )
    parser.add_argument(
        "--coats",
        metavar="N",
        type=asked.whole("coats", least=1, most=20),
        default=1,
        help="how many coats: 2",
    )
    lands = parser.add_mutually_exclusive_group(required=True)
    lands.add_argument(
        "--transfer",
        metavar="PERCENT",
        type=_share,
        help="what lands: 30%%",
    )
    lands.add_argument("--shape", choices=get_args(Shape), help="or the shape of the part")
    parser.add_argument(
        "--can",
        metavar="AMOUNT",
        type=asked.measure("can", "ml", over=0, most=1000),
        default=film.CAN_ML,
        help="what a can holds, 400ml if nothing is said",
    )
    parser.add_argument(
        "--solids",
        metavar="PERCENT",
        type=_solids,
        default=film.SOLIDS_IN_A_CAN_PCT,
        help="volume solids of the filled can, 17.5%% if nothing is said",
    )


def _cans(args: Namespace) -> Answer:
    least_pct = most_pct = args.transfer
    if args.shape is not None:
        lands = film.transfer("aerosol", args.shape)
        least_pct, most_pct = lands.least_pct, lands.most_pct
    worst, best = (
        film.can_m2(args.dry, pct, args.solids, args.can) for pct in (least_pct, most_pct)
    )
    most, least = (film.cans(args.area, args.coats, m2) for m2 in (worst, best))
    told = f"{most}" if least == most else f"{least} to {most}"
    return Answer(
        {"cans": most, "cans_least": least, "m2_per_can": worst, "m2_per_can_most": best},
        listed(
            [
                ("cans", f"{told}, and one for touch-up"),
                ("one covers", f"{figure(worst)} m2 once, at {figure(least_pct)} % on the part"),
            ]
        ),
    )


SUMS = (
    Sum(
        "area",
        "surface of tube, box, angle, channel, plate, flat and rod",
        '"SHS 100x100x5" --length 3m',
        _add_area,
        _area_of,
    ),
    Sum(
        "cans",
        "aerosol cans for an area",
        "--area 7.5m2 --dry 20um --coats 2 --shape frame",
        _add_cans,
        _cans,
    ),
)
