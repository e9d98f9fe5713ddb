"""Ageing: how far a coat or a pot has come at the temperatures it really had.

A milestone's table gives its time at some temperatures. Progress is the sum of dt / t(T) over the
readings; the milestone has passed when the sum reaches 1. Between listed temperatures ln t is
linear in 1/T (kelvin). Outside them temperature may only make it stricter.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Literal

from bench.trade import checked

Side = Literal["opening", "closing"]
"""opening: a wait, "too early" is the danger; closing: a pot life or a window's end, "too late"."""

Basis = Literal["sheet", "between", "outside", "guess", "none"]
"""Where a time comes from: a point of the sheet; between its points; beyond them; a rule of thumb
from its one point; none: colder than any rule goes, so that nothing ages."""

TimeTable = tuple[tuple[float, float], ...]
"""((temp_c, seconds), ...): ascending temperature, at least one point."""

ZERO_C_IN_K = 273.15
GAS_CONSTANT_J_MOL_K = 8.31446
"""CODATA molar gas constant, six figures."""
STEP_C = 10.0
"""The rules of thumb below are for ten degrees."""
DOUBLING = 2.0
"""Rate of a wait in the first 10 C below the sheet's coldest point (source seen: a
concrete-maturity page; exact only near 48-55 kJ/mol)."""
TRIPLING = 3.0
"""Rate of a wait colder than that: epoxies take three to four times as long at 5 C as at 20 C
(common practice, no source)."""
NO_FIGURE_C = 15.0
"""No rule goes further below the sheet's coldest point: many paints stop there altogether."""
HOT_RATE = 2.5
"""Rate of a closing above the sheet's hottest point: a sheet with 7 d at 20 C has 3 d at 30 C
(source seen), which is a rate of 2.3."""
COLDEST_C, HOTTEST_C = -40.0, 120.0
"""Outside this a reading or a table point is a fault, not weather (common practice, no source)."""
CLOSEST_POINTS_C = 0.1
"""Nearer than this two points of a table are one point typed twice."""
MOST_TABLE_S = 100 * 366 * 86400.0
"""No sheet lists a longer time than a hundred years."""
SHORTEST_S, LONGEST_S = 1e-6, 1e12
"""Where a time beyond the table stops, so that a mistyped table gives a silly time, not a fault."""

WEAKNESS: dict[Basis, int] = {"sheet": 0, "between": 1, "outside": 2, "guess": 3, "none": 4}
"""The order in which figures are trusted, the best first."""
NEARLY = 1.0 - 1e-12
"""A sum as near to 1 as this has passed: what is missing is rounding, but a night may follow."""


@dataclass(frozen=True)
class Stretch:
    """A temperature that holds until the next stretch starts; the last one holds for good."""

    start_s: float
    temp_c: float


@dataclass(frozen=True)
class TimeAt:
    """A milestone's time at one temperature, and where that figure comes from."""

    seconds: float
    basis: Basis


@dataclass(frozen=True)
class Passing:
    """When a milestone passes. ``at_s`` is None when on this log it never does.

    basis: the weakest figure used on the way. stalled_s: time under the least temperature before
    it passed; an endless stall at the end of the log is not counted.
    """

    at_s: float | None
    basis: Basis
    stalled_s: float


def check_table(table: TimeTable) -> None:
    """Raise ValueError when a table of (temp_c, seconds) cannot be right.

    Refused: no point; a temperature outside -40..120 C; temperatures that do not rise by at least
    0.1 C; a time of nothing or over a hundred years; a warmer point that takes longer.

    >>> check_table(((10.0, 86400.0), (20.0, 57600.0)))
    >>> check_table(((20.0, 57600.0), (10.0, 86400.0)))
    Traceback (most recent call last):
    ValueError: table point 10 C comes after 20 C: list temperatures from cold to warm
    """
    if not table:
        raise ValueError("empty table: give at least one temperature with its time, as 20C=16h")
    before: tuple[float, float] | None = None
    for temp_c, seconds in table:
        checked.number(temp_c, "table temperature", "C", least=COLDEST_C, most=HOTTEST_C)
        checked.number(seconds, f"time at {temp_c:g} C,", "s", over=0, most=MOST_TABLE_S)
        if before is not None:
            _check_pair(before, (temp_c, seconds))
        before = (temp_c, seconds)


