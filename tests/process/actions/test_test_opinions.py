"""Two painters, two opinions: both are kept, and waiting wins."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.actions.test_opinions import (
    Opinion,
    holding_opinions,
    opinion_words,
    waits_offered,
)
from bench.process.clocks.edges import Edge
from bench.process.clocks.stand_state import StandState

from ..making import MON, after, coated

KIT = Opinion(MON, "Kit", passed=False, wait_s=15 * 60)
MO = Opinion(after(5), "Mo", passed=True)


def test_a_not_yet_holds_for_the_time_it_asked_for() -> None:
    assert holding_opinions([KIT], after(14)) == (KIT,)
    assert holding_opinions([KIT], after(15)) == ()


def test_another_painters_passed_takes_nothing_back() -> None:
    assert holding_opinions([KIT, MO], after(10)) == (KIT,)


def test_a_painter_takes_back_only_what_was_said_before() -> None:
    taken_back = Opinion(after(6), "Kit", passed=True)
    again = Opinion(after(7), "Kit", passed=False, wait_s=600)
    assert holding_opinions([KIT, MO, taken_back], after(10)) == ()
    assert holding_opinions([KIT, taken_back, again], after(10)) == (again,)


def test_each_painters_own_not_yet_holds() -> None:
    other = Opinion(after(2), "Mo", passed=False, wait_s=30 * 60)
    assert set(holding_opinions([KIT, other], after(10))) == {KIT, other}
    assert holding_opinions([KIT, other], after(20)) == (other,)


def test_an_opinion_in_words_says_who_what_and_when() -> None:
    assert opinion_words(KIT, MON) == "Kit: not yet 08:00, wait until 08:15"
    assert opinion_words(MO, MON) == "Mo: passed 08:05"


@pytest.mark.parametrize(
    ("waited", "offered_min"),
    [
        (timedelta(minutes=10), (15, 30)),
        (timedelta(minutes=599), (30, 60)),
        (timedelta(minutes=600), (60, 120)),
        (timedelta(hours=24), (120, 240)),
        (timedelta(days=2), (240, 480)),
        (timedelta(days=12), (24 * 60, 48 * 60)),
        (timedelta(days=90), (2 * 24 * 60, 4 * 24 * 60)),
    ],
)
def test_not_yet_asks_for_about_a_tenth_of_what_was_waited_already(
    waited: timedelta, offered_min: tuple[int, int]
) -> None:
    """A quarter of an hour more tells nothing of a cure of twelve days: common practice."""
    part = coated(MON, MON)
    opens = Edge(MON + waited, "opening")
    assert waits_offered(part, StandState("TEST", opens=opens)) == offered_min
    assert waits_offered(part, StandState("TEST")) == (15, 30)
