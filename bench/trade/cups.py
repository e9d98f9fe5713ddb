"""Flow cups: the seconds a cup takes to run out, and the viscosity they stand for.

A reading belongs to the cup it was taken with. Nothing here turns the seconds of one cup into
those of another: 30 s in the old 4 mm cup of DIN 53211 is about 91 s in the 4 mm cup of ISO 2431.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bench.trade import checked


@dataclass(frozen=True)
class Cup:
    """A flow cup: mm2/s = slope * (t - offset) - drop / t, for t from least_s to most_s."""

    key: str
    name: str
    slope: float
    offset_s: float
    drop: float
    least_s: float
    most_s: float
    source: str


_ISO = "ISO 2431; coefficients from memory, the shape a*t - b/t seen"
_FORD = "ASTM D1200; coefficients of cups 1 and 2 seen, of 3, 4 and 5 from memory; times seen"
_ZAHN = "ASTM D4212; coefficients seen on an instrument maker's page of cup equations"

_ALL = (
    Cup("iso3", "ISO 2431 cup, 3 mm", 0.443, 0.0, 200.0, 30.0, 100.0, _ISO),
    Cup("iso4", "ISO 2431 cup, 4 mm", 1.37, 0.0, 200.0, 30.0, 100.0, _ISO),
    Cup("iso5", "ISO 2431 cup, 5 mm", 3.28, 0.0, 220.0, 30.0, 100.0, _ISO),
    Cup("iso6", "ISO 2431 cup, 6 mm", 6.90, 0.0, 570.0, 30.0, 100.0, _ISO),
    Cup("ford1", "Ford cup 1", 0.49, 35.0, 0.0, 55.0, 100.0, _FORD),
    Cup("ford2", "Ford cup 2", 1.44, 18.0, 0.0, 40.0, 100.0, _FORD),
    Cup("ford3", "Ford cup 3", 2.31, 6.58, 0.0, 20.0, 100.0, _FORD),
    Cup("ford4", "Ford cup 4", 3.85, 4.49, 0.0, 20.0, 100.0, _FORD),
    Cup("ford5", "Ford cup 5", 12.1, 2.0, 0.0, 20.0, 100.0, _FORD),
    Cup("zahn1", "Zahn cup 1", 1.1, 29.0, 0.0, 35.0, 80.0, _ZAHN),
    Cup("zahn2", "Zahn cup 2", 3.5, 14.0, 0.0, 20.0, 80.0, _ZAHN),
    Cup("zahn3", "Zahn cup 3", 11.7, 7.5, 0.0, 20.0, 80.0, _ZAHN),
    Cup("zahn4", "Zahn cup 4", 14.8, 5.0, 0.0, 20.0, 80.0, _ZAHN),
    Cup("zahn5", "Zahn cup 5", 23.0, 0.0, 0.0, 20.0, 80.0, _ZAHN),
)

CUPS = {cup.key: cup for cup in _ALL}
"""Every cup known here, by key; in each family from the finest hole to the coarsest."""

MOST_THINNER_PCT = 100.0
"""Past as much thinner as paint the estimate means nothing (common practice, no source)."""

ROUNDING = 0.001
"""A viscosity this share past the edge of a cup's range is the edge itself, rounded for print."""

ESTIMATE = (
    "an estimate from two readings: add part of it, stir, read the same cup again at the same "
    "temperature, and stay within the data sheet's maximum thinner"
)


def find_cup(key: str) -> Cup:
    """Return the cup whose key is ``key``: iso3 to iso6, ford1 to ford5, zahn1 to zahn5.

    Raises ValueError for any other: a withdrawn cup such as DIN 4 is not taken for a near one.

    >>> find_cup("iso4").name
    'ISO 2431 cup, 4 mm'
    """
    if key not in CUPS:
        raise ValueError(
            f"read the cup '{key[:20]}', which is not known here, and cups do not convert; "
            f"wanted the cup the reading was taken with, one of {', '.join(CUPS)}"
        )
    return CUPS[key]


def viscosity_mm2_s(cup: str, seconds: float) -> float:
    """Return the viscosity in mm2/s of a paint that runs out of ``cup`` in ``seconds``.

    Range: 30-100 s (ISO 3 to 6 mm), 55-100 s (Ford 1), 40-100 s (Ford 2), 20-100 s (Ford 3 to 5),
    35-80 s (Zahn 1), 20-80 s (Zahn 2 to 5). For a paint that flows like oil, at the temperature
    the sheet names; a thixotropic one has no single figure.
    Raises ValueError for an unknown cup or a time outside its range, naming the cup to take.
    Source: ISO 2431, ASTM D1200, ASTM D4212; the status of each coefficient is in Cup.source.

    >>> round(viscosity_mm2_s("iso4", 45), 1)
    57.2
    """
    known_cup = find_cup(cup)
    return _viscosity(known_cup, _checked_s(known_cup, seconds))


def seconds_through(cup: str, viscosity_mm2_s: float) -> float:
    """Return the seconds that a paint of ``viscosity_mm2_s`` takes to run out of ``cup``.

    Range: the viscosities that give the cup's own range of times, see viscosity_mm2_s().
    Raises ValueError for an unknown cup or a viscosity outside its range, naming cups that hold it.
    Source: the same sums as viscosity_mm2_s(), solved for the time.

    >>> round(seconds_through("ford4", 120), 1)
    35.7
    """
    known_cup = find_cup(cup)
    least, most = range_mm2_s(cup)
    if not least * (1 - ROUNDING) <= viscosity_mm2_s <= most * (1 + ROUNDING):
        raise ValueError(
            f"{known_cup.name}: read {viscosity_mm2_s:g} mm2/s, which it does not measure; wanted "
            f"{least:.4g} to {most:.4g} mm2/s" + _others(known_cup, viscosity_mm2_s)
        )
    lifted = known_cup.slope * known_cup.offset_s + viscosity_mm2_s
    seconds = (lifted + math.sqrt(lifted**2 + 4 * known_cup.slope * known_cup.drop)) / (
        2 * known_cup.slope
    )
    return min(max(seconds, known_cup.least_s), known_cup.most_s)


