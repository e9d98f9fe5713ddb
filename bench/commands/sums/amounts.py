"""`sum film` and `cover`: how thick, and how much paint it takes."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import Any, get_args

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, listed
from bench.process.spoken import figure
from bench.trade import film
from bench.trade.film import (
    MOST_AREA_M2,
    MOST_DRY_UM,
    MOST_LITRES,
    MOST_WET_UM,
    Shape,
    Tool,
)
from bench.trade.mixing import MOST_MIX_ML, MOST_THINNER_PCT

_dry = asked.measure("dry film", "um", over=0, most=MOST_DRY_UM)
_area = asked.measure("area", "m2", over=0, most=MOST_AREA_M2)
_solids = asked.measure("volume solids", "%", over=0, most=100)
_thinner = asked.measure("thinner", "%", least=0, most=MOST_THINNER_PCT)
_transfer = asked.measure("transfer", "%", over=0, most=100)


def _add_thinned(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--thinner",
        metavar="PERCENT",
        type=_thinner,
        default=0.0,
        help="by volume, of base and hardener together: 15%%",
    )


def _add_film(parser: ArgumentParser) -> None:
    known = parser.add_mutually_exclusive_group(required=True)
    known.add_argument("--dry", metavar="FILM", type=_dry, help="the film wanted: 60um, 2.4 mil")
    known.add_argument(
        "--wet",
        metavar="FILM",
        type=asked.measure("wet film", "um", over=0, most=MOST_WET_UM),
        help="what the comb reads: 150um; gives the dry film",
    )
    solids = parser.add_mutually_exclusive_group(required=True)
    solids.add_argument(
        "--solids", metavar="PERCENT", type=_solids, help="volume solids without thinner: 45%%"
    )
    solids.add_argument(
        "--parts",
        metavar="AMOUNT=SOLIDS",
        type=asked.pairs(
            asked.measure("amount of a part", "ml", over=0, most=MOST_MIX_ML),
            asked.measure("volume solids of a part", "%", least=0, most=100),
            "an amount with its volume solids, as 400ml=60%,100ml=45%",
        ),
        help="or each part with its solids, thinner too: 400ml=60%%,100ml=45%%,50ml=0%%",
    )
    _add_thinned(parser)


def _film(args: Namespace) -> Answer:
    solids_pct = film.solids_of_parts_pct(args.parts) if args.parts else args.solids
    mixed_pct = film.solids_mixed_pct(solids_pct, args.thinner)
    if args.wet is None:
        dry_um, wet_um = args.dry, film.wet_from_dry(args.dry, solids_pct, args.thinner)
    else:
        dry_um, wet_um = film.dry_from_wet(args.wet, solids_pct, args.thinner), args.wet
    return Answer(
        {"wet_um": wet_um, "dry_um": dry_um, "solids_mixed_pct": mixed_pct},
        listed(
            [
                ("wet film", f"{figure(wet_um)} um"),
                ("dry film", f"{figure(dry_um)} um"),
                ("solids as mixed", f"{figure(mixed_pct)} %"),
            ]
        ),
    )


def _add_cover(parser: ArgumentParser) -> None:
    parser.add_argument("--area", metavar="AREA", type=_area, required=True, help="7.5m2")
    parser.add_argument("--dry", metavar="FILM", type=_dry, required=True, help="60um")
    parser.add_argument(
        "--solids", metavar="PERCENT", type=_solids, required=True, help="without thinner: 45%%"
    )
    _add_thinned(parser)
    lands = parser.add_mutually_exclusive_group(required=True)
    lands.add_argument(
        "--transfer", metavar="PERCENT", type=_transfer, help="what lands on the part: 40%%"
    )
    lands.add_argument("--tool", choices=get_args(Tool), help="or the tool, with --shape")
    parser.add_argument("--shape", choices=get_args(Shape), default="frame")
    parser.add_argument(
        "--lost",
        metavar="PERCENT",
        type=asked.measure("loss", "%", least=0, most=99),
        default=0.0,
        help="left in can and hose, or blown away: 5%%",
    )
    parser.add_argument(
        "--rough",
        metavar="RZ",
        type=asked.measure("roughness", "um", least=0, most=300),
        default=0.0,
        help="roughness Rz of a blasted surface, which swallows paint: 75um",
    )
    parser.add_argument(
        "--have",
        metavar="AMOUNT",
        type=asked.measure("paint there is", "l", over=0, most=MOST_LITRES),
        help="mixed paint there is, 2.1 l: gives the film it makes, and where it runs out",
    )
    parser.add_argument(
        "--faces",
        metavar="N",
        type=asked.whole("faces", least=1, most=1000),
        help="how many faces, with --have: 8",
    )


def _cover(args: Namespace) -> Answer:
    if args.faces is not None and args.have is None:
        raise WrongUsage("--faces tells where the paint runs out; wanted --have as well")
    dry_um = args.dry + film.dead_volume_ml_m2(args.rough)
    transfer_pct = args.transfer
    if args.tool is not None:
        transfer_pct = film.transfer(args.tool, args.shape).least_pct
    job = film.litres(args.area, dry_um, args.solids, args.thinner, transfer_pct, args.lost)
    rate = film.spreading_rate_m2_per_l(film.solids_mixed_pct(args.solids, args.thinner), dry_um)
    data: dict[str, Any] = {
        "litres_theory": job.theory_l,
        "litres": job.mixed_l,
        "m2_per_litre": rate,
        "paint_litres": job.paint_l,
        "thinner_litres": job.thinner_l,
        "transfer_pct": transfer_pct,
    }
    pairs = [
        ("to mix", f"{figure(job.mixed_l)} l at {figure(transfer_pct)} % on the part"),
        ("of it", f"{figure(job.paint_l)} l paint, {figure(job.thinner_l)} l thinner"),
        ("nothing lost", f"{figure(job.theory_l)} l, {figure(rate)} m2 a litre as mixed"),
    ]
    if args.have is not None:
        more, more_pairs = _what_there_is(args, job.mixed_l, transfer_pct)
        data |= more
        pairs += more_pairs
    return Answer(data, listed(pairs))


def _what_there_is(
    args: Namespace, need_l: float, transfer_pct: float
) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    used_l = args.have * (1 - args.lost / 100)
    dry_um = film.dry_from_litres(used_l, args.area, args.solids, args.thinner, transfer_pct)
    data: dict[str, Any] = {"have_dry_um": dry_um}
    pairs = [("there is", f"{figure(args.have)} l, enough for {figure(dry_um)} um dry all over")]
    if args.faces is not None:
        face = film.runs_out_at_face(args.have, need_l, args.faces)
        data["runs_out_at_face"] = face
        told = "no, it lasts" if face is None else f"on about face {face} of {args.faces}"
        pairs.append(("runs out", told))
    return data, pairs


SUMS = (
    Sum(
        "film",
        "wet film from dry, or dry from wet, with thinner",
        "--dry 60um --solids 45% --thinner 15%",
        _add_film,
        _film,
    ),
    Sum(
        "cover",
        "litres for an area, with what is lost on the way",
        "--area 7.5m2 --dry 60um --solids 45% --thinner 15% --transfer 40%",
        _add_cover,
        _cover,
    ),
)
