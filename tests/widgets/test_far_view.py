"""The far view drops no figure and no mark: neither of a large number nor of what stands under it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.safety.masks import Room
from bench.widgets.digits import tall
from bench.widgets.far_view import BLOCK, FarLook, far_lines, room_lines
from bench.widgets.lines import Line

from ..process.making import MON

LONG = "[!] Una+Mo+Kit | Launching trolley, long frame: Second coat: start it by"
HOUR = "~Thu 12 Mar 14:05? (2 d 23 h)"


def texts(lines: list[Line]) -> list[str]:
    """The lines as they are read."""
    return ["".join(piece.text for piece in row) for row in lines]


@pytest.mark.parametrize("width", [78, 80, 84, 88, 92, 96, 100, 132])
def test_a_sentence_too_long_for_its_row_goes_on_with_its_hour_whole(width: int) -> None:
    rows = texts(
        far_lines([FarLook("12", "CLOSING", "2 d 23?", f"{LONG} {HOUR}")], width, ascii_only=True)
    )
    assert len(rows) == BLOCK
    assert {len(row) for row in rows} == {width}
    words = " ".join(row.strip() for row in rows[-2:])
    assert words.split() == f"{LONG} {HOUR}".split()


def test_more_than_two_rows_say_that_they_are_cut_and_no_number_is() -> None:
    rows = texts(far_lines([FarLook("1", "OPEN", "", f"{LONG} {HOUR} " * 2)], 80, ascii_only=True))
    assert rows[-1].strip() == f"{HOUR} [!] Una+Mo+Kit | Launching trolley, long .."


def test_the_day_until_which_masks_are_on_is_drawn_whole() -> None:
    room = Room(
        on=True, until=MON + timedelta(days=1), reason="Mo sprayed", since=MON, measured=None
    )
    drawn = texts(room_lines(room, MON, 80, ascii_only=True))
    day = tall("TUE 08:00?", 1, ascii_only=True)
    assert all(row.endswith(f"   {last} ") for row, last in zip(drawn, day, strict=False))
