"""What the shop knows of an input: readings, the product's data sheet, tools, settings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from bench.process.clocks.conditions import is_old
from bench.process.sheets.product import SHEET_C, TOO_SOON, Product
from bench.process.sheets.route import SprayTool
from bench.process.sheets.washes import is_diluted
from bench.process.wording.time_text import doubt_mark, format_clock, round_down, round_up
from bench.shop.core.bench_view import BenchView
from bench.sums.answer_text import UNSURE
from bench.sums.checked_ratio import Blend
from bench.sums.inputs import TOOL
from bench.trade import film, mixing, readings
from bench.trade.ageing import Side, TimeTable

ANY_COAT = "any coat: 3 C over dew, 85 %"
ANOTHER_TIN = "another tin"


@dataclass(frozen=True)
class ShopFacts:
    """What is known when a sum is asked for. product: the next coat's on the chosen stand."""

    view: BenchView
    now: datetime
    product: str = ""


@dataclass(frozen=True)
class Fact:
    """A value that the shop knows. source: where from; settled: it is not asked for."""

    value: Any
    source: str = ""
    settled: bool = False


Lookup = Callable[[ShopFacts, Product | None, Mapping[str, Any]], Fact | None]
"""From the facts, the product and the values so far."""

FITS: dict[str, Callable[[Product], bool]] = {
    "solids": lambda each: each.volume_solids_pct is not None,
    "ratio": lambda each: each.ratio is not None,
    "wash": is_diluted,
    "pot": lambda each: each.keeps_a_pot_clock,
    "aerosol": lambda each: each.tool == "aerosol",
    "film": lambda each: each.film is not None,
    "timed": lambda each: bool(timed(each)),
    "judged": lambda each: (
        each.film is not None and each.film.target_um >= readings.LEAST_NOMINAL_UM
    ),
}
"""Which products a calculation may start from, by Calculation.product."""


@dataclass(frozen=True)
class Timed:
    """A time of a sheet: its name, its table, what it ends, and the minimum that ages at all."""

    name: str
    table: TimeTable
    edge: Side
    least_c: float | None = None


def timed(product: Product) -> list[Timed]:
    """Return every time of a product that hangs on temperature."""
    times = []
    least_c = product.limits.metal_least_c
    if product.pot_life:
        times.append(Timed("pot life", product.pot_life, "closing"))
    for band in product.bands:
        if band.until is not None and not band.until.exact:
            opens = band.word in TOO_SOON or band.word == "shut"
            name = f"{band.word} lasts"
            edge: Side = "opening" if opens else "closing"
            times.append(Timed(name, band.until.times, edge, least_c if opens else None))
    if product.full_cure:
        times.append(Timed("full cure", product.full_cure, "opening", least_c))
    return times


def thinner_least_pct(product: Product | None) -> float:
    """Return thinner by volume in percent of base and hardener, at the sheet's minimum."""
    if product is None or product.thinner is None or product.ratio is None:
        return 0.0
    allowed = product.thinner
    ratio = replace(product.ratio, thinner_pct=allowed.least_pct, thinner_of=allowed.of)
    return mixing.thinner_of_mixed_pct(ratio, product.densities or None)


def fact_of(
    known: str, facts: ShopFacts, product: Product | None, values: Mapping[str, Any]
) -> Fact | None:
    """Return what the shop knows of an input, None where it knows nothing."""
    if known not in _LOOKUPS:
        return None
    fact = _LOOKUPS[known](facts, product, values)
    return None if fact is None or fact.value is None else fact


def _read(pick: Callable[[Any], float | None]) -> Lookup:
    """A temperature or humidity as it was last read."""

    def lookup(facts: ShopFacts, _: Product | None, __: Mapping[str, Any]) -> Fact | None:
        reading = facts.view.reading()
        if reading is None:
            return None
        old = "OLD, " if is_old(reading.at, facts.now) else ""
        return Fact(pick(reading), f"{old}read {format_clock(reading.at, facts.now)}")

    return lookup


def _sheet(pick: Callable[[Product], Any], *figures: str, settled: bool = False) -> Lookup:
    """A value out of the product's sheet, and the figures there that it rests on."""

    def lookup(_: ShopFacts, product: Product | None, __: Mapping[str, Any]) -> Fact | None:
        if product is None:
            return None
        return Fact(pick(product), product.source_of(*figures), settled)

    return lookup