def _check_pair(colder: tuple[float, float], warmer: tuple[float, float]) -> None:
    if warmer[0] < colder[0]:
        raise ValueError(
            f"table point {warmer[0]:g} C comes after {colder[0]:g} C: "
            "list temperatures from cold to warm"
        )
    if warmer[0] - colder[0] < CLOSEST_POINTS_C:
        raise ValueError(
            f"table points {colder[0]:g} C and {warmer[0]:g} C are the same temperature: keep one"
        )
    if warmer[1] > colder[1]:
        raise ValueError(
            f"table says {warmer[1] / 3600:g} h at {warmer[0]:g} C but only "
            f"{colder[1] / 3600:g} h at {colder[0]:g} C: "
            "warmer cannot be slower; are the two swapped?"
        )


def lengthen_table(table: TimeTable, times: float) -> TimeTable:
    """Return the same temperatures, each time so many times as long; up to a hundred years.

    times: 1 or more.

    >>> lengthen_table(((10.0, 7200.0), (20.0, 3600.0)), 1.5)
    ((10.0, 10800.0), (20.0, 5400.0))
    """
    return tuple((temp_c, min(seconds * times, MOST_TABLE_S)) for temp_c, seconds in table)


def is_guess(basis: str) -> bool:
    """Return whether a time rests on a rule of thumb, or lies beyond the points of its sheet."""
    return basis in ("guess", "outside", "none")


def time_at(table: TimeTable, temp_c: float, edge: Side) -> TimeAt:
    """Return the seconds that a milestone takes at a constant ``temp_c`` (-40..120 C).

    Between two points ln t is linear in 1/T. Beyond the table temperature may only make it
    stricter: an opening gets no credit for warmth past the hottest point (that point's own time,
    "sheet"); below the coldest it doubles over the first 10 C and then triples per 10 C, down to
    15 C below; a closing gets no credit for cold and falls to 1 / 2.5 per 10 C above the hottest.
    With one point that is a "guess"; with more, the steeper of it and the last slope counts,
    "outside".

    Raises ValueError for a bad table or temperature, and for an opening more than 15 C below the
    coldest point. Source: Arrhenius form (from memory, as in ASTM C1074); the rules of thumb: see
    DOUBLING, TRIPLING and HOT_RATE; the one-sided rule: the trade's own.

    >>> time_at(((20.0, 7200.0),), 10.0, "opening")
    TimeAt(seconds=14400.0, basis='guess')
    >>> time_at(((20.0, 7200.0),), 10.0, "closing")
    TimeAt(seconds=7200.0, basis='sheet')
    """
    check_table(table)
    time = _time_at(table, _checked_temp(temp_c), edge)
    if time.basis == "none":
        raise ValueError(
            f"{temp_c:g} C is more than {NO_FIGURE_C:g} C below {table[0][0]:g} C, the coldest "
            "figure of the sheet: no estimate goes so far; type a figure for the cold"
        )
    return time


def progress(
    table: TimeTable,
    stretches: Sequence[Stretch],
    begin_s: float,
    end_s: float,
    edge: Side,
    least_c: float | None = None,
) -> float:
    """Return how far the milestone has come from ``begin_s`` to ``end_s``: 0 not begun, 1 passed.

    stretches: temperatures in order of time; time before the first uses the first's temperature.
    Under ``least_c``, and colder than any rule goes, nothing ages towards an opening; a closing
    keeps ageing. Cost: the stretches
    after ``begin_s`` only. Raises ValueError for a bad table, no stretch, stretches out of order or
    an end before the beginning.

    >>> progress(((20.0, 3600.0),), [Stretch(0.0, 20.0)], 0.0, 1800.0, "opening")
    0.5
    """
    _check_times(begin_s, end_s)
    return math.fsum(
        (min(stop_s, end_s) - start_s) * rate
        for start_s, stop_s, rate, _ in _spans(table, stretches, begin_s, end_s, edge, least_c)
    )


