"""`sum cup`: a flow cup's seconds, and the thinner that brings them down."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import Any

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, listed
from bench.process.spoken import figure
from bench.trade import cups
from bench.trade.cups import MOST_THINNER_PCT, CupReading

_MOST_S = 3600.0
"""Nobody holds a cup for an hour: a slip of the fingers."""

_seconds = asked.measure("time", "s", over=0, most=_MOST_S, bare=True)


def _add(parser: ArgumentParser) -> None:
    parser.add_argument(
        "cup",
        metavar="CUP",
        type=asked.told_by(lambda text: cups.cup_named(text.lower())),
        help=f"the cup it was taken with: {', '.join(cups.CUPS)}",
    )
    known = parser.add_mutually_exclusive_group(required=True)
    known.add_argument("--seconds", metavar="S", type=_seconds, help="45; gives mm2/s")
    known.add_argument(
        "--viscosity",
        metavar="V",
        type=asked.measure("viscosity", "mm2/s", over=0, most=1e6),
        help="57mm2/s; gives the seconds",
    )
    known.add_argument(
        "--with-thinner",
        metavar="PERCENT=S",
        type=asked.pairs(
            asked.measure("thinner", "%", least=0, most=MOST_THINNER_PCT),
            _seconds,
            "two readings, each thinner=seconds, as 0%=60s,10%=40s",
        ),
        help="two readings with different thinner, with --target: 0%%=60s,10%%=40s",
    )
    parser.add_argument("--target", metavar="S", type=_seconds, help="seconds wanted: 25")


def _work(args: Namespace) -> Answer:
    cup = args.cup
    if (args.with_thinner is None) is not (args.target is None):
        raise WrongUsage("a target takes two readings; wanted --with-thinner and --target")
    if args.with_thinner is not None:
        return _thinner(args)
    if args.seconds is not None:
        seconds, mm2_s = args.seconds, cups.viscosity_mm2_s(cup.key, args.seconds)
    else:
        seconds, mm2_s = cups.seconds_through(cup.key, args.viscosity), args.viscosity
    return Answer(
        {"mm2_s": mm2_s, "seconds": seconds, "cup": cup.name, "source": cup.source},
        listed(
            [
                (cup.name, f"{figure(seconds)} s"),
                ("viscosity", f"{figure(mm2_s)} mm2/s"),
                ("source", cup.source),
            ]
        ),
    )


def _thinner(args: Namespace) -> Answer:
    if len(args.with_thinner) != 2:
        raise WrongUsage(f"read {len(args.with_thinner)} readings in --with-thinner; wanted two")
    first, second = (CupReading(pct, seconds) for pct, seconds in args.with_thinner)
    found = cups.thinner_to_reach(args.cup.key, first, second, args.target)
    data: dict[str, Any] = {
        "thinner_pct": found.thinner_pct,
        "beyond_readings": found.beyond_readings,
        "note": found.note,
    }
    pairs = [("thinner in all", f"{figure(found.thinner_pct)} % of base and hardener, about")]
    if found.beyond_readings:
        pairs.append(("", "beyond the two readings: less sure"))
    pairs.append(("note", found.note))
    return Answer(data, listed(pairs))


SUMS = (
    Sum("cup", "a flow cup's seconds as viscosity, and back", "iso4 --seconds 45", _add, _work),
)
