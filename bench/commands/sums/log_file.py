"""A log of temperatures: a CSV file with the columns at (ISO time) and temp_c."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TextIO

from bench.sums.ageing import TemperatureLog
from bench.trade import checked
from bench.trade.ageing import COLDEST_C, HOTTEST_C, Stretch

COLUMNS = ("at", "temp_c")
_RIGHT = "wanted the columns at,temp_c and rows such as 2026-03-02T09:40,18.5"


@dataclass(frozen=True)
class LoggedReading:
    """One reading of a file: when, and how warm."""

    at: datetime
    temp_c: float


def read_log(path: str) -> TemperatureLog:
    """Return the temperatures of a file, from its first reading on; other columns are passed over.

    Raises ValueError with file and line: what was read and what would be right.
    """
    try:
        with open(path, newline="", encoding="utf-8-sig") as file:
            logged = tuple(_rows(path, file))
    except OSError as fault:
        raise ValueError(f"{path}: {fault.strerror or fault}; wanted a CSV file") from fault
    except UnicodeDecodeError as fault:
        raise ValueError(f"{path}: not text in UTF-8; {_RIGHT}") from fault
    if not logged:
        raise ValueError(f"{path} line 2: no reading at all; {_RIGHT}")
    began = logged[0].at
    stretches = tuple(Stretch((row.at - began).total_seconds(), row.temp_c) for row in logged)
    return TemperatureLog(began, stretches, stretches[-1].start_s)


def _rows(path: str, file: TextIO) -> Iterator[LoggedReading]:
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
            logged = _logged(where, row, places)
            _check_order(where, before, logged.at)
            before = logged.at
            yield logged
    except csv.Error as fault:
        raise ValueError(f"{path} line {reader.line_num}: {fault}; {_RIGHT}") from fault


def _places(where: str, heading: Sequence[str]) -> list[int]:
    names = [cell.strip().lower() for cell in heading]
    if any(names.count(column) != 1 for column in COLUMNS):
        raise ValueError(f"{where}: read {','.join(heading)[:60]!r}; {_RIGHT}")
    return [names.index(column) for column in COLUMNS]


def _logged(where: str, row: Sequence[str], places: Sequence[int]) -> LoggedReading:
    if len(row) <= max(places):
        raise ValueError(f"{where}: read {','.join(row)[:60]!r}, a cell short; {_RIGHT}")
    at, temp = (row[place].strip() for place in places)
    return LoggedReading(_time(where, at), _temperature(where, temp))


def _time(where: str, text: str) -> datetime:
    try:
        return datetime.fromisoformat(text)
    except ValueError as fault:
        raise ValueError(
            f"{where}: read {text[:40]!r} for at; wanted a time such as 2026-03-02T09:40"
        ) from fault


def _temperature(where: str, text: str) -> float:
    try:
        return checked.number(
            float(text.replace(",", ".")), "temp_c", "C", least=COLDEST_C, most=HOTTEST_C
        )
    except ValueError as fault:
        raise ValueError(
            f"{where}: read {text[:40]!r} for temp_c; wanted {COLDEST_C:g} to {HOTTEST_C:g}, in C, "
            "such as 18.5"
        ) from fault


def _check_order(where: str, before: datetime | None, at: datetime) -> None:
    if before is None:
        return
    if (before.tzinfo is None) is not (at.tzinfo is None):
        raise ValueError(
            f"{where}: read {at.isoformat()} after {before.isoformat()}; wanted all times with an "
            "offset, or none"
        )
    if at < before:
        raise ValueError(
            f"{where}: read {at.isoformat()} after {before.isoformat()}; wanted rows in order of "
            "time"
        )
