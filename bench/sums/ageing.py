"""Time at temperature: pot life, a sheet's time, how far a coat has come, warmer and colder."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from bench.sums.answer_text import unsure
from bench.sums.inputs import EDGE, LISTED_TEMPERATURE, MIN_TEMPERATURE, MIXED, TABLE, TEMPERATURE
from bench.sums.model import (
    Calculation,
    Example,
    Input,
    InputNamespace,
    Result,
    SumAnswer,
    UsageFault,
)
from bench.trade import ageing, mixing
from bench.trade.ageing import Passing, Side, Stretch

GROUP = "time at temperature"
_A_HAIR_S = 1e-3
"""What a passing may miss a whole second by, from the rounding of floats."""
ROOM_C = 23.0
"""What most tests of coatings are done at (ISO 3270, from memory)."""
USUAL_EA_KJ_MOL = 50.0
"""Paint films lie about 40 to 80 (common practice, no source)."""
MOST_MIN = 7 * 24 * 60.0
"""No pot is used for a week (no source)."""


@dataclass(frozen=True)
class TemperatureLog:
    """Temperatures from a beginning on, until the last was read. began: None where nobody said."""

    began: datetime | None
    stretches: tuple[Stretch, ...]
    until_s: float

    def since(self, began: datetime) -> TemperatureLog:
        """Return the log counted from another beginning. Raises UsageFault."""
        if self.began is None or (began.tzinfo is None) is not (self.began.tzinfo is None):
            raise UsageFault("--began and the log differ: one has an offset; wanted both alike")
        by_s = (self.began - began).total_seconds()
        stretches = tuple(Stretch(each.start_s + by_s, each.temp_c) for each in self.stretches)
        return TemperatureLog(began, stretches, self.until_s + by_s)


def _pot(inputs: InputNamespace) -> SumAnswer:
    life, old = mixing.pot_life_s(inputs.table, inputs.at), inputs.old_bin_by
    life_s = life.seconds
    if inputs.mixed is not None:
        life_s = mixing.big_pot_life_s(life_s, inputs.mixed)
    values: dict[str, Any] = {"pot_life_s": life_s, "basis": life.basis}
    if life_s < life.seconds:
        values["big_pot"] = f"{mixing.BIG_POT_OFF_PCT:g} % off: it warms itself"
    if inputs.induction is not None:
        rest = mixing.induction_s(inputs.induction, inputs.at)
        values |= {"induction_s": rest.seconds, "induction_basis": rest.basis}
    if inputs.from_ is None:
        if old is not None:
            raise UsageFault("--old-bin-by needs the hour of the fresh mix; wanted --from as well")
        return SumAnswer(values, doubts=unsure(life.basis))
    bin_by = values["bin_by"] = _bin_by(inputs.from_, life_s, old)
    if inputs.now is not None and bin_by <= inputs.now:
        why = ("It still pours, and that says nothing: bin it.",)
        return SumAnswer(values, "BIN", good=False, why=why, doubts=unsure(life.basis))
    oldest = ("A pot is as old as its oldest drop.",) if old is not None else ()
    return SumAnswer(values, why=oldest, doubts=unsure(life.basis))


def _bin_by(mixed_at: datetime, life_s: float, old: datetime | None) -> datetime:
    try:
        # Whole seconds and down: a deadline is never later than worked out.
        fresh = mixed_at + timedelta(seconds=int(life_s))
    except OverflowError as fault:
        raise ValueError(f"bin by: {life_s:g} s after {mixed_at} is past any calendar") from fault
    if old is None:
        return fresh
    if (old.tzinfo is None) is not (mixed_at.tzinfo is None):
        raise UsageFault("one time has an offset and one has none; wanted both alike")
    # A pot is as old as its oldest drop (common practice, no source).
    return min(fresh, mixed_at + (old - mixed_at))


def _time(inputs: InputNamespace) -> SumAnswer:
    table, edge, least, ends = inputs.table, inputs.edge, inputs.least, inputs.ends
    time = ageing.time_at(table, inputs.at, edge)
    stalls = least is not None and inputs.at < least and edge == "opening"
    return SumAnswer(
        {
            "seconds": None if stalls else time.seconds,
            "basis": time.basis,
            "ends": ends(table, edge, least) if ends else None,
        },
        "STANDS STILL" if stalls else "",
        good=not stalls,
        why=(f"Under {least:g} C nothing ages: it waits until it is warmer.",) if stalls else (),
        doubts=unsure(time.basis),
        wait=edge == "opening",
    )


def _progress(inputs: InputNamespace) -> SumAnswer:
    table, edge, least = inputs.table, inputs.edge, inputs.least
    log = inputs.log if inputs.began is None else inputs.log.since(inputs.began)
    progress = ageing.progress(table, log.stretches, 0.0, log.until_s, edge, least)
    passing = ageing.passes_at(table, log.stretches, 0.0, edge, least)
    left_s = None if passing.at_s is None else passing.at_s - log.until_s
    last_c = log.stretches[-1].temp_c
    never = left_s is None
    too_cold = least is None or passing.basis == "none"
    stalled_s = passing.stalled_s or None
    why = (
        f"it never passes if it stays at {last_c:g} C" if never else f"if it stays at {last_c:g} C"
    )
    return SumAnswer(
        {
            "progress": progress,
            "percent": 100 * min(progress, 9.99),
            "done_at": _done_at(log.began, passing, edge),
            "left_s": left_s if left_s is not None and left_s > 0 else None,
            "past_s": -left_s if left_s is not None and left_s <= 0 else None,
            "basis": passing.basis,
            "stalled_s": passing.stalled_s,
            "stood_still_s": None if too_cold else stalled_s,
            "no_figure_s": stalled_s if too_cold else None,
            "after_log": left_s is not None and left_s > 0,
        },
        "STANDS STILL" if never else "",
        good=not never,
        why=(why,) if left_s is None or left_s > 0 else (),
        doubts=unsure(passing.basis),
        wait=edge == "opening",
    )


def _done_at(began: datetime | None, passing: Passing, edge: Side) -> datetime | None:
    """Return whole seconds, an opening never too early and a closing never too late."""
    if passing.at_s is None or began is None:
        return None
    if edge == "opening":
        whole_s = math.ceil(passing.at_s - _A_HAIR_S)
    else:
        whole_s = math.floor(passing.at_s + _A_HAIR_S)
    try:
        return began + timedelta(seconds=whole_s)
    except OverflowError:
        return None  # past any calendar is never


def _rate(inputs: InputNamespace) -> SumAnswer:
    by_energy = ageing.arrhenius_rate(inputs.at, inputs.against, inputs.energy)
    return SumAnswer(
        {
            "rate": by_energy,
            "minutes_an_hour": 60 / by_energy,
            "rate_doubling": ageing.doubling_rate(inputs.at, inputs.against),
        },
        doubts=("an estimate: twice as fast for each 10 C warmer; no sheet says so",),
    )


_BASIS = Result("basis", "this time is", kind="basis")
_INDUCTION = replace(
    TABLE, name="induction", label="induction time", known="induction", optional=True, asked=False,
    example="20C=15min", help="induction time: to rest first",
)  # fmt: skip
_FROM = Input(
    "from_", "since hardener met base", "min", "moment", least=0, most=MOST_MIN, optional=True,
    offered=0, example="2026-03-02T09:40", help="when hardener met base: gives the hour to bin it",
)  # fmt: skip
_OLD = replace(
    _FROM, name="old_bin_by", label="topped up: left of the old pot", offered=None, empty="fresh",
    help="when a pot that this tops up must be binned: the older deadline stays",
)  # fmt: skip
_LOG = Input(
    "log", "temperatures", kind="log", example="night.csv",
    of=(
        Input("hours", "hours", "h", over=0, most=366 * 24.0, example=6),
        replace(LISTED_TEMPERATURE, label="at, in hours", example=18),
    ),
    help="a CSV file with the columns at (ISO time) and temp_c, in order of time",
)  # fmt: skip
_BEGAN = Input(
    "began", "beginning", kind="moment", optional=True, asked=False, example="2026-03-02T09:40",
    help="when the coat was laid on; else the first reading",
)  # fmt: skip
_AGAINST = replace(
    TEMPERATURE, name="against", label="against", usual=ROOM_C, example=23, known="",
    help="the temperature to compare with",
)  # fmt: skip
_ENERGY = Input(
    "energy", "activation energy, kJ/mol", "", over=0, most=300, usual=USUAL_EA_KJ_MOL, example=50
)

POT = Calculation(
    "pot", "pot life", "mixing",
    (
        replace(TABLE, label="the sheet's pot life", known="pot_life",
                help="the sheet's pot life: 20C=2h, or 10C=4h,20C=2h,30C=1h from cold to warm"),
        replace(TEMPERATURE, label="the mix is at", example=30),
        replace(MIXED, optional=True, empty="a small pot", example=800,
                help="how much is mixed: over 500 ml it warms itself, and a fifth comes off"),
        _INDUCTION, _FROM, _OLD,
        Input("now", "now", kind="shop", optional=True, known="now"),
    ),
    _pot,
    (
        Result("pot_life_s", "pot life", "s", "down", 0, kind="span", big=True),
        Result("bin_by", "bin by", kind="moment"),
        _BASIS,
        Result("big_pot", "big pot", kind="text"),
        Result("induction_s", "induction time", "s", "up", 0, kind="span"),
        Result("induction_basis"),
    ),
    Example(
        "--table 20C=2h --at 30C --from 2026-03-02T09:40",
        {"pot_life_s": 2880, "bin_by": "2026-03-02T10:28:00"},
        "/ 2.5 per 10 C warmer, stricter than halving: a maker's page, seen (row POT-120-30)",
    ),
    "the sheet's table; / 2.5 per 10 C warmer, cold is not credited",
    notes=("From hardener meeting base. Warmth shortens it; cold is not credited.",),
    product="pot",
)  # fmt: skip

CALCULATIONS = (
    Calculation(
        "time", "a sheet's time at today's temperature", GROUP,
        (
            EDGE, TABLE, MIN_TEMPERATURE,
            replace(TEMPERATURE, label="the metal or the mix is at"),
            Input("ends", "ends", kind="shop", optional=True, known="ends"),
        ),
        _time,
        (
            Result("seconds", "time", "s", "wait", 0, kind="span", big=True),
            _BASIS,
            Result("ends", "begun now it passes about", kind="text"),
        ),
        Example(
            "--table 20C=2h --edge closing --at 40C",
            {"seconds": 1152},
            "/ 2.5 per 10 C warmer, stricter than halving: a maker's page, seen (row POT-120-40)",
        ),
        "ln t linear in 1/T between the sheet's points; beyond them the stricter rule",
        notes=("Warmth never shortens a wait past the sheet, cold never lengthens a life.",),
        product="timed",
    ),
    Calculation(
        "age", "how far a coat or a pot has come", GROUP,
        (EDGE, TABLE, MIN_TEMPERATURE, _LOG, _BEGAN), _progress,
        (
            Result("progress"),
            Result("percent", "how far it has come", "%", "progress", 1, big=True),
            Result("done_at", "done at", kind="moment"),
            Result("left_s", "left if it stays so", "s", "wait", 0, kind="span", big=True),
            Result("past_s", "past it by", "s", "progress", 0, kind="span", big=True),
            _BASIS,
            Result("stalled_s"),
            Result("stood_still_s", "stood still under {least:g} C", "s", "up", 0, kind="span"),
            Result("no_figure_s", "stood still, too cold for a figure", "s", "up", 0, kind="span"),
            Result("after_log"),
        ),
        Example(
            "--table 10C=24h,20C=16h,30C=10h --log night.csv --least 10C",
            {"basis": "between", "after_log": True},
            "a day at 18 C, a night at 11 C: closed form",
        ),
        "the sum of dt / t(T) over the temperatures",
        notes=("So many hours at this, so many at that, from its beginning.",),
        product="timed",
    ),
    Calculation(
        "rate", "how much faster or slower", GROUP,
        (replace(TEMPERATURE, label="at"), _AGAINST, _ENERGY), _rate,
        (
            Result("rate", "times as fast", big=True),
            Result("minutes_an_hour", "an hour there takes", "min"),
            Result("rate_doubling", "by the rule of twice for 10 C", "times as fast"),
        ),
        Example("--at 5C --against 23C --energy 50", {"rate": 0.2687}, "row ARR-50-5"),
        "exp(-Ea/R (1/T - 1/Tr)), Arrhenius",
    ),
)  # fmt: skip
