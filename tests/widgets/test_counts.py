"""Lengths of time in big figures: their unit is drawn too, and no time of day looks like one."""

from __future__ import annotations

import re

import pytest

from bench.widgets.counts import count_letters, count_rows
from bench.widgets.digits import big


@pytest.mark.parametrize("ascii_only", [False, True])
@pytest.mark.parametrize(("rows", "width"), [(3, 26), (5, 42)])
@pytest.mark.parametrize(
    "count", ["16 min", "4 min 05", "+4 min 05?", "+25 min?", "15 h 24", "+12 h 30?", "13 d 23?"]
)
def test_a_count_fits_its_stand_with_its_unit_and_its_mark(
    count: str, rows: int, width: int, *, ascii_only: bool
) -> None:
    drawn = count_rows(count, rows, width, ascii_only=ascii_only)
    assert {len(row) for row in drawn} == {width}
    assert all(row.strip() for row in drawn), "as tall as there is room for"
    figures = re.findall(r"\d+", count)
    for row, first in zip(drawn, big(figures[0], rows, 99, ascii_only=ascii_only), strict=True):
        assert first.strip() in row
    assert count.endswith("?") == drawn[-1].rstrip().endswith("?")


def test_the_letters_of_a_unit_are_no_figure() -> None:
    for unit in ("h", "d", "min"):
        for rows in (3, 5):
            drawn = tuple(count_letters(unit, rows))
            figures = [tuple(row.rstrip() for row in big(n, rows, 9)) for n in "0123456789"]
            assert drawn not in figures
            assert count_rows(f"7 {unit}", rows, 40) != count_rows(f"7 {unit[0]}8", rows, 40)


def test_what_has_no_unit_is_drawn_as_before() -> None:
    assert count_rows("14:05", 3, 26) == big("14:05", 3, 26)
