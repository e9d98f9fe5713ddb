"""Ageing: a sheet's time at today's temperature, how far a coat has come, warmer and colder."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from bench.process.product import TOO_SOON, Product
from bench.process.spoken import clock_words, figure, rounded_down, rounded_up
from bench.screens.sums.road import (
    MOST_ASKED,
    USUAL,
    Asking,
    Facts,
    Group,
    Road,
    Sum,
    maybe,
    number,
    paint_temperature,
    pick,
    product,
)
from bench.screens.sums.tins import ANOTHER_TIN
from bench.screens.sums.told import BASIS_WORDS, UNSURE, Figure, Told, basis_row, doubts, span
from bench.trade import ageing, checked
from bench.trade.ageing import Side, Stretch, TimeTable

HOUR_S = 3600.0
MOST_HOURS = 366 * 24.0
"""Nobody waits a year at one temperature: a slip of the fingers (no source)."""
ROOM_C = 23.0
"""What most tests of coatings are done at (ISO 3270, from memory)."""
USUAL_EA_KJ_MOL = 50.0
"""Paint films lie about 40 to 80 (common practice, no source)."""
_EDGES: tuple[Side, ...] = ("opening", "closing")


@dataclass(frozen=True)
class Timed:
    """A time of a sheet: its name, its table, what it ends, and the least that ages at all."""

    name: str
    table: TimeTable
    edge: Side
    least_c: float | None = None
    product: Product | None = None


def timed(known: Product) -> list[Timed]:
    """Every time of a product that hangs on temperature."""
    found = []
    least_c = known.limits.metal_least_c
    if known.pot_life:
        found.append(Timed("pot life", known.pot_life, "closing", None, known))
    for band in known.bands:
        if band.until is not None and band.until.table:
            opens = band.word in TOO_SOON or band.word == "shut"
            name = f"{band.word} lasts"
            edge = _EDGES[0] if opens else _EDGES[1]
            found.append(Timed(name, band.until.table, edge, least_c if opens else None, known))
    if known.full_cure:
        found.append(Timed("full cure", known.full_cure, "opening", least_c, known))
    return found


def _timed(facts: Facts) -> Asking[Timed]:
    known = yield from product(facts, lambda each: bool(timed(each)), ANOTHER_TIN)
    if known is None:
        return (yield from _typed())
    clocks = timed(known)
    return clocks[(yield from pick("which time", tuple(clock.name for clock in clocks)))]


def _typed() -> Asking[Timed]:
    """A table off another tin: one temperature with its time, or two."""
    words = ("a wait: too early is the danger", "a life or a window: too late")
    edge = _EDGES[(yield from pick("what it is", words))]
    points = []
    for nth in ("the sheet's", "a second"):
        at_c = yield from maybe(f"{nth} temperature", "C", 20, "only one")
        if at_c is None:
            break
        hours = yield from number(f"time at {at_c:g} C", "h", such_as=16)
        points.append((at_c, hours * HOUR_S))
    table = tuple(sorted(points))
    ageing.check_table(table)
    return Timed("time", table, edge)


def _time_at(facts: Facts) -> Road:
    clock = yield from _timed(facts)
    temp_c = yield from paint_temperature(facts, "the metal or the mix is at")
    found = ageing.time_at(clock.table, temp_c, clock.edge)
    stalls = clock.least_c is not None and temp_c < clock.least_c
    rows = [
        span(clock.name, found.seconds, up=clock.edge == "opening"),
        *basis_row(found.basis),
        Figure("begun now it passes", _begun_now(clock, facts)),
    ]
    if stalls:
        why = (f"Under {clock.least_c:g} C nothing ages: it waits until it is warmer.",)
        return Told(tuple(rows[1:]), "STANDS STILL", False, why, doubts(clock.product, found.basis))
    return Told(tuple(rows), guesses=doubts(clock.product, found.basis))


def _begun_now(clock: Timed, facts: Facts) -> str:
    """The hour at which it passes, through the shop's own readings, days and nights."""
    temperatures = facts.view.around.weather(facts.now).temperatures(facts.now)
    begin_s = facts.now.timestamp()
    passing = temperatures.passes_at(clock.table, begin_s, clock.edge, clock.least_c)
    if passing.at_s is None:
        return "never: too cold"
    at = datetime.fromtimestamp(passing.at_s, UTC)
    safe = rounded_up(at) if clock.edge == "opening" else rounded_down(at)
    mark = "?" if passing.basis in UNSURE else ""
    return f"about {clock_words(safe, facts.now)}{mark}, the shop's own nights counted"


def _progress(facts: Facts) -> Road:
    clock = yield from _timed(facts)
    hours = yield from number("hours 1", "h", such_as=6)
    stretches: list[Stretch] = []
    at_s = 0.0
    while True:
        checked.number(hours, f"hours {len(stretches) + 1},", "h", over=0, most=MOST_HOURS)
        temp_c = yield from number(f"at, in hours {len(stretches) + 1}", "C", such_as=18)
        stretches.append(Stretch(at_s, temp_c))
        at_s += hours * HOUR_S
        more = None
        if len(stretches) < MOST_ASKED // 4:
            more = yield from maybe(f"hours {len(stretches) + 1}", "h", 4, "no more")
        if more is None:
            break
        hours = more
    done = ageing.progress(clock.table, stretches, 0.0, at_s, clock.edge, clock.least_c)
    passing = ageing.passes_at(clock.table, stretches, 0.0, clock.edge, clock.least_c)
    rows = [Figure("how far it has come, %", f"{100 * min(done, 9.99):.1f}", "", big=True)]
    if passing.at_s is not None:
        left_s = passing.at_s - at_s
        what = "left, staying so" if left_s > 0 else "past it by"
        rows.append(span(what, abs(left_s), up=(clock.edge == "opening") == (left_s > 0)))
    rows += basis_row(passing.basis)
    guesses = doubts(clock.product, passing.basis)
    if passing.at_s is None:
        return Told(tuple(rows), "STANDS STILL", False, ("Too cold at the last.",), guesses)
    return Told(tuple(rows), guesses=guesses)


def _rate(facts: Facts) -> Road:
    temp_c = yield from paint_temperature(facts, "at")
    reference_c = yield from number("against", "C", ROOM_C, USUAL)
    ea_kj_mol = yield from number("activation energy, kJ/mol", "", USUAL_EA_KJ_MOL, USUAL)
    by_ea = ageing.arrhenius_rate(temp_c, reference_c, ea_kj_mol)
    doubled = ageing.doubling_rate(temp_c, reference_c)
    return Told(
        (
            Figure("times as fast", figure(by_ea), "", big=True),
            Figure("an hour there takes, in minutes", figure(60 / by_ea)),
            Figure("by the rule of twice for 10 C", figure(doubled), "times as fast"),
        ),
        guesses=(BASIS_WORDS["guess"] + ", no sheet says so",),
    )


GROUP = Group(
    "time at temperature",
    (
        Sum(
            "a sheet's time at today's temperature",
            ("Warmth never shortens a wait past the sheet, cold never lengthens a life.",),
            _time_at,
        ),
        Sum(
            "how far a coat or a pot has come",
            ("So many hours at this, so many at that, from its beginning.",),
            _progress,
        ),
        Sum("how much faster or slower", (), _rate),
    ),
)
