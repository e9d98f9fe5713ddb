"""What the key ``+`` does, and that it is named only where it does something."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.actions.next_action import action_line, action_word, next_action
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import StandState, stand_state
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step

from ..making import MON, after, around, band, coated, product

WAITS = product(band("flash", 10), band("wait", 60), band("open"), test="thumb on it")
CLOSES = product(band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"))


def legend(part: Part, paint: Product, minutes: float) -> tuple[str, str]:
    """The word behind ``+`` in the legend, and the line above it."""
    now = after(minutes)
    state = stand_state(part, clocks_of(part, around(paint)), now)
    deed = next_action(part, state)
    return action_word(deed), action_line(deed, part, state, now)


@pytest.mark.parametrize("minutes", [0, 9, 10, 59])
def test_no_coat_is_offered_while_it_would_be_refused(minutes: float) -> None:
    assert legend(coated(MON, MON), WAITS, minutes) == ("", "too soon: opens 09:00")


def test_inside_the_closed_part_of_a_window_no_coat_is_offered_either() -> None:
    """Open for an hour, closed to 48 h: common practice for one-pack aerosols, no source."""
    part = coated(MON, MON)
    passed = replace(part, steps=(replace(part.steps[0], passed_at=after(9)), part.steps[1]))
    assert legend(passed, CLOSES, 59) == ("start", "+ start coat")
    assert legend(passed, CLOSES, 61) == ("", "too soon: opens Wed 04 Mar 08:00")


def test_wet_on_wet_goes_onto_a_coat_that_flashes() -> None:
    part = coated(MON, MON)
    second = replace(part.steps[1], step=replace(part.steps[1].step, wet_on_wet=True))
    part = replace(part, steps=(part.steps[0], second))
    assert legend(part, WAITS, 5) == ("start", "+ start coat")
    assert legend(part, WAITS, 15)[0] == "", "past its flash it is the recoat time that counts"


def test_a_cure_names_no_key() -> None:
    word, told = legend(coated(MON, MON, then="cure"), WAITS, 120)
    assert word == ""
    assert told.startswith("nothing to start")


def washed(*begun: bool) -> Part:
    """A part under a wash for 10 to 15 min, each of its zones begun with it or still dry."""
    wash = Step("mordant", "dwell", least_s=600, most_s=900)
    zones = tuple(Mark(f"Z{n}", MON if wet else None) for n, wet in enumerate(begun))
    record = StepRecord(1, wash, "in hand", MON, marks=zones)
    return Part("1", "frame", 1, "", "", "zinc", "frame", 1, 1, (record,))


def test_a_wash_goes_on_with_the_next_dry_zone_until_all_are_wet() -> None:
    assert legend(washed(True, False), WAITS, 5) == ("start", "+ brush Z1")
    assert legend(washed(True, True), WAITS, 12) == ("finish", "+ rinse Z0")


def test_a_zone_still_dry_is_no_zone_to_rinse() -> None:
    """The first zone is brushed and due, the second not brushed yet."""
    step = Step(name="Acid wash", kind="dwell", least_s=60, most_s=600)
    marks = (Mark("frame", begun_at=MON), Mark("fork"))
    record = StepRecord(1, step, "in hand", marks=marks, first_at=MON)
    part = replace(coated(MON, MON), steps=(record,))
    state = StandState("RINSE", "down", MON, zone="frame")
    assert action_line("finish", part, state, MON) == "+ rinse frame"
    assert action_line("begin", part, state, MON) == "+ brush fork"
    brushed = replace(record, marks=(marks[0], replace(marks[1], begun_at=MON)))
    part = replace(part, steps=(brushed,))
    assert action_line("begin", part, state, MON) == "+ start Acid wash"
