"""`sum dewpoint`: dew point, margin, and whether air and metal are fit to coat in."""

from __future__ import annotations

import math
from argparse import ArgumentParser, Namespace
from typing import Any

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, listed
from bench.process.spoken import figure
from bench.trade import air
from bench.trade.air import Verdict

FIT, NOT_FIT, MEASURE = "fit", "not fit", "measure the metal"

_metal = asked.measure("metal", "C", least=air.COLDEST_METAL_C, most=air.HOTTEST_METAL_C)


def _add(parser: ArgumentParser) -> None:
    an_air = asked.measure("air", "C", least=air.COLDEST_AIR_C, most=air.HOTTEST_AIR_C)
    humidity = asked.measure("humidity", "%", least=air.LEAST_RH_PCT, most=100)
    parser.add_argument("--air", metavar="T", type=an_air, required=True, help="20C")
    damp = parser.add_mutually_exclusive_group(required=True)
    damp.add_argument("--rh", metavar="PERCENT", type=humidity, help="relative humidity: 65%%")
    damp.add_argument(
        "--wet",
        metavar="T",
        type=asked.measure("wet bulb", "C", least=air.COLDEST_AIR_C, most=air.HOTTEST_AIR_C),
        help="or the wet bulb of a whirling hygrometer: 14C",
    )
    parser.add_argument(
        "--pressure",
        metavar="P",
        type=asked.measure(
            "pressure", "hPa", least=air.LEAST_PRESSURE_HPA, most=air.MOST_PRESSURE_HPA
        ),
        help="air pressure here, for the wet bulb: 1013hPa",
    )
    parser.add_argument("--metal", metavar="T", type=_metal, help="15C; without it no verdict")
    parser.add_argument(
        "--margin",
        metavar="T",
        type=asked.measure("least margin", "degrees C", least=0, most=30),
        default=air.DEW_MARGIN_C,
        help="metal at least so far above the dew point; 3C if nothing is said",
    )
    parser.add_argument(
        "--most-rh",
        metavar="PERCENT",
        type=humidity,
        default=air.MOST_RH_PCT,
        help="the sheet's most humidity; 85%% if nothing is said",
    )
    parser.add_argument("--least-metal", metavar="T", type=_metal, help="the sheet's: 10C")
    parser.add_argument("--most-metal", metavar="T", type=_metal, help="the sheet's: 35C")


def _work(args: Namespace) -> Answer:
    if args.wet is None:
        if args.pressure is not None:
            raise WrongUsage("--pressure is for the wet bulb; wanted --wet, or it left out")
        rh_pct = args.rh
    else:
        rh_pct = air.rh_from_wet_bulb(args.air, args.wet, args.pressure or air.SEA_LEVEL_HPA)
    found, verdict = _judged(args, rh_pct)
    water_g_m3 = air.absolute_humidity_g_m3(args.air, rh_pct)
    known = args.metal is not None
    data: dict[str, Any] = {
        "dew_point_c": found.dew_point_c,
        "margin_c": found.margin_c if known else None,
        "verdict": verdict,
        "against": list(found.against),
        "frost_point_c": found.frost_point_c,
        "rh_pct": rh_pct,
        "water_g_m3": water_g_m3,
        "metal_least_c": found.metal_least_c,
        "warm_by_c": found.warm_by_c if known else None,
    }
    pairs = [("dew point", f"{found.dew_point_c:.1f} C")]
    if found.frost_point_c is not None:
        pairs.append(("frost point", f"{found.frost_point_c:.1f} C"))
    if known:
        pairs.append(("margin", f"{found.margin_c:.1f} C"))
    pairs += [
        ("humidity", f"{rh_pct:.1f} %, {figure(water_g_m3)} g of water a m3"),
        ("metal from", f"{math.ceil(found.metal_least_c * 10 - 1e-9) / 10:.1f} C on"),
        ("verdict", verdict),
        *(("", reason) for reason in found.against),
    ]
    return Answer(data, listed(pairs))


def _judged(args: Namespace, rh_pct: float) -> tuple[Verdict, str]:
    """The verdict, and its word. Without a metal temperature only humidity can speak."""
    known = args.metal is not None
    found = air.verdict(
        args.air,
        rh_pct,
        # Metal this hot breaks no dew margin, whatever the air.
        args.metal if known else air.HOTTEST_METAL_C,
        margin_least_c=args.margin,
        rh_most_pct=args.most_rh,
        metal_least_c=args.least_metal,
        metal_most_c=args.most_metal if known else None,
    )
    if not found.fit:
        return found, NOT_FIT
    return found, FIT if known else MEASURE


SUMS = (
    Sum(
        "dewpoint",
        "dew point, margin of the metal above it, and whether it is fit to coat",
        "--air 20C --rh 65% --metal 15C",
        _add,
        _work,
    ),
)
