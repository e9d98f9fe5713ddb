"""Text in cells: a line is exactly as wide as it is meant to be, whatever alphabet it is in.

How many cells a letter takes is by East Asian Width (Unicode UAX 11), which rich works out.
"""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from bench.widgets.lines import ends, fit, line, wrapped

WIDE = "\u8ef8\u53f0\u67b6\u8f66\u8f6e"
"""Five letters of two cells each."""


@pytest.mark.parametrize("text", ["Trolley frame", WIDE, f"Tag 7 {WIDE}", "\U0001f6f6 canoe", ""])
def test_a_text_takes_exactly_its_width_and_ends_in_two_dots_where_it_is_cut(text: str) -> None:
    for width in range(0, 20):
        shown = fit(text, width)
        assert cell_len(shown) == width
        if width >= cell_len(text):
            assert shown.rstrip() == text
        elif width >= 2:
            assert shown.endswith("..")


def test_wide_letters_are_cut_by_cells_and_never_through_one() -> None:
    assert fit(WIDE, 10) == WIDE
    assert fit(WIDE, 9) == "\u8ef8\u53f0\u67b6 .."
    assert fit(WIDE, 8) == "\u8ef8\u53f0\u67b6.."
    assert "".join(piece.text for piece in line(WIDE, 7)) == "\u8ef8\u53f0 .."


def test_of_two_texts_at_the_ends_the_right_one_stays_whole() -> None:
    assert ends("Trolley frame", "14:05", 20) == "Trolley frame  14:05"
    assert ends("Trolley frame", "14:05", 15) == "Trolley ..14:05"
    assert ends(WIDE, WIDE, 14) == f"\u8ef8..{WIDE}"
    assert ends("Trolley", "14:05", 4) == "14.."


def test_a_word_longer_than_a_line_is_broken_by_cells() -> None:
    rows = wrapped([f"Frame {WIDE}"], 6)
    assert "".join("".join(rows).split()) == f"Frame{WIDE}"
    assert {cell_len(row) <= 6 for row in rows} == {True}
