"""How answers read: the one place where figures of a calculation are rounded and worded."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from bench.process.wording.display_units import METRIC, ShopUnits, format_figures, shop_unit
from bench.process.wording.time_text import countdown, format_clock, format_number
from bench.sums.model import Calculation, Result, SumAnswer, Values
from bench.trade.ageing import Basis

ROUNDING = 6
"""Decimals past these are rounding of floats, and no painter's figure."""

BASIS_WORDS: dict[Basis, str] = {
    "sheet": "as the sheet says",
    "between": "between points of the sheet",
    "outside": "beyond the sheet's points, on the strict side",
    "guess": "an estimate from one figure: x2 to x3 for 10 C colder, / 2.5 for 10 C warmer",
    "none": "too cold for any estimate from the sheet's figures",
}
"""Where an aged time comes from."""

UNSURE: tuple[Basis, ...] = ("outside", "guess", "none")
"""What stands among the doubts."""


@dataclass(frozen=True)
class SumRow:
    """One line of an answer: what it is, its figure, its unit; big: read from the doorway."""

    label: str
    value: str
    unit: str = ""
    big: bool = False

    @property
    def words(self) -> str:
        """Return the figure with its unit."""
        return f"{self.value} {self.unit}".strip()


def safe_side(result: Result, wait: bool = True) -> str:
    """Return up, down or nearest: where this figure of a wait (or of a life) is rounded to."""
    if result.side == "wait":
        return "up" if wait else "down"
    if result.side == "progress":
        return "down" if wait else "up"
    return result.side


def round_safely(result: Result, value: float, wait: bool = True) -> float:
    """Return the figure at its safe side; one without a side to six decimals."""
    side = safe_side(result, wait)
    if side == "nearest" or not math.isfinite(value):
        return round(value, ROUNDING) + 0.0
    step: int = 10 ** _decimals(result, value)
    whole = round(value * step, ROUNDING)
    return (math.ceil(whole) if side == "up" else math.floor(whole)) / step + 0.0


def _decimals(result: Result, value: float) -> int:
    if result.decimals is not None or value == 0:
        return result.decimals or 0
    return min(ROUNDING, max(0, 2 - math.floor(math.log10(abs(value)))))


def number_words(
    result: Result, value: float, units: ShopUnits = METRIC, wait: bool = True
) -> tuple[str, str]:
    """Return a figure and its unit, rounded to its side, in the shop's units."""
    unit, side = shop_unit(result.unit, units), safe_side(result, wait)
    if unit != result.unit:
        bound = {"up": "least", "down": "most"}.get(side, "")
        return format_figures(
            value, result.unit, units, bound=bound, difference=result.difference
        ), unit
    value = round_safely(result, value, wait)
    if result.decimals is None:
        return (format_number(value) if side == "nearest" else f"{value:.10g}"), unit
    return f"{round(value, result.decimals) + 0.0:.{result.decimals}f}", unit


def data(calculation: Calculation, answer: SumAnswer) -> dict[str, Any]:
    """Return the answer as JSON values, each figure rounded as people see it."""
    values = {
        result.key: _plain(result, answer.values[result.key], answer.wait)
        for result in calculation.results
        if result.key in answer.values
    }
    return values | ({"cautions": list(calculation.cautions)} if calculation.cautions else {})


def _plain(result: Result, value: Any, wait: bool) -> Any:
    if isinstance(value, Mapping):
        by_key = {each.key: each for each in result.each}
        return {key: _plain(by_key.get(key, result), each, wait) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(result, each, wait) for each in value]
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    side = safe_side(result, wait)
    if isinstance(value, int) or (side != "nearest" and result.decimals == 0):
        return int(round_safely(result, value, wait))
    return round_safely(result, value, wait)


def rows(
    calculation: Calculation,
    answer: SumAnswer,
    inputs: Values,
    units: ShopUnits = METRIC,
    now: datetime | None = None,
) -> tuple[SumRow, ...]:
    """Return the lines of an answer. inputs: the values behind it; now: on a screen."""
    context = {**inputs, **answer.values}
    writer = _RowWriter(answer.wait, units, now)
    return tuple(writer.rows(calculation.results, answer.values, context))


@dataclass(frozen=True)
class _RowWriter:
    """How figures are written down: of a wait or a life, in whose units, and when."""

    wait: bool
    units: ShopUnits
    now: datetime | None

    def rows(self, results: Sequence[Result], values: Values, context: Values) -> Iterator[SumRow]:
        for result in results:
            value = values.get(result.key)
            if value is None or value == "" or value == ():
                continue
            if result.kind == "group":
                yield from self.rows(result.each, value, {**context, **value})
            elif result.kind == "list":
                for row in value:
                    yield from self.row_of_list(result, row, {**context, **row})
            elif not result.label:
                continue
            elif (words := self.words(result, value)) is not None:
                yield SumRow(result.label.format_map(context), *words, big=result.big)

    def row_of_list(self, result: Result, row: Values, context: Values) -> Iterator[SumRow]:
        """Yield one line a row, the first figure before the others; a big figure stands alone.

        A list without a name has a line for every figure.
        """
        if not result.label:
            yield from self.rows(result.each, row, context)
            return
        label = result.label.format_map(context)
        cells = [
            (each.label, *words)
            for each in result.each
            if (value := row.get(each.key)) is not None
            and (words := self.words(each, value)) is not None
        ]
        (_, value, unit), *others = cells
        if result.big:
            yield SumRow(label, value, unit, big=True)
            for lead, more, its_unit in others:
                yield SumRow(f"{label}, {lead}", more, its_unit)
            return
        rest = [unit, *(f"{lead} {more} {its_unit}".strip() for lead, more, its_unit in others)]
        yield SumRow(label, value, ", ".join(text for text in rest if text))

    def words(self, result: Result, value: Any) -> tuple[str, str] | None:
        """Give a value and its unit as people read them; None where it stands among the doubts."""
        if result.kind == "basis":
            return None if value in UNSURE else (BASIS_WORDS[value], "")
        if isinstance(value, bool):
            return ("yes" if value else "no"), ""
        if isinstance(value, datetime):
            return (value.isoformat() if self.now is None else format_clock(value, self.now)), ""
        if isinstance(value, tuple | list):
            pairs = [number_words(result, each, self.units, self.wait) for each in value]
            return ", ".join(words for words, _ in pairs), pairs[0][1]
        if isinstance(value, str):
            return value, result.unit
        if result.kind == "span":
            up = safe_side(result, self.wait) == "up"
            return span_words(round_safely(result, value, self.wait), up=up), ""
        return number_words(result, value, self.units, self.wait)


def span_words(seconds: float, *, up: bool) -> str:
    """Return a time to the minute, rounded to its side.

    >>> span_words(5041, up=True), span_words(5041, up=False), span_words(600, up=True)
    ('1h25', '1h24', '0h10')
    """
    minutes = (math.ceil if up else math.floor)(round(seconds / 60, ROUNDING))
    return countdown(60 * minutes).replace(" ", "") if minutes >= 60 else f"0h{minutes:02d}"


def unsure(basis: Basis) -> tuple[str, ...]:
    """Return what to doubt about an aged time, in words."""
    return (BASIS_WORDS[basis],) if basis in UNSURE else ()
