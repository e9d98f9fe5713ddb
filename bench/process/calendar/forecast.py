"""The nights and days to come as the shop types them, each for its own date: ranges and file."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from bench.process.calendar.thermometers import COLDEST_READING_C, WARMEST_READING_C
from bench.process.refusals.refusal import Refusal
from bench.process.wording.display_units import ShopUnits, from_shop_unit
from bench.process.wording.time_text import format_number

DAYS = 7
"""So many days ahead, today among them, a forecast is worth typing (common practice, no source)."""

MOST_TEXT = 10_000
"""Characters of a file: a week takes under 200."""

_HEADER = "the columns date,low,high, in C, or in F as date,low F,high F"
_COLUMN = re.compile(r"(date|low|high)(?:[ _]?\(?([cf])\)?)?", re.IGNORECASE)
_COLUMNS = ("date", "low", "high")


@dataclass(frozen=True)
class DayAhead:
    """The coldest and the warmest in the shop on one date, in C; the low is of its night."""

    day: date
    low_c: float
    high_c: float

    @property
    def words(self) -> str:
        """Return the date and both temperatures."""
        return f"{self.day:%a %d %b} {format_number(self.low_c)} to {format_number(self.high_c)} C"


def coming_days(today: date) -> tuple[date, ...]:
    """Return the dates a forecast can be typed for, today first."""
    return tuple(today + timedelta(days=n) for n in range(DAYS))


def fault_of(ahead: DayAhead, today: date) -> Refusal | None:
    """Say why a forecast cannot be: none of the coming days, out of range, low over high."""
    days = coming_days(today)
    if ahead.day not in days:
        right = f"a day from {days[0].isoformat()} to {days[-1].isoformat()}"
        return Refusal("no forecast for that day", f"read {ahead.day.isoformat()}", right)
    for what, temp_c in (("low", ahead.low_c), ("high", ahead.high_c)):
        if not COLDEST_READING_C <= temp_c <= WARMEST_READING_C:
            right = f"from {COLDEST_READING_C:g} to {WARMEST_READING_C:g} C"
            return Refusal(f"the {what} was misread", f"read {temp_c:.4g} C", right)
    if ahead.low_c > ahead.high_c:
        readings = f"read low {format_number(ahead.low_c)} C, high {format_number(ahead.high_c)} C"
        return Refusal("the low is over the high", readings, "change the two over")
    return None


def read_forecast(name: str, text: str, today: date) -> tuple[DayAhead, ...] | Refusal:
    """Read the days of a file: CSV with the columns date (ISO), low and high, in any order.

    name: the file's, for what is refused, with its line: what was read and what would be right.
    Every line is good, or there is a refusal.
    """
    reader = csv.reader(text.splitlines(), strict=True)
    by_day: dict[date, DayAhead] = {}
    try:
        heading = next(reader, [])
        columns = _columns(heading)
        if columns is None:
            return Refusal(f"{name} line 1", f"read {','.join(heading)[:60]!r}", _HEADER)
        places, units = columns
        for row in reader:
            if not any(cell.strip() for cell in row):
                continue
            where = f"{name} line {reader.line_num}"
            ahead = _day_ahead(where, row, places, units)
            if isinstance(ahead, Refusal):
                return ahead
            if refused := fault_of(ahead, today):
                return Refusal(f"{where}: {refused.rule}", refused.read, refused.remedy)
            if ahead.day in by_day:
                day_text = f"read {ahead.day.isoformat()} again"
                return Refusal(f"{where}: one day twice", day_text, "one line for each day")
            by_day[ahead.day] = ahead
    except csv.Error as fault:
        return Refusal(f"{name} line {reader.line_num}", str(fault), _HEADER)
    if not by_day:
        return Refusal(f"{name} line 2: no day at all", "", "lines such as 2026-03-02,2,14")
    return tuple(by_day.values())


def _columns(heading: Sequence[str]) -> tuple[list[int], ShopUnits] | None:
    """Return where the columns are and the temperatures' unit; None where it is not written."""
    matches = [_COLUMN.fullmatch(cell.strip()) for cell in heading]
    names = [match[1].lower() if match else "" for match in matches]
    if any(names.count(column) != 1 for column in _COLUMNS):
        return None
    units = {(match[2] or "c").upper() for match in matches if match and match[1].lower() != "date"}
    if len(units) != 1:
        return None
    return [names.index(column) for column in _COLUMNS], ShopUnits(temperature=units.pop())


def _day_ahead(
    where: str, row: Sequence[str], places: Sequence[int], units: ShopUnits
) -> DayAhead | Refusal:
    if len(row) <= max(places):
        return Refusal(f"{where}: a cell short", f"read {','.join(row)[:60]!r}", _HEADER)
    day_text, *temp_texts = (row[place].strip() for place in places)
    try:
        day = date.fromisoformat(day_text)
    except ValueError:
        return Refusal(f"{where}: no date", f"read {day_text[:40]!r}", "a date such as 2026-03-02")
    temps = list(_temperatures(temp_texts, units))
    for text, temp_c in zip(temp_texts, temps, strict=True):
        if temp_c is None:
            right = f"a temperature in {units.temperature} such as 2.5"
            return Refusal(f"{where}: no temperature", f"read {text[:40]!r}", right)
    low_c, high_c = (temp_c for temp_c in temps if temp_c is not None)
    return DayAhead(day, low_c, high_c)


def _temperatures(texts: Sequence[str], units: ShopUnits) -> Iterator[float | None]:
    for text in texts:
        number = re.fullmatch(r"[+-]?[0-9]{1,3}(?:[.,][0-9]{1,3})?", text)
        yield (
            round(from_shop_unit(float(text.replace(",", ".")), "C", units), 2) if number else None
        )
