"""Big numbers: strokes with body, no two alike, and a mark that stays and costs little room."""

from __future__ import annotations

from itertools import combinations
from operator import ne

import pytest

from bench.process.clocks.edges import Edge
from bench.process.clocks.stand_state import StandState
from bench.settings import Profile
from bench.widgets.digits import big
from bench.widgets.stand import number_of
from bench.widgets.theme import look_of
from tests.process.making import MON, after

FIGURES = "0123456789+-?:.<>~hdmin"
HALVES = {" ": "  ", "█": "##", "▀": "# ", "▄": " #"}
"""A cell in upper and lower half: of a cell twice as tall as wide each half is a square."""

LEAST_STROKE = 1 / 8
"""Of a figure's height: MIL-STD-1472, from memory, asks for strokes of a sixth to an eighth."""

SQUARE = 3 / 8
"""Height of the console's square in cells: 6 of 16 rows in Lat15-TerminusBold16 (console-setup 1.221)."""


def glyph(figure: str, rows: int, width: int) -> tuple[str, ...]:
    """A figure alone, in cells, without what is free beside it."""
    drawn = big(figure, rows, width)
    wide = max(len(row.rstrip()) for row in drawn)
    return tuple(row[:wide] for row in drawn)


def squares(drawn: tuple[str, ...]) -> list[str]:
    """A figure in half cells, top to bottom."""
    return ["".join(HALVES[c][half] for c in row) for row in drawn for half in (0, 1)]


def thinnest(drawn: list[str]) -> int:
    """The thinnest stroke in squares: of every dot the shorter of its row and its column."""
    columns = ["".join(column) for column in zip(*drawn, strict=True)]

    def run(text: str, at: int) -> int:
        before, after = text[:at], text[at:]
        return len(before) - len(before.rstrip("#")) + len(after) - len(after.lstrip("#"))

    return min(
        min(run(row, x), run(columns[x], y))
        for y, row in enumerate(drawn)
        for x, dot in enumerate(row)
        if dot == "#"
    )


NARROW = 8
"""Cells in which only a figure three wide has room beside another."""


def narrow(figure: str) -> tuple[str, ...]:
    """A figure as it is drawn where the wide ones have no room."""
    return tuple(row[:3] for row in big(f"{figure}0", 3, NARROW))


@pytest.mark.parametrize(
    "drawn",
    [
        {figure: glyph(figure, 3, 9) for figure in FIGURES},
        {figure: narrow(figure) for figure in "0123456789"},
        {figure: glyph(figure, 5, 12) for figure in FIGURES},
    ],
    ids=["three rows", "narrow", "five rows"],
)
def test_figures_have_body_and_each_is_told_from_each_on_every_font(
    drawn: dict[str, tuple[str, ...]],
) -> None:
    console = look_of(Profile(16, "console"), "dark")
    assert len({len(drawn[figure][0]) for figure in "0123456789"}) == 1, "one width"
    for figure, rows in drawn.items():
        dots = squares(rows)
        assert thinnest(dots) / len(dots) >= LEAST_STROKE, figure
        shown = "".join(map(console.shown, rows))
        assert set(shown) <= set(" █■"), figure
        assert "■" not in shown or SQUARE / len(rows) >= LEAST_STROKE, figure
    wide = max(len(rows[0]) for rows in drawn.values())
    for shown_by in (str, console.shown):
        cells = {
            figure: "".join(shown_by(row.ljust(wide)) for row in rows)
            for figure, rows in drawn.items()
        }
        for one, other in combinations(cells, 2):
            assert sum(map(ne, cells[one], cells[other])) >= 2, (one, other)


def test_letters_of_units_are_lower_than_figures_so_that_none_is_taken_for_one() -> None:
    for letter in "hdmin":
        assert not glyph(letter, 3, 9)[0].strip()
        assert not glyph(letter, 5, 12)[0].strip()
        assert letter in "".join(big(letter, 3, 9, ascii_only=True)), "the letter itself"


@pytest.mark.parametrize("ascii_only", [False, True])
def test_a_marked_countdown_fits_the_stand_of_the_smallest_screen(*, ascii_only: bool) -> None:
    for number in (
        "15 min?",
        "13 h 05?",
        "+42 min?",
        "+12 h 30?",
        "13 d 23?",
        ">+12 h 30",
        "999 d 23?",
    ):
        rows = big(number, 3, 26, ascii_only=ascii_only)
        assert {len(row) for row in rows} == {26}
        assert number not in rows[1], "not in small letters"


def test_five_rows_stay_five_rows_on_a_stand_of_the_large_screen() -> None:
    for number in ("13 h 05?", "15 min?", "+12 h 30?", "+42 min?", "13 d 23?"):
        plain, marked = big(number[:-1], 5, 43), big(number, 5, 43)
        assert all(row.strip() for row in marked), "five rows"
        assert marked != plain


def test_the_big_number_of_a_placeholder_wears_its_mark_and_says_at_most_while_the_clock_is_wrong() -> (
    None
):
    opens = Edge(after(60), "opening", unconfirmed=True)
    waits = StandState("WAIT", "down", opens.at, opens=opens)
    assert number_of(waits, MON) == "1 h 00?"
    assert number_of(StandState("WAIT", "down", opens.at, opens, doubtful=True), MON) == "<1 h 00"
