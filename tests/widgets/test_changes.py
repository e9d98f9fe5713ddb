"""Only the cells that changed are written, and the terminal shows the whole picture all the same."""

from __future__ import annotations

import pyte
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console
from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip

from bench.settings import Profile
from bench.widgets.canvas import Canvas, ChangedCells, changed_runs
from bench.widgets.lines import Line, Piece, fit
from bench.widgets.theme import look_of

WIDTH = 24
STYLES = {"": Style(color="white"), "bold": Style(color="white", bold=True), "x": Style(bold=True)}


@pytest.mark.parametrize(
    ("old", "new", "runs"),
    [
        ("12:34", "12:33", [(4, 5)]),
        ("12:34", "12:34", []),
        ("09:59", "10:00", [(0, 5)]),
        ("12:34 stand, 10:00", "12:33 stand, 10:00", [(4, 5)]),
        ("12:34 of stand 1, 10:00", "12:33 of stand 1, 09:59", [(4, 5), (18, 23)]),
        ("1h00", "59:59", [(0, 5)]),
    ],
)
def test_only_the_cells_that_differ_are_painted(
    old: str, new: str, runs: list[tuple[int, int]]
) -> None:
    assert changed_runs((Piece(old),), (Piece(new),)) == runs


def test_the_same_text_in_another_style_is_painted_again() -> None:
    before, after = (Piece("ab "), Piece("OPEN", "x")), (Piece("ab "), Piece("OPEN", "bold"))
    assert changed_runs(before, after) == [(3, 7)]


def test_a_letter_two_cells_wide_repaints_its_whole_line() -> None:
    # Unicode UAX 11: CJK ideographs are wide.
    before, after = (Piece("軸 1:00 left"),), (Piece("軸 0:59 left"),)
    assert changed_runs(before, after) == [(0, 12)]


letters = st.text(st.sampled_from("ab █▀0123é軸"), max_size=10)
pieces = st.builds(Piece, letters, st.sampled_from(sorted(STYLES)))
pictures = st.lists(st.lists(pieces, max_size=5).map(tuple), min_size=3, max_size=3)


def strip(row: Line) -> Strip:
    segments = [Segment(piece.text, STYLES[piece.style]) for piece in row]
    return Strip(segments).adjust_cell_length(WIDTH, STYLES[""])


def written(before: list[Line], after: list[Line], cuts: list[int]) -> tuple[str, str]:
    """The whole of a picture, then what changes it into another one."""
    console = Console(color_system="256", force_terminal=True)
    whole = "\r\n".join(strip(row).render(console) for row in before)
    spans = [
        (y, first, min(last, WIDTH))
        for y, rows in enumerate(zip(before, after, strict=True))
        for first, last in changed_runs(*rows)
        if first < WIDTH
    ]
    ends = [*sorted({*cuts, WIDTH})]
    parts = [dict(zip([0, *ends], strip(row).divide(ends), strict=False)) for row in after]
    update = ChangedCells(parts, spans, [ends] * 3)
    return whole, update.render_segments(console) if spans else ""


def shown(*writings: str) -> list[list[tuple[str, bool, str]]]:
    screen = pyte.Screen(WIDTH, 3)
    stream = pyte.Stream(screen)
    for writing in writings:
        stream.feed(writing)
    return [
        [
            (cell.data, cell.bold, cell.fg)
            for cell in map(screen.buffer[y].__getitem__, range(WIDTH))
        ]
        for y in range(3)
    ]


@given(pictures, pictures, st.lists(st.integers(1, WIDTH - 1), max_size=3))
def test_the_terminal_shows_the_new_picture_whatever_stood_there(
    before: list[Line], after: list[Line], cuts: list[int]
) -> None:
    # Textual cuts a line at the edges of widgets, which no letter lies across.
    wide = any("軸" in piece.text for row in after for piece in row)
    old, change = written(before, after, [] if wide else cuts)
    new, _ = written(after, after, [])
    assert shown(old, change) == shown(new)


def test_a_tick_of_three_stands_names_its_style_once() -> None:
    before = [(Piece("  12:34        12:34    ", "bold"),)] * 3
    after = [(Piece("  12:33        12:33    ", "bold"),)] * 3
    _, change = written(before, after, [])
    jumps = "".join(f"\x1b[{y};7H3\x1b[{y};20H3" for y in (1, 2, 3))
    assert change == f"\x1b[1;37m{jumps}\x1b[0m"


def test_a_line_is_fit_before_it_is_compared() -> None:
    assert changed_runs((Piece(fit("a", 5)),), (Piece(fit("ab", 5)),)) == [(1, 2)]


def test_a_sign_that_changes_with_its_neighbour_is_written_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """On the Linux console 0 has square corners for its round ones; the 9 after it has none."""
    look = look_of(Profile(16, "console"), "dark")
    canvas, written = Canvas(look), list[Region]()
    canvas.show([(Piece("▀▄▄▀"),)], look)
    monkeypatch.setattr(canvas, "refresh", lambda *regions: written.extend(regions))
    canvas.show([(Piece(" ▄▄▀"),)], look)
    assert written == [Region(0, 0, 4, 1)]
