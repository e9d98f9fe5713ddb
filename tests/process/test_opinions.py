"""Two painters, two opinions: both are kept, and waiting wins."""

from __future__ import annotations

from bench.process.opinions import Opinion, holding, opinion_words

from .making import MON, after

KIT = Opinion(MON, "Kit", passed=False, wait_s=15 * 60)
MO = Opinion(after(5), "Mo", passed=True)


def test_a_not_yet_holds_for_the_time_it_asked_for() -> None:
    assert holding([KIT], after(14)) == (KIT,)
    assert holding([KIT], after(15)) == ()


def test_another_painters_passed_takes_nothing_back() -> None:
    assert holding([KIT, MO], after(10)) == (KIT,)


def test_a_painter_takes_back_only_what_was_said_before() -> None:
    taken_back = Opinion(after(6), "Kit", passed=True)
    again = Opinion(after(7), "Kit", passed=False, wait_s=600)
    assert holding([KIT, MO, taken_back], after(10)) == ()
    assert holding([KIT, taken_back, again], after(10)) == (again,)


def test_each_painters_own_not_yet_holds() -> None:
    other = Opinion(after(2), "Mo", passed=False, wait_s=30 * 60)
    assert set(holding([KIT, other], after(10))) == {KIT, other}
    assert holding([KIT, other], after(20)) == (other,)


def test_an_opinion_in_words_says_who_what_and_when() -> None:
    assert opinion_words(KIT, MON) == "Kit: not yet 08:00, wait until 08:15"
    assert opinion_words(MO, MON) == "Mo: passed 08:05"
