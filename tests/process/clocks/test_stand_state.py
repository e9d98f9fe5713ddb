"""What a stand shows, and that it never says more than it knows."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from bench.process.actions.next_action import action_line, next_action
from bench.process.attention.todo_list import task_of
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import (
    HARM,
    SHAPES,
    Clocks,
    StandState,
    closing_notice,
    stand_state,
)
from bench.process.clocks.temperature import Reading
from bench.process.clocks.windows import Span
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.sheets.route import Step, StepKind

from ..making import HOURS, MON, after, around, band, coated, product

WAITS = product(band("wait", 24 * 60), band("open"), test="thumb on the coupon")


def soaking(*begun_min: float, least: float = 10, most: float = 15) -> Part:
    """Zones under a mordant wash begun at those minutes. 10 to 15 min: common practice, no source."""
    step = Step("mordant", "dwell", least_s=least * 60, most_s=most * 60)
    marks = tuple(Mark(f"Z{n}", after(m)) for n, m in enumerate(begun_min, start=1))
    record = StepRecord(1, step, "in hand", after(begun_min[0]), marks=marks)
    return Part("1", "frame", 1, "", "", "zinc", "frame", 1, 1, (record,))


@pytest.mark.parametrize(
    ("minutes", "word", "left_min"),
    [
        (0, "SOAK", 10),
        (9.99, "SOAK", 0.01),
        (10, "RINSE", 5),
        (14.99, "RINSE", 0.01),
        (15, "RINSE NOW", 0),
        (17, "RINSE NOW", -2),
    ],
)
def test_a_zone_soaks_to_its_least_is_rinsed_inside_its_window_and_is_late_past_it(
    minutes: float, word: str, left_min: float
) -> None:
    state = stand_state(soaking(0), Clocks(), after(minutes))
    assert state.word == word
    assert state.seconds_left(after(minutes)) == pytest.approx(left_min * 60)


def test_a_cleaner_soaks_as_a_whole_and_is_late_past_its_most() -> None:
    """3 to 10 min of alkaline cleaner: common practice, no source."""
    step = Step("degrease", "work", least_s=180, most_s=600)
    record = StepRecord(1, step, "in hand", MON)
    part = Part("1", "frame", 1, "", "", "zinc", "frame", 1, 1, (record,))
    words = [stand_state(part, Clocks(), after(minutes)).word for minutes in (2, 3, 9, 10, 41)]
    assert words == ["SOAK", "RINSE", "RINSE", "RINSE NOW", "RINSE NOW"]
    assert stand_state(part, Clocks(), after(41)).zone == "it"


def at(part: Part, minutes: float) -> str:
    return stand_state(part, clocks_of(part, around(WAITS)), after(minutes)).word


def test_nought_is_try_it_and_only_a_painter_makes_it_open() -> None:
    part = coated(MON, MON)
    assert at(part, 24 * 60 - 1) == "WAIT"
    assert at(part, 24 * 60) == "TEST"
    done, todo = part.steps
    passed = replace(part, steps=(replace(done, passed_at=after(24 * 60), passed_by="Kit"), todo))
    assert at(passed, 24 * 60 + 1) == "OPEN"


def test_an_overrun_counts_up_and_stays_for_a_week() -> None:
    part = coated(MON, MON)
    clocks = clocks_of(part, around(WAITS))
    for late_min in (42, 7 * 24 * 60):
        state = stand_state(part, clocks, after(24 * 60 + late_min))
        assert state.word == "TEST"
        assert state.seconds_left(after(24 * 60 + late_min)) == -late_min * 60


def test_not_yet_asks_again_later() -> None:
    part = coated(MON, MON)
    done, todo = part.steps
    told = replace(part, steps=(replace(done, not_before=after(24 * 60 + 15)), todo))
    assert at(told, 24 * 60 + 14) == "WAIT"
    assert at(told, 24 * 60 + 15) == "TEST"


def test_a_coat_without_a_test_of_its_own_names_the_thumb() -> None:
    part = coated(MON, MON)
    unnamed = replace(WAITS, test="")
    state = stand_state(part, clocks_of(part, around(unnamed)), after(24 * 60))
    assert "thumb on the coupon" in state.test


def worked(kind: StepKind = "work", test: str = "", **more: object) -> Part:
    """A part whose last step left nothing to wait for, and a coat to come."""
    step = Step("blast", kind, least_s=600, most_s=900, test=test)
    zones = (Mark("ALL", MON, after(12)),) if kind == "dwell" else ()
    done = StepRecord(1, step, "done", MON, after(12), marks=zones, **more)  # type: ignore[arg-type]
    todo = StepRecord(2, Step("prime", "coat", "p"))
    return Part("1", "bracket", 1, "", "", "steel", "plain", 1, 1, (done, todo))


def shown(part: Part, minutes: float) -> StandState:
    return stand_state(part, clocks_of(part, around(WAITS)), after(minutes))


def test_a_step_that_names_a_test_is_tested_though_nothing_has_to_dry() -> None:
    """Bright all over, dark and even, no snag: common practice, no source."""
    state = shown(worked(test="bright all over"), 12)
    assert (state.word, state.test, state.target) == ("TEST", "bright all over", after(12))
    assert shown(worked(test="bright all over", passed_at=after(13)), 13).word == "OPEN"
    assert shown(worked(), 12).word == "OPEN", "a step that names no test has none"


def test_a_wash_is_looked_at_though_its_step_names_no_test() -> None:
    state = shown(worked("dwell"), 12)
    assert (state.word, state.test) == (
        *("TEST", "even all over: no bright patch, no white powder"),
    )


def test_not_yet_asks_again_where_nothing_has_to_dry() -> None:
    failed = worked(test="bright all over", not_before=after(30))
    assert [shown(failed, minutes).word for minutes in (12, 29, 30)] == ["WAIT", "WAIT", "TEST"]


AEROSOL = product(
    band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"), test="no strings"
)
"""Open for an hour, closed to 48 h: common practice for one-pack aerosols, no source."""


def interrupted(second_half: float | None = None) -> Part:
    """An aerosol coat whose faces 1 to 4 were sprayed at 08:00, 5 to 8 so many minutes later."""
    rest = None if second_half is None else after(second_half)
    marks = [Mark(str(n), MON, MON if n <= 4 else rest) for n in range(1, 9)]
    coat = StepRecord(
        *(1, Step("coat 1", "coat", "p"), "in hand" if rest is None else "done", MON, rest),
        marks=tuple(marks),
    )
    todo = StepRecord(2, Step("coat 2", "coat", "p"))
    return Part("1", "frame", 1, "", "", "steel", "frame", 1, 1, (coat, todo))


def sprayed(part: Part, minutes: float) -> StandState:
    return stand_state(part, clocks_of(part, around(AEROSOL)), after(minutes))


def test_an_interrupted_coat_warns_before_the_window_of_its_first_face_closes() -> None:
    words = [sprayed(interrupted(), minutes).word for minutes in (5, 30, 45, 59)]
    assert words == ["WORKING", "WORKING", "CLOSING", "CLOSING"]
    state = sprayed(interrupted(), 45)
    assert state.closes is not None
    assert (state.closes.at, state.note) == (after(60), "finish it, 4 of 8 faces")
    assert sprayed(interrupted(), 61).word == "WORKING"


def test_where_the_window_below_closes_at_the_same_hour_the_coat_itself_still_warns() -> None:
    part = interrupted()
    clocks = clocks_of(part, around(AEROSOL))
    clocks = replace(clocks, spans=clocks.own)
    assert stand_state(part, clocks, after(45)).word == "CLOSING"


@pytest.mark.parametrize(
    ("open_h", "warns_min"),
    [(1, 15), (2.5, 15), (3, 18), (10, 60), (40, 240), (50, 240), (7 * 24, 240)],
)
def test_a_window_warns_in_its_last_tenth_but_15_min_at_least_and_4_h_at_most(
    open_h: float, warns_min: float
) -> None:
    """Common practice, no source."""
    assert closing_notice(Span("open", MON, after(open_h * 60))) == timedelta(minutes=warns_min)


def test_after_the_closed_middle_the_test_is_a_solvent_rub_on_the_coupon() -> None:
    """Dry at the flash is another question than cured enough not to lift: common practice, no
    source."""
    flash, again = (sprayed(coated(MON, MON), minutes) for minutes in (9, 48 * 60))
    assert (flash.word, flash.test) == ("TEST", "no strings")
    assert (again.word, again.test) == ("TEST", "solvent rub on the coupon")


def test_after_the_closed_middle_the_sheets_own_test_for_it_is_asked() -> None:
    named = replace(band("shut", 48 * 60), test="thumbnail: no mark")
    paint = replace(AEROSOL, bands=(*AEROSOL.bands[:2], named, band("open")))
    part = coated(MON, MON)
    clocks = clocks_of(part, around(paint))
    told = [stand_state(part, clocks, after(minutes)).test for minutes in (9, 48 * 60)]
    assert told == ["no strings", "thumbnail: no mark"]


def test_a_window_that_closed_while_it_was_sprayed_is_closed_and_no_flash_that_opens() -> None:
    """The first face at 08:00 closed it at 09:00; the last, at 09:04, opens it 48 h later."""
    state = sprayed(interrupted(64), 65)
    assert state.word == "KEEP OFF"
    assert state.opens is not None
    assert state.opens.at == after(64 + 48 * 60)
    part, opens = interrupted(64), "opens Wed 04 Mar 09:04"
    assert action_line(next_action(part, state), part, state, after(65)) == f"too soon: {opens}"
    assert task_of(part, state, after(65)).text == f"frame: coat 2: keep off, {opens}"
    assert sprayed(interrupted(40), 41).word == "FLASH"


def test_work_on_a_coat_whose_window_closed_while_it_was_sprayed_waits_for_its_flash_alone() -> (
    None
):
    slow = coated(MON, after(58), then="work")
    paint = product(band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"))
    state = stand_state(slow, clocks_of(slow, around(paint)), after(62))
    assert state.word == "FLASH"


def test_a_window_is_missed_from_the_minute_it_closes() -> None:
    paint = product(band("wait", 60), band("open", 600), band("key"))
    part = replace(coated(MON, MON))
    passed = replace(part, steps=(replace(part.steps[0], passed_at=after(60)), part.steps[1]))
    state = stand_state(passed, clocks_of(passed, around(paint)), after(600))
    assert state.word == "ABRADE"
    assert state.missed is not None
    assert state.missed.at == after(600)


def test_a_hold_is_not_a_pause() -> None:
    part = replace(coated(MON, MON), hold="waiting for nuts")
    state = stand_state(part, clocks_of(part, around(WAITS)), after(24 * 60))
    assert state.word == "HOLD"
    assert "TEST" in state.note


def test_a_hold_never_hides_a_wash_that_is_late() -> None:
    part = replace(soaking(0), hold="phone")
    assert stand_state(part, Clocks(), after(20)).word == "RINSE NOW"


def test_a_missed_window_asks_for_keying_before_a_coat_but_not_before_other_work() -> None:
    paint = product(band("open", 60), band("key"))
    coat, work = coated(MON, MON), coated(MON, MON, then="work")
    assert stand_state(coat, clocks_of(coat, around(paint)), after(61)).word == "ABRADE"
    assert stand_state(work, clocks_of(work, around(paint)), after(61)).word == "OPEN"


def test_wax_that_is_never_open_again_cures_and_is_tested() -> None:
    wax = product(band("wet", 48 * 60), band("shut"), full_cure=((20.0, 3 * 86400.0),))
    part = coated(MON, MON, then="cure")
    clocks = clocks_of(part, around(wax))
    assert clocks.cure is not None
    assert clocks.cure.end is not None
    wet, cures, tested = after(48 * 60 - 1), after(48 * 60), clocks.cure.end
    states = [stand_state(part, clocks, now) for now in (wet, cures, tested)]
    assert [state.word for state in states] == ["WET", "CURE", "TEST"]
    assert [bool(state.test) for state in states] == [False, False, True]


def test_a_closed_middle_that_never_ends_in_the_cold_is_no_cure() -> None:
    paint = product(band("open", 60), band("shut", c20=48), band("open"))
    part = coated(MON, MON, then="cure")
    cold = around(paint, Reading(MON, 4.0))
    state = stand_state(part, clocks_of(part, cold), after(180))
    assert (state.word, state.opens, state.test) == ("KEEP OFF", None, "")


def test_curing_counts_days_and_ends_in_try_it_then_cured() -> None:
    paint = product(band("open"), full_cure=((20.0, 7 * 86400.0),))
    part = coated(MON, MON, then="cure")
    clocks = clocks_of(part, around(paint))
    assert stand_state(part, clocks, after(60)).word == "CURE"
    assert clocks.cure is not None
    assert clocks.cure.end is not None
    end = clocks.cure.end
    assert stand_state(part, clocks, end).word == "TEST"
    done, cure = part.steps
    assert (
        stand_state(replace(part, steps=(done, replace(cure, status="done"))), Clocks(), end).word
        == "CURED"
    )


@pytest.mark.parametrize(("then", "closes"), [("key", False), ("shut", True)])
def test_the_flash_of_a_last_coat_closes_only_where_a_touch_up_becomes_impossible(
    then: str, closes: bool
) -> None:
    last = [band("key")] if then == "key" else [band("shut", 900), band("open")]
    part = coated(MON, MON, then="cure")
    clocks = clocks_of(part, around(product(band("flash", 30), band("open", 600), *last)))
    state = stand_state(part, clocks, after(10))
    assert state.word == "FLASH"
    assert (state.opens is not None, state.closes is not None) == (True, closes)


def test_every_word_has_a_shape_of_its_own_in_plain_ascii() -> None:
    shown = [SHAPES[word] for word in HARM if word not in ("BIN", "EMPTY")]
    assert len(set(shown)) == len(shown)
    assert all(shape.isascii() and len(shape) == 3 for shape in SHAPES.values())


def test_time_only_ever_moves_a_stand_forward() -> None:
    paint = product(band("wet", 10), band("wait", 60), band("open", 600), band("key"))
    part = coated(MON, MON)
    clocks = clocks_of(part, around(paint))
    order = ["WET", "WAIT", "TEST", "CLOSING", "ABRADE"]
    seen: list[str] = []
    moment: datetime = MON
    while moment < after(700):
        word = stand_state(part, clocks, moment).word
        if not seen or seen[-1] != word:
            seen.append(word)
        moment += timedelta(minutes=1)
    assert seen == order


def test_what_is_counted_by_a_placeholders_hours_is_marked_and_by_a_data_sheets_is_not() -> None:
    bands = (band("flash", 60), band("open", 480), band("shut", 2880))
    seen = {}
    for source in ("placeholder", "sheet"):
        paint = product(*bands, source=source)
        clocks = clocks_of(coated(MON, MON), around(paint))
        states = [stand_state(coated(MON, MON), clocks, after(m)) for m in (30, 90, 460, 600)]
        seen[source] = [(state.word, state.doubt) for state in states]
    words = ["FLASH", "TEST", "CLOSING", "KEEP OFF"]
    assert seen["sheet"] == [(word, "") for word in words]
    assert seen["placeholder"] == [(word, "?") for word in words]


def test_work_in_hand_and_a_wash_count_by_no_product_and_wear_no_mark() -> None:
    assert stand_state(soaking(0), Clocks(), after(5)).doubt == ""


def test_that_a_coat_never_opens_is_doubted_once_the_reading_is_old() -> None:
    """A reading is old after 4 h (house rule)."""
    part = coated(MON, MON)
    paint = product(band("wait", c20=16), band("open"))
    frost = replace(around(paint), hours=replace(HOURS, day_c=1.0, night_c=1.0))
    cold = clocks_of(part, replace(frost, readings=(Reading(MON, 1.0),)))
    states = [stand_state(part, cold, after(minutes)) for minutes in (30, 6 * 60)]
    assert [(state.word, state.opens, state.old) for state in states] == [
        ("WAIT", None, False),
        ("WAIT", None, True),
    ]
