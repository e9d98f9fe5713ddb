"""Values to check against: one CSV a topic, published ones here, worked ones beside it.

``tests/published`` holds what stands in a source that can be named; the source is in each row.
``tests/worked_examples`` holds the rest, and each row says what it is: computed by what, derived
from which row, from memory, or from a page that is not named. One test reads both.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

PUBLISHED = Path(__file__).parent
WORKED = PUBLISHED.parent / "worked_examples"

TOPICS = sorted(
    {path.stem for folder in (PUBLISHED, WORKED) for path in folder.glob("*.csv")}
    - {"weather_year"}
)

WORKED_AS = (
    "computed by",
    "derived from",
    "from memory",
    "from a data sheet, not named",
    "from a copy, not named",
    "from an instrument maker's page, not named",
)
"""What a worked row may be: its status begins with one of these words."""


@dataclass(frozen=True)
class Row:
    """One value as its CSV has it; ``source`` of a published one, ``status`` of a worked one."""

    id: str
    quantity: str
    inputs: str
    expected: str
    tolerance: str
    source: str = ""
    status: str = ""

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
    def within(self) -> float:
        """The first number of the tolerance."""
        found = re.search(r"[\d.]+", self.tolerance)
        assert found, f"{self.id} has no number for a tolerance: {self.tolerance!r}"
        return float(found[0])

    @property
    def kind(self) -> str:
        """Published, or what else it is in the words of WORKED_AS."""
        if self.source:
            return "published"
        return next(kind for kind in WORKED_AS if self.status.startswith(kind))

    @property
    def label(self) -> str:
        """The row's name for a test, with what the row is."""
        what = self.kind
        if what == "computed by":
            what = re.split(r"[,:;]| with ", self.status)[0]
        if what != "from memory" and "from memory" in self.status:
            what += ", partly from memory"
        return f"{self.id} ({what})"


def _read(path: Path) -> list[Row]:
    if not path.exists():
        return []
    with path.open(newline="", encoding="utf-8") as file:
        return [Row(**row) for row in csv.DictReader(file)]


def published_rows(name: str) -> list[Row]:
    """Every row of tests/published/<name>.csv."""
    return _read(PUBLISHED / f"{name}.csv")


def worked_rows(name: str) -> list[Row]:
    """Every row of tests/worked_examples/<name>.csv."""
    return _read(WORKED / f"{name}.csv")


def load(name: str) -> list[Row]:
    """Every row of a topic: the published ones, then the worked ones."""
    return published_rows(name) + worked_rows(name)


def named(name: str, *patterns: str) -> list[object]:
    """The rows whose whole id matches one of ``patterns``, as parameters of a test."""
    rows = [row for row in load(name) if any(re.fullmatch(each, row.id) for each in patterns)]
    assert rows, f"no row of {name}.csv matches {patterns}"
    return [pytest.param(row, id=row.label) for row in rows]


def unchecked(name: str, *groups: list[object]) -> set[str]:
    """The ids of rows that no group of parameters holds; every row is to be checked."""
    held = {case.values[0].id for group in groups for case in group}  # type: ignore[attr-defined]
    return {row.id for row in load(name)} - held
