"""A list of parts as CSV, as an office types it: every row read, every fault named by its line."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bench.process.refusals.refusal import Refusal

COLUMNS = ("name", "count", "job", "owner", "route", "shape", "area m2", "stand")
MUST = ("route", "shape")
"""Columns that a list cannot do without; any other may be missing, or empty in a row."""

MOST_ROWS = 500


@dataclass(frozen=True)
class OrderRow:
    """A row of the list. line: of the file, the heading being 1; area_m2: of one piece."""

    line: int
    route: str
    shape: str
    name: str = ""
    count: int = 1
    job: str = ""
    owner: str = ""
    area_m2: float | None = None
    stand: int | None = None


@dataclass(frozen=True)
class OrderList:
    """The rows, and what cannot be read of them, by line.

    A row of which only a number cannot be read is there too, so that all else of it is checked.
    """

    rows: tuple[OrderRow, ...]
    faults: tuple[Refusal, ...]


def read_orders(text: str) -> OrderList | Refusal:
    """Read a list with a heading of ``COLUMNS`` in any order; commas or semicolons between them.

    Where semicolons are, a decimal comma is taken. A refusal where the heading cannot be read.
    """
    first = text.partition("\n")[0]
    sign = ";" if first.count(";") > first.count(",") else ","
    reader = csv.reader(text.splitlines(), delimiter=sign, strict=True)
    try:
        heading = [" ".join(cell.lower().replace("_", " ").split()) for cell in next(reader, [])]
        if refused := _against_heading(heading):
            return refused
        rows: list[OrderRow] = []
        faults: list[Refusal] = []
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            row, wrong = _row(reader.line_num, heading, cells)
            rows += [row] if row is not None else []
            faults += wrong
    except csv.Error as fault:
        return at_line(reader.line_num, Refusal("it is no CSV", str(fault), "save it as CSV again"))
    if not rows and not faults:
        return Refusal("no parts are in the list", "", "a row for each part below the heading")
    if len(rows) > MOST_ROWS:
        return Refusal(f"{len(rows)} rows", "", f"at most {MOST_ROWS} at a time")
    return OrderList(tuple(rows), tuple(faults))


def at_line(line: int, fault: Refusal) -> Refusal:
    """Name the line of the file that a fault is in."""
    return Refusal(f"line {line}: {fault.rule}", fault.read, fault.remedy)


def _against_heading(heading: list[str]) -> Refusal | None:
    odd = [cell for cell in heading if cell not in COLUMNS]
    twice = [cell for cell in COLUMNS if heading.count(cell) > 1]
    missing = [cell for cell in MUST if cell not in heading]
    wanted = f"columns {', '.join(COLUMNS)}; {' and '.join(MUST)} are a must"
    for cells, what in ((odd, "no column"), (twice, "twice the column"), (missing, "without")):
        if cells:
            return Refusal(f"line 1: {what} '{cells[0][:40]}'", "", wanted)
    return None


def _row(line: int, heading: list[str], cells: list[str]) -> tuple[OrderRow | None, list[Refusal]]:
    """Read one row, with all that cannot be read of it; None where it cannot be checked further."""
    if len(cells) > len(heading):
        words = f"{len(cells)} cells, but {len(heading)} columns"
        remedy = "quote a cell that has the sign between columns"
        return None, [at_line(line, Refusal(words, "", remedy))]
    typed = dict(zip(heading, (cell.strip() for cell in cells), strict=False))
    missing = [column for column in MUST if not typed.get(column)]
    faults = [at_line(line, Refusal(f"no {each}", "", f"type its {each}")) for each in missing]
    numbers: dict[str, float | None] = {}
    for column, example in (("count", "4"), ("stand", "12"), ("area m2", "0.6")):
        number = _number(typed, column, whole=column != "area m2")
        if isinstance(number, str):
            words = f"{column} '{number[:20]}' is no number"
            faults.append(at_line(line, Refusal(words, "", f"such as {example}")))
            number = None
        numbers[column] = number
    if missing:
        return None, faults
    count, stand = numbers["count"], numbers["stand"]
    row = OrderRow(
        line,
        typed["route"],
        typed["shape"],
        name=typed.get("name", ""),
        count=1 if count is None else int(count),
        job=typed.get("job", ""),
        owner=typed.get("owner", ""),
        area_m2=numbers["area m2"],
        stand=None if stand is None else int(stand),
    )
    return row, faults


def _number(typed: Mapping[str, str], column: str, *, whole: bool) -> float | str | None:
    """Read a number; None for an empty cell, the text itself where it is none."""
    text = typed.get(column, "")
    if not text:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return text
    fits = math.isfinite(value) and (not whole or (value == int(value) and abs(value) < 1e9))
    return value if fits else text


def stands_for(
    wanted: Mapping[int, int | None], free: Iterable[int]
) -> tuple[dict[int, int | None], list[Refusal]]:
    """Give each line a stand: the one it names, else the next free one, else none.

    wanted: the stand that each line names, if any; free: the empty stands in order. And what is
    wrong: a stand that two lines name.
    """
    named: dict[int, int] = {}
    faults: list[Refusal] = []
    for line, stand in wanted.items():
        if stand is not None and stand in named:
            words = f"stand {stand} is in line {named[stand]} too"
            faults.append(at_line(line, Refusal(words, "", "one part to a stand")))
        elif stand is not None:
            named[stand] = line
    rest = iter([stand for stand in free if stand not in named])
    given = {
        line: stand if stand is not None else next(rest, None) for line, stand in wanted.items()
    }
    return given, faults
