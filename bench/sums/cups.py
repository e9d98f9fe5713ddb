"""Flow cups: seconds to viscosity and back, and the thinner that reaches a time."""

from __future__ import annotations

from dataclasses import replace

from bench.sums.model import (
    Calculation,
    Example,
    Input,
    InputNamespace,
    OneOf,
    Result,
    SumAnswer,
    UsageFault,
)
from bench.trade import cups
from bench.trade.cups import MOST_THINNER_PCT, CupReading

GROUP = "flow cups"
_SAME = "The same cup, stirred paint, at the temperature that the sheet names."


def _viscosity(inputs: InputNamespace) -> SumAnswer:
    cup, seconds, mm2_s = inputs.cup, inputs.seconds, inputs.viscosity
    if seconds is None:
        seconds = cups.seconds_through(cup.key, mm2_s)
    else:
        mm2_s = cups.viscosity_mm2_s(cup.key, seconds)
    return SumAnswer(
        {
            "cup": cup.name,
            "mm2_s": mm2_s,
            "seconds": seconds,
            "measures": f"{cup.least_s:g} to {cup.most_s:g}",
            "source": cup.source,
        },
        why=("Seconds belong to their cup: never turn one cup's into another's.",),
    )


def _thinner(inputs: InputNamespace) -> SumAnswer:
    if len(inputs.with_thinner) != 2:
        raise UsageFault(f"read {len(inputs.with_thinner)} readings in --with-thinner; wanted two")
    first, second = (CupReading(pct, seconds) for pct, seconds in inputs.with_thinner)
    estimate = cups.thinner_to_reach(inputs.cup.key, first, second, inputs.target)
    beyond = ("beyond the two readings: less sure",) if estimate.beyond_readings else ()
    return SumAnswer(
        {
            "thinner_pct": estimate.thinner_pct,
            "of": "base and hardener, by volume",
            "beyond_readings": estimate.beyond_readings,
            "note": cups.ESTIMATE,
        },
        doubts=(cups.ESTIMATE, *beyond),
    )


_CUP = Input(
    "cup", "cup", kind="choice", positional=True, known="cup", example="iso4",
    choices={cup.key: cup.name for cup in cups.CUPS.values()},
    take=lambda text: cups.find_cup(text.lower()), help="the cup it was taken with",
)  # fmt: skip
_SECONDS = Input(
    "seconds", "runs out in", "s", over=0, most=3600, bare=True, example=45,
    help="gives the viscosity",
)  # fmt: skip
_VISCOSITY = Input(
    "viscosity", "viscosity", "mm2/s", over=0, most=1e6, example=57, help="gives the seconds"
)
_READINGS = Input(
    "with_thinner", "readings with different thinner", kind="pairs", example="0%=60s,10%=40s",
    least=2, most=2,
    of=(
        Input("thinner", "thinner", "%", least=0, most=MOST_THINNER_PCT, example=(0, 10)),
        replace(_SECONDS, example=(60, 40)),
    ),
    help="two readings with different thinner, with --target",
)  # fmt: skip
_TARGET = replace(_SECONDS, name="target", label="wanted", example=35, help="seconds wanted")

CALCULATIONS = (
    Calculation(
        "cup", "seconds and viscosity", GROUP,
        (_CUP, OneOf("known is", {"seconds": (_SECONDS,), "viscosity": (_VISCOSITY,)})),
        _viscosity,
        (
            Result("cup", "cup", kind="text"),
            Result("mm2_s", "viscosity", "mm2/s", big=True),
            Result("seconds", "runs out in", "s", big=True),
            Result("measures", "it measures", "s", kind="text"),
            Result("source", "source", kind="text"),
        ),
        Example("iso4 --seconds 60", {"mm2_s": 78.866667}, "row ISO4-60: 78.87"),
        "ISO 2431, ASTM D1200, ASTM D4212: each cup names its own",
        notes=(_SAME,),
    ),
    Calculation(
        "cup", "thinner to reach a time", GROUP, (_CUP, _READINGS, _TARGET), _thinner,
        (
            Result("thinner_pct", "thinner in all", "%", "down", 1, big=True),
            Result("of", "percent of", kind="text"),
            Result("beyond_readings"),
            Result("note"),
        ),
        Example(
            "ford4 --with-thinner 0%=60s,10%=40s --target 25s", {"thinner_pct": 25.4},
            "ln viscosity linear in the thinner's share; ASTM D1200 from memory",
        ),
        "Arrhenius' mixing rule (1887), from memory: an estimate",
        notes=("Two readings with different thinner. " + _SAME,),
    ),
)  # fmt: skip
