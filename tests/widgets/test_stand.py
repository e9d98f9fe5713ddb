"""One stand of the bench: past and coming told apart, and what is chosen or calls."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.clocks.edges import Edge
from bench.process.clocks.stand_state import EMPTY, StandState
from bench.widgets.lines import Line
from bench.widgets.stand import StandLook, short_number, stand_block, window_words
from tests.process.making import MON, after

OPENS, CLOSES = Edge(after(60), "opening"), Edge(after(120), "closing")
SOAK = StandState("SOAK", "down", after(60), OPENS, CLOSES, zone="ALL")


@pytest.mark.parametrize(
    ("state", "minutes", "words"),
    [
        (StandState("WAIT", opens=OPENS, closes=CLOSES), 0, ("opens 09:00", "closes 10:00")),
        (StandState("OPEN", opens=OPENS, closes=CLOSES), 90, ("", "closes 10:00")),
        (StandState("WORKING", closes=CLOSES), 121, ("", "closed 10:00")),
        (SOAK, 0, ("rinse 09:00", "to 10:00")),
        (SOAK, 121, ("rinse was due", "by 10:00")),
        (StandState("KEEP OFF", opens=OPENS), -7 * 24 * 60, ("opens Mon 02 Mar 09:00", "")),
    ],
)
def test_what_is_over_is_told_apart_from_what_comes(
    state: StandState, minutes: float, words: tuple[str, str]
) -> None:
    assert window_words(state, after(minutes)) == words


def test_a_count_for_others_is_in_whole_minutes() -> None:
    late = StandState("RINSE NOW", "up", after(-4.5), zone="ALL")
    assert [short_number(each, MON) for each in (SOAK, late)] == ["1 h 00", "+4 min"]
    assert short_number(replace(late, doubtful=True), MON) == ">+4 min"


def head(look: StandLook) -> Line:
    return stand_block(look, MON, 26, 8, ascii_only=False)[0]


def test_an_alarm_marks_the_number_of_the_stand_and_not_its_word() -> None:
    text = "".join(piece.text for piece in head(StandLook(7, None, SOAK, True, True)))
    assert text.startswith(">7! SOAK")
    assert "".join(piece.text for piece in head(StandLook(12, None, SOAK, False, True)))[
        1:
    ].startswith("12! SOAK")


def test_the_chosen_stand_is_turned_over_as_a_whole() -> None:
    for chosen in (True, False):
        rows = stand_block(StandLook(7, None, EMPTY, chosen), MON, 26, 8, ascii_only=False)
        assert all(piece.style == "chosen" for row in rows for piece in row) == chosen


@pytest.mark.parametrize(
    ("word", "note", "words"),
    [
        ("CURE", "", "ends 10:00"),
        ("HOLD", "x; clock: CURE", "ends 10:00"),
        ("WAIT", "", "opens 10:00"),
    ],
)
def test_a_cure_ends_and_all_else_opens(word: str, note: str, words: str) -> None:
    state = StandState(word, opens=Edge(after(120), "opening"), note=note)
    assert window_words(state, MON) == (words, "")
