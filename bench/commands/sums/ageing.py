"""`sum age`: how far a coat has come at the temperatures it really had, and when it passes."""

from __future__ import annotations

import math
from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any, get_args

from bench.commands.sums import asked
from bench.commands.sums.answer import Answer, Sum, WrongUsage, hours, listed
from bench.commands.sums.log import Logged, read_log
from bench.commands.sums.pot import IN_WORDS
from bench.trade import ageing
from bench.trade.ageing import COLDEST_C, HOTTEST_C, Passing, Side, Stretch

_A_HAIR_S = 1e-3
"""What a passing may miss a whole second by, from the rounding of floats."""


def _add(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--table",
        metavar="TABLE",
        type=asked.time_table,
        required=True,
        help="the sheet's times, from cold to warm: 10C=24h,20C=16h,30C=10h",
    )
    parser.add_argument(
        "--log",
        metavar="FILE",
        type=read_log,
        required=True,
        help="a CSV file with the columns at (ISO time) and temp_c, in order of time",
    )
    parser.add_argument(
        "--began",
        metavar="TIME",
        type=asked.instant,
        help="when the coat was laid on, 2026-03-02T09:40; else the first reading",
    )
    parser.add_argument(
        "--least",
        metavar="T",
        type=asked.measure("least temperature", "C", least=COLDEST_C, most=HOTTEST_C),
        help="the sheet's least: below it nothing ages towards an opening: 10C",
    )
    parser.add_argument(
        "--edge",
        choices=get_args(Side),
        default="opening",
        help="opening: a wait (if nothing is said); closing: a pot life or a window's end",
    )


def _work(args: Namespace) -> Answer:
    log: Sequence[Logged] = args.log
    began: datetime = args.began or log[0].at
    if (began.tzinfo is None) is not (log[0].at.tzinfo is None):
        raise WrongUsage("--began and the log differ: one has an offset; wanted both alike")
    stretches = [Stretch((row.at - began).total_seconds(), row.temp_c) for row in log]
    until_s = stretches[-1].start_s
    progress = ageing.progress(args.table, stretches, 0.0, until_s, args.edge, args.least)
    passing = ageing.passes_at(args.table, stretches, 0.0, args.edge, args.least)
    done_at = _done_at(began, passing, args.edge)
    after_log = passing.at_s is not None and passing.at_s > until_s
    data: dict[str, Any] = {
        "progress": progress,
        "done_at": None if done_at is None else done_at.isoformat(),
        "basis": passing.basis,
        "stalled_s": passing.stalled_s,
        "after_log": after_log,
    }
    pairs = [("progress", f"{100 * progress:.1f} % at the last reading")]
    pairs.append(("done at", _told(done_at, after_log, log[-1].temp_c)))
    pairs.append(("times", IN_WORDS[passing.basis]))
    if passing.stalled_s:
        pairs.append(("stood still", f"{hours(passing.stalled_s)} under {args.least:g} C"))
    return Answer(data, listed(pairs))


def _done_at(began: datetime, passing: Passing, edge: Side) -> datetime | None:
    """Whole seconds, an opening never too early and a closing never too late."""
    if passing.at_s is None:
        return None
    if edge == "opening":
        whole_s = math.ceil(passing.at_s - _A_HAIR_S)
    else:
        whole_s = math.floor(passing.at_s + _A_HAIR_S)
    try:
        return began + timedelta(seconds=whole_s)
    except OverflowError:
        return None  # past any calendar is never


def _told(done_at: datetime | None, after_log: bool, last_c: float) -> str:
    if done_at is None:
        return f"never, if it stays at {last_c:g} C"
    return done_at.isoformat() + (f", if it stays at {last_c:g} C" if after_log else "")


SUMS = (
    Sum(
        "age",
        "how far a coat has come over a log of temperatures",
        "--table 10C=24h,20C=16h,30C=10h --log night.csv --least 10C",
        _add,
        _work,
    ),
)
