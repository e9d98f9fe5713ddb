"""The lines around the stands: what is on other pages, and what each count counts."""

from __future__ import annotations

import pytest

from bench.process.stock.equipment import Equipment
from bench.widgets.status_lines import StandElsewhere, elsewhere_words, pots_line
from tests.process.making import MON

ELSEWHERE = [
    (
        2,
        [
            StandElsewhere("7", "RINSE NOW", "+2 min", "Bo"),
            StandElsewhere("9", "TEST", "25 min", "(Una)"),
        ],
    ),
    (3, [StandElsewhere("14", "FLASH", "7 min?", "")]),
    (0, [StandElsewhere("tag 4b", "WAIT", "", "")]),
]


@pytest.mark.parametrize(
    ("width", "words"),
    [
        (
            110,
            "page 2: 7 RINSE NOW +2 min Bo, 9 TEST 25 min (Una); page 3: 14 FLASH 7 min?; "
            "no stand: tag 4b WAIT",
        ),
        (
            97,
            "page 2: 7 RINSE NOW +2 min Bo, 9 TEST 25 min; page 3: 14 FLASH 7 min?; no stand: tag 4b",
        ),
        (70, "p2: 7 RINSE NOW +2 min Bo, 9 TEST 25 min; p3: 14 FLASH 7 min?, +1 more"),
        (40, "page 2: 7 RINSE NOW +2 min Bo, +3 more"),
    ],
)
def test_stands_on_other_pages_are_named_with_word_and_time_and_names_where_there_is_room(
    width: int, words: str
) -> None:
    told = elsewhere_words(ELSEWHERE, width)
    assert told.startswith(words)
    assert len(told) <= width


def test_nothing_on_another_page_says_nothing() -> None:
    assert elsewhere_words([], 80) == ""


def test_what_the_line_of_pots_leaves_out_is_named() -> None:
    held = [Equipment(f"{n}", "gun", f"gun {n}", holder="Una") for n in range(6)]
    (row,) = [pots_line((), MON, 44, (), held)]
    assert "".join(piece.text for piece in row).rstrip().endswith("+3 held")
