"""Pots and the room: warmth shortens, cold never lengthens, a later trigger only extends."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bench.process.pots import Pot, pot_ends, pot_word, room_until

from .making import MON, after, band, product

FOUR_HOURS = product(band("open"), pot_life=((20.0, 4 * 3600.0),))
POT = Pot("A", "p", "primer", MON, after(15), after(240))


@pytest.mark.parametrize(
    ("paint_c", "hours", "source"),
    [
        (20.0, 4.0, "the sheet's own point"),
        (30.0, 2.0, "halves per 10 C: a maker's pot-life page, source seen"),
        (10.0, 4.0, "no credit for cold: the house rule"),
    ],
)
def test_a_pot_of_four_hours_at_20_c(paint_c: float, hours: float, source: str) -> None:
    ends, _ = pot_ends(FOUR_HOURS, MON, paint_c)
    assert ends is not None, source
    assert (ends - MON).total_seconds() == pytest.approx(hours * 3600, abs=1), source


def test_a_cold_point_on_the_sheet_is_credited() -> None:
    sheet = replace(FOUR_HOURS, pot_life=((10.0, 8 * 3600.0), (20.0, 4 * 3600.0)))
    ends, basis = pot_ends(sheet, MON, 10.0)
    assert ends == MON + timedelta(hours=8)
    assert basis == "sheet"


def test_without_a_reading_the_figure_is_a_guess() -> None:
    assert pot_ends(FOUR_HOURS, MON, None)[1] == "guess"


@pytest.mark.parametrize(
    ("minutes", "word"),
    [(0, "REST"), (15, "USE"), (209, "USE"), (211, "BIN BY"), (240, "BIN"), (999, "BIN")],
)
def test_a_pot_rests_is_used_and_is_binned(minutes: float, word: str) -> None:
    assert pot_word(POT, after(minutes)) == word


HALF_HOUR = timedelta(minutes=30)


def test_masks_stay_on_while_somebody_sprays_and_until_the_room_has_cleared() -> None:
    assert room_until([], HALF_HOUR, MON) == (False, None)
    assert room_until([(None, True)], HALF_HOUR, MON) == (True, None)
    assert room_until([(MON, False)], HALF_HOUR, after(29)) == (True, after(30))
    assert room_until([(MON, False)], HALF_HOUR, after(30)) == (False, after(30))


def test_a_second_coat_extends_the_room_clock_and_never_shortens_it() -> None:
    triggers = [(after(20), False), (MON, False)]
    assert room_until(triggers, HALF_HOUR, after(25)) == (True, after(50))
    assert room_until(list(reversed(triggers)), HALF_HOUR, after(25)) == (True, after(50))
