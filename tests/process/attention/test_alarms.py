"""Which words alarm, in what order, when an answered one comes back, and what came up meanwhile.

10 to 15 min for the mordant, a pot's hours, the bands and the two, ten and thirty minutes until an
alarm comes back are common practice without a source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

import pytest

from bench.process.attention.alarms import (
    ALARMS,
    Alarm,
    Alarms,
    answer_alarms,
    current_alarms,
    update_alarms,
)
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.pots import Gun, Pot
from bench.process.clocks.stand_state import HARM, Clocks, StandState, stand_state
from bench.process.clocks.temperature import Reading
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step

from ..making import MON, after, around, band, coated, product

ENAMEL = product(band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"))
ETCH = product(band("wet", 15), band("wait", 24 * 60), band("open", 3 * 24 * 60), band("key"))


def soaking(*begun_min: float, tag: str = "7") -> Part:
    """Zones under a mordant wash begun at those minutes."""
    step = Step("mordant", "dwell", least_s=10 * 60, most_s=15 * 60)
    marks = tuple(Mark(f"Z{n}", after(m)) for n, m in enumerate(begun_min, start=1))
    record = StepRecord(1, step, "in hand", after(min(begun_min)), marks=marks)
    return Part(tag, "irons", 1, "", "", "zinc", "plain", 7, 7, (record,))


def at(
    minutes: float, *parts: Part, paint: Product = ENAMEL, pots: Iterable[Pot] = ()
) -> list[str]:
    """The words that alarm, in their order."""
    return [alarm.want.word for alarm in holding(minutes, *parts, paint=paint, pots=pots)]


def holding(
    minutes: float,
    *parts: Part,
    paint: Product = ENAMEL,
    pots: Iterable[Pot] = (),
    readings: tuple[Reading, ...] = (),
) -> tuple[Alarm, ...]:
    """The alarms so many minutes after Monday 08:00."""
    now = after(minutes)
    return current_alarms(
        ((part, state_of(part, paint, readings, now)) for part in parts), pots, now
    )


def state_of(
    part: Part, paint: Product, readings: tuple[Reading, ...], now: datetime
) -> StandState:
    current = part.current()
    dwell = current is not None and current.step.kind == "dwell"
    clocks = Clocks() if dwell else clocks_of(part, around(paint, *readings))
    return stand_state(part, clocks, now)


def pot(bin_min: float, letter: str = "A") -> Pot:
    return Pot(letter, "p", "paint", MON, MON, after(bin_min))


# -- which words, and since when ------------------------------------------------


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(9, []), (10, ["RINSE"]), (14.9, ["RINSE"]), (15, ["RINSE NOW"]), (600, ["RINSE NOW"])],
)
def test_a_wash_alarms_from_its_least_on(minutes: float, words: list[str]) -> None:
    assert at(minutes, soaking(0)) == words


def test_since_is_when_the_word_was_reached_and_the_clock_is_the_zones() -> None:
    rinse, late = holding(12, soaking(0))[0], holding(17, soaking(0))[0]
    assert (rinse.since, rinse.cause.clock_began) == (after(10), MON)
    assert (late.since, late.cause.clock_began) == (after(15), MON)


def test_two_zones_begun_in_the_same_minute_are_two_alarms() -> None:
    both = soaking(0, 0)
    record = both.steps[0]
    rinsed = (replace(record.marks[0], done_at=after(16)), record.marks[1])
    rest = replace(both, steps=(replace(record, marks=rinsed),))
    assert holding(16, both)[0].cause != holding(17, rest)[0].cause


@pytest.mark.parametrize(
    ("minutes", "words", "since"),
    [
        (7, [], None),
        (8, ["TEST"], 8),
        (44, ["TEST"], 8),
        (45, ["CLOSING"], 45),
        (60, ["KEEP OFF"], 60),
        (48 * 60 + 1, ["TEST"], 48 * 60),
    ],
)
def test_an_enamel_alarms_at_its_test_before_it_closes_and_when_it_has(
    minutes: float, words: list[str], since: float | None
) -> None:
    found = holding(minutes, coated(MON, MON))
    assert [alarm.want.word for alarm in found] == words
    assert [alarm.since for alarm in found] == ([] if since is None else [after(since)])


def test_the_test_after_the_closed_middle_is_an_alarm_of_its_own() -> None:
    flash, again = (holding(minutes, coated(MON, MON))[0] for minutes in (8, 48 * 60 + 1))
    assert flash.want.text.endswith("test: thumb on the coupon: no print, no drag")
    assert again.want.text.endswith("test: solvent rub on the coupon")
    assert flash.cause != again.cause
    known = answered(see(Alarms(), 8, coated(MON, MON)), 48 * 3600 - 60)
    assert words(see(known, 48 * 60 + 1, coated(MON, MON))) == ["TEST"], "answered was the first"


def test_a_window_missed_over_the_weekend_alarms_as_key_it() -> None:
    missed = 3 * 24 * 60
    assert at(missed, coated(MON, MON), paint=ETCH) == ["ABRADE"]
    assert holding(missed + 90, coated(MON, MON), paint=ETCH)[0].since == after(missed)


def test_the_forbidden_middle_is_quiet_when_no_coat_was_to_come() -> None:
    curing = coated(MON, MON, then="cure")
    assert at(120, curing) == []
    assert at(120, coated(MON, MON)) == ["KEEP OFF"]


def test_a_coat_that_is_shut_before_it_ever_opened_has_missed_nothing() -> None:
    shut_first = product(band("shut", 60), band("open"))
    assert at(30, coated(MON, MON), paint=shut_first) == []


def test_the_end_of_a_wait_that_needs_no_test_is_quiet() -> None:
    part = coated(MON, MON)
    passed = replace(part, steps=(replace(part.steps[0], passed_at=after(9)), part.steps[1]))
    assert at(10, passed) == []
    assert {"OPEN", "CURED", "HOLD", "WORKING", "SOAK"}.isdisjoint(ALARMS)


def test_a_test_just_asked_is_quiet_for_ten_minutes_and_then_nags() -> None:
    """Whoever ended the step looks at it. Ten minutes: common practice, no source."""
    part = coated(MON, MON)
    blast = Step("blast", "work", test="bright all over")
    blasted = replace(part, steps=(replace(part.steps[0], step=blast), part.steps[1]))
    assert (at(9.9, blasted), at(10, blasted)) == ([], ["TEST"])
    assert at(8, coated(MON, MON)) == ["TEST"], "at the end of a wait nobody may be there"


def test_a_part_on_hold_does_not_nag_but_its_wash_does() -> None:
    assert at(9, replace(coated(MON, MON), hold="waiting for the customer")) == []
    assert at(16, replace(soaking(0), hold="waiting for the customer")) == ["RINSE NOW"]


def test_a_pot_alarms_when_it_is_to_be_binned_and_not_before() -> None:
    assert at(89, pots=[pot(90)]) == []
    found = holding(95, pots=[pot(90)])
    assert [(alarm.want.word, alarm.place, alarm.since) for alarm in found] == [
        ("BIN", "pot A", after(90))
    ]


def test_the_next_pot_with_the_same_letter_is_another_alarm() -> None:
    later = replace(pot(200), mixed_at=after(100))
    assert holding(300, pots=[pot(90)])[0].cause != holding(300, pots=[later])[0].cause


def test_a_new_reading_moves_the_hour_but_is_no_second_alarm() -> None:
    """Colder metal puts the end of the wait back; the coat and its word are still the same."""
    paint = product(band("wait", c20=16), band("open"))
    warm, cold = Reading(MON, 20.0, None, 20.0), Reading(after(8 * 60), 12.0, None, 12.0)
    before = holding(40 * 60, coated(MON, MON), paint=paint, readings=(warm,))[0]
    since = holding(40 * 60, coated(MON, MON), paint=paint, readings=(warm, cold))[0]
    assert before.since < since.since
    assert before.cause == since.cause


def test_a_gun_alarms_before_it_is_to_be_flushed_and_once_more_when_it_should_have_been() -> None:
    """A quarter of an hour before. Common practice, no source."""
    gun = Gun("A", "paint", after(60))

    def told(minutes: float) -> list[tuple[str, datetime]]:
        return [(a.place, a.since) for a in current_alarms((), (), after(minutes), [gun])]

    assert told(44) == []
    assert told(45) == told(59) == [("gun A", after(45))]
    assert told(61) == [("gun A", after(60))]
    soon, due = (current_alarms((), (), after(m), [gun])[0] for m in (59, 61))
    assert soon.cause != due.cause
    assert current_alarms((), (), MON, [Gun("A", "paint", None)]) == ()


# -- the order ------------------------------------------------------------------


def test_harm_comes_first_not_the_time_that_is_left() -> None:
    """A test a day overdue stands under a pot that went off now, and that under a wash just late."""
    waited = replace(coated(after(-3000), after(-3000)), tag="1")
    enamel = product(band("flash", 8), band("open"))
    found = at(15, waited, soaking(4, tag="2"), soaking(0), paint=enamel, pots=[pot(15)])
    assert found == ["RINSE NOW", "RINSE", "BIN", "TEST"]


def test_of_two_with_the_same_word_the_one_with_less_time_comes_first() -> None:
    found = holding(13, soaking(1, tag="1"), soaking(0, tag="2"))
    assert [alarm.want.tag for alarm in found] == ["2", "1"]


def test_the_words_stand_in_the_order_of_harm() -> None:
    assert list(ALARMS) == [word for word in HARM if word in ALARMS]


# -- raised once, answered once, and back ---------------------------------------


def to_answer(known: Alarms) -> tuple[Alarm, ...]:
    """What Enter answers once all have stood long enough."""
    return known.next_answered({alarm.cause for alarm in known.up})


def answered(known: Alarms, at_s: float) -> Alarms:
    """After that Enter."""
    return answer_alarms(known, to_answer(known), at_s)


def see(known: Alarms, minutes: float, *parts: Part, gone_s: float | None = None) -> Alarms:
    """A look so many minutes after Monday 08:00, on both clocks."""
    return update_alarms(known, holding(minutes, *parts), after(minutes), minutes * 60, gone_s)[0]


def words(known: Alarms) -> list[str]:
    return [alarm.want.word for alarm in known.up]


def test_it_is_raised_once_however_often_one_looks() -> None:
    known, risen = update_alarms(Alarms(), holding(15, soaking(0)), after(15), 900, None)
    assert [alarm.want.word for alarm in risen] == ["RINSE NOW"]
    known, risen = update_alarms(known, holding(16, soaking(0)), after(16), 960, None)
    assert (words(known), risen) == (["RINSE NOW"], ())


@pytest.mark.parametrize(
    ("word", "again_min"),
    [
        ("RINSE NOW", 2),
        ("BIN", 2),
        ("RINSE", 2),
        ("CLOSING", 10),
        ("GUN", 10),
        ("COLD", 30),
        ("TEST", 30),
        ("WORKING", 60),
    ],
)
def test_an_answered_one_comes_back_after_its_minutes_if_nothing_is_done(
    word: str, again_min: float
) -> None:
    minutes = 15
    (late,) = holding(minutes, soaking(0))
    held = (Alarm(replace(late.cause, word=word), replace(late.want, word=word), late.since),)
    start_s = minutes * 60
    known, _ = update_alarms(Alarms(), held, after(minutes), start_s, None)
    known = answered(known, start_s)
    assert words(known) == []
    early_s = start_s + again_min * 60 - 1
    known, risen = update_alarms(known, held, after(minutes), early_s, None)
    assert (words(known), risen) == ([], ())
    known, risen = update_alarms(known, held, after(minutes), early_s + 1, None)
    assert words(known) == [alarm.want.word for alarm in risen] == [word]


def test_a_window_already_missed_is_told_once() -> None:
    known = see(Alarms(), 60, coated(MON, MON))
    assert words(known) == ["KEEP OFF"]
    known = see(answered(known, 3600), 24 * 60, coated(MON, MON))
    assert words(known) == []


def test_a_deed_settles_it_and_the_same_word_reached_anew_is_new() -> None:
    part = coated(MON, MON)
    known = answered(see(Alarms(), 8, part), 480)
    put_back = replace(part, steps=(replace(part.steps[0], not_before=after(24)), part.steps[1]))
    known = see(known, 9, put_back)
    assert known == Alarms()
    assert words(see(known, 24, put_back)) == ["TEST"]


def test_a_worse_word_on_the_same_stand_is_an_alarm_of_its_own() -> None:
    known = answered(see(Alarms(), 10, soaking(0)), 600)
    assert words(see(known, 15, soaking(0))) == ["RINSE NOW"]


def test_one_key_answers_the_topmost_and_nothing_else() -> None:
    known = see(Alarms(), 15, coated(MON, MON), soaking(0))
    assert words(known) == ["RINSE NOW", "TEST"]
    assert words(answered(known, 900)) == ["TEST"]
    assert answered(Alarms(), 900) == Alarms()


def test_what_has_not_stood_long_enough_is_not_answered_and_the_next_below_is() -> None:
    known = see(Alarms(), 15, coated(MON, MON), soaking(0))
    late, tested = known.up
    assert known.next_answered({tested.cause}) == (tested,)
    assert known.next_answered({late.cause, tested.cause}) == (late,)
    assert known.next_answered(()) == ()


# -- while nobody was there -----------------------------------------------------


def test_what_was_reached_while_nobody_was_there_is_on_the_list_and_what_was_before_is_not() -> (
    None
):
    enamel, irons = coated(MON, MON), soaking(10)
    known = see(Alarms(), 8, enamel)
    known = see(known, 26, enamel, irons, gone_s=15 * 60)
    assert words(known) == ["RINSE NOW", "TEST"]
    assert [alarm.want.word for alarm in known.while_away()] == ["RINSE NOW"]


@pytest.mark.parametrize(("gone_s", "listed"), [(15 * 60 - 1, 0), (15 * 60, 1)])
def test_what_was_reached_in_the_second_he_left_is_on_the_list(gone_s: float, listed: int) -> None:
    """Late from 08:25 on; it is 08:40."""
    assert len(see(Alarms(), 40, soaking(10), gone_s=gone_s).while_away()) == listed


def test_it_stays_on_the_list_when_somebody_is_back_until_it_is_answered() -> None:
    known = see(Alarms(), 26, soaking(10), gone_s=15 * 60)
    known = see(known, 27, soaking(10))
    assert len(known.while_away()) == 1
    assert answered(known, 27 * 60).while_away() == ()


def test_one_key_answers_the_whole_list() -> None:
    known = see(Alarms(), 26, soaking(10), coated(after(10), after(10)), gone_s=30 * 60)
    assert len(to_answer(known)) == 2
    assert words(answered(known, 26 * 60)) == []


def test_what_was_answered_is_not_on_the_list_again_when_it_comes_back() -> None:
    known = answered(see(Alarms(), 15, soaking(0), gone_s=600), 900)
    known = see(known, 40, soaking(0), gone_s=30 * 60)
    assert words(known) == ["RINSE NOW"]
    assert known.while_away() == ()


def test_a_deed_takes_it_off_the_list() -> None:
    known = see(Alarms(), 26, soaking(10), gone_s=15 * 60)
    assert see(known, 27).while_away() == ()