def range_mm2_s(cup: str) -> tuple[float, float]:
    """Return the thinnest and the thickest paint, in mm2/s, that ``cup`` measures.

    Raises ValueError for an unknown cup. Source: as viscosity_mm2_s().

    >>> [round(edge, 1) for edge in range_mm2_s("iso4")]
    [34.4, 135.0]
    """
    known_cup = find_cup(cup)
    return _viscosity(known_cup, known_cup.least_s), _viscosity(known_cup, known_cup.most_s)


@dataclass(frozen=True)
class CupReading:
    """How many seconds a cup took with so much thinner, in percent by volume of base + hardener."""

    thinner_pct: float
    seconds: float


@dataclass(frozen=True)
class ThinnerEstimate:
    """Thinner for a target: percent by volume of base + hardener in all, not on top of the last.

    ESTIMATE belongs to it.
    """

    thinner_pct: float
    beyond_readings: bool


def thinner_to_reach(
    cup: str, first: CupReading, second: CupReading, target_s: float
) -> ThinnerEstimate:
    """Estimate the thinner that brings a paint to ``target_s`` in the same ``cup``.

    Two readings of the same paint at the same temperature with different thinner. Between and
    beyond them the logarithm of the viscosity is taken as linear in the thinner's share of the
    whole. beyond_readings is true where the target lies outside the two readings.
    Range: all three times within the cup's range; thinner 0-100 % of base + hardener.
    Raises ValueError when the readings cannot give an answer: the same thinner twice, more
    thinner that ran no faster, a target thicker than the paint itself or past 100 % thinner.
    Source: logarithmic mixing rule of Arrhenius for ideal liquids (1887), from memory; paints
    are not ideal, hence an estimate.

    >>> answer = thinner_to_reach("ford4", CupReading(0, 60), CupReading(10, 40), 25)
    >>> round(answer.thinner_pct, 1), answer.beyond_readings
    (25.4, True)
    """
    known_cup = find_cup(cup)
    for reading in (first, second):
        checked.number(reading.thinner_pct, "thinner", "%", least=0, most=MOST_THINNER_PCT)
    thick, thin = sorted((first, second), key=lambda reading: reading.thinner_pct)
    if thick.thinner_pct == thin.thinner_pct:
        raise ValueError(
            f"read {thin.thinner_pct:g} % thinner in both readings, which says nothing about more; "
            "wanted two readings with different thinner"
        )
    logs = [math.log(viscosity_mm2_s(known_cup.key, each.seconds)) for each in (thick, thin)]
    if logs[1] >= logs[0]:
        raise ValueError(
            f"read {thick.seconds:g} s with {thick.thinner_pct:g} % and {thin.seconds:g} s with "
            f"{thin.thinner_pct:g} % thinner, and more thinner must run faster; wanted both read "
            "again, stirred and at one temperature"
        )
    shares = [_share(each.thinner_pct) for each in (thick, thin)]
    target = math.log(viscosity_mm2_s(known_cup.key, target_s))
    share = shares[0] + (shares[1] - shares[0]) * (target - logs[0]) / (logs[1] - logs[0])
    return ThinnerEstimate(
        thinner_pct=_percent(share, target_s),
        beyond_readings=not logs[1] <= target <= logs[0],
    )


def _viscosity(cup: Cup, seconds: float) -> float:
    return cup.slope * (seconds - cup.offset_s) - cup.drop / seconds


def _checked_s(cup: Cup, seconds: float) -> float:
    if cup.least_s <= seconds <= cup.most_s:
        return seconds
    too_fast = seconds < cup.least_s
    other = _neighbour(cup, -1 if too_fast else 1)
    advice = f", or a {'finer' if too_fast else 'coarser'} cup: {other.name}" if other else ""
    raise ValueError(
        f"{cup.name}: read {seconds:g} s, outside the times it measures; "
        f"wanted {cup.least_s:g} to {cup.most_s:g} s{advice}"
    )


def _family(cup: Cup) -> list[Cup]:
    return [each for each in _ALL if each.key[:-1] == cup.key[:-1]]


def _neighbour(cup: Cup, step: int) -> Cup | None:
    family = _family(cup)
    place = family.index(cup) + step
    return family[place] if 0 <= place < len(family) else None


def _others(cup: Cup, viscosity: float) -> str:
    fitting = [
        each.name
        for each in _family(cup)
        if _viscosity(each, each.least_s) <= viscosity <= _viscosity(each, each.most_s)
    ]
    return f", or for this paint {' or '.join(fitting)}" if fitting else ""


def _share(thinner_pct: float) -> float:
    return thinner_pct / (100 + thinner_pct)


def _percent(share: float, target_s: float) -> float:
    if share < -1e-9:
        raise ValueError(
            f"target: read {target_s:g} s, thicker than this paint without any thinner, and "
            "thinner does not come out again; wanted a shorter time"
        )
    if share > _share(MOST_THINNER_PCT):
        raise ValueError(
            f"target: read {target_s:g} s, which would take more thinner than paint; wanted a "
            "longer time, warmer paint or another thinner"
        )
    return max(100 * share / (1 - share), 0.0)
