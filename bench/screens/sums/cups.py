"""Flow cups: seconds to viscosity and back, and the thinner that reaches a target."""

from __future__ import annotations

from bench.process.spoken import figure
from bench.screens.sums.road import Asking, Facts, Group, Road, Sum, number, pick
from bench.screens.sums.told import Figure, Told, at_most
from bench.trade import cups
from bench.trade.cups import Cup, CupReading

_CUPS = tuple(cups.CUPS.values())
_USUAL = [cup.key for cup in _CUPS].index("iso4")


def _cup() -> Asking[Cup]:
    return _CUPS[(yield from pick("cup", tuple(cup.name for cup in _CUPS), _USUAL))]


def _to_viscosity(_: Facts) -> Road:
    cup = yield from _cup()
    seconds = yield from number("runs out in", "s", such_as=45)
    mm2_s = cups.viscosity_mm2_s(cup.key, seconds)
    return _told(cup, seconds, mm2_s)


def _to_seconds(_: Facts) -> Road:
    cup = yield from _cup()
    mm2_s = yield from number("viscosity", "mm2/s", such_as=57)
    return _told(cup, cups.seconds_through(cup.key, mm2_s), mm2_s)


def _told(cup: Cup, seconds: float, mm2_s: float) -> Told:
    rows = (
        Figure("viscosity", figure(mm2_s), "mm2/s", big=True),
        Figure("runs out in", figure(seconds), "s", big=True),
        Figure("it measures", f"{cup.least_s:g} to {cup.most_s:g}", "s"),
        Figure("source", cup.source),
    )
    return Told(rows, why=("Seconds belong to their cup: never turn one cup's into another's.",))


def _thinner(_: Facts) -> Road:
    cup = yield from _cup()
    readings = []
    for nth, pct, seconds in (("first", 0, 60), ("second", 10, 40)):
        thinner_pct = yield from number(f"{nth}: thinner", "%", such_as=pct)
        readings.append(
            CupReading(
                thinner_pct, (yield from number(f"{nth}: runs out in", "s", such_as=seconds))
            )
        )
    target_s = yield from number("wanted", "s", such_as=35)
    found = cups.thinner_to_reach(cup.key, readings[0], readings[1], target_s)
    rows = (
        Figure("thinner in all", at_most(found.thinner_pct, 1), "%", big=True),
        Figure("percent of", "base and hardener, by volume"),
    )
    beyond = ("beyond the two readings: less sure",) if found.beyond_readings else ()
    return Told(rows, guesses=(found.note, *beyond))


_SAME = "The same cup, stirred paint, at the temperature that the sheet names."

GROUP = Group(
    "flow cups",
    (
        Sum("seconds to viscosity", (_SAME,), _to_viscosity),
        Sum("viscosity to seconds", (_SAME,), _to_seconds),
        Sum(
            "thinner to reach a time",
            ("Two readings with different thinner. " + _SAME,),
            _thinner,
        ),
    ),
)
