"""Published values to check against: one CSV a topic, each row with its source and status."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

_STATUS = {
    "FOUND": "source seen",
    "MEMORY": "from memory",
    "COMPUTED": "computed",
    "DERIVED": "derived",
}


@dataclass(frozen=True)
class Row:
    """One published value as its CSV has it."""

    id: str
    quantity: str
    inputs: str
    expected: str
    tolerance: str
    source: str
    status: str

    @property
    def given(self) -> dict[str, str]:
        """The inputs by name: "cup_mm=4;t_s=45"."""
        return dict(each.split("=", 1) for each in self.inputs.split(";"))

    def input(self, name: str) -> float:
        return float(self.given[name])

    @property
    def figures(self) -> list[float]:
        """Every number in the expected value, in order."""
        apart = self.expected.replace("..", " ")
        return [float(each) for each in re.findall(r"(?<![\w.])-?\d+(?:\.\d+)?", apart)]

    @property
    def label(self) -> str:
        """The row's name for a test, with how its value is known in words."""
        words = [said for mark, said in _STATUS.items() if mark in self.status]
        if "memory" in self.source.lower() and "from memory" not in words:
            words.append("partly from memory")
        return f"{self.id} ({', '.join(words)})"


def load(name: str) -> list[Row]:
    """Every row of tests/published/<name>.csv."""
    with (Path(__file__).parent / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return [Row(**row) for row in csv.DictReader(file)]


def named(name: str, *patterns: str) -> list[object]:
    """The rows whose whole id matches one of ``patterns``, as parameters of a test."""
    rows = [row for row in load(name) if any(re.fullmatch(each, row.id) for each in patterns)]
    assert rows, f"no row of {name}.csv matches {patterns}"
    return [pytest.param(row, id=row.label) for row in rows]


def unchecked(name: str, *groups: list[object]) -> set[str]:
    """The ids of rows that no group of parameters holds; every row is to be checked."""
    held = {case.values[0].id for group in groups for case in group}  # type: ignore[attr-defined]
    return {row.id for row in load(name)} - held