def _solids_mixed(product: Product) -> float | None:
    if product.volume_solids_pct is None:
        return None
    return film.solids_mixed_pct(product.volume_solids_pct, thinner_least_pct(product))


def _thinner(_: ShopFacts, product: Product | None, __: Mapping[str, Any]) -> Fact | None:
    pct = thinner_least_pct(product)
    return Fact(pct, product.source_of("thinner")) if product and pct else None


def _tool(_: ShopFacts, product: Product | None, __: Mapping[str, Any]) -> Fact:
    own = product.tool if product and product.tool in TOOL.choices else "hvlp"
    return Fact(own)


def _of_tool(pick: Callable[[SprayTool], tuple[float, float] | None], place: int | None) -> Lookup:
    """A starting point of the tool that was chosen: its lower end, or its middle."""

    def lookup(facts: ShopFacts, _: Product | None, values: Mapping[str, Any]) -> Fact | None:
        tool = facts.view.tools.get(values.get("tool") or "")
        span = pick(tool) if tool else None
        if tool is None or span is None:
            return None
        return Fact(sum(span) / 2 if place is None else span[place], tool.name)

    return lookup


def _ends(facts: ShopFacts, _: Product | None, __: Mapping[str, Any]) -> Fact:
    """When a time begun now passes, through the shop's own readings, days and nights."""

    def ends(table: TimeTable, edge: Side, least_c: float | None) -> str:
        temperatures = facts.view.around.weather().temperatures(facts.now, edge)
        passing = temperatures.passes_at(table, facts.now.timestamp(), edge, least_c)
        if passing.at_s is None:
            return "never: too cold"
        at = datetime.fromtimestamp(passing.at_s, UTC)
        safe = round_up(at) if edge == "opening" else round_down(at)
        mark = doubt_mark(passing.basis in UNSURE)
        return f"{format_clock(safe, facts.now)}{mark}, the shop's own nights counted"

    return Fact(ends)


def _clearance(facts: ShopFacts, _: Product | None, __: Mapping[str, Any]) -> Fact:
    counts = facts.view.house.clearance.on(facts.now.date())
    return Fact((counts.typed.total_seconds() / 60, counts.measured is not None))


_LOOKUPS: dict[str, Lookup] = {
    "air": _read(lambda reading: reading.air_c),
    "rh": _read(lambda reading: reading.rh_pct),
    "metal": _read(lambda reading: reading.metal_c),
    "paint": _read(lambda reading: reading.paint_c),
    "solids": _sheet(lambda each: each.volume_solids_pct, "volume_solids_pct"),
    "solids_mixed": _sheet(_solids_mixed, "volume_solids_pct", "thinner"),
    "dry": _sheet(lambda each: each.film and each.film.target_um, "film"),
    "nominal": _sheet(lambda each: each.film and each.film.target_um, "film"),
    "film_most": _sheet(lambda each: each.film and each.film.most_um, "film"),
    "film_span": _sheet(lambda each: each.film and (each.film.least_um, each.film.most_um), "film"),
    "thinner": _thinner,
    "water": _sheet(lambda each: each.dilution and each.dilution.most, "dilution"),
    "pot_life": _sheet(lambda each: each.pot_life or None, "pot_life", settled=True),
    "induction": _sheet(
        lambda each: ((SHEET_C, each.induction_s),) if each.induction_s else None, "induction_s"
    ),
    "blend": _sheet(lambda each: each.ratio and Blend(each.ratio, each.densities or None), "ratio"),
    "margin": _sheet(lambda each: each.limits.dew_margin_c, "limits"),
    "most_rh": _sheet(lambda each: each.limits.rh_most_pct, "limits"),
    "least_metal": _sheet(lambda each: each.limits.metal_least_c, "limits"),
    "most_metal": _sheet(lambda each: each.limits.metal_most_c, "limits"),
    "tool": _tool,
    "speed": _of_tool(lambda tool: tool.speed_cm_s, None),
    "overlap": _of_tool(lambda tool: tool.overlap_pct, 0),
    "cup": lambda *_: Fact("iso4"),
    "ends": _ends,
    "clearance": _clearance,
    "now": lambda facts, *_: Fact(facts.now),
}