def passes_at(
    table: TimeTable,
    stretches: Sequence[Stretch],
    begin_s: float,
    edge: Side,
    least_c: float | None = None,
) -> Passing:
    """Return when the milestone begun at ``begin_s`` passes on this log of temperatures.

    Arguments and errors as in ``progress``. The weakest figure used on the way is named.

    >>> night = [Stretch(0.0, 18.0), Stretch(25500.0, 11.0)]
    >>> passed = passes_at(((10.0, 86400.0), (20.0, 57600.0)), night, 0.0, "opening")
    >>> round(passed.at_s / 3600, 2), passed.basis
    (20.68, 'between')
    """
    _check_times(begin_s, begin_s)
    progress_so_far, stalled_s = 0.0, 0.0
    weakest: Basis = "sheet"
    for start_s, stop_s, rate, basis in _spans(table, stretches, begin_s, math.inf, edge, least_c):
        if basis is not None:
            weakest = max(weakest, basis, key=WEAKNESS.__getitem__)
        if not rate:
            stalled_s += stop_s - start_s if math.isfinite(stop_s) else 0.0
            continue
        step = (stop_s - start_s) * rate
        if progress_so_far + step >= NEARLY:
            at_s = min(start_s + (1.0 - progress_so_far) / rate, stop_s)
            return Passing(at_s, weakest, stalled_s)
        progress_so_far += step
    return Passing(None, weakest, stalled_s)


def arrhenius_rate(temp_c: float, reference_c: float, ea_kj_mol: float) -> float:
    """Return a reaction's rate at ``temp_c`` against ``reference_c``: exp(-Ea/R (1/T - 1/Tr)).

    temperatures -40..120 C; ea_kj_mol: activation energy, over 0 up to 300 kJ/mol (paint films lie
    about 40..80). Raises ValueError outside. Source: Arrhenius, as in ASTM C1074 (from memory).

    >>> round(arrhenius_rate(10, 23, 50), 4)
    0.3937
    """
    checked.number(ea_kj_mol, "activation energy", "kJ/mol", over=0, most=300)
    inverse = 1 / _kelvin(_checked_temp(temp_c)) - 1 / _kelvin(_checked_temp(reference_c))
    return math.exp(-ea_kj_mol * 1000 / GAS_CONSTANT_J_MOL_K * inverse)


def doubling_rate(temp_c: float, reference_c: float) -> float:
    """Return the rate at ``temp_c`` against ``reference_c`` by the x2 per 10 C rule: a guess.

    temperatures -40..120 C, ValueError outside. Source: see DOUBLING.

    >>> doubling_rate(30, 20), doubling_rate(10, 20)
    (2.0, 0.5)
    """
    warmer_c = _checked_temp(temp_c) - _checked_temp(reference_c)
    return float(DOUBLING ** (warmer_c / STEP_C))


def rate_at(
    table: TimeTable, temp_c: float, edge: Side, least_c: float | None = None
) -> tuple[float, Basis | None]:
    """Return progress per second at a constant ``temp_c`` (-40..120 C), and where it comes from.

    (0.0, None): under ``least_c`` nothing ages towards an opening. (0.0, "none"): colder than any
    rule goes. The table is not looked over again, see ``check_table``. Raises ValueError for a
    temperature that is a fault.

    >>> rate_at(((20.0, 4.0),), 20.0, "opening"), rate_at(((20.0, 4.0),), 3.0, "opening", 5.0)
    ((0.25, 'sheet'), (0.0, None))
    """
    if _checked_temp(temp_c) < (-math.inf if least_c is None or edge == "closing" else least_c):
        return 0.0, None
    at = _time_at(table, temp_c, edge)
    return 1.0 / at.seconds, at.basis


def _spans(
    table: TimeTable,
    stretches: Sequence[Stretch],
    begin_s: float,
    end_s: float,
    edge: Side,
    least_c: float | None,
) -> Iterator[tuple[float, float, float, Basis | None]]:
    """Yield (start_s, stop_s, rate per second, basis) between two times, as in ``rate_at``."""
    check_table(table)
    if not stretches:
        raise ValueError("no temperature at all: ageing needs at least one reading")
    rates: dict[float, tuple[float, Basis | None]] = {}
    first = max(bisect_right(stretches, begin_s, key=attrgetter("start_s")) - 1, 0)
    start_s = begin_s
    for here in range(first, len(stretches)):
        if start_s >= end_s:
            return
        temp_c = stretches[here].temp_c
        stop_s = _stop_s(stretches, here)
        if stop_s <= start_s:
            continue
        if temp_c not in rates:
            rates[temp_c] = rate_at(table, temp_c, edge, least_c)
        yield start_s, stop_s, *rates[temp_c]
        start_s = stop_s


