"""Big numbers: their mark stays whatever room there is, and costs the figures little of it."""

from __future__ import annotations

import pytest

from bench.process.clocks.edges import Edge
from bench.process.clocks.stand_state import StandState
from bench.widgets.digits import big
from bench.widgets.stand import number_of
from tests.process.making import MON, after


@pytest.mark.parametrize("ascii_only", [False, True])
def test_a_marked_countdown_fits_the_stand_of_the_smallest_screen(*, ascii_only: bool) -> None:
    for number in ("15:59?", "13h05?", "+42:00?", "+12h30?", "13d23?"):
        rows = big(number, 3, 26, ascii_only=ascii_only)
        assert {len(row) for row in rows} == {26}
        assert number not in rows[1], "not in small letters"


def test_five_rows_stay_five_rows_with_a_mark() -> None:
    for number in ("13h05?", "15:59?"):
        plain, marked = big(number[:-1], 5, 42), big(number, 5, 42)
        assert all(row.strip() for row in marked), "five rows"
        assert marked != plain


def test_the_big_number_of_a_placeholder_wears_its_mark_and_says_at_most_while_the_clock_is_wrong() -> (
    None
):
    opens = Edge(after(60), "opening", unconfirmed=True)
    waits = StandState("WAIT", "down", opens.at, opens=opens)
    assert number_of(waits, MON) == "1 h 00?"
    assert number_of(StandState("WAIT", "down", opens.at, opens, doubtful=True), MON) == "<1 h 00"
