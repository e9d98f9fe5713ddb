"""`sum zinc`, `readings` and `crosscut`: what is on the metal, and whether it holds."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import Any

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, listed
from bench.process.spoken import figure
from bench.trade import crosscut, readings, zinc
from bench.trade.zinc import LOSS_UM_YEAR, MOST_ZINC_UM

_film = asked.measure("reading", "um", least=-200, most=10_000, bare=True)
_MOST_ZINC_G_M2 = MOST_ZINC_UM * zinc.DENSITIES_G_CM3["ISO 1461"]


def _add_zinc(parser: ArgumentParser) -> None:
    known = parser.add_mutually_exclusive_group(required=True)
    known.add_argument(
        "--thickness",
        metavar="FILM",
        type=asked.measure("zinc", "um", least=0, most=MOST_ZINC_UM),
        help="85um",
    )
    known.add_argument(
        "--mass",
        metavar="MASS",
        type=asked.measure("zinc", "g/m2", least=0, most=_MOST_ZINC_G_M2),
        help="or its mass on one face: 610g/m2",
    )
    parser.add_argument(
        "--category", type=str.upper, choices=tuple(LOSS_UM_YEAR), help="corrosivity, ISO 9223"
    )
    parser.add_argument(
        "--steel",
        metavar="THICKNESS",
        type=asked.measure("steel", "mm", over=0, most=500),
        help="the steel's thickness, 5mm: gives the least zinc of ISO 1461",
    )
    parser.add_argument("--edition", choices=("1999", "2009"), default="2009", help="of ISO 1461")
    parser.add_argument(
        "--article",
        choices=("steel", "casting", "threaded", "centrifuged"),
        default="steel",
        help="what was galvanised, as ISO 1461 divides it",
    )


def _zinc(args: Namespace) -> Answer:
    zinc_um = args.thickness if args.mass is None else zinc.thickness_um(args.mass)
    zinc_g_m2 = zinc.mass_g_m2(zinc_um)
    data: dict[str, Any] = {
        "years_low": None,
        "years_high": None,
        "g_m2": zinc_g_m2,
        "thickness_um": zinc_um,
    }
    pairs = [("zinc", f"{figure(zinc_um)} um, {figure(zinc_g_m2)} g/m2 on one face")]
    if args.category is not None:
        years = zinc.years_left(zinc_um, args.category)
        data |= {"years_low": years.least, "years_high": years.most}
        most = "no upper end" if years.most is None else f"{figure(years.most)}"
        pairs.append(("years", f"{figure(years.least)} to {most} bare in {args.category}, about"))
    if args.steel is not None:
        least = zinc.least_zinc(args.steel, args.edition, args.article)
        data |= {
            "least_local_um": least.local_um,
            "least_mean_um": least.mean_um,
            "source": least.source,
        }
        pairs.append(("at least", f"{least.local_um:g} um anywhere, {least.mean_um:g} um mean"))
        pairs.append(("", least.source))
    return Answer(data, listed(pairs))


def _add_readings(parser: ArgumentParser) -> None:
    parser.add_argument(
        "films",
        metavar="READINGS",
        type=asked.bare_list(_film, "reading"),
        help="what the gauge reads, in um: 72,65,58",
    )
    parser.add_argument(
        "--nominal",
        metavar="FILM",
        type=asked.measure("nominal film", "um", over=0, most=3000),
        required=True,
        help="the dry film asked for: 60um",
    )
    parser.add_argument(
        "--zinc",
        metavar="FILM",
        type=asked.bare_list(
            asked.measure("zinc", "um", least=0, most=MOST_ZINC_UM, bare=True), "zinc reading"
        ),
        help="the zinc below, read before painting, one or more: 85um or 80,85,90",
    )
    parser.add_argument(
        "--surface",
        choices=tuple(readings.ROUGHNESS_UM),
        default="smooth",
        help="profile of a blasted surface, which is taken off",
    )
    parser.add_argument(
        "--most",
        metavar="FILM",
        type=asked.measure("most film", "um", over=0, most=10_000),
        help="the sheet's most; else three times nominal",
    )
    parser.add_argument(
        "--area",
        metavar="AREA",
        type=asked.measure("area", "m2", over=0, most=100_000),
        help="how much was painted: asks for the standard's number of readings",
    )


def _readings(args: Namespace) -> Answer:
    films = args.films
    if args.zinc is not None:
        films = zinc.paint_on_zinc(films, args.zinc).readings_um
    found = readings.judge(
        films,
        args.nominal,
        correction_um=readings.ROUGHNESS_UM[args.surface],
        most_um=args.most,
        area_m2=args.area,
    )
    return Answer(
        {
            "mean": found.mean_um,
            "least": found.least_um,
            "most": found.most_um,
            "spread_pct": found.spread_pct,
            "accept": found.accept,
            "take_more": found.take_more,
            "why": found.why,
        },
        listed(
            [
                ("accepted", "yes" if found.accept else "no"),
                ("why", found.why),
                ("mean", f"{figure(found.mean_um)} um"),
                ("least, most", f"{figure(found.least_um)}, {figure(found.most_um)} um"),
            ]
        ),
    )


def _add_crosscut(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--film",
        metavar="FILM",
        type=asked.measure("film", "um", over=0, most=10_000),
        required=True,
        help="75um",
    )
    flaked = parser.add_mutually_exclusive_group()
    flaked.add_argument(
        "--flaked",
        metavar="PERCENT",
        type=asked.measure("flaked area", "%", least=0, most=100),
        help="what came off: 4%%",
    )
    flaked.add_argument(
        "--squares",
        metavar="N",
        type=asked.measure("squares off", "", least=0, most=crosscut.SQUARES),
        help=f"or how many of the {crosscut.SQUARES} squares, halves too: 1.5",
    )
    parser.add_argument("--soft", action="store_true", help="on wood, plaster or plastic")


def _crosscut(args: Namespace) -> Answer:
    flaked_pct = args.flaked if args.squares is None else crosscut.flaked_pct(args.squares)
    if flaked_pct is None:
        spacing_mm = crosscut.spacing_mm(args.film, soft_substrate=args.soft)
        return Answer(
            {"spacing_mm": spacing_mm, "iso_class": None, "astm_class": None, "meaning": None},
            listed([("cuts", f"{crosscut.CUTS} each way, {spacing_mm} mm apart")]),
        )
    found = crosscut.cross_cut(args.film, flaked_pct, soft_substrate=args.soft)
    return Answer(
        {
            "spacing_mm": found.spacing_mm,
            "iso_class": found.iso_class,
            "astm_class": found.astm_class,
            "meaning": found.meaning,
        },
        listed(
            [
                ("cuts", f"{crosscut.CUTS} each way, {found.spacing_mm} mm apart"),
                ("class", f"{found.iso_class} of ISO 2409 (0 best), {found.astm_class} (5B best)"),
                ("means", found.meaning),
            ]
        ),
    )


SUMS = (
    Sum(
        "zinc",
        "zinc from mass or thickness, the years it lasts, the least it must be",
        "--thickness 85um --category C3",
        _add_zinc,
        _zinc,
    ),
    Sum(
        "readings",
        "whether a set of dry-film readings is accepted, and why",
        "72,65,58 --nominal 60um",
        _add_readings,
        _readings,
    ),
    Sum(
        "crosscut",
        "how far apart to cut, and the class of what flaked",
        "--film 75um --flaked 4%",
        _add_crosscut,
        _crosscut,
    ),
)