def _stop_s(stretches: Sequence[Stretch], here: int) -> float:
    if here + 1 == len(stretches):
        return math.inf
    check_order(stretches[here], stretches[here + 1])
    return stretches[here + 1].start_s


def check_order(before: Stretch, after: Stretch) -> None:
    """Raise ValueError when a stretch does not begin after, or with, the one before it."""
    if not after.start_s >= before.start_s:
        raise ValueError(
            f"temperature at {after.start_s:g} s comes after the one at {before.start_s:g} s: "
            "list readings in order of time"
        )


def _time_at(table: TimeTable, temp_c: float, edge: Side) -> TimeAt:
    coldest_c, coldest_s = table[0]
    hottest_c, hottest_s = table[-1]
    if temp_c < coldest_c:
        if edge == "closing":
            return TimeAt(coldest_s, "sheet")
        return _beyond(table[:2], (coldest_c, coldest_s), temp_c)
    if temp_c > hottest_c:
        if edge == "opening":
            return TimeAt(hottest_s, "sheet")
        return _beyond(table[-2:], (hottest_c, hottest_s), temp_c)
    upper = bisect_left(table, temp_c, key=lambda point: point[0])
    if table[upper][0] == temp_c:
        return TimeAt(table[upper][1], "sheet")
    return TimeAt(math.exp(_ln_on_line(table[upper - 1], table[upper], temp_c)), "between")


def _beyond(last: TimeTable, point: tuple[float, float], temp_c: float) -> TimeAt:
    """Return the stricter of the rule of thumb and the slope through the last two points."""
    point_c, point_s = point
    colder_c = point_c - temp_c
    if colder_c > NO_FIGURE_C:
        return TimeAt(math.inf, "none")
    harsher = max if colder_c > 0 else min
    if colder_c > 0:
        by_thumb_s = point_s * _times_longer(colder_c)
    else:
        by_thumb_s = point_s * HOT_RATE ** (colder_c / STEP_C)
    if len(last) == 1:
        return TimeAt(by_thumb_s, "guess")
    ln_s = _ln_on_line(last[0], last[1], temp_c)
    on_slope_s = math.exp(min(max(ln_s, math.log(SHORTEST_S)), math.log(LONGEST_S)))
    return TimeAt(harsher(by_thumb_s, on_slope_s), "outside")


def _times_longer(colder_c: float) -> float:
    """Return how many times as long a wait takes so far below the sheet's coldest point."""
    doubles, triples = min(colder_c, STEP_C), max(colder_c - STEP_C, 0.0)
    return float(DOUBLING ** (doubles / STEP_C) * TRIPLING ** (triples / STEP_C))


def _ln_on_line(cold: tuple[float, float], hot: tuple[float, float], temp_c: float) -> float:
    """Return ln t at ``temp_c`` on the line through two points, linear in 1/T."""
    inverse_cold, inverse_hot = 1 / _kelvin(cold[0]), 1 / _kelvin(hot[0])
    share = (1 / _kelvin(temp_c) - inverse_cold) / (inverse_hot - inverse_cold)
    return math.log(cold[1]) + share * (math.log(hot[1]) - math.log(cold[1]))


def _kelvin(temp_c: float) -> float:
    return temp_c + ZERO_C_IN_K


def _checked_temp(temp_c: float) -> float:
    return checked.number(temp_c, "temperature", "C", least=COLDEST_C, most=HOTTEST_C)


def _check_times(begin_s: float, end_s: float) -> None:
    checked.number(begin_s, "beginning", "s")
    checked.number(end_s, "end", "s")
    if end_s < begin_s:
        raise ValueError(f"end {end_s:g} s lies before the beginning {begin_s:g} s: swap them")
