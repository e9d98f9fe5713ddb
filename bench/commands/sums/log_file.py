"""A log of temperatures: a CSV file with the columns at (ISO time) and temp_c."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from io import StringIO
from typing import TextIO, TypeVar

from bench.commands.core.input_files import text_of
from bench.process.refusals.refusal import Refusal
from bench.sums.ageing import TemperatureLog
from bench.trade import checked
from bench.trade.ageing import COLDEST_C, HOTTEST_C, Stretch

T = TypeVar("T")
MOST_BYTES = 20_000_000
"""A year of readings, one every ten seconds, is no longer."""

Logged = tuple[datetime, float]
"""One reading of a file: when, and how warm in C."""

COLUMNS = ("at", "temp_c")
_RIGHT = "wanted the columns at,temp_c and rows such as 2026-03-02T09:40,18.5"
_RIGHT_AT = "a time such as 2026-03-02T09:40"
_RIGHT_TEMP = f"{COLDEST_C:g} to {HOTTEST_C:g}, in C, such as 18.5"


def read_log(path: str) -> TemperatureLog:
    """Return the temperatures of a file, from its first reading on; other columns are passed over.

    Raises ValueError with file and line: what was read and what would be right.
    """
    text = text_of(path, MOST_BYTES)
    if isinstance(text, Refusal):
        raise ValueError(f"{text}; wanted a CSV file")
    logged = tuple(_rows(path, StringIO(text, newline="")))
    if not logged:
        raise ValueError(f"{path} line 2: no reading at all; {_RIGHT}")
    began, _ = logged[0]
    stretches = tuple(Stretch((at - began).total_seconds(), temp_c) for at, temp_c in logged)
    return TemperatureLog(began, stretches, stretches[-1].start_s)


def _rows(path: str, file: TextIO) -> Iterator[Logged]:
    reader = csv.reader(file, strict=True)
    places: list[int] = []
    before: datetime | None = None
    try:
        for row in reader:
            where = f"{path} line {reader.line_num}"
            if not any(cell.strip() for cell in row):
                continue
            if not places:
                places = _places(where, row)
                continue
            at, temp_c = _logged(where, row, places)
            if before is not None:
                _check_order(where, before, at)
            before = at
            yield at, temp_c
    except csv.Error as fault:
        raise ValueError(f"{path} line {reader.line_num}: {fault}; {_RIGHT}") from fault


def _places(where: str, heading: Sequence[str]) -> list[int]:
    names = [cell.strip().lower() for cell in heading]
    if any(names.count(column) != 1 for column in COLUMNS):
        raise ValueError(f"{where}: read {','.join(heading)[:60]!r}; {_RIGHT}")
    return [names.index(column) for column in COLUMNS]


def _logged(where: str, row: Sequence[str], places: Sequence[int]) -> Logged:
    if len(row) <= max(places):
        raise ValueError(f"{where}: read {','.join(row)[:60]!r}, a cell short; {_RIGHT}")
    at, temp = (row[place].strip() for place in places)
    return (
        _cell(f"{where}: read {at[:40]!r} for at", _RIGHT_AT, datetime.fromisoformat, at),
        _cell(f"{where}: read {temp[:40]!r} for temp_c", _RIGHT_TEMP, _temperature, temp),
    )


def _cell(was_read: str, right: str, reader: Callable[[str], T], text: str) -> T:
    try:
        return reader(text)
    except ValueError as fault:
        raise ValueError(f"{was_read}; wanted {right}") from fault


def _temperature(text: str) -> float:
    temp_c = float(text.replace(",", "."))
    return checked.number(temp_c, "temp_c", "C", least=COLDEST_C, most=HOTTEST_C)


def _check_order(where: str, before: datetime, at: datetime) -> None:
    was_read = f"{where}: read {at.isoformat()} after {before.isoformat()}"
    if (before.tzinfo is None) is not (at.tzinfo is None):
        raise ValueError(f"{was_read}; wanted all times with an offset, or none")
    if at < before:
        raise ValueError(f"{was_read}; wanted rows in order of time")
