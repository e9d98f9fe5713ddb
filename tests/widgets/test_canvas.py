"""Lines keep their width, figures their box, and nothing typed can disturb the screen."""

from __future__ import annotations

import pytest

from bench.widgets.digits import big, tall
from bench.widgets.far_view import FarLook, far_lines
from bench.widgets.lines import columns, ends, fit, line, plain, wrapped


def test_text_is_cut_to_exactly_its_width_and_says_so() -> None:
    assert fit("bracket", 10) == "bracket   "
    assert fit("launching trolley", 10) == "launchin.."
    assert len(fit("日本語日本語", 5).encode("utf-16-le")) // 2 <= 5


def test_nothing_that_could_move_the_cursor_reaches_the_screen() -> None:
    assert plain("a\x1b[2Jb\x07\u202ec\td") == "a?[2Jb??c?d"


def test_the_right_end_of_a_line_stays_whole() -> None:
    assert ends("a very long name", "tag 7", 12) == "a ver..tag 7"


def test_lines_break_at_spaces_under_a_bullet() -> None:
    assert wrapped(["keep it wet until rinsed"], 14, "- ") == ["- keep it wet", "  until rinsed"]


def test_a_number_stays_with_its_unit_and_what_stands_between_bars_stays_whole() -> None:
    text = "15-20 cm off | 110? um wet = 50? dry"
    assert wrapped([text], 30) == ["15-20 cm off |", "110? um wet = 50? dry"]
    assert wrapped(["read 35 min ago, under 250-400 l/min"], 8) == [
        *("read", "35 min", "ago,", "under", "250-400", "l/min"),
    ]


def test_blocks_stand_side_by_side() -> None:
    rows = columns([[line("a", 3)], [line("b", 3), line("c", 3)]], 1, 2, [3, 3])
    assert ["".join(piece.text for piece in row) for row in rows] == ["a   b  ", "    c  "]


@pytest.mark.parametrize("ascii_only", [True, False])
@pytest.mark.parametrize(("rows", "width"), [(3, 26), (5, 43), (5, 26), (3, 4)])
def test_big_figures_fill_their_box_exactly(rows: int, width: int, ascii_only: bool) -> None:
    for text in ("00:00", "99h59", "+59:59", "+100d23", ""):
        drawn = big(text, rows, width, ascii_only=ascii_only)
        assert len(drawn) == rows
        assert {len(row) for row in drawn} == {width}


@pytest.mark.parametrize(("width", "tall_word"), [(80, True), (60, True), (44, False)])
def test_the_longest_word_stays_in_large_letters_from_60_cells_on(
    width: int, tall_word: bool
) -> None:
    look = FarLook("1", "RINSE NOW", "+12 min?", "!!! Irons: rinse ALL NOW", harm=True)
    rows = [
        "".join(piece.text for piece in row) for row in far_lines([look], width, ascii_only=True)
    ]
    letters = tall("1 RINSE NOW", 1, ascii_only=True)
    assert all(len(row) == width for row in rows)
    assert (letters[0] in rows[0] and letters[4] in rows[4]) == tall_word
    assert "RINSE NOW  +12 min?" in rows[2] or tall_word
