"""`sum pot`: pot life and induction at a temperature, from the sheet's table."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from datetime import datetime, timedelta
from typing import Any

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, hours, listed
from bench.trade import mixing
from bench.trade.ageing import COLDEST_C, HOTTEST_C, Basis
from bench.trade.mixing import BIG_POT_OVER_ML, MOST_MIX_ML

IN_WORDS: dict[Basis, str] = {
    "sheet": "as the sheet says",
    "between": "between points of the sheet",
    "outside": "beyond the sheet's points, on the strict side",
    "guess": "a guess: twice as fast for each 10 C warmer",
}


def _add(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--table",
        metavar="TABLE",
        type=asked.time_table,
        required=True,
        help="the sheet's pot life: 20C=2h, or 10C=4h,20C=2h,30C=1h from cold to warm",
    )
    parser.add_argument(
        "--at",
        metavar="T",
        type=asked.measure("temperature", "C", least=COLDEST_C, most=HOTTEST_C),
        required=True,
        help="the temperature of the mix: 30C",
    )
    parser.add_argument(
        "--mixed",
        metavar="AMOUNT",
        type=asked.measure("mixed", "ml", over=0, most=MOST_MIX_ML),
        help="how much is mixed: over 500 ml it warms itself, and a fifth comes off",
    )
    parser.add_argument(
        "--induction", metavar="TABLE", type=asked.time_table, help="to rest first: 20C=15min"
    )
    parser.add_argument(
        "--from",
        dest="mixed_at",
        metavar="TIME",
        type=asked.instant,
        help="when hardener touched base, 2026-03-02T09:40: gives the hour to bin it by",
    )
    parser.add_argument(
        "--old-bin-by",
        metavar="TIME",
        type=asked.instant,
        help="when a pot that this tops up must be binned: the older deadline stays",
    )


def _work(args: Namespace) -> Answer:
    life = mixing.pot_life_s(args.table, args.at)
    life_s = life.seconds
    data: dict[str, Any] = {"pot_life_s": life_s, "basis": life.basis}
    pairs = [("pot life", f"{hours(life_s)} at {args.at:g} C, {IN_WORDS[life.basis]}")]
    if args.mixed is not None:
        life_s = mixing.big_pot_life_s(life_s, args.mixed)
        data |= {"pot_life_s": life_s}
        if args.mixed > BIG_POT_OVER_ML:
            pairs.append(("big pot", f"{hours(life_s)}: a fifth off, it warms itself"))
    if args.induction is not None:
        rest = mixing.induction_s(args.induction, args.at)
        data |= {"induction_s": rest.seconds, "induction_basis": rest.basis}
        pairs.append(("rest first", f"{hours(rest.seconds)}, {IN_WORDS[rest.basis]}"))
    if args.mixed_at is None:
        if args.old_bin_by is not None:
            raise WrongUsage("--old-bin-by needs the hour of the fresh mix; wanted --from as well")
        return Answer(data, listed(pairs))
    data["bin_by"] = _bin_by(args.mixed_at, life_s, args.old_bin_by).isoformat()
    pairs.append(("bin by", data["bin_by"]))
    return Answer(data, listed(pairs))


def _bin_by(mixed_at: datetime, life_s: float, old: datetime | None) -> datetime:
    try:
        # Whole seconds and down: a deadline is never later than reckoned.
        fresh = mixed_at + timedelta(seconds=int(life_s))
    except OverflowError as fault:
        raise ValueError(f"bin by: {life_s:g} s after {mixed_at} is past any calendar") from fault
    if old is None:
        return fresh
    if (old.tzinfo is None) is not (mixed_at.tzinfo is None):
        raise WrongUsage("one time has an offset and one has none; wanted both alike")
    left_s = mixing.bin_by_after_topping_up(
        (old - mixed_at).total_seconds(), (fresh - mixed_at).total_seconds()
    )
    return mixed_at + timedelta(seconds=left_s)


SUMS = (
    Sum(
        "pot",
        "pot life and induction at a temperature",
        "--table 20C=2h --at 30C --from 2026-03-02T09:40",
        _add,
        _work,
    ),
)
